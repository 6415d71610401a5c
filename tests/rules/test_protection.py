"""Rules of string fuses and reverse current, each at its limit, just inside and just outside, by NEC 690.9.

The sums are worked out by hand from the round numbers of designs.py: another string counts 1.25 x 8 A = 10 A.
"""

import pytest

from tests.rules.designs import assessed, finding, findings, numbers

NEEDED, SIZE, REVERSE = "string-fuse-needed", "string-fuse-size", "reverse-current"
MODULES, CURRENT = "fuse of the string, for its modules", "fuse of the string, for its current"
THREE = {"array.strings_in_parallel": 3}
NOT_NAMED = {"array.string_fuse": None}


# Needed or not: what the others can push against the module's maximum series fuse.


@pytest.mark.parametrize(
    ("strings", "isc", "series_fuse", "fuse", "verdict", "reason"),
    [
        (2, "8 A", "20 A", "none", "holds", "fuses-not-needed"),  # 10 A
        (3, "8 A", "20 A", "none", "holds", "fuses-not-needed"),  # 20 A: equal is inside
        (3, "8.001 A", "20 A", "none", "fails", "fuses-needed"),  # 20.0025 A
        (3, "8 A", "19.99 A", "none", "fails", "fuses-needed"),
        (3, "8 A", "19.99 A", "15 A", "holds", "fuses-needed"),
        (2, "8 A", "20 A", "15 A", "holds", "fuses-not-needed"),  # not needed, still may be fitted
        (6, "1.12 A", "7 A", "none", "holds", "fuses-not-needed"),  # 5 x 1.4 A, a hair more in binary
        (3, "5 A", "15 A", "none", "holds", "fuses-not-needed"),  # WE-12: 12.5 A against 15 A
        (3, "8.8 A", "15 A", "none", "fails", "fuses-needed"),  # WE-13b: 22 A against 15 A
    ],
)
def test_whether_each_string_needs_a_fuse(strings, isc, series_fuse, fuse, verdict, reason):
    """Needed as soon as the other strings can push more than the module may carry."""
    changes = {
        "array.strings_in_parallel": strings,
        "module.isc": isc,
        "module.imp": "1 A",
        "module.max_series_fuse": series_fuse,
        "array.string_fuse": fuse,
    }
    found = finding(changes, NEEDED, "string")

    assert (found.verdict, found.reason) == (verdict, reason)
    assert (found.harm, found.sense) == ("damage", "at least")
    assert assessed(changes).steps["string_fuse_needed"].result is (reason == "fuses-needed")


def test_both_ways_of_counting_are_shown():
    """Three strings: 2 x 1.25 x 8 = 20 A as the code counts, 2 x 8 = 16 A as the IEC does; fuse window 12 to 19.2 A."""
    found = assessed(THREE)

    assert found.steps["reverse_current_string_A"].result == pytest.approx(20)
    assert found.steps["reverse_current_iec_string_A"].result == pytest.approx(16)
    assert found.steps["string_fuse_window_low_A"].result == pytest.approx(12)
    assert found.steps["string_fuse_window_high_A"].result == pytest.approx(19.2)
    (answer,) = (one for one in found.findings if one.id == NEEDED)
    assert {"reverse_current_string_A", "reverse_current_iec_string_A"} <= set(answer.steps)


@pytest.mark.parametrize(
    ("changes", "chosen"),
    [
        (THREE | NOT_NAMED | {"module.max_series_fuse": "15 A"}, 15),  # 12.5 A: the next standard size
        (
            THREE | NOT_NAMED | {"module.max_series_fuse": "15 A", "module.isc": "9.6 A"},
            15,
        ),  # 15 A: just that
        (THREE | NOT_NAMED | {"module.max_series_fuse": "15 A", "module.isc": "9.61 A"}, 20),
        (THREE | NOT_NAMED | {"module.max_series_fuse": "5 A", "module.isc": "3 A", "module.imp": "2 A"}, 6),
        (NOT_NAMED, None),
    ],
)
def test_a_fuse_that_nobody_named_is_the_least_standard_size(changes, chosen):
    """NEC 240.6(A): taken only where one is needed, and noted as an assumption."""
    found = assessed(changes)
    step = found.steps.get("string_fuse_A")

    assert (step and step.result) == chosen
    assert ("array.string_fuse" in {one.path for one in found.assumptions}) is (chosen is not None)


def test_beyond_the_largest_device_no_fuse_is_chosen():
    """1.5625 x 400 A = 625 A: fuses are needed, and there is no standard one; that fails and is not passed over."""
    found = assessed(THREE | NOT_NAMED | {"module.isc": "400 A", "module.imp": "7 A"})

    assert "string_fuse_least_A" not in found.steps
    assert [one.verdict for one in found.findings if one.id == NEEDED] == ["fails"]


@pytest.mark.parametrize("name", [NEEDED, REVERSE])
def test_fuse_question_needs_the_modules_limit(name):
    """Two strings or more, and nobody said what the module may carry backwards."""
    found = finding({"module.max_series_fuse": None}, name, "string")

    assert (found.verdict, found.needs) == ("needs input", ("module.max_series_fuse",))


@pytest.mark.parametrize("name", [NEEDED, REVERSE])
@pytest.mark.parametrize("fuse", ["none", None])
def test_one_string_alone_cannot_be_fed(name, fuse):
    """No other string, and a controller that lets nothing back; the module's limit is not even asked for."""
    changes = {"array.strings_in_parallel": 1, "module.max_series_fuse": None, "array.string_fuse": fuse}
    found = finding(changes, name, "string")

    assert (found.verdict, found.reason) == ("does not apply", "one-string")


def test_one_kind_of_string_without_a_number_counts_as_one_string():
    """A lone [[string]] table that does not say how many there are."""
    changes = {"array": {"string_fuse": "none"}, "string": [{"modules_in_series": 2}]}

    assert finding(changes, NEEDED, "string").reason == "one-string"
    assert assessed(changes).steps["string_fuse_needed"].result is False


# A battery that the controller does not hold back is a further source, limited by the array breaker.


FED = {"controller.blocks_reverse": False, "combiner": {"breaker": "10 A"}}


@pytest.mark.parametrize(
    ("strings", "breaker", "reverse", "verdict"),
    [
        (
            2,
            "10 A",
            20.0,
            "holds",
        ),  # 10 A from the other string, 10 A from the battery: just the 20 A allowed
        (2, "10.1 A", 20.1, "fails"),
        (1, "20 A", 20.0, "holds"),
        (1, "20.1 A", 20.1, "fails"),
    ],
)
def test_a_battery_can_feed_a_faulted_string(strings, breaker, reverse, verdict):
    """690.9(A) speaks of all sources: strings and battery."""
    changes = {"array.strings_in_parallel": strings} | FED | {"combiner.breaker": breaker}

    assert assessed(changes).steps["reverse_current_string_A"].result == pytest.approx(reverse)
    assert finding(changes, NEEDED, "string").verdict == verdict
    assert finding(changes, REVERSE, "string").verdict == ("tight" if verdict == "holds" else "fails")


@pytest.mark.parametrize("strings", [1, 2])
@pytest.mark.parametrize("name", [NEEDED, REVERSE])
def test_without_a_breaker_a_batterys_feed_is_not_guessed(name, strings):
    """The breaker is what limits it."""
    changes = {"array.strings_in_parallel": strings, "controller.blocks_reverse": False}
    found = finding(changes, name, "string")

    assert (found.verdict, found.needs) == ("needs input", ("combiner.breaker",))


# Unlike strings: each is fed by all the others.


def two_kinds(**array):
    module = {"voc": "25 V", "vmp": "20 V", "imp": "5 A", "max_series_fuse": "16 A"}
    return {
        "module": None,
        "array": array,
        "string": [
            {"modules_in_series": 2, "module": module | {"isc": "8 A"}},
            {"modules_in_series": 2, "strings_in_parallel": 2, "module": module | {"isc": "6 A"}},
        ],
    }


def test_each_kind_of_string_is_fed_by_all_others():
    """Isc 8 + 6 + 6 = 20 A: into the first 1.25 x 12 = 15 A, into a second one 1.25 x 14 = 17.5 A."""
    found = findings(two_kinds(string_fuse="none"), REVERSE)

    assert numbers(found["string 1"]) == pytest.approx((15, 16, 1))
    assert numbers(found["string 2"]) == pytest.approx((17.5, 16, -1.5))
    assert [found[part].verdict for part in ("string 1", "string 2")] == ["holds", "fails"]
    assert finding(two_kinds(string_fuse="none"), NEEDED, "string").verdict == "fails"


def test_one_fuse_for_all_kinds_of_string_suits_the_largest():
    """12.5 A of design current asks for 15 A, 9.375 A for 10 A: 15 A is taken, and it suits both modules."""
    found = findings(two_kinds(), SIZE)

    assert {part: found[part].actual.number for part in found} == {
        "fuse of the string 1, for its current": 15,
        "fuse of the string 1, for its modules": 15,
        "fuse of the string 2, for its current": 15,
        "fuse of the string 2, for its modules": 15,
    }
    assert {one.verdict for one in found.values()} == {"holds"}


# Size: at least the design current (690.9(B)), at most the module's maximum series fuse, and what protects the wire.


@pytest.mark.parametrize(
    ("fuse", "for_current", "for_modules"),
    [
        ("12.5 A", "holds", "holds"),  # 1.5625 x 8 A
        ("12.49 A", "fails", "holds"),
        ("20 A", "holds", "holds"),
        ("20.01 A", "holds", "fails"),
    ],
)
def test_size_of_the_string_fuse(fuse, for_current, for_modules):
    """Between the string's design current and the module's limit, both included; never tight."""
    found = findings({"array.string_fuse": fuse}, SIZE)

    assert (found[CURRENT].verdict, found[MODULES].verdict) == (for_current, for_modules)
    assert found[CURRENT].limit.number == pytest.approx(12.5)
    assert found[MODULES].limit.number == 20


def test_where_no_standard_size_fits_it_fails():
    """1.5625 x 12 A = 18.75 A asks for 20 A, and the module allows 15 A."""
    changes = THREE | NOT_NAMED | {"module.isc": "12 A", "module.max_series_fuse": "15 A"}
    found = findings(changes, SIZE)

    assert (found[CURRENT].verdict, found[MODULES].verdict) == ("holds", "fails")
    assert numbers(found[MODULES]) == pytest.approx((20, 15, -5))


@pytest.mark.parametrize(
    ("changes", "verdict", "reason", "needs"),
    [
        ({}, "does not apply", "no-fuse", ()),
        (THREE | {"module.max_series_fuse": "15 A"}, "does not apply", "fuse-left-out", ()),
        ({"module.max_series_fuse": None}, "needs input", "", ("module.max_series_fuse",)),
        (NOT_NAMED | {"module.max_series_fuse": None}, "needs input", "", ("module.max_series_fuse",)),
    ],
)
def test_size_where_no_fuse_is_fitted(changes, verdict, reason, needs):
    """Not needed, left out though needed, or not yet known."""
    found = finding(changes, SIZE, "string fuse")

    assert (found.verdict, found.reason, found.needs) == (verdict, reason, needs)


def test_a_fuse_cannot_be_judged_against_a_module_that_says_nothing():
    """Its current can be, the module's limit cannot."""
    found = findings({"array.string_fuse": "15 A", "module.max_series_fuse": None}, SIZE)

    assert found[CURRENT].verdict == "holds"
    assert (found[MODULES].verdict, found[MODULES].needs) == ("needs input", ("module.max_series_fuse",))


@pytest.mark.parametrize(
    ("fuse", "ambient", "verdict"),
    [
        ("20 A", "30 degC", "holds"),
        ("20.01 A", "30 degC", "fails"),
        ("15 A", "70 degC", "holds"),
        ("20 A", "70 degC", "fails"),
    ],
)
def test_the_string_fuse_protects_the_strings_own_run(fuse, ambient, verdict):
    """240.4, 110.14(C): 14 AWG may carry 20 A at its terminals; at 70 degC 25 x 0.58 = 14.5 A, behind 15 A."""
    run = {"run.home run.carries": "string", "run.home run.size": "14 AWG", "run.home run.ambient": ambient}
    found = finding(run | {"array.string_fuse": fuse}, SIZE, "fuse of the string, for the home run")

    assert found.verdict == verdict


# Reverse current: what gets through, against module and wire.


@pytest.mark.parametrize(
    ("series_fuse", "verdict", "margin"),
    [
        ("10 A", "tight", 0.0),
        ("9.99 A", "fails", -0.01),
        ("10.52 A", "tight", 0.52),  # five percent of 10.52 A are 0.526 A
        ("10.53 A", "holds", 0.53),  # five percent of 10.53 A are 0.5265 A
        ("20 A", "holds", 10.0),
    ],
)
def test_reverse_current_without_a_fuse(series_fuse, verdict, margin):
    """One other string pushes 10 A."""
    found = finding({"module.max_series_fuse": series_fuse}, REVERSE, "string")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((10.0, float(series_fuse.split()[0]), margin))
    assert (found.sense, found.harm) == ("at most", "damage")


@pytest.mark.parametrize(
    ("fuse", "passed", "verdict"),
    [("15 A", 15.0, "holds"), ("15.01 A", 15.01, "fails"), ("10 A", 10.0, "holds"), ("60 A", 40.0, "fails")],
)
def test_reverse_current_through_a_fuse(fuse, passed, verdict):
    """Five strings push 40 A; the fuse lets its own rating through. Just the module's 15 A is usual: not tight."""
    changes = {"array.strings_in_parallel": 5, "module.max_series_fuse": "15 A", "array.string_fuse": fuse}
    found = finding(changes, REVERSE, "string")

    assert (found.verdict, found.actual.number) == (verdict, pytest.approx(passed))


@pytest.mark.parametrize(
    ("ambient", "limit", "verdict"),
    [("30 degC", 20.0, "holds"), ("80 degC", 10.25, "tight"), ("85 degC", 7.25, "fails")],
)
def test_reverse_current_against_the_strings_own_wire(ambient, limit, verdict):
    """14 AWG at 90 degC keeps 0.41 of 25 A at 80 degC, 0.29 at 85 degC; the module would bear 20 A."""
    run = {"run.home run.carries": "string", "run.home run.size": "14 AWG", "run.home run.ambient": ambient}
    found = finding(run, REVERSE, "string")

    assert (found.verdict, found.limit.number) == (verdict, pytest.approx(limit))
    assert assessed(run).steps["string_fuse_needed"].result is (verdict == "fails")
