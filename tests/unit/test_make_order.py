"""The order of work: nothing is joined before it is metered, the battery comes first and leaves last."""

import pytest

from calc.render.catalogue import load_words
from calc.render.make.text import as_order_text
from calc.render.make.view import order_view
from tests.unit.made import SCENARIOS, on_any, order, scenario, simple

WORDS = load_words()


def codes(tasks):
    return [task.code for task in tasks]


def acts(task):
    return [one.code for one in task.does]


def task(found, code):
    return next(one for one in (*found.up, *found.down) if one.code == code)


def assert_safe(found):
    """What must come before what, whatever the design."""
    up, down = codes(found.up), codes(found.down)
    before = [
        ("cover", "check"),
        ("check", "label"),
        ("label", "open"),
        ("open", "join"),
        ("join", "ground"),
        ("open", "run"),
        ("ground", "uncover"),
        ("run", "battery"),
        ("battery", "uncover"),
        ("battery", "close"),
        ("uncover", "meter"),
        ("meter", "fuses-in"),
        ("fuses-in", "close"),
        ("meter", "close"),
        ("close", "read"),
    ]
    for first, then in before:
        if first in up and then in up:
            assert up.index(first) < up.index(then), (first, then)
    assert {"cover", "check", "open", "ground", "battery", "uncover", "meter", "close"} <= set(up)
    assert down[0] == "down-open"
    assert down.index("down-clamp") < down.index("down-apart") < down.index("down-battery")
    assert down[-1] == "down-ground"


@on_any(60)
def test_order_is_safe_for_any_design(assessment):
    """Property over random designs: covers before leads, proof before joints, battery before array, array off first.

    Source for the order: common practice, as the project's brief names it; for covers and fuses a module safety page.
    """
    found = order(assessment)
    assert_safe(found)
    text = as_order_text(found)
    assert max(map(len, text.split("\n"))) <= 80
    assert as_order_text(found, ascii_only=True, system="metric").isascii()


def test_every_step_says_what_is_live_and_why_it_stands_there():
    """No step is without its reason, and none without what is live."""
    for path in SCENARIOS:
        view = order_view(order(scenario(path.stem)), WORDS)
        for one in (*view.up, *view.down):
            assert one.live
            assert one.why
            assert one.does
        assert [one.number for one in view.up] == list(range(1, len(view.up) + 1))


def test_fuses_stay_out_until_every_string_is_metered():
    """A fused design has the stop before joining and again before the fuses go in."""
    found = order(scenario("bee-yard"))
    assert "fuses-out" in acts(task(found, "open"))
    assert [one.code for one in task(found, "open").stops] == ["fuses-stay-out"]
    assert "fuses-after-all" in [one.code for one in task(found, "meter").stops]
    assert codes(found.up).index("meter") < codes(found.up).index("fuses-in")


def test_a_design_without_fuses_has_no_step_for_them():
    """Two strings without fuses: nothing is taken out or put in."""
    found = order(scenario("stock-water-pump"))
    assert "fuses-in" not in codes(found.up)
    assert "fuses-out" not in acts(task(found, "open"))
    assert "down-fuses" not in codes(found.down)


def test_polarity_check_gives_the_numbers():
    """Three modules of 22.4 V in series read 67.2 V in the standard light, more on the coldest morning."""
    assessment = scenario("stock-water-pump")
    (reading,) = task(order(assessment), "check").readings
    assert reading.stc_V == pytest.approx(3 * 22.4)
    assert reading.cold_V == assessment.steps["voc_cold_string_V"].result
    assert reading.hot_V < reading.stc_V < reading.cold_V


def test_unlike_strings_are_covered_before_a_fuse_goes_in():
    """Strings with unlike voltages feed each other as soon as they are joined in the light."""
    found = order(scenario("two-kinds"))
    unlike = [one for one in found.up if "cover-unlike" in acts(one)]
    assert bool(unlike) == ("fuses-in" in codes(found.up))
    assert "between" in [code for one in found.up for code in acts(one)]


def test_joining_names_every_coupler_with_what_it_carries():
    """Stage by stage: C1 takes S1 and S2, C2 takes C1 and S3."""
    does = [one for one in task(order(scenario("bee-yard")), "join").does if one.code == "coupler"]
    assert [one.values["inlets"].value for one in does] == ["S1, S2", "C1, S3", "C2, S4"]
    assert [one.values["current"].value for one in does] == pytest.approx([14.5, 21.75, 29.0])


@pytest.mark.parametrize(("parallel", "listed"), [(4, 3), (12, 4)])
def test_a_long_chain_is_not_listed_one_by_one(parallel, listed):
    """The first two and the last stand for many."""
    does = task(order(simple(1, parallel)), "join").does
    kinds = [one.code for one in does if one.code in ("coupler", "and-so-on")]
    assert len(kinds) == listed


def test_labels_carry_the_designs_own_figures():
    """Highest voltage and current as worked out: cold Voc of the string, 1.25 times Isc of the array."""
    assessment = scenario("high-tunnel")
    label = next(one for one in order(assessment).labels if one.code == "switch")
    said = {one.code: one.values for one in label.lines}
    assert said["max-voltage"]["voltage"].value == assessment.steps["voc_cold_string_V"].result
    assert said["max-current"]["current"].value == assessment.steps["current_max_array_A"].result
    assert label.standing == "from memory"


def test_labels_along_a_conduit_are_counted_from_its_length():
    """12 ft at most 10 ft apart: both ends and one between. Source: 690.31(D)(2), spacing of 10 ft, from memory."""
    label = next(one for one in order(scenario("bee-yard")).labels if one.code == "conductors")
    assert label.count == 3
    buried = order(scenario("stock-water-pump")).labels
    assert "conductors" not in [one.code for one in buried]
    unknown = order(simple(more='[[run]]\nname = "home run"\nrouting = "conduit"'))
    assert next(one for one in unknown.labels if one.code == "conductors").count is None


def test_cautions_name_the_touch_limit_and_the_licensed_person():
    """From 30 V up parts must be out of reach. Source: module safety page, 30 V DC."""
    high, low = order(scenario("stock-water-pump")), order(scenario("bee-yard"))
    assert "touch" in [one.code for one in high.cautions]
    assert "touch" not in [one.code for one in low.cautions]
    assert "licensed" in [one.code for one in low.cautions]


def test_a_failing_design_is_not_to_be_built():
    """Its first caution says so."""
    failing = next(path.stem for path in SCENARIOS if scenario(path.stem).verdict == "fails")
    assert order(scenario(failing)).cautions[0].code == "design-fails"
