"""Which input moves the verdict first: how far, which way, what fails then, and what readers are told."""

import pytest

from calc.assess import assess
from calc.model.design import Given
from calc.plan.searching import failing
from calc.plan.sensitivity import sensitivity_of
from calc.read.scenario import read_design
from calc.render.catalogue import load_words
from calc.render.drawings.moves import moves_drawing
from calc.render.layouts.sentences import moves_say
from tests.contract.scenes import ROOT
from tests.rules.designs import book, design

WORDS = load_words()
WIDE = {"controller.rated_output_current": "90 A", "battery.device": "125 A"}


def move(changes, code, part=""):
    """How one input of the bench design moves."""
    (found,) = (
        one for one in sensitivity_of(design(changes), book()).moves if (one.code, one.part) == (code, part)
    )
    return found


@pytest.mark.parametrize(
    ("changes", "code", "part", "shift", "because"),
    [
        # 75 V x (1 + 0.25 % x (25 - T)) passes 84 V at T = -23 degC: 8 K colder is the limit, the next step 8.25 K
        (WIDE | {"array.modules_in_series": 3, "controller.max_voltage": "84 V"}, "coldest", "", -8.25,
         "cold-voltage-controller"),
        # 40 V x (1 - 0.5 % x (hot cell - 25)) - 0.585 V = 29.8 V at 41.825 degC: 8.075 K hotter
        (WIDE | {"run.home run.max_drop": "20 %"}, "hottest", "", 8.25, "hot-voltage-charging"),
        # 16.41 m of 10 m: 64 % more is beyond the five times that are tried
        ({}, "length", "home run", None, ""),
        # 3 % of 32 V allows 16.41 m: 9.4 % more than 15 m
        ({"run.home run.length": "15 m"}, "length", "home run", 9.5, "run-voltage-drop"),
        # 25 A into the battery, 30 A allowed: 20 % more current passes it
        ({}, "module_current", "", None, ""),
        # tolerance as given, 10 %: in steps of 0.5 %, 20 % is the limit
        ({"module.tolerance": "10 %"}, "module_current", "", 20.5, "controller-output-current"),
    ],
)  # fmt: skip
def test_moves_by_hand(changes, code, part, shift, because):
    """The first step, a twentieth of the usual doubt, at which another limit fails."""
    found = move(changes, code, part)

    assert found.shift == shift
    assert found.because[0] == because
    assert found.reach == (None if shift is None else pytest.approx(abs(shift) / found.doubt))


@pytest.mark.parametrize("name", ["examples/gate-opener", "gallery/two-kinds", "gallery/metric"])
def test_the_step_before_does_not_fail_yet(name):
    """The site's temperatures, moved by hand: nothing new at one step less, something at the step named."""
    asked = read_design((ROOT / "scenarios" / f"{name}.toml").read_text("utf-8"))
    before = set(failing(assess(asked, book())))
    for one in sensitivity_of(asked, book()).moves:
        if one.code not in ("coldest", "hottest") or one.shift is None:
            continue
        step = one.doubt / 20 * (1 if one.shift > 0 else -1)
        for value, fails in ((one.fails_at, True), (one.fails_at - step, False)):
            given = Given(value, "degC", f"{value} degC")
            after = set(failing(assess(asked.changed({f"site.{one.code}": given}), book())))
            assert bool(after - before) == fails


def test_the_nearest_comes_first_and_what_breaks_nothing_last():
    """By how many times the usual doubt each takes."""
    reaches = [one.reach for one in sensitivity_of(design(), book()).moves]
    known = [reach for reach in reaches if reach is not None]

    assert known == sorted(known)
    assert reaches[: len(known)] == known


def test_what_was_not_given_is_not_moved():
    """An assumption has no doubt of its own; the site's temperatures always count."""
    moves = sensitivity_of(design({"module.voc_coefficient": None, "site.coldest": None}), book()).moves
    codes = {one.code for one in moves}

    assert "voc_coefficient" not in codes
    assert {"coldest", "hottest"} <= codes


def test_a_design_that_fails_is_told_of_its_further_limits():
    """What fails already is no news."""
    report = sensitivity_of(design({"battery.device": "10 A"}), book())

    assert report.failing == (("battery-side-device", "battery"),)
    assert all(one.because != ("battery-side-device", "battery") for one in report.moves)
    assert moves_say(report, WORDS)[0] == WORDS("moves.already")


def test_the_sentence_names_the_input_its_move_and_what_fails():
    """A doubt that is within what is common is told apart from one beyond it."""
    near = sensitivity_of(design({"run.home run.length": "15 m"}), book())
    (said,) = moves_say(near, WORDS)

    assert near.moves[0].reach <= 1
    assert said.startswith("Look twice")
    assert "makes this fail" in said


def test_nothing_within_reach_is_said_so():
    """A small array with much room."""
    roomy = design(
        WIDE
        | {
            "battery.nominal": "12 V",
            "battery.absorption": "14 V",
            "battery.lowest": "12 V",
            "run.home run.length": "1 m",
            "coupler.1.rating": "60 A",
            "controller.max_input_current": "90 A",
            "module.max_series_fuse": "40 A",
            "disconnect.rating": "90 A",
        }
    )
    report = sensitivity_of(roomy, book())

    assert report.moves[0].reach is None
    assert moves_say(report, WORDS) == (WORDS("moves.none", widest="5"),)


def test_the_chart_has_a_bar_and_a_row_for_every_input():
    """A solid bar for what fails within reach, a dotted line for what does not."""
    report = sensitivity_of(design({"run.home run.length": "15 m"}), book())
    figure = moves_drawing(report, WORDS)
    reached = sum(one.reach is not None for one in report.moves)

    assert len(figure.rows) == len(report.moves)
    assert figure.svg.count('class="d-bar"') == reached
    assert figure.svg.count('class="d-ground"') == len(report.moves) - reached
