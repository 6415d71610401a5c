"""Drawings of curves: no words overlap, tables say the same, marks stand where controllers work."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from html import unescape
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from calc.model.curves import Along, Drop
from calc.plan.curves import curves_of
from calc.render import drawings
from calc.render.catalogue import load_words
from calc.render.drawings.along import along_drawing
from calc.render.drawings.iv import iv_drawing
from calc.render.drawings.plot import LEFT, RIGHT, SEEN, Plot, ceiling, plain, thinned, ticks, watts
from calc.render.drawings.shade import shade_drawing
from calc.render.faults import as_curves_html
from tests.contract.anydesign import documents, written
from tests.contract.scenes import NAMES
from tests.contract.scenes import design as scene
from tests.rules.designs import book, design, read_design
from tests.unit.test_drawings import assert_readable

WORDS = load_words()
STYLE = (Path(drawings.__file__).parent / "drawing.css").read_text("utf-8")
SPACE = "{http://www.w3.org/2000/svg}"
PARALLEL = {"array.modules_in_series": 1, "array.strings_in_parallel": 4}


@cache
def of_scene(name):
    return curves_of(scene(name), book())


def report(changes=None):
    return curves_of(design({"module.bypass_groups": 2} | (changes or {})), book())


def drawn(found, system="us"):
    """Every drawing that a report has."""
    every = (
        iv_drawing(found, WORDS, system),
        shade_drawing(found, WORDS, system),
        along_drawing(found.along, WORDS, system),
    )
    return [figure for figure in every if figure is not None]


def marks(svg, css):
    """Where marks of a class stand."""
    circles = ET.fromstring(svg).iter(SPACE + "circle")
    return [(float(one.get("cx")), float(one.get("cy"))) for one in circles if one.get("class") == css]


# All of them.


@pytest.mark.parametrize("name", NAMES)
def test_every_design_s_drawings_are_readable(name):
    """In no drawing of any design do words overlap or leave it; each says what it is and has its table."""
    for system in ("us", "metric"):
        for figure in drawn(of_scene(name), system):
            assert_readable(figure.svg)
            root = ET.fromstring(figure.svg)
            title, says = root.find(SPACE + "title"), root.find(SPACE + "desc")
            assert root.get("role") == "img"
            assert root.get("aria-labelledby").split() == [title.get("id"), says.get("id")]
            assert len(says.text) > 40
            assert figure.rows
            assert all(len(row) == len(figure.head) for row in figure.rows)


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@example(
    {
        "module": {"voc": "72.75 V", "isc": "397.84 A", "vmp": "70.77 V", "imp": "395.69 A"},
        "array": {"modules_in_series": 44, "strings_in_parallel": 64},
    }
)
@given(documents())
def test_any_design_s_drawings_are_readable(document):
    """Whatever can be read can be drawn, or says why not."""
    found = curves_of(read_design(written(document)), book())
    figures = drawn(found)

    for figure in figures:
        assert_readable(figure.svg)
        assert not re.search(r"nan|inf[^o]", figure.svg)
    assert bool(found.sweeps) == (not found.needs and not found.reason)


def test_lines_differ_by_more_than_colour():
    """Two curves in one drawing have two styles, of which one is dashed; the marks differ by being open or filled."""
    svg = shade_drawing(report(), WORDS).svg

    assert "d-room" in svg
    assert "d-dash" in svg
    assert (
        "stroke-dasharray" in re.search(r"\.d-dash \{[^}]*\}", STYLE)[0] or "d-dash { stroke-width" in STYLE
    )
    for css in set(re.findall(r'class="(d-[a-z-]+)"', svg)) - {"d-line", "d-ink", "d-curves"}:
        assert f".{css} " in STYLE, css


# Curves.


def test_curves_run_from_short_to_open_circuit():
    """Each sweep begins at open circuit and ends at no voltage, and its current never falls on the way."""
    for sweep in report().sweeps.values():
        volts, currents = zip(*sweep.points, strict=True)
        assert volts[0] == pytest.approx(sweep.open_V, abs=1e-6)
        assert sweep.points[-1] == (0.0, sweep.short_A)
        assert list(volts) == sorted(volts, reverse=True)
        assert all(later >= earlier - 1e-9 for earlier, later in pairwise(currents))


def test_cold_raises_the_voltage():
    """The cold curve reaches further than the hot one; its open end lies near the rules' straight line of 55 V."""
    found = report()

    assert found.sweeps["cold"].open_V > found.sweeps["hot"].open_V
    assert found.sweeps["cold"].open_V == pytest.approx(55.0, rel=0.01)
    assert found.sweeps["cold"].cell_degC == -15.0


@pytest.mark.parametrize("name", NAMES)
def test_marks_stand_on_the_curves(name):
    """Each filled mark lies where the controller works on a curve, once in each plot; an open one where it may stay."""
    found = of_scene(name)
    if not found.sweeps:
        assert drawn(found) == []
        return
    figure = iv_drawing(found, WORDS)
    working = [sweep for key, sweep in found.sweeps.items() if key != "shaded" and sweep.rest]

    assert len(marks(figure.svg, "d-node")) == 2 * len(working) + bool(working)  # one more in the legend
    after = shade_drawing(found, WORDS)
    stays = [found.sweeps[key] for key in ("hot", "shaded") if found.sweeps[key].first]
    assert len(marks(after.svg, "d-terminal")) == 2 * len(stays) + bool(stays)


def test_the_window_is_drawn_with_its_bounds():
    """What charging needs and the controller's limit stand in words, and what lies beyond them is hatched."""
    svg = iv_drawing(report(), WORDS).svg

    assert WORDS("curves.least", volts="29.8\u00a0V") in svg
    assert WORDS("curves.limit-far", volts="100\u00a0V") in svg
    near = iv_drawing(report({"controller.max_voltage": "60 V"}), WORDS).svg
    assert WORDS("curves.limit", volts="60\u00a0V") in near
    assert near.count("d-heavy") == 2
    assert near.count("d-hatch") > svg.count("d-hatch")


def test_no_bounds_are_drawn_where_none_are_known():
    """Without a battery and a limit there is nothing to hatch."""
    svg = iv_drawing(report({"battery": None, "controller.max_voltage": None}), WORDS).svg

    assert "d-hatch" not in svg


def test_the_table_says_what_the_drawing_shows():
    """Each quantity stands in the table for both curves, with its unit."""
    found = report()
    figure = iv_drawing(found, WORDS)
    rows = {row[0]: row[1:] for row in figure.rows}

    hot = found.sweeps["hot"]
    assert figure.head == ("Quantity", "Hot", "Cold")
    assert rows[WORDS("curves.table.peak")][0] == watts(hot.peaks[0][0] * hot.peaks[0][1])
    assert rows[WORDS("curves.table.cells")] == ("65\u00a0°C", "−15\u00a0°C")
    assert WORDS("curves.table.stays") not in rows


def test_a_controller_that_takes_nothing_is_told():
    """Where nothing charges, the table says so instead of a voltage, and there is no mark."""
    figure = iv_drawing(report(PARALLEL), WORDS)
    rows = {row[0]: row[1:] for row in figure.rows}

    assert rows[WORDS("curves.table.works")] == (WORDS("curves.table.not-at-all"),) * 2
    assert marks(figure.svg, "d-node") == []


def test_shade_is_drawn_where_it_leaves_two_peaks():
    """The case drawn is the first that leaves a tracker two places to rest at; both are told."""
    found = report({"array.modules_in_series": 4, "array.strings_in_parallel": 1})
    after = found.sweeps["shaded"]
    figure = shade_drawing(found, WORDS)

    assert len(after.peaks) == 2
    assert after.first is not None
    assert after.first.voltage_V > after.rest.voltage_V
    assert any(row[0] == WORDS("curves.table.stays") and row[2] for row in figure.rows)
    for volts, current in after.peaks:
        assert watts(volts * current) in unescape(figure.svg)


# The voltage on the way.


def test_the_stair_goes_down_by_what_each_takes():
    """The bench's string: 40 V on the label, 8 V taken by heat, 0.585 V by the run, 31.415 V left.

    Source: worked out by hand beside the design (20 V each, 0.5 %/K over 40 K, 0.039 ohm at 15 A).
    """
    along = report().along

    assert along.label_V == pytest.approx(40)
    assert [(drop.what, drop.taken_V) for drop in along.drops] == [
        ("heat", pytest.approx(8)),
        ("run", pytest.approx(0.585)),
    ]
    assert along.arrives_V == pytest.approx(31.415)
    assert along.needed_V == pytest.approx(29.8)
    figure = along_drawing(along, WORDS, "metric")
    assert figure.rows[2] == ("home run takes, 10\u00a0m one way", "0.585\u00a0V", "31.4\u00a0V")


def test_no_stair_without_a_known_run():
    """Where a run's drop is not known there is nothing to draw."""
    assert report({"run.home run.length": None}).along is None
    assert along_drawing(None, WORDS) is None


volts = st.floats(0.01, 2000)
names = st.text(alphabet="abc WM<&é", min_size=1, max_size=60).map(lambda text: f"run {text}".strip())


@given(
    volts,
    st.lists(st.tuples(names, st.floats(0, 1), st.none() | st.floats(0.1, 9000)), max_size=4),
    st.none() | volts,
)
@example(18.9, [("home run", 0.01, 3.6)], 14.7)
@example(18.9, [], 18.9)
def test_any_stair_is_readable(label, shares, needed):
    """Whatever takes voltage, words never overlap, and the stair stays beside them."""
    left, drops = label, [Drop("heat", "", None, 0.1 * label)]
    left -= drops[0].taken_V
    for name, share, length in shares:
        drops.append(Drop("run", name, length, share * left))
        left -= share * left
    figure = along_drawing(Along(label, tuple(drops), left, needed), WORDS)

    assert_readable(figure.svg)
    for x, _ in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", figure.svg):
        assert 0 <= float(x) <= 340


# Plots.


@given(st.floats(1e-6, 1e7), st.integers(3, 9))
def test_ticks_are_round_and_few(most, steps):
    """Ticks begin at 0, are at most so many steps, do not pass the end, and are 1, 2 or 5 times a power of ten."""
    found = ticks(most, steps)

    assert found[0] == 0
    assert 2 <= len(found) <= steps + 1
    assert found[-1] <= most * (1 + 1e-6)
    assert plain(found[1]).rstrip("kMmµ").replace(".", "").strip("0") in ("1", "2", "5")


def beside(start, end, place):
    """How far a place lies beside the line through two others; from the first where they are one."""
    line, way = complex(*end) - complex(*start), complex(*place) - complex(*start)
    return abs((way * line.conjugate()).imag) / abs(line) if line else abs(way)


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(0, 300)), max_size=30))
def test_thinned_curves_pass_every_place(places):
    """The first and last place stay, and none that is left out lies beside the line that is drawn."""
    places = [
        (across, up) for across, up in places
    ]  # each a thing of its own, so that equal ones can be told apart
    kept = thinned(places)

    assert kept[:1] == places[:1]
    assert kept[-1:] == places[-1:]
    stands = [next(k for k, place in enumerate(places) if place is one) for one in kept]
    assert stands == sorted(set(stands))
    for first, last in pairwise(stands):
        assert all(
            beside(places[first], places[last], one) <= SEEN * (1 + 1e-9) for one in places[first + 1 : last]
        )


@pytest.mark.parametrize(("far", "kept"), [(0.99, 2), (1.01, 3)])
@pytest.mark.parametrize("end", [(40.0, 0.0), (30.0, 40.0), (0.0, 0.0)])
def test_a_place_is_left_out_up_to_where_it_would_be_seen(end, far, kept):
    """Just inside what the eye sees a place goes, just outside it stays, whichever way the line runs."""
    line = complex(*end)
    aside = 1j * line / abs(line) if line else 1.0
    middle = line / 2 + aside * far * SEEN

    assert len(thinned([(0.0, 0.0), (middle.real, middle.imag), end])) == kept


def test_a_straight_line_needs_two_places():
    """Many places on one line are drawn as that line."""
    assert thinned([(k, 2 * k) for k in range(50)]) == [(0, 0), (49, 98)]
    assert thinned([(1, 1)]) == [(1, 1)]
    assert thinned([]) == []


@given(st.floats(0.01, 1e5), st.floats(0.01, 1e5), st.floats(-1, 3), st.floats(-1, 3))
def test_values_stand_inside_the_plot(across, up, one, other):
    """A value beyond an axis is cut off at its end."""
    plot = Plot(10, 100, across, up)

    assert LEFT <= plot.x(one * across) <= RIGHT
    assert 10 <= plot.y(other * up) <= 110


@pytest.mark.parametrize(
    ("value", "says"),
    [(0, "0"), (0.25, "0.25"), (9000, "9000"), (12000, "12k"), (2e6, "2M"), (0.005, "5m"), (2e-6, "2µ")],
)
def test_numbers_of_an_axis_are_short(value, says):
    """Thousands, millions and thousandths are written with their letter."""
    assert plain(value) == says


def test_an_axis_without_values_still_has_an_end():
    """In the dark an axis ends at 1."""
    assert ceiling([0.0]) == 1.0
    assert ticks(0.0, 5) == [0.0]


# The section.


def test_the_section_has_every_drawing_and_table():
    """Curves, shade and the way to the controller, each with its heading, its figure and its table."""
    page = as_curves_html(report())

    assert page.count("<svg") == page.count("<table") == 3
    for name in ("iv", "shade", "along"):
        assert WORDS(f"curves.{name}.title") in page


def test_the_section_says_what_is_missing():
    """Without the battery a PWM design has no curves to show; without a curve that fits it says why."""
    pwm = {"controller.kind": "pwm", "battery": None}

    assert "nominal voltage of the battery" in as_curves_html(report(pwm))
    assert WORDS("faults.reason-none.peak-too-low") in unescape(
        as_curves_html(report({"module.vmp": "12 V"}))
    )


def hot_remarks(changes):
    """What the section says of the rules' hot voltage beside the curve's: the curve's less the rules', V; the sides."""
    found = report(changes)
    volts, _ = max(found.sweeps["hot"].peaks, key=lambda peak: peak[0] * peak[1])
    page = unescape(as_curves_html(found))
    said = {side for side in ("below", "above") if f"{side} this curve" in page}
    return volts - found.along.arrives_V, said


def test_the_curve_follows_the_vmp_coefficient_when_hot():
    """With a Vmp coefficient the curve's highest power lies where the rules put it, to 1 %, and nothing is said."""
    apart, said = hot_remarks({"module.vmp_coefficient": "-0.42 %/degC"})

    assert abs(apart) < 0.3
    assert said == set()


def test_the_rules_hot_voltage_is_told_where_it_is_not_the_curve_s():
    """A sheet that gives the Pmax coefficient only, or one far from its Voc's, is told with the side it errs on."""
    only_power = {"module.vmp_coefficient": None, "module.isc_coefficient": "0.1 %/degC"}
    apart, said = hot_remarks(only_power | {"module.pmax_coefficient": "-0.50 %/degC"})
    assert apart > 0.3
    assert said == {"below"}

    mild = {"module.vmp_coefficient": "-0.1 %/degC", "module.pmax_coefficient": "-0.45 %/degC"}
    apart, said = hot_remarks(mild)
    assert apart < -0.3
    assert said == {"above"}
