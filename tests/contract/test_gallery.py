"""The published examples and the gallery show every answer that every question can have, and every state of a page."""

from collections import Counter

import pytest

from calc.model.assessment import Verdict
from calc.plan.fixes import check
from calc.tables import load_book
from tests.contract.scenes import FILES, NAMES, assessed, checked, design

HOLDS, TIGHT, FAILS, IDLE, OPEN = (
    Verdict.HOLDS,
    Verdict.TIGHT,
    Verdict.FAILS,
    Verdict.DOES_NOT_APPLY,
    Verdict.NEEDS_INPUT,
)
PLAIN = "a plain yes or no: a count, or a device of just the size wanted, has no room by nature"
ALWAYS = "it is asked of every design"
KNOWN = "what it needs is in every design file, or is assumed"
CANNOT = {
    "cold-voltage-controller": {IDLE: ALWAYS},
    "cold-voltage-module": {IDLE: ALWAYS},
    "cold-voltage-site": {IDLE: ALWAYS, OPEN: KNOWN},
    "cold-voltage-parts": {IDLE: ALWAYS},
    "hot-voltage-charging": {IDLE: ALWAYS},
    "wake-voltage": {},
    "controller-input-current": {IDLE: ALWAYS},
    "controller-output-current": {IDLE: ALWAYS},
    "pwm-voltage-given-away": {},
    "string-fuse-needed": {TIGHT: PLAIN},
    "string-fuse-size": {TIGHT: PLAIN},
    "reverse-current": {},
    "run-ampacity": {IDLE: ALWAYS},
    "run-terminal-temperature": {IDLE: ALWAYS},
    "run-voltage-drop": {IDLE: ALWAYS},
    "small-conductor-device": {TIGHT: PLAIN},
    "coupler-current": {OPEN: KNOWN},
    "combiner-circuits": {TIGHT: PLAIN},
    "combiner-bar": {},
    "breaker-rating": {TIGHT: PLAIN},
    "disconnect-rating": {IDLE: ALWAYS},
    "unlike-strings": {},
    "grounding-conductor-size": {TIGHT: PLAIN, IDLE: ALWAYS},
    "battery-side-device": {TIGHT: PLAIN, IDLE: ALWAYS},
}
"""Answers that a question cannot have, and why."""


def shown():
    return Counter((one.id, one.verdict) for name in NAMES for one in assessed(name).findings)


@pytest.mark.parametrize("finding", CANNOT)
@pytest.mark.parametrize("verdict", Verdict)
def test_every_answer_of_every_question_is_shown(finding, verdict):
    """Each that can be occurs in a design file; each that cannot does not."""
    assert bool(shown()[finding, verdict]) is (verdict not in CANNOT[finding])


def test_every_verdict_of_a_whole_design_is_shown():
    """A page that holds, one that is tight, one that fails, and one that needs input."""
    assert {assessed(name).verdict for name in NAMES} == {HOLDS, TIGHT, FAILS, OPEN}


STATES = {
    "strings that are not alike": lambda one: one.design.strings > 1,
    "strings of one module in different numbers": lambda one: (
        one.design.strings > 1 and not one.design.has("string.1.module")
    ),
    "three kinds of string": lambda one: one.design.strings == 3,
    "no run": lambda one: not one.design.runs,
    "several runs": lambda one: len(one.design.runs) > 2,
    "a run to the battery": lambda one: (
        "battery" in {one.design.text(f"run.{run}.carries") for run in one.design.runs}
    ),
    "a run in each string": lambda one: (
        "string" in {one.design.text(f"run.{run}.carries") for run in one.design.runs}
    ),
    "equalising": lambda one: "equalising_needed_V" in one.steps,
    "conduit too hot for its insulation": lambda one: any(
        step.symbol == "ampacity" and step.result == 0 for step in one.steps.values()
    ),
    "sizes in square millimetres": lambda one: any(
        "mm2" in (one.design.text(f"run.{run}.size") or "") for run in one.design.runs
    ),
    "wire thinner than the tables": lambda one: any(
        one.design.text(f"run.{run}.size") == "1.5 mm2" for run in one.design.runs
    ),
    "forty strings": lambda one: one.steps["string_count"].result == 40,
    "markup in names": lambda one: (
        any("<b>" in run for run in one.design.runs) and "<b>" in (one.design.text("title") or "")
    ),
    "a name without a blank": lambda one: any(len(run) > 50 and " " not in run for run in one.design.runs),
    "a title longer than a line": lambda one: len(one.design.text("title") or "") > 100,
    "cold voltage by the code's table": lambda one: "cold_factor" in one.steps,
    "colder than the code's table": lambda one: (
        "cold_factor" not in one.steps and "site.hardiness_zone" in one.design.values
    ),
    "a hardiness zone": lambda one: (
        "site.hardiness_zone" in one.design.values and "site.coldest" not in one.design.values
    ),
    "a battery that feeds back": lambda one: one.design.flag("controller.blocks_reverse") is False,
    "aluminium": lambda one: any(
        one.design.text(f"run.{run}.material") == "aluminium" for run in one.design.runs
    ),
    "margins of the owner's own": lambda one: one.design.has("margins"),
    "notes for unlikely values": lambda one: len(one.design.notes) > 5,
    "no curve fits": lambda one: any(finding.reason == "no-curve" for finding in one.findings),
    "light from behind": lambda one: (one.design.number("module.rear_gain") or 0) > 0,
    "a PWM controller": lambda one: one.design.text("controller.kind") == "pwm",
    "a combiner with places to spare": lambda one: (
        (found := one.steps.get("spare_circuits")) is not None and found.result > 0
    ),
    "nothing but what is required": lambda one: len(one.design.values) == 8,
}


@pytest.mark.parametrize("state", STATES)
def test_every_state_of_a_page_is_shown(state):
    """At least one design file brings it up."""
    assert any(STATES[state](assessed(name)) for name in NAMES)


def test_designs_that_fail_show_fixes_and_the_lack_of_them():
    """Several fixes, one, and none."""
    numbers = {
        max(len(finding.fixes) for finding in checked(name).findings)
        for name in NAMES
        if checked(name).verdict is FAILS
    }

    assert {0, 1, 2, 3} & numbers >= {0, 1}
    assert max(numbers) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_every_design_file_tells_its_site(name):
    """A title of its own and a story of two sentences or so, without a maker's name or a person's."""
    found = design(name)

    assert found.text("title")
    assert 40 < len(found.text("story")) < 400
    assert [design(other).text("title") for other in NAMES].count(found.text("title")) == 1


def test_files_are_named_in_plain_words():
    """Small letters and hyphens, each name once over both folders: it becomes the page's address."""
    stems = [file.stem for file in FILES]

    assert sorted(set(stems)) == sorted(stems)
    assert all(stem.replace("-", "").isalpha() and stem.islower() for stem in stems)


@pytest.mark.parametrize("name", NAMES)
def test_checking_twice_gives_the_same(name):
    """The search for fixes keeps nothing between two designs."""
    assert check(design(name), load_book()) == checked(name)
