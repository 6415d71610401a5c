"""What must hold between one design and the same design changed one way: colder, longer, thicker, one more."""

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.assess import assess
from calc.model.assessment import WORST_FIRST, Verdict
from calc.read.scenario import read_design, read_document
from calc.read.write import document_of, write_document
from calc.render.as_html import as_html
from calc.render.as_json import as_json
from calc.tables import load_book
from tests.contract.anydesign import documents, written
from tests.rules.designs import COMBINER, design

BOOK = load_book()
AWG = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
MM2 = ("2.5", "4", "6", "10", "16", "25", "35", "50", "70")
SMALL = settings(max_examples=60)
BAD_FIRST = {verdict: rank for rank, verdict in enumerate((Verdict.FAILS, Verdict.TIGHT, Verdict.HOLDS))}
RUN = "run.home run."

layouts = st.fixed_dictionaries(
    {"array.modules_in_series": st.integers(1, 12), "array.strings_in_parallel": st.integers(1, 12)}
)
celsius = st.integers(-500, 250).map(lambda tenths: tenths / 10)
coefficients = st.one_of(st.none(), st.integers(-60, 0).map(lambda number: f"{number / 100} %/degC"))


def steps(changes):
    return assess(design(changes), BOOK).steps


def answers(changes):
    return {(one.id, one.part): one for one in assess(design(changes), BOOK).findings}


def assert_no_worse(before, after):
    """No finding is worse than before, nor nearer to failing."""
    assert before.keys() == after.keys()
    for key, one in before.items():
        other = after[key]
        assert other.verdict in (one.verdict, Verdict.DOES_NOT_APPLY) or (
            BAD_FIRST[other.verdict] > BAD_FIRST[one.verdict]
        ), (key, one.verdict, other.verdict)
        if one.margin is not None and other.margin is not None:
            assert other.margin >= one.margin - 1e-9, key


def at(temperature):
    return {"site.coldest": f"{temperature} degC", "site.hottest": "60 degC"}


@SMALL
@given(layouts, st.tuples(celsius, celsius), coefficients)
def test_colder_never_lowers_the_cold_voltage(layout, two, coefficient):
    """By the coefficient, by the code's table, and where one gives way to the other at -40 degC."""
    colder, warmer = sorted(two)
    base = layout | {"module.voc_coefficient": coefficient}

    assert (
        steps(base | at(colder))["voc_cold_string_V"].result
        >= steps(base | at(warmer))["voc_cold_string_V"].result
    )


@SMALL
@given(st.integers(1, 30), celsius, coefficients)
def test_one_module_more_raises_the_cold_voltage(series, cold, coefficient):
    """And the hot one; and the controller's limit is reached sooner, at a warmer temperature."""
    base = at(cold) | {"module.voc_coefficient": coefficient}
    fewer, more = (steps(base | {"array.modules_in_series": number}) for number in (series, series + 1))

    assert more["voc_cold_string_V"].result > fewer["voc_cold_string_V"].result
    assert more["vmp_hot_string_V"].result > fewer["vmp_hot_string_V"].result
    if "cold_limit_degC" in fewer and "cold_limit_degC" in more:
        assert more["cold_limit_degC"].result >= fewer["cold_limit_degC"].result


@SMALL
@given(st.integers(1, 12), celsius)
def test_the_controllers_limit_is_reached_where_it_says(series, cold):
    """A limit of just the voltage at some temperature is reached at that temperature, whatever the site's."""
    limit = series * 25 * (1 + 0.0025 * (25 - cold))
    found = steps({"array.modules_in_series": series, "controller.max_voltage": f"{limit:.9f} V"} | at(-10))

    assert found["cold_limit_degC"].result == pytest.approx(cold, abs=1e-6)


@SMALL
@given(layouts, st.lists(st.integers(1, 5000), min_size=2, max_size=2), st.sampled_from(AWG))
def test_a_longer_run_never_raises_the_voltage_at_the_controller(layout, two, size):
    """Nor lowers the loss."""
    shorter, longer = (
        steps(layout | {RUN + "size": f"{size} AWG", RUN + "length": f"{length / 10} m"})
        for length in sorted(two)
    )

    assert longer["vmp_hot_at_controller_V"].result <= shorter["vmp_hot_at_controller_V"].result
    assert longer["loss_W"].result >= shorter["loss_W"].result
    assert longer["run.home run.ampacity_A"].result == shorter["run.home run.ampacity_A"].result


PLACES = st.fixed_dictionaries(
    {
        RUN + "material": st.sampled_from(("copper", "aluminium")),
        RUN + "insulation": st.sampled_from(("60 degC", "75 degC", "90 degC")),
        RUN + "routing": st.sampled_from(("free air", "conduit", "buried", "roof conduit")),
        RUN + "ambient": st.integers(-10, 80).map(lambda degrees: f"{degrees} degC"),
        RUN + "conductors_in_conduit": st.integers(2, 50),
        RUN + "terminals": st.sampled_from(("60 degC", "75 degC")),
        RUN + "conductor_temperature": st.sampled_from(("20 degC", "75 degC", "90 degC")),
    }
)
RUN_FINDINGS = ("run-ampacity", "run-terminal-temperature", "run-voltage-drop")


@pytest.mark.parametrize(
    ("system", "sizes"),
    [("AWG", AWG[1:]), ("mm2", MM2[3:])],  # where both metals are listed
)
@SMALL
@given(layouts, PLACES, st.data())
def test_a_larger_wire_never_worsens_a_runs_findings(system, sizes, layout, place, data):
    """Nor the voltage at the controller, whatever the metal, the way it is laid and the heat."""
    smaller, larger = sorted(data.draw(st.lists(st.integers(0, len(sizes) - 1), min_size=2, max_size=2)))
    base = layout | place
    thin, thick = (answers(base | {RUN + "size": f"{sizes[place]} {system}"}) for place in (smaller, larger))

    assert {key for key in thin if key[0] in RUN_FINDINGS}
    assert_no_worse(thin, thick)


@SMALL
@given(layouts, PLACES, st.integers(0, 40), st.integers(0, 40))
def test_warmer_air_never_raises_an_ampacity(layout, place, degrees, more):
    """Nor do more wires beside it."""
    base = layout | place
    cool, warm = (
        steps(base | {RUN + "ambient": f"{degrees + extra} degC"})["run.home run.ampacity_A"].result
        for extra in (0, more)
    )
    few, many = (
        steps(base | {RUN + "conductors_in_conduit": number})["run.home run.ampacity_A"].result
        for number in (2, 2 + more)
    )

    assert warm <= cool
    assert many <= few


@SMALL
@given(layouts, PLACES)
def test_the_least_size_is_enough_and_the_one_below_is_not(layout, place):
    """With the least size of a run its ampacity and terminals do not fail; with the next smaller one some do."""
    found = steps(layout | place).get("run.home run.size_least")
    assume(found is not None)
    names = AWG if place[RUN + "material"] == "copper" else AWG[1:]
    least = names.index(found.result.removesuffix(" AWG"))

    def fails(size):
        now = answers(layout | place | {RUN + "size": f"{size} AWG"})
        return any(one.verdict is Verdict.FAILS for key, one in now.items() if key[0] in RUN_FINDINGS[:2])

    assert not fails(names[least])
    assert least == 0 or fails(names[least - 1])


@SMALL
@given(layouts, st.integers(1, 12), st.integers(500, 1500))
def test_more_strings_never_lower_a_current(layout, more, isc):
    """Into the controller, through the couplers, back into a faulted string, or down the run."""
    base = layout | {"module.isc": f"{isc / 100} A", "module.imp": f"{isc / 100 * 0.9:.3f} A"}
    count = layout["array.strings_in_parallel"]
    few, many = (steps(base | {"array.strings_in_parallel": number}) for number in (count, count + more))

    for key in (
        "isc_array_A",
        "current_max_array_A",
        "current_design_array_A",
        "reverse_current_string_A",
        "drop_V",
    ):
        assert many[key].result > few[key].result
    assert many["string_fuse_needed"].result or not few["string_fuse_needed"].result
    assert many["current_max_array_A"].result == pytest.approx((count + more) * 1.25 * isc / 100)


@SMALL
@given(layouts)
def test_power_and_current_add_up(layout):
    """Power is modules times one module's; the last coupler carries the whole array."""
    found = steps(layout)
    modules = layout["array.modules_in_series"] * layout["array.strings_in_parallel"]
    last = [step.result for step in found.values() if step.symbol == "current"]

    assert found["power_stc_W"].result == pytest.approx(150 * modules)
    assert not last or last[-1] == pytest.approx(found["current_max_array_A"].result)
    assert last == sorted(last)


@SMALL
@given(layouts)
def test_alike_strings_written_out_are_the_same_array(layout):
    """[array] with counts, and one [[string]] with the same counts, give the same quantities."""
    series, strings = layout["array.modules_in_series"], layout["array.strings_in_parallel"]
    written_out = {
        "array": {"mounting": "open rack", "joining": "couplers", "string_fuse": "none"},
        "string": [{"modules_in_series": series, "strings_in_parallel": strings}],
    }
    one, other = steps(layout), steps(written_out)

    assert {key: step.result for key, step in one.items()} == {
        key: step.result for key, step in other.items()
    }


@SMALL
@given(layouts, st.floats(0, 50), st.floats(0, 50))
def test_a_wider_margin_only_turns_holds_into_tight(layout, narrow, wide):
    """What the owner calls tight changes no number and no failure."""
    names = ("voltage_max", "voltage_min", "current", "drop")
    low, high = sorted((round(narrow, 2), round(wide, 2)))
    few, many = (answers(layout | {"margins": dict.fromkeys(names, f"{share} %")}) for share in (low, high))

    for key, before in few.items():
        after = many[key]
        assert after.margin == before.margin
        if after.verdict != before.verdict:
            assert (before.verdict, after.verdict) == (Verdict.HOLDS, Verdict.TIGHT)
            assert WORST_FIRST.index(after.verdict) < WORST_FIRST.index(before.verdict)


LIMITS = {
    "controller.max_voltage": (100, "V"),
    "controller.max_input_current": (40, "A"),
    "controller.clipping_accepted": (0, "%"),
    "module.max_series_fuse": (20, "A"),
    "module.max_system_voltage": (600, "V"),
    "disconnect.rating": (40, "A"),
    "disconnect.voltage_rating": (150, "V"),
    RUN + "voltage_rating": (600, "V"),
    RUN + "max_drop": (3, "%"),
}
JOINED = (
    {"coupler.1.rating": (30, "A"), "coupler.1.voltage_rating": (600, "V")},
    {"combiner.circuits": 4, "combiner.bar_rating": (60, "A"), "combiner.voltage_rating": (150, "V")},
)
"""Every limit that a maker or an owner names. A rating that also lets more through to the parts behind it is none."""


def widened(limits, share, more):
    """Limits as text, each a share of what it is in the test's design, and then all of them looser."""
    texts = {}
    for path, limit in limits.items():
        if isinstance(limit, int):
            texts[path] = round(limit * (1 + more))
        else:
            texts[path] = (
                f"{min(limit[0] * share * (1 + more) + (limit[0] == 0) * more, 2000):.6f} {limit[1]}"
            )
    return texts


@SMALL
@given(layouts, st.booleans(), st.floats(0.5, 3), st.floats(0, 1))
def test_what_holds_still_holds_with_looser_limits(layout, combined, share, more):
    """Every limit named by a maker or the owner raised at once worsens no finding and takes no room away."""
    base = layout | at(-15) | {"site.hottest": "33.75 degC"} | (COMBINER if combined else {})
    limits = LIMITS | JOINED[combined]

    before, after = (answers(base | widened(limits, share, room)) for room in (0, more))

    assert_no_worse(before, after)


def turned(value):
    """The same tables with every line and table in the opposite order; lists keep theirs, which means something."""
    if isinstance(value, dict):
        return {key: turned(value[key]) for key in reversed(value)}
    return [turned(one) for one in value] if isinstance(value, list) else value


def as_typed(value):
    """The same tables as a form sends them: every value a text."""
    if isinstance(value, dict):
        return {key: as_typed(one) for key, one in value.items()}
    if isinstance(value, list):
        return [as_typed(one) for one in value]
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


@SMALL
@given(documents(most_strings=30))
def test_order_and_kind_of_text_change_no_number(document):
    """A file written backwards, the file that the core writes, and a form's texts are the same assessment, to the letter."""
    design_of_file = read_design(written(document))
    expected = as_json(assess(design_of_file, BOOK))

    for other in (
        read_design(written(turned(document))),
        read_design(write_document(document_of(design_of_file))),
        read_document(as_typed(document)),
    ):
        assert as_json(assess(other, BOOK)) == expected


@settings(max_examples=25)
@given(documents(most_strings=12))
def test_the_readers_units_change_no_number(document):
    """A report in metres tells of the same findings as one in feet, each with the same verdict."""
    found = assess(read_design(written(document)), BOOK)

    us, metric = (
        re.findall(r'class="finding (is-\w+)"', as_html(found, system)["findings"])
        for system in ("us", "metric")
    )

    assert us == metric
    assert len(us) >= len(found.findings)
