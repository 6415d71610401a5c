"""What shade and single faults leave of whole designs: numbers, reasons, dangers, layouts, and how they are told."""

import json
import re
from functools import cache
from html import unescape
from string import Formatter

import pytest
from hypothesis import HealthCheck, example, given, settings

from calc.assess import assess
from calc.model.faults import HELD, JOINED, KINDS, NOTHING, PEAK
from calc.plan.faults import MOST_LAYOUTS, faults_of
from calc.plan.shapes import nearest_shapes
from calc.read.scenario import read_design
from calc.render.catalogue import load_words
from calc.render.faults import as_faults_html, as_faults_json, as_faults_text
from tests.contract.anydesign import documents, written
from tests.contract.scenes import NAMES
from tests.contract.scenes import design as scene
from tests.rules.designs import book, design

WORDS = load_words()
ALONE = {"array.modules_in_series": 4, "array.strings_in_parallel": 1}
SIDE_BY_SIDE = {
    "array.modules_in_series": 1,
    "array.strings_in_parallel": 4,
    "battery.nominal": "12 V",
    "battery.absorption": "14.4 V",
    "battery.lowest": "12 V",
    "module.bypass_groups": 2,
}
PWM = SIDE_BY_SIDE | {"controller.kind": "pwm"}


def report(changes=None):
    return faults_of(design({"module.bypass_groups": 2} | (changes or {})), book())


def case(changes, name):
    """One case of the design's own layout."""
    return next(one for one in report(changes).own.cases if one.id == name)


@cache
def of_scene(name):
    return faults_of(scene(name), book())


# Numbers.


@pytest.mark.parametrize("name", NAMES)
def test_every_case_stays_within_the_healthy_array(name):
    """In every layout of every design no case gives more than nothing wrong, and no first peak more than the best."""
    for layout in of_scene(name).layouts:
        ids = [one.id for one in layout.cases]
        assert len(ids) == len(set(ids))
        for one in layout.cases:
            assert one.kind in KINDS
            assert one.left.way in (PEAK, HELD, JOINED, NOTHING)
            assert (one.left.power_W == 0) == (one.left.way == NOTHING)
            assert one.stays is None or one.stays.power_W <= one.left.power_W
            if layout.series:
                assert 0 <= one.left.power_W <= layout.healthy.power_W * (1 + 1e-9)
            if one.left.share is not None:
                assert one.left.share == pytest.approx(one.left.power_W / layout.healthy.power_W)


def test_healthy_power_is_that_of_the_datasheet_at_its_own_temperature():
    """With cells at 25 degC and no wire the healthy array gives its label's 600 W.

    Source: definition of the datasheet's values (four modules of 20 V and 7.5 A).
    """
    cool = {"site.hottest": "25 degC", "module.noct": "20 degC", "run": None}
    healthy = report(cool).own.healthy

    assert healthy.power_W == pytest.approx(600, rel=1e-6)
    assert (healthy.voltage_V, healthy.current_A) == pytest.approx((40, 15), rel=1e-4)


def test_light_from_behind_counts():
    """A gain of a tenth lifts the currents and so the power."""
    gain = report({"module.rear_gain": "10 %"}).own.healthy.current_A

    assert gain == pytest.approx(1.1 * report().own.healthy.current_A, rel=0.01)


def test_an_assessment_is_used_again():
    """With the design's own assessment at hand the report is the same."""
    made = design({"module.bypass_groups": 2})

    assert faults_of(made, book(), assess(made, book())) == faults_of(made, book())


def test_shade_of_one_group_in_series_is_bypassed():
    """One of eight groups dark: an eighth of the power and a diode's drop are lost; the current stays.

    Common practice, no source.
    """
    found = case(ALONE, "shade-group-100")

    assert found.reason.code == "bypassed"
    assert found.light_lost == pytest.approx(1 / 8)
    assert found.left.share == pytest.approx(7 / 8, abs=0.02)
    assert found.reason.values["current"].number == pytest.approx(found.left.current_A)
    lost = report(ALONE).own.healthy.voltage_V - found.left.voltage_V
    assert found.reason.values["lost"].number == pytest.approx(lost, rel=0.02)


def test_in_parallel_only_the_shaded_branch_is_lost():
    """One of four modules side by side goes dark, then half dark: the other three give what they gave before.

    Common practice, no source.
    """
    low = {"battery.nominal": "12 V", "battery.absorption": "14.4 V", "battery.lowest": "12 V"}
    side = low | {"array.modules_in_series": 1, "array.strings_in_parallel": 4}
    dark, half = case(side, "shade-module-100"), case(side, "shade-module-50")

    assert dark.left.share == pytest.approx(3 / 4, abs=0.03)
    assert half.left.share == pytest.approx(7 / 8, abs=0.03)
    alone = low | ALONE
    assert case(alone, "shade-module-50").left.share < half.left.share


def test_light_shade_on_one_module_holds_the_current():
    """Where the diode would cost too much, the shaded cells set the current of all: here the saying is true."""
    alone = {"array.modules_in_series": 1, "array.strings_in_parallel": 1, "battery": None}
    found = case(alone, "shade-group-25")

    assert found.reason.code == "held"
    assert found.left.current_A < 0.85 * report(alone).own.healthy.current_A
    assert report(alone).sayings[0].true[:1] == ("shade-group-25",)


def test_shade_that_must_not_be_bypassed_is_told_so():
    """Where the higher peak lies below what charging needs, the reason says that."""
    found = case(
        {
            "array.modules_in_series": 1,
            "array.strings_in_parallel": 1,
            "battery.nominal": "12 V",
            "battery.absorption": "14 V",
            "battery.lowest": "12 V",
        },
        "shade-group-100",
    )

    assert found.reason.code in ("held-low", "too-low")
    assert found.left.way == NOTHING or found.left.voltage_V >= 15.0


def test_parallel_loses_the_whole_module_for_half_of_it():
    """Half of one module dark costs all of it, because the others hold a voltage that its other half does not reach."""
    found = case(SIDE_BY_SIDE, "shade-group-100")

    assert found.reason.code == "held-nothing-part"
    assert found.left.share == pytest.approx(0.75, abs=0.02)
    assert found.light_lost == pytest.approx(1 / 8)
    assert "shade-group-100" in report(SIDE_BY_SIDE).sayings[1].false
    assert "shade-module-100" in report(SIDE_BY_SIDE).sayings[1].true


def test_a_plain_controller_lets_the_battery_hold_the_voltage():
    """With PWM it is the battery that keeps a shaded module from giving, and the power is the battery's."""
    found = report(PWM)
    healthy = found.own.healthy

    assert not found.mppt
    assert healthy.way == JOINED
    assert healthy.voltage_V == pytest.approx(14.4 + 0.5)
    assert healthy.power_W == pytest.approx(14.4 * healthy.current_A)
    assert case(PWM, "shade-group-50").reason.values["holder"].value == "battery"


def test_a_peak_below_what_charging_needs_is_held_above_it():
    """Where the best point lies too low, the controller holds the least voltage, and a remark says so."""
    found = report({"battery.absorption": "34 V"}).own

    assert found.healthy.way == HELD
    assert found.healthy.voltage_V == pytest.approx(35.0)
    assert [remark.code for remark in found.remarks] == ["held"]


def test_where_the_healthy_array_gives_nothing_so_does_every_case():
    """A layout that does not charge loses nothing to shade; its faults are still dangerous."""
    found = report({"array.modules_in_series": 1, "array.strings_in_parallel": 4}).own

    assert found.healthy.power_W == 0
    assert {one.reason.code for one in found.cases} == {"nothing-before"}
    assert {one.left.share for one in found.cases} == {None}
    assert [remark.code for remark in found.remarks] == ["nothing"]
    assert next(one for one in found.cases if one.id == "reversed-string").cautions


def test_what_holds_for_every_case_is_said_once():
    """Why a layout that does not charge leaves nothing in any case stands above the cases, not in each of them."""
    found = report({"array.modules_in_series": 1, "array.strings_in_parallel": 4})

    for printed in (unescape(as_faults_html(found)), " ".join(as_faults_text(found).split())):
        assert printed.count("With nothing wrong this layout gives nothing either.") == 1


# Faults.


def test_an_open_module_costs_its_string():
    """One of two strings is out; the other gives half, a little more because the run loses less."""
    found = case(None, "open-module")

    assert found.reason.code == "string-out"
    assert 0.5 <= found.left.share < 0.53
    assert case(ALONE, "open-module").reason.code == "string-all"
    assert case(ALONE, "open-module").left.way == NOTHING


def test_a_shorted_module_in_one_string_costs_its_voltage():
    """A quarter of the voltage, and with it a quarter of the power."""
    found = case(ALONE, "shorted-module")

    assert found.reason.code == "shorter"
    assert found.left.share == pytest.approx(0.75, abs=0.01)
    assert case(ALONE, "shorted-group").left.share == pytest.approx(0.875, abs=0.01)


def test_a_shorted_module_in_parallel_shorts_all():
    """The other three push three times Isc through it; the rule's sum is 1.25 times as much."""
    found = case(SIDE_BY_SIDE | {"module.max_series_fuse": "20 A"}, "shorted-module")

    assert found.reason.code == "short-all"
    assert found.left.way == NOTHING
    assert found.reverse.curve_A == pytest.approx(3 * 8 * (1 + 0.0005 * 40), rel=1e-3)  # Isc at 65 degC
    assert found.reverse.rule_A == pytest.approx(1.25 * 3 * 8)
    assert [one.code for one in found.cautions] == ["short-current", "reverse-above"]


@pytest.mark.parametrize(
    ("fuse", "reason", "cautions"),
    [
        ("10 A", "fuse-opened", []),
        ("20 A", "short-all", ["short-current", "reverse-above", "fuse-may-hold"]),
        ("30 A", "short-all", ["short-current", "reverse-above"]),
    ],
)
def test_a_fuse_opens_only_when_it_is_sure_to(fuse, reason, cautions):
    """24.5 A open a fuse of 10 A for sure (14.5 A do), perhaps one of 20 A (29 A are needed), and never one of 30 A."""
    found = case(SIDE_BY_SIDE | {"array.string_fuse": fuse}, "shorted-module")

    assert found.reason.code == reason
    assert [one.code for one in found.cautions] == cautions
    assert found.left.share == pytest.approx(0.75 if reason == "fuse-opened" else 0.0, abs=0.02)


def test_a_reversed_string_is_dangerous():
    """Three strings drive 24.5 A through it, 16.3 A of them through its diodes, and hold the array at two drops."""
    found = case(SIDE_BY_SIDE, "reversed-string")

    assert found.reason.code == "reversed-string"
    assert found.reason.values["volts"].number == pytest.approx(2 * 0.5, abs=0.01)
    danger = found.cautions[0]
    assert danger.code == "reversed-string"
    assert danger.values["current"].number == pytest.approx(24.5, abs=0.1)
    assert danger.values["diodes"].number == pytest.approx(16.3, abs=0.1)


def test_two_strings_of_which_one_is_reversed_go_round():
    """Two alike strings cancel; their current goes from one to the other."""
    found = case(None, "reversed-string")

    assert found.left.way == NOTHING
    assert [one.code for one in found.cautions] == ["reversed-circling"]


def test_a_reversed_array_is_dangerous_to_its_controller():
    """With one string only, the controller sees the whole voltage with plus and minus exchanged."""
    found = case(ALONE, "reversed-string")

    assert found.reason.code == "reversed-array"
    assert [one.code for one in found.cautions] == ["reversed-array"]
    assert found.cautions[0].values["volts"].number == pytest.approx(
        4 * 25 * 0.9, rel=0.01
    )  # 40 K x 0.25 %/K


def test_a_reversed_module_costs_two_and_gets_hot():
    """It takes away its own voltage and as much again, and turns power into heat.

    Common practice, no source: a string of four with one reversed has the open voltage of two, and less at work.
    """
    low = ALONE | {"battery.nominal": "12 V", "battery.absorption": "14.4 V", "battery.lowest": "12 V"}
    found = case(low, "reversed-module")

    assert found.reason.code == "against"
    assert found.left.share < 0.5
    assert 0.35 < found.left.voltage_V / report(low).own.healthy.voltage_V < 0.5
    assert [one.code for one in found.cautions] == ["reversed-module"]
    assert found.cautions[0].values["power"].number > 100


def test_reverse_current_from_the_curves_stays_below_the_rule():
    """In every design of alike strings the curves push back no more than the rule counts, a battery apart."""
    for name in NAMES:
        for layout in of_scene(name).layouts:
            for one in layout.cases:
                fed = "battery-feeds" in [caution.code for caution in one.cautions]
                if one.reverse is not None and one.reverse.rule_A is not None and layout.series and not fed:
                    assert one.reverse.curve_A <= one.reverse.rule_A * (1 + 1e-9), (name, one.id)


def test_a_battery_that_feeds_back_is_told():
    """Where the controller does not block, the caution says so, and figures stay finite."""
    found = report(SIDE_BY_SIDE | {"controller.blocks_reverse": False})
    codes = {one.id: [caution.code for caution in one.cautions] for one in found.own.cases}

    assert "battery-feeds" in codes["shorted-module"]
    assert "battery-feeds" in codes["reversed-string"]
    assert json.loads(as_faults_json(found))


def test_couplers_cut_off_what_hangs_on_them():
    """The first of three two-to-one couplers joins two of four strings, the last one all."""
    first, last = (case(SIDE_BY_SIDE, f"open-coupler-{number}") for number in (1, 3))

    assert first.reason.code == "coupler-out"
    assert first.left.share == pytest.approx(0.5, abs=0.02)
    assert last.reason.code == "coupler-all"
    assert last.left.power_W == 0


def test_a_combiner_has_no_couplers():
    """Strings in a combiner have no coupler that could open; fitted fuses can."""
    combiner = {
        "array.joining": "combiner",
        "coupler": None,
        "array.string_fuse": "15 A",
        "combiner": {"circuits": 4, "breaker": "30 A"},
    }
    kinds = {one.kind for one in report(combiner).own.cases}

    assert "open-coupler" not in kinds
    assert "blown-fuse" in kinds


def test_a_controller_that_cannot_start_again_is_told():
    """With a shorted group the open-circuit voltage is enough to go on and not to start."""
    found = case({"controller.start_margin": "16 V"}, "shorted-group")

    assert "no-start" in [remark.code for remark in found.remarks]


# Layouts.


def test_every_rectangle_of_the_modules_is_shown():
    """Four modules can stand as 1 x 4, 2 x 2 and 4 x 1; the design's own is marked."""
    layouts = report().layouts

    assert [(one.series, one.parallel) for one in layouts] == [(1, 4), (2, 2), (4, 1)]
    assert [one.own for one in layouts] == [False, True, False]


def test_many_layouts_are_cut_to_the_nearest():
    """Sixty modules have twelve rectangles: eight are shown, the own one among them; counts stay within the file's."""
    assert len(nearest_shapes(6, 10, MOST_LAYOUTS)) == MOST_LAYOUTS
    assert (6, 10) in nearest_shapes(6, 10, MOST_LAYOUTS)
    assert nearest_shapes(1, 1, MOST_LAYOUTS) == [(1, 1)]
    assert (1, 400) not in nearest_shapes(2, 200, MOST_LAYOUTS)


def test_a_layout_too_high_for_the_controller_is_marked():
    """Four in series reach 110 V on the coldest morning, and the controller takes 100 V."""
    tall = report().layouts[-1]

    assert [one.code for one in tall.cautions] == ["too-high"]
    assert tall.cautions[0].values["volts"].number == pytest.approx(110)
    assert not report().own.cautions


def test_unlike_strings_are_looked_at_kind_by_kind():
    """Each kind has its own cases, and only the design's own layout is shown."""
    kinds = [{"modules_in_series": 2, "strings_in_parallel": 2}, {"modules_in_series": 3}]
    found = report({"array.modules_in_series": None, "array.strings_in_parallel": None, "string": kinds})

    assert len(found.layouts) == 1
    assert {one.string for one in found.own.cases} == {0, 1, 2}
    assert "string-2-shade-module-100" in [one.id for one in found.own.cases]


@pytest.mark.parametrize(
    ("module", "groups"),
    [({"cells": 36}, 2), ({"cells": 60}, 3), ({"cells": 72}, 3), ({"cells": 20}, 1), ({}, 2)],
    ids=str,
)
def test_groups_are_guessed_from_cells(module, groups):
    """At most 24 cells lie behind one diode; without cells they are guessed from Voc (25 V are some 40). It is told."""
    changes = {f"module.{name}": value for name, value in module.items()}
    found = report({"module.bypass_groups": None} | changes)

    assert found.values["groups"] == groups
    assert [one.value for one in found.assumptions if one.path == "module.bypass_groups"] == [str(groups)]


def test_a_module_of_one_group_has_no_case_of_a_group():
    """Then a shaded group is a shaded module; with three groups half a module is two of them."""
    one = [found.kind for found in report({"module.bypass_groups": 1}).own.cases]
    three = report({"module.bypass_groups": 3}).own.cases

    assert "shade-group" not in one
    assert "shorted-group" not in one
    half = next(found for found in three if found.kind == "shade-half")
    assert half.light_lost == pytest.approx(2 / 12)


# What is missing.


def test_a_plain_controller_needs_the_battery():
    """With PWM nothing can be said without the battery's voltage; the inputs to give are named."""
    found = report(PWM | {"battery": None})

    assert found.needs == ("battery.nominal", "battery.absorption")
    plain = json.loads(as_faults_json(found))
    assert (plain["verdict"], plain["controller"], plain["layouts"]) == ("needs input", "pwm", [])
    assert "nominal voltage of the battery" in plain["why"]
    assert plain["why"] in " ".join(as_faults_text(found).split())


def test_a_tracker_without_a_battery_is_held_to_nothing():
    """Then the peaks themselves count, and the report says that no least voltage was asked."""
    found = report({"battery": None})

    assert ("no-battery", "") in found.left_out
    assert found.own.healthy.way == PEAK


def test_a_run_without_length_is_left_out_and_told():
    """A run whose resistance is not known loses nothing here, and is named."""
    found = report({"run.home run.length": None})

    assert ("run-unknown", "home run") in found.left_out
    assert "home run" in as_faults_text(found)
    assert ("no-run", "") in report({"run": None}).left_out


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"module.vmp": "12 V"}, "peak-too-low"),
        ({"module.voc_coefficient": "-1.5 %/degC"}, "voc-coefficient"),
        ({"module.vmp": "24.99 V", "module.imp": "7.99 A"}, "no-curve"),
    ],
)
def test_a_module_no_curve_fits_is_told(changes, reason):
    """The report names what is wrong with the datasheet's values instead of failing."""
    found = report(changes)

    assert found.reason == reason
    plain = json.loads(as_faults_json(found))
    assert plain["verdict"] == "does not apply"
    assert WORDS(f"faults.reason-none.{reason}") in " ".join(as_faults_text(found).split())
    assert WORDS(f"faults.reason-none.{reason}") in unescape(as_faults_html(found))


# How it is told.


@pytest.mark.parametrize("name", NAMES)
def test_every_sentence_is_complete(name):
    """Text, JSON and HTML of every design have no open braces, no empty words, and the text keeps to 80 columns."""
    found = of_scene(name)
    text = as_faults_text(found, name)

    assert max(map(len, text.splitlines())) <= 80
    assert max(map(len, as_faults_text(found, name, ascii_only=True).splitlines())) <= 80
    assert as_faults_text(found, ascii_only=True).isascii()
    for told in (text, as_faults_json(found), as_faults_html(found)):
        assert not re.search(r"\{[a-z]+\}| None|nan|\binf\b", told)


def test_sentences_ask_only_for_known_numbers():
    """A reason's, remark's or danger's sentence asks only for numbers that some case gives it."""
    every = {}
    for name in NAMES:
        for layout in of_scene(name).layouts:
            for one in layout.cases:
                for kind, remarks in (
                    ("reason", [one.reason]),
                    ("remark", one.remarks),
                    ("danger", one.cautions),
                ):
                    for remark in remarks:
                        every.setdefault((kind, remark.code), set(remark.values))
    assert len(every) > 30
    for (kind, code), values in every.items():
        sentence = WORDS.entries[f"faults.{kind}.{code}"]
        fields = {field for _, field, _, _ in Formatter().parse(sentence) if field is not None}
        assert fields <= values, (kind, code)


def test_the_table_has_every_layout():
    """The text's table has a column for each layout, with the own one marked; the HTML's too."""
    text, page = as_faults_text(report(), "bench"), as_faults_html(report())

    assert re.search(r"1 × 4 +> 2 × 2 +4 × 1", text)
    assert page.count('<th scope="col" class="n">') == 4  # three layouts, and the power of the cases
    assert 'id="report-faults"' in page


def test_a_title_is_no_markup():
    """What a reader wrote is text on the page."""
    found = report({"run.home run.length": None, "run.home run.name": "<b>&"})

    assert "<b>" not in as_faults_html(found)
    assert "&lt;b&gt;" in as_faults_html(found)


PUSHED_FAR = {
    "module": {"voc": "1.77 V", "isc": "2.0 A", "vmp": "1.7 V", "imp": "1.4 A"},
    "array": {"modules_in_series": 1, "strings_in_parallel": 2},
    "controller": {"start_margin": "0 V", "blocks_reverse": False},
    "battery": {"nominal": "12 V"},
}
"""A battery far above the modules, which have no resistance of their own: no number holds the current."""


@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(documents())
@example(PUSHED_FAR)
def test_any_design_gets_an_answer(document):
    """Whatever can be read gets its cases, or is told what is missing; never a traceback."""
    found = faults_of(read_design(written(document)), book())
    plain = json.loads(as_faults_json(found))

    assert plain["verdict"] in ("answered", "needs input", "does not apply")
    assert bool(found.layouts) == (plain["verdict"] == "answered")
    assert as_faults_text(found)
    assert as_faults_html(found)
