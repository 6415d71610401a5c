"""Layouts: which are tried, what stands in their columns, how they are ranked, and what readers are told."""

import json
import random
import re
from itertools import combinations

import pytest

from calc.assess import assess
from calc.model.assessment import Verdict
from calc.model.layouts import AXES, COLUMNS
from calc.plan.again import Again
from calc.plan.day import day_of
from calc.plan.faults import faults_of
from calc.plan.layouts import MOST_LAYOUTS, Known, Trial, layouts_of
from calc.plan.limits import limits_of
from calc.plan.ranking import ranked
from calc.plan.searching import failing, joined
from calc.plan.sensitivity import sensitivity_of
from calc.plan.sizing import Sizing, breaks, sized, sizes_for
from calc.read.scenario import read_design
from calc.render.catalogue import load_words
from calc.render.drawings.tradeoff import tradeoff_drawing
from calc.render.layouts.plain import as_layouts_json
from calc.render.layouts.section import as_layouts_html, as_limits_html
from calc.render.layouts.sentences import state, summary
from calc.render.layouts.text import as_layouts_text
from tests.contract.scenes import ROOT
from tests.rules.designs import book, design

WORDS = load_words()
SUNNY = {"site.latitude": "44 deg"}
SMALL = """
[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"

[array]
modules_in_series = 2
strings_in_parallel = 3
"""


def scenario(name):
    """A design of the folder of scenarios."""
    return read_design((ROOT / "scenarios" / f"{name}.toml").read_text("utf-8"))


def of(series, parallel, **changes):
    """The bench design with so many modules."""
    counts = {"array.modules_in_series": series, "array.strings_in_parallel": parallel}
    return design({**SUNNY, **counts, **changes})


def shapes(report):
    return [(one.series, one.parallel) for one in report.layouts]


@pytest.fixture(scope="module")
def tunnel():
    """A worked design of eight modules, as ranked."""
    return layouts_of(scenario("examples/high-tunnel"), book())


# Which layouts.


@pytest.mark.parametrize(("modules", "ways"), [(1, 1), (4, 3), (7, 2), (24, 8), (60, 12), (199, 2)])
def test_there_are_as_many_layouts_as_the_number_of_modules_has_divisors(modules, ways):
    """The number of divisors: OEIS A000005, from memory."""
    found = shapes(layouts_of(of(1, modules), book(), leave_out=0))

    assert len(found) == len(set(found)) == ways
    assert all(series * parallel == modules for series, parallel in found)


def test_modules_may_be_left_out():
    """Every rectangle of six or of five modules, and how many each leaves out."""
    report = layouts_of(of(2, 3), book(), leave_out=1)

    assert set(shapes(report)) == {(1, 6), (2, 3), (3, 2), (6, 1), (1, 5), (5, 1)}
    assert {(one.series, one.parallel): one.left_out for one in report.layouts}[5, 1] == 1
    assert report.asked


def test_modules_are_left_out_by_themselves_only_where_nothing_else_holds():
    """Five modules of 27.5 V when cold do not suit 100 V in one string, nor 30 A in five; four of them do."""
    report = layouts_of(of(5, 1), book())

    assert report.left_out == 1
    assert report.layouts[0].left_out == 1
    assert not report.asked
    assert layouts_of(of(2, 2), book()).left_out == 0


def test_there_is_an_end_to_it():
    """Of very many layouts the rest is counted, and the design's own is among those tried."""
    report = layouts_of(of(10, 12), book(), leave_out=40)

    assert len(report.layouts) == MOST_LAYOUTS
    assert report.left_off > 0
    assert report.own.series == 10
    assert WORDS("layouts.says.left-off", number=report.left_off) in summary(report, WORDS)


def test_unlike_strings_have_their_own_layout_only():
    """Nobody can say what else to do with them."""
    report = layouts_of(scenario("gallery/two-kinds"), book())

    assert shapes(report) == [(0, 0)]
    assert report.reason is None


def test_layouts_come_one_by_one_for_whoever_shows_them_as_they_come():
    """The design's own first; the same that are ranked later."""
    own = of(2, 2)
    trial = Trial(own, book())
    seen = [trial.report() for _ in trial.in_turn()]

    assert shapes(seen[0]) == [(2, 2)]
    assert [len(one.layouts) for one in seen] == [1, 2, 3, 3, 3]
    assert [one.unfinished for one in seen] == [(1, 5), (2, 5), (3, 5), (4, 5), None]
    assert seen[2].own.columns["begins"] is None
    assert seen[-1] == layouts_of(own, book())


@pytest.mark.parametrize("name", ["examples/high-tunnel", "gallery/two-kinds", "gallery/no-curve"])
def test_what_is_known_already_changes_nothing(name):
    """Its check, its day and its faults are used again, not worked out in another way."""
    own = scenario(name)
    known = Known(Again(own, book()), day_of(own, book(), year=False), faults_of(own, book()))

    assert layouts_of(own, book(), known=known) == layouts_of(own, book())


# What stands in the columns.


def test_every_layout_has_the_verdict_of_the_whole_check(tunnel):
    """The same as a design file with these counts has."""
    for one in tunnel.layouts:
        path = {"array.modules_in_series": one.series, "array.strings_in_parallel": one.parallel}
        other = assess(tunnel.design.changed(joined(tuple(path.values()))), book())

        assert one.verdict is other.verdict
        assert one.failing == failing(other)
        assert one.figures["voc_cold_string_V"] == pytest.approx(other.steps["voc_cold_string_V"].result)


@pytest.mark.parametrize("name", ["examples/high-tunnel", "gallery/metric", "gallery/aluminium"])
def test_no_thinner_wire_does(name):
    """Every size of the table, tried one by one: all that are thinner fail, the one named and all thicker pass."""
    asked = scenario(name)
    sizing = Sizing(Again(asked, book()))
    for run in asked.runs:
        passed = [
            size
            for size in sizes_for(asked, book(), run)
            if not any(breaks(one, run) for one in assess(asked.changed(sized({run: size})), book()).findings)
        ]

        assert sizing.own(run) == (passed[0] if passed else None)
        assert not passed or passed == list(sizes_for(asked, book(), run)[-len(passed) :])


@pytest.mark.parametrize("name", ["gallery/metric", "gallery/battery-run", "gallery/aluminium"])
def test_runs_sized_at_once_have_the_sizes_they_have_alone(name):
    """None of them had to go up for the voltage at the controller, and with these sizes nothing fails."""
    asked = scenario(name)
    sizing = Sizing(Again(asked, book()))
    together = sizing.every()

    assert together == {run: sizing.own(run) for run in asked.runs}
    assert not failing(sizing.with_sizes(together))


def test_the_wire_needed_by_hand():
    """2 × 10 m × 15 A ÷ (3 % of 32 V) allows 3.2 ohm/km: 10 mm2 (1.95) does and 6 mm2 (3.39) does not (IEC 60228)."""
    own = layouts_of(of(2, 2), book()).own
    (wire,) = own.wires

    assert wire.size == "10 mm2"
    assert wire.metres == 20
    assert own.columns["copper"] == 200
    assert own.columns["loss"] == pytest.approx(15**2 * 20 * 1.95e-3)


def test_hour_and_energy_are_those_of_the_day(tunnel):
    """As the day tells them of the same layouts."""
    days = {(one.series, one.parallel): one for one in day_of(tunnel.design, book(), year=False).layouts}
    for one in tunnel.layouts:
        (shortest,) = (day for day in days[one.series, one.parallel].days if day.day == "shortest")

        assert one.columns["begins"] == shortest.begins_h
        assert one.columns["energy"] == shortest.energy_Wh
        assert one.charges == (shortest.begins_h is not None)


def test_what_one_fault_leaves_is_the_least_of_its_cases(tunnel):
    """Of a module that is open or shorted, and a blown fuse, as the faults tell them."""
    kinds = ("open-module", "shorted-module", "shorted-group", "blown-fuse")
    layouts = {(one.series, one.parallel): one for one in faults_of(tunnel.design, book()).layouts}
    for one in tunnel.layouts:
        cases = layouts[one.series, one.parallel].cases
        left = [case.left.share for case in cases if case.kind in kinds and case.left.share is not None]

        assert one.columns["fault"] == (min(left) if left else None)


def test_of_several_strings_one_open_module_costs_one_string(tunnel):
    """Kirchhoff's current law: of two strings one is left, of four three; the wire's smaller loss adds a little."""
    fault = {(one.series, one.parallel): one.columns["fault"] for one in tunnel.layouts}

    assert fault[4, 2] == pytest.approx(1 / 2, abs=0.01)
    assert fault[2, 4] == pytest.approx(3 / 4, abs=0.01)
    assert fault[8, 1] == 0


def test_parts_are_those_in_which_layouts_differ():
    """Three strings: three fuses once they are called for, and two couplers on each pole."""
    changes = {"module.max_series_fuse": "15 A", "array.string_fuse": None}
    parts = {
        (one.series, one.parallel): one.columns["parts"]
        for one in layouts_of(of(1, 3, **changes), book()).layouts
    }

    assert parts[1, 3] == 3 + 2 * 2
    assert parts[3, 1] == 0


def test_prices_make_cost_decide():
    """The price of one metre of the size needed, times the metres out and back."""
    prices = {"10 mm2": 2.5}
    own = layouts_of(of(2, 2), book(), prices=prices).own

    assert own.columns["cost"] == 50
    assert layouts_of(of(2, 2), book()).own.columns["cost"] is None


def test_thin_wire_is_told_apart_from_a_wrong_layout():
    """The bench design holds with 10 mm2; with 4 mm2 it fails, but only for its wire."""
    own = layouts_of(of(2, 2, **{"run.home run.size": "4 mm2"}), book()).own

    assert own.verdict is Verdict.FAILS
    assert own.with_wire is not Verdict.FAILS
    assert state(own) == "wire"
    assert own.columns["failing"] == 0


# The order.


def test_the_order_does_not_depend_on_how_layouts_come(tunnel):
    """Shuffled a hundred times."""
    mixed = list(tunnel.layouts)
    for seed in range(100):
        random.Random(seed).shuffle(mixed)

        assert ranked(mixed) == tunnel.layouts


def test_the_same_design_gives_the_same_bytes(tunnel):
    """Worked out twice."""
    assert as_layouts_json(tunnel) == as_layouts_json(layouts_of(tunnel.design, book()))


def test_the_order_does_not_depend_on_units():
    """The same design said in feet, degrees Fahrenheit and millivolts."""
    other = {
        "run.home run.length": "32.80839895 ft",
        "site.coldest": "5 degF",
        "module.voc_coefficient": "-62.5 mV/degC",
    }
    here, there = layouts_of(of(2, 6), book()), layouts_of(of(2, 6, **other), book())

    assert shapes(here) == shapes(there)
    assert [one.verdict for one in here.layouts] == [one.verdict for one in there.layouts]


def test_the_order_does_not_depend_on_the_layout_in_the_file():
    """The same modules, first written as 2 × 6 and then as 6 × 2."""
    assert shapes(layouts_of(of(2, 6), book())) == shapes(layouts_of(of(6, 2), book()))


def test_each_column_counts_only_where_all_before_it_are_equal(tunnel):
    """Neighbours in the order differ first in a column in which the one before is better."""
    for first, second in zip(tunnel.layouts, tunnel.layouts[1:], strict=False):
        for column in COLUMNS:
            here, there = first.columns[column.code], second.columns[column.code]
            if here != there:
                assert here is not None
                assert there is None or (here < there) == (column.better == "less")
                break


def test_nothing_that_fails_comes_before_what_holds(tunnel):
    """Whatever else it has to offer."""
    fails = [state(one) == "fails" for one in tunnel.layouts]

    assert fails == sorted(fails)


def test_the_reason_names_the_column_and_what_the_second_does_better(tunnel):
    """Four in series need less metal; two in series lose less by one open module."""
    assert shapes(tunnel)[:2] == [(4, 2), (2, 4)]
    assert tunnel.reason.by == "copper"
    assert tunnel.reason.better == ("fault",)
    said = " ".join(summary(tunnel, WORDS))
    assert "less metal" in said
    assert "power left after one fault" in said


def test_what_fails_everywhere_is_said():
    """A device on the battery side that is too small has nothing to do with the layout."""
    report = layouts_of(of(2, 2, **{"battery.device": "10 A"}), book())

    assert ("battery-side-device", "battery") in report.everywhere


# Missing input, and readers.


def test_the_smallest_file_gets_an_answer_and_a_list_of_what_is_missing():
    """Four values and two counts: no traceback, empty columns, and the fields that would fill them."""
    report = layouts_of(read_design(SMALL), book())

    assert len(report.layouts) == 4
    assert "site.latitude" in report.day_needs
    assert all(one.columns["copper"] is None for one in report.layouts)
    assert "latitude" in as_layouts_text(report)


def test_a_module_without_a_curve_is_said_to_have_none():
    """Voltages and currents are still checked, though neither an hour nor what faults leave can be worked out."""
    known = design(SUNNY).values
    given = {path: known[path] for path in known if path.startswith(("battery.", "controller.", "site."))}
    report = layouts_of(scenario("gallery/no-curve").changed(given), book())

    assert report.no_curve
    assert not report.day_needs
    assert all(one.columns["energy"] is None for one in report.layouts)
    assert WORDS("day.reason.no-curve") in summary(report, WORDS)


@pytest.mark.parametrize("path", sorted((ROOT / "scenarios").glob("*/*.toml")), ids=lambda path: path.stem)
def test_every_scenario_can_be_told(path):
    """As text within 80 columns, as JSON, and as two sections."""
    asked = read_design(path.read_text("utf-8"))
    report, limits, moves = (work(asked, book()) for work in (layouts_of, limits_of, sensitivity_of))

    for system, plain in (("us", False), ("metric", True)):
        text = as_layouts_text(report, limits, moves, path.stem, system=system, ascii_only=plain)
        assert max(map(len, text.split("\n"))) <= 80
        assert not plain or text.isascii()
    assert json.loads(as_layouts_json(report, limits, moves))["schema"] == "arraybook/layouts/1"
    assert 'id="report-layouts"' in as_layouts_html(report)
    assert 'id="report-limits"' in as_limits_html(limits, moves, "metric")


# The drawing.

NAME_BOX = re.compile(
    r'<rect class="d-gap" x="([-\d.]+)" y="([-\d.]+)" width="([-\d.]+)" height="([-\d.]+)"/>'
)


def boxes(svg):
    found = [tuple(map(float, match)) for match in NAME_BOX.findall(svg)]
    return [(x, y, x + width, y + height) for x, y, width, height in found]


@pytest.mark.parametrize("out", [0, 3, 23])
def test_names_never_lie_on_each_other(out):
    """Not even those of 64 layouts; and none leaves the drawing."""
    figure = tradeoff_drawing(layouts_of(of(4, 6), book(), leave_out=out), WORDS)
    found = boxes(figure.svg)

    assert found
    assert all(box[0] >= 0 and box[2] <= 340 for box in found)
    for one, other in combinations(found, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart


def test_any_two_axes_can_be_picked_and_no_others(tunnel):
    """Each drawing has a mark and a row for every layout whose values are known."""
    for across in AXES:
        for up in AXES:
            figure = tradeoff_drawing(tunnel, WORDS, "metric", across=across, up=up)
            if "cost" in (across, up):
                assert figure is None
            else:
                assert len(figure.rows) == len(tunnel.layouts)
                assert figure.svg.count('<g class="d-point"') >= 2
    with pytest.raises(KeyError, match="wanted one of"):
        tradeoff_drawing(tunnel, WORDS, across="colour")


def test_what_fails_is_marked_by_shape_and_tells_why(tunnel):
    """A crossed square with the reason on hover; what holds is a disc."""
    svg = tradeoff_drawing(tunnel, WORDS, across="copper", up="cold").svg
    marks = re.findall(
        r'<g class="d-point" tabindex="0" role="img"><title>(.*?)</title>(.*?)<g class="d-why"', svg
    )

    assert len(marks) == len(tunnel.layouts)
    for title, drawn in marks:
        assert ("d-fails" in drawn) == ("fails" in title)


def test_one_layout_is_not_drawn_against_itself():
    """There is nothing to compare."""
    assert tradeoff_drawing(layouts_of(of(1, 1), book(), leave_out=0), WORDS) is None
