"""Rules of the joining parts, each at its limit, just inside and just outside, and where it does not arise.

The sums are worked out by hand from the round numbers of designs.py: a string counts 10 A, the array 20 A and
25 A design.
"""

import pytest

from tests.rules.designs import COMBINER, assessed, finding, findings, numbers

COUPLER, CIRCUITS, BAR, BREAKER = "coupler-current", "combiner-circuits", "combiner-bar", "breaker-rating"
DISCONNECT, UNLIKE, GROUND = "disconnect-rating", "unlike-strings", "grounding-conductor-size"


# Couplers: the strings joined so far, at 1.25 x Isc, against the rating (connector data sheet, 690.8(A)).


@pytest.mark.parametrize(
    ("rating", "verdict", "margin"),
    [
        ("20 A", "tight", 0.0),
        ("19.99 A", "fails", -0.01),
        ("21.05 A", "tight", 1.05),  # five percent are 1.0525 A
        ("21.06 A", "holds", 1.06),  # five percent are 1.053 A
    ],
)
def test_current_through_a_coupler(rating, verdict, margin):
    """Two strings of 10 A."""
    found = finding({"coupler.1.rating": rating}, COUPLER, "coupler 1")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((20.0, float(rating.split()[0]), margin))
    assert (found.sense, found.harm) == ("at most", "damage")


@pytest.mark.parametrize(
    ("strings", "couplers", "joined"),
    [
        (2, [{"inputs": 2}], [2]),
        (4, [{"inputs": 2}], [2, 3, 4]),  # chained two-to-one couplers carry the sum so far
        (4, [{"inputs": 4}], [4]),
        (3, [{"inputs": 4}], [3]),
        (5, [{"inputs": 3}, {"inputs": 2}], [3, 4, 5]),  # the last kind is repeated
        (6, [{"inputs": 3}], [3, 5, 6]),
        (3, [{}], [2, 3]),
        (3, None, [2, 3]),  # not described: two-to-one in a chain
        (2, [{"inputs": 2}, {"inputs": 2}, {"inputs": 2}], [2]),  # more than are needed
    ],
)
def test_stages_of_a_chain_of_couplers(strings, couplers, joined):
    """Each takes the sum so far and fills its other inputs."""
    found = findings({"array.strings_in_parallel": strings, "coupler": couplers}, COUPLER)

    assert [one.actual.number for one in found.values()] == pytest.approx([10 * count for count in joined])
    assert list(found) == [f"coupler {number}" for number in range(1, len(joined) + 1)]


def test_a_coupler_that_nobody_described_is_rated_thirty_amperes():
    """Common practice (seen in print): most are; noted as an assumption, with two inputs."""
    found = assessed({"coupler": None})

    assert {"coupler.1.rating", "coupler.1.inputs"} <= {one.path for one in found.assumptions}
    assert [one.limit.number for one in found.findings if one.id == COUPLER] == [30]


def test_each_coupler_has_its_own_rating():
    """The second of two kinds carries all three strings: 30 A against its own 50 A."""
    changes = {"array.strings_in_parallel": 3, "coupler": [{"rating": "20 A"}, {"rating": "50 A"}]}
    found = findings(changes, COUPLER)

    assert {part: numbers(found[part])[:2] for part in found} == {
        "coupler 1": (20, 20),
        "coupler 2": (30, 50),
    }


def test_unlike_strings_are_joined_in_the_order_that_is_worst():
    """10 A and twice 7.5 A: the first coupler may get 17.5 A, not only 15 A."""
    module = {"voc": "25 V", "vmp": "20 V", "imp": "5 A"}
    changes = {
        "module": None,
        "array": {"string_fuse": "none"},
        "string": [
            {"modules_in_series": 2, "strings_in_parallel": 2, "module": module | {"isc": "6 A"}},
            {"modules_in_series": 2, "module": module | {"isc": "8 A"}},
        ],
    }
    found = findings(changes, COUPLER)

    assert [found[part].actual.number for part in found] == pytest.approx([17.5, 25.0])


@pytest.mark.parametrize(
    ("changes", "reason"),
    [(COMBINER, "joined-in-a-combiner"), ({"array.strings_in_parallel": 1}, "one-string")],
)
def test_couplers_where_there_are_none(changes, reason):
    """In a combiner, or with one string, nothing is coupled."""
    found = finding(changes, COUPLER, "couplers")

    assert (found.verdict, found.reason) == ("does not apply", reason)


# Combiner: circuits and bar (data sheet), breaker (690.9(B), 240.4).


@pytest.mark.parametrize(
    ("circuits", "verdict", "spare"), [(3, "holds", 1), (2, "holds", 0), (1, "fails", -1)]
)
def test_circuits_of_the_combiner(circuits, verdict, spare):
    """Two strings; spare circuits are the room, and none spare is enough."""
    found = finding(COMBINER | {"combiner.circuits": circuits}, CIRCUITS, "combiner")

    assert found.verdict == verdict
    assert numbers(found) == (circuits, 2, spare)
    assert assessed(COMBINER | {"combiner.circuits": circuits}).steps["spare_circuits"].result == spare


@pytest.mark.parametrize(
    ("bar", "verdict"),
    [("25 A", "tight"), ("24.99 A", "fails"), ("26.25 A", "tight"), ("26.26 A", "holds"), ("60 A", "holds")],
)
def test_bar_of_the_combiner(bar, verdict):
    """1.25 x 20 A = 25 A of design current; 1.25 A above is just five percent."""
    found = finding(COMBINER | {"combiner.bar_rating": bar}, BAR, "combiner")

    assert (found.verdict, found.limit.number, found.harm) == (verdict, pytest.approx(25), "damage")


@pytest.mark.parametrize(
    ("breaker", "for_array", "for_run"),
    [
        ("25 A", "holds", "holds"),
        ("24.99 A", "fails", "holds"),
        ("50 A", "holds", "holds"),
        ("50.01 A", "holds", "fails"),
    ],
)
def test_array_breaker(breaker, for_array, for_run):
    """At least 25 A; 10 mm2 counts as 8 AWG: 55 A at 90 degC, but 50 A at 75 degC terminals (110.14(C), 240.4)."""
    found = findings(COMBINER | {"combiner.breaker": breaker}, BREAKER)

    assert found["breaker, for the array"].verdict == for_array
    assert found["breaker, for the home run"].verdict == for_run
    assert (
        found["breaker, for the array"].limit.number,
        found["breaker, for the home run"].limit.number,
    ) == (25, 50)


def test_array_breaker_protects_the_corrected_ampacity():
    """Seven conductors in one conduit keep 0.7 of 55 A: 38.5 A, protected by 40 A."""
    changes = COMBINER | {"run.home run.conductors_in_conduit": 7}

    assert finding(changes, BREAKER, "breaker, for the home run").limit.number == 40


def test_a_breaker_may_stand_behind_couplers():
    """It is judged wherever it is described."""
    found = findings({"combiner": {"breaker": "24 A"}}, BREAKER)

    assert found["breaker, for the array"].verdict == "fails"


@pytest.mark.parametrize(
    ("name", "path"),
    [(CIRCUITS, "combiner.circuits"), (BAR, "combiner.bar_rating"), (BREAKER, "combiner.breaker")],
)
def test_a_combiner_has_to_be_described(name, path):
    """Circuits, bar and breaker differ from box to box."""
    (found,) = findings(COMBINER | {path: None, "array.joining": "combiner"}, name).values()

    assert (found.verdict, found.needs) == ("needs input", (path,))


@pytest.mark.parametrize(
    ("name", "reason"),
    [(CIRCUITS, "joined-by-couplers"), (BAR, "joined-by-couplers"), (BREAKER, "no-breaker")],
)
def test_combiner_where_couplers_join(name, reason):
    """No combiner, and no breaker in it."""
    (found,) = findings({}, name).values()

    assert (found.verdict, found.reason) == ("does not apply", reason)


@pytest.mark.parametrize(("circuits", "verdict"), [(4, "holds"), (None, "does not apply")])
def test_a_described_combiner_joins_the_strings_when_nobody_said(circuits, verdict):
    """A number of circuits tells that there is a combiner; a breaker alone does not."""
    combiner = {"circuits": circuits, "breaker": "30 A"} if circuits else {"breaker": "30 A"}

    assert finding({"array.joining": None, "combiner": combiner}, CIRCUITS, "combiner").verdict == verdict


# Disconnect (690.13): at least the array's maximum current.


@pytest.mark.parametrize(
    ("rating", "verdict"),
    [("20 A", "tight"), ("19.99 A", "fails"), ("21 A", "tight"), ("21.01 A", "holds"), ("40 A", "holds")],
)
def test_disconnect(rating, verdict):
    """20 A; one ampere above is just five percent."""
    found = finding({"disconnect.rating": rating}, DISCONNECT, "disconnect")

    assert (found.verdict, found.limit.number, found.reason) == (verdict, pytest.approx(20), "")
    assert found.harm == "damage"


@pytest.mark.parametrize(("breaker", "verdict"), [("30 A", "holds"), ("20 A", "tight"), ("19 A", "fails")])
def test_the_array_breaker_serves_as_disconnect(breaker, verdict):
    """Where no disconnect is described."""
    found = finding(COMBINER | {"combiner.breaker": breaker, "disconnect": None}, DISCONNECT, "disconnect")

    assert (found.verdict, found.reason) == (verdict, "breaker-disconnects")


def test_something_has_to_disconnect():
    """Neither a disconnect nor a breaker: that has to be said."""
    found = finding({"disconnect": None}, DISCONNECT, "disconnect")

    assert (found.verdict, found.needs) == ("needs input", ("disconnect.rating",))


# Unlike strings: what sharing one voltage costs, against our own target of 5 %.


def kinds(*series, **module):
    """Strings of the bench's module, as many kinds as numbers of modules in series."""
    own = {"voc": "25 V", "isc": "8 A", "vmp": "20 V", "imp": "7.5 A", "max_series_fuse": "20 A"} | module
    return {
        "module": own,
        "array": {"string_fuse": "none"},
        "string": [{"modules_in_series": number} for number in series],
    }


def test_alike_strings_written_as_two_kinds_lose_nothing():
    """Each gives 2 x 20 V x 7.5 A = 300 W, together and apart."""
    found = assessed(kinds(2, 2))

    assert found.steps["power_apart_W"].result == pytest.approx(600, rel=1e-4)
    assert found.steps["power_joined_W"].result == pytest.approx(600, rel=1e-4)
    assert finding(kinds(2, 2), UNLIKE, "strings").verdict == "holds"


def test_strings_of_very_different_voltage_lose_much():
    """600 W and 300 W apart; two modules cannot follow four to their voltage, so most of the smaller string is lost."""
    found = finding(kinds(4, 2), UNLIKE, "strings")

    assert found.verdict == "fails"
    assert 20 < found.actual.number < 40
    assert found.limit.number == 5


@pytest.mark.parametrize(("margins", "verdict"), [("0 %", "holds"), ("100 %", "tight")])
def test_a_small_loss_is_close_to_the_target_only_by_its_margin(margins, verdict):
    """Any loss below the target is tight when all of the target counts as margin."""
    assert finding(kinds(8, 8) | {"margins.drop": margins}, UNLIKE, "strings").verdict == verdict


def test_alike_strings_are_not_asked_about():
    """One kind of string shares its own voltage."""
    found = finding({}, UNLIKE, "strings")

    assert (found.verdict, found.reason) == ("does not apply", "strings-alike")


def test_without_a_curve_the_loss_is_not_worked_out():
    """Values that no module's curve can have, Vmp a hundredth of Voc, are asked for again: of that module only."""
    found = finding(kinds(2, 1, vmp="0.2 V"), UNLIKE, "strings")

    assert (found.verdict, found.reason) == ("needs input", "no-curve")
    assert {path.rpartition(".")[2] for path in found.needs} == {"voc", "isc", "vmp", "imp"}
    assert len({path.rpartition(".")[0] for path in found.needs}) == 1


def test_a_coefficient_that_no_curve_can_have_is_asked_for_by_name():
    """A Voc coefficient of 1.5 %/K is read, but belongs to no curve: only that one has to be looked up again."""
    found = finding(kinds(2, 1, voc_coefficient="-1.5 %/degC"), UNLIKE, "strings")

    assert (found.verdict, found.reason) == ("needs input", "no-curve")
    assert {path.rpartition(".")[2] for path in found.needs} == {"voc_coefficient"}


# Equipment grounding conductor (Table 250.122, 690.45).


@pytest.mark.parametrize(
    ("breaker", "conductor", "verdict", "least"),
    [
        ("15 A", "14 AWG", "holds", "14 AWG"),
        ("15.1 A", "14 AWG", "fails", "12 AWG"),
        ("20 A", "12 AWG", "holds", "12 AWG"),
        ("30 A", "10 AWG", "holds", "10 AWG"),  # EC&M Code Quiz 56: 30 A, 10 AWG
        ("30 A", "12 AWG", "fails", "10 AWG"),
        ("60 A", "10 AWG", "holds", "10 AWG"),
        ("60.1 A", "10 AWG", "fails", "8 AWG"),
        ("60.1 A", "8 AWG", "holds", "8 AWG"),
        ("100 A", "8 AWG", "holds", "8 AWG"),
        ("200 A", "6 AWG", "holds", "6 AWG"),
        ("400 A", "3 AWG", "holds", "3 AWG"),
        ("30 A", "6 mm2", "holds", "10 AWG"),  # 5.26 mm2 are wanted
        ("30 A", "4 mm2", "fails", "10 AWG"),
    ],
)
def test_grounding_conductor_by_the_breaker(breaker, conductor, verdict, least):
    """Its area against the least in the table; a plain yes or no."""
    changes = COMBINER | {"combiner.breaker": breaker, "grounding.conductor": conductor}
    found = finding(changes, GROUND, "grounding conductor")

    assert found.verdict == verdict
    assert found.unit == "mm2"
    assert assessed(changes).steps["ground_least"].result == least


@pytest.mark.parametrize(("strings", "least"), [(1, "14 AWG"), (2, "10 AWG"), (5, "8 AWG")])
def test_grounding_conductor_without_a_breaker(strings, least):
    """690.45 takes the device that 690.9(B) would ask for: 12.5 A is 15 A, 25 A is 25 A, 62.5 A is 70 A."""
    assert assessed({"array.strings_in_parallel": strings}).steps["ground_least"].result == least


def test_grounding_conductor_does_not_grow_with_a_run_made_larger_for_drop():
    """690.45: the same 10 AWG beside 70 mm2."""
    assert assessed({"run.home run.size": "70 mm2"}).steps["ground_least"].result == "10 AWG"


def test_grounding_conductor_has_to_be_given():
    """The least size is named all the same."""
    found = finding({"grounding": None}, GROUND, "grounding conductor")

    assert (found.verdict, found.needs) == ("needs input", ("grounding.conductor",))
    assert "ground_least" in found.steps


@pytest.mark.parametrize(
    "changes",
    [
        COMBINER | {"combiner.breaker": "401 A"},
        {"module.isc": "400 A", "module.imp": "7 A"},  # 1250 A of design current: no standard device
        {"module.isc": "150 A", "module.imp": "7 A"},  # 468.75 A: 500 A
    ],
)
def test_beyond_the_tables_no_grounding_conductor_is_passed(changes):
    """Table 250.122 as we have it ends at 400 A, the standard devices at 601 A."""
    found = finding(changes | {"grounding.conductor": "4/0 AWG"}, GROUND, "grounding conductor")

    assert found.verdict == "needs input"
    assert [one.code for one in found.remarks] == ["beyond-ground-table", "ground-unchecked"]
    assert (found.remarks[0].values["last"].number, found.remarks[0].values["last"].unit) == (400, "A")


def test_beyond_the_table_no_given_conductor_is_spoken_of_where_none_is_given():
    """What is the case is said all the same."""
    changes = COMBINER | {"combiner.breaker": "401 A", "grounding": None}

    assert [one.code for one in finding(changes, GROUND, "grounding conductor").remarks] == [
        "beyond-ground-table"
    ]
