"""Solved limits: each agrees with trying every value, with hand calculation and with published examples."""

from dataclasses import replace

import pytest

from calc.assess import assess
from calc.model.layouts import ALWAYS, ASKS, NEVER, SOLVED
from calc.plan.again import Again
from calc.plan.limits import Solver, limits_of
from calc.plan.quests import quests, stepped, value_at
from calc.plan.searching import failing, last_passing
from calc.plan.sizing import Sizing, breaks, sized, sizes_for
from calc.read.scenario import read_design
from calc.render.catalogue import load_words
from calc.render.layouts.figures import edge
from calc.render.layouts.view import limit_rows
from tests.contract.scenes import ROOT
from tests.rules.designs import book, design

WORDS = load_words()
WIDE = {"controller.rated_output_current": "90 A", "battery.device": "125 A"}
NAMES = [
    "examples/stock-water-pump",
    "examples/gate-opener",
    "gallery/metric",
    "gallery/two-kinds",
    "gallery/hot-roof",
]


def scenario(name):
    """A design of the folder of scenarios."""
    return read_design((ROOT / "scenarios" / f"{name}.toml").read_text("utf-8"))


def limit(changes, code, part=""):
    """One solved limit of the bench design with changes."""
    (found,) = (
        one for one in limits_of(design(changes), book()).limits if (one.code, one.part) == (code, part)
    )
    return found


# By hand, from the round numbers of the bench design.


@pytest.mark.parametrize(
    ("changes", "code", "part", "value", "fails_at", "because"),
    [
        # 27.5 V a module when cold: 3 make 82.5 V, 4 make 110 V, against 100 V
        (WIDE, "most-series", "", 3, 4, "cold-voltage-controller"),
        # 300 W a string: 2 make 25 A at 24 V and 3 make 37.5 A, against 30 A
        ({}, "most-strings", "", 2, 3, "controller-output-current"),
        # 10 A a string at most, against a coupler of 30 A
        ({}, "largest-stage", "", 3, 4, "coupler-current"),
        # 75 V x (1 + 0.25 % x (25 - T)) = 82.6 V at T = -15.53 degC
        (WIDE | {"array.modules_in_series": 3, "controller.max_voltage": "82.6 V"}, "coldest", "", -15.5, -15.6,
         "cold-voltage-controller"),
        # 3 % of 32 V is 0.96 V; 2 x L x 1.95 ohm/km x 15 A = 0.96 V at L = 16.410 m
        ({}, "longest-run", "home run", 16.41, 16.42, "run-voltage-drop"),
        ({}, "least-size", "home run", "10 mm2", "6 mm2", "run-voltage-drop"),
        # 55 V when cold, 20 A at most, 25 A into the battery: equal is inside
        ({}, "controller-voltage", "", 55.0, 54.9, "cold-voltage-controller"),
        ({}, "controller-input", "", 20.0, 19.9, "controller-input-current"),
        ({}, "controller-output", "", 25.0, 24.9, "controller-output-current"),
    ],
)  # fmt: skip
def test_limits_by_hand(changes, code, part, value, fails_at, because):
    """The last value that does, and its neighbour that does not."""
    found = limit(changes, code, part)

    assert (found.outcome, found.value, found.fails_at) == (SOLVED, value, fails_at)
    assert found.because[0] == because


def test_hottest_by_hand():
    """The hot Vmp at the controller falls to absorption plus 1 V: 29.8 V; run of 10 m, no limit on drop but that."""
    # 40 V x (1 - 0.5 % x (air + 31.25 - 25)) - 0.585 V = 29.8 V at air = 41.825 degC
    found = limit({"run.home run.max_drop": "20 %"}, "hottest")

    assert (found.value, found.fails_at) == (41.8, 41.9)
    assert found.because[0] == "hot-voltage-charging"


# Published.


def test_most_modules_in_series_as_published():
    """A magazine's example: 33.2 V, −0.12 V/°C, −29 °C, 150 V controller: three, not three and something.

    Source: home-power-controllers (WE-03 of tests/published/magazine-articles.toml); Isc, Vmp and Imp are made up.
    """
    text = """
[site]
coldest = "-29 degC"
[module]
voc = "33.2 V"
isc = "5.0 A"
vmp = "26.6 V"
imp = "4.6 A"
voc_coefficient = "-0.12 V/degC"
[array]
modules_in_series = 1
strings_in_parallel = 1
[controller]
max_voltage = "150 V"
"""
    (found,) = (one for one in limits_of(read_design(text), book()).limits if one.code == "most-series")

    assert (found.value, found.fails_at) == (3, 4)
    assert found.because == ("cold-voltage-controller", "controller")


def test_most_modules_in_series_of_a_published_thread():
    """Fifteen modules of 35 V at −20 °C pass 600 V on a dwelling; by the code's factor of 1.18 fourteen do not.

    Source: code-forum-690-7 (WE-08 of tests/published/forums.toml); Isc, Vmp and Imp are made up.
    """
    text = """
[site]
coldest = "-4 degF"
building = "dwelling"
[module]
voc = "35 V"
isc = "8 A"
vmp = "28.5 V"
imp = "7.5 A"
[array]
modules_in_series = 15
strings_in_parallel = 1
"""
    report = limits_of(read_design(text), book())
    (found,) = (one for one in report.limits if one.code == "most-series")

    assert (found.value, found.fails_at) == (14, 15)
    assert "controller.max_voltage" in found.needs


# Every value tried.


@pytest.mark.parametrize("name", NAMES)
def test_every_limit_agrees_with_trying_values_all_along(name):
    """A grid from end to end and every neighbour of the limit: all before it pass and all beyond it fail."""
    solver = Solver(scenario(name), Again(scenario(name), book()))
    for quest in quests(solver.design, solver.now):
        found = solver.solve(quest)
        if found.outcome not in (SOLVED, ALWAYS):
            continue
        easy, hard = solver.bounds(quest)
        sign = 1 if quest.most else -1
        grid = {easy + sign * round(abs(hard - easy) * part / 12) for part in range(13)}
        near = [
            step
            for step in range(min(easy, hard), max(easy, hard) + 1)
            if value_at(quest.path, step) == found.value
        ]
        grid |= {
            step for step in range(near[0] - 3, near[0] + 4) if min(easy, hard) <= step <= max(easy, hard)
        }
        for step in grid:
            does = not solver.broken(quest, step)
            assert does == (sign * (step - near[0]) <= 0), (quest.code, step)


@pytest.mark.parametrize("name", NAMES)
def test_every_least_size_agrees_with_trying_all(name):
    """Thinner ones fail, thicker ones do not."""
    asked = scenario(name)
    for run in asked.runs:
        rows = sizes_for(asked, book(), run)
        tried = {size: assess(asked.changed(sized({run: size})), book()) for size in rows}
        beyond = set(failing(tried[rows[-1]]))
        passed = [
            size
            for size, found in tried.items()
            if set(failing(found)) <= beyond and not any(breaks(one, run) for one in found.findings)
        ]
        least = Sizing(Again(asked, book())).least(run)

        assert least.size == (passed[0] if passed else None)
        assert passed == list(rows[len(rows) - len(passed) :])
        assert least.smaller == (rows[rows.index(passed[0]) - 1] if passed and passed[0] != rows[0] else None)


@pytest.mark.parametrize("edge_at", [0, 1, 7, 99, 100])
def test_the_search_finds_any_edge(edge_at):
    """Between none but the first, and all."""
    assert last_passing(lambda step: step <= edge_at, 0, 100) == edge_at


# What has no number.


def test_what_is_not_reached_is_said_to_have_no_limit():
    """As far as a design file may go."""
    found = limit({}, "coldest")

    assert (found.outcome, found.value, found.fails_at) == (ALWAYS, -90.0, None)


@pytest.mark.parametrize(
    ("code", "ends", "record", "says"),
    [
        # -89.2 degC at Vostok in 1983, seen in reports of the WMO's archive of weather and climate extremes
        ("coldest", -90.0, -89.2, "No air on Earth is colder than \N{MINUS SIGN}90\N{NO-BREAK SPACE}°C."),
        # 56.7 degC at Death Valley in 1913, the same archive, from memory
        ("hottest", 70.0, 56.7, "No air on Earth is hotter than 70\N{NO-BREAK SPACE}°C."),
    ],
)
def test_a_limit_beyond_any_air_ever_measured_suits_any_site(code, ends, record, says):
    """No odd figure is told as if a site could be so; the data keep the value."""
    roomy = {
        "controller.max_voltage": "900 V",
        "module.max_system_voltage": "1000 V",
        "battery.nominal": "12 V",
    }
    roomy |= {"battery.absorption": "14 V", "battery.lowest": "12 V", "run.home run.length": "1 m"}
    report = limits_of(design(roomy), book())
    (found,) = (one for one in report.limits if one.code == code)
    (row,) = (one for one in limit_rows(report, WORDS) if one.name == WORDS(f"limits.name.{code}"))

    assert (found.outcome, found.value) == (ALWAYS, ends)
    assert abs(ends) > abs(record)
    assert (row.goes, row.more) == ("any site", says)
    assert (row.fails_at, row.because) == ("", "")


def test_what_nothing_would_mend_is_said_so():
    """One module alone is too much for a controller of 20 V."""
    found = limit({"controller.max_voltage": "20 V"}, "most-series")

    assert (found.outcome, found.value) == (NEVER, None)
    assert found.because == ("cold-voltage-controller", "controller")


def test_what_the_input_does_not_move_is_left_aside_and_named():
    """A device on the battery side that is too small fails at any number of strings."""
    found = limit({"battery.device": "10 A"}, "most-strings")

    assert (found.outcome, found.value) == (SOLVED, 2)
    assert ("battery-side-device", "battery") in found.open


def test_what_only_a_far_value_moves_is_beyond_mending_too():
    """By the code's factors, alike over 5 degrees, a tenth of a degree moves no voltage, but the coldest air does."""
    factors = {"module.voc_coefficient": None, "controller.max_voltage": "20 V"}
    found = limit(factors, "coldest")

    assert (found.outcome, found.value) == (NEVER, None)
    assert found.because == ("cold-voltage-controller", "controller")


def test_an_own_finding_that_nothing_moves_does_not_stand_in_the_way():
    """A string's own run that is too thin loses as much voltage with any number of strings beside it."""
    thin = {"run.home run.carries": "string", "run.home run.size": "1.5 mm2"}
    found = limit(thin, "most-strings")

    assert (found.outcome, found.value) == (SOLVED, 2)
    assert ("run-voltage-drop", "home run") in found.open


def test_missing_input_is_asked_for():
    """Nobody can say how long a wire of no size may be."""
    found = limit({"run.home run.size": None}, "longest-run", "home run")

    assert found.outcome == ASKS
    assert "run.home run.size" in found.needs


def test_limits_that_were_not_counted_are_named():
    """Without the battery, the voltage left for charging sets no limit on the run."""
    changes = {"battery.nominal": None, "battery.absorption": None, "battery.lowest": None}
    found = limit(changes, "longest-run", "home run")

    assert (found.outcome, found.value) == (SOLVED, 16.41)
    assert "battery.nominal" in found.needs


def test_a_controller_nobody_named_can_still_be_asked_for():
    """The least limits that would do are what a reader goes shopping with."""
    found = limit({"controller.max_voltage": None}, "controller-voltage")

    assert (found.now, found.value) == (None, 55.0)


def test_unlike_strings_have_no_counts():
    """Only what does not depend on how many there are is solved for."""
    report = limits_of(scenario("gallery/two-kinds"), book())

    assert report.unlike
    assert not {"most-series", "most-strings", "largest-stage"} & {one.code for one in report.limits}


# What is printed.


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", NAMES)
def test_printed_lengths_hold_and_fail_as_printed(name, system):
    """What is printed, written into a file again, does; the printed neighbour does not."""
    asked = scenario(name)
    for found in limits_of(asked, book()).limits:
        if found.code != "longest-run" or found.outcome != SOLVED:
            continue
        ends = {
            up: edge(found, end, WORDS, system, up=up).replace("\N{NO-BREAK SPACE}", " ").replace(",", "")
            for up, end in ((False, found.value), (True, found.fails_at))
        }
        metres = {up: float(text.split()[0]) * (0.3048 if system == "us" else 1) for up, text in ends.items()}
        before = set(failing(assess(asked.changed({found.path: stepped(found.path, 1)}), book())))
        for up, length in metres.items():
            given = replace(stepped(found.path, 1), value=length)
            after = set(failing(assess(asked.changed({found.path: given}), book())))
            assert bool(after - before) == up


def test_rows_are_printed_with_their_units():
    """In feet for some readers and metres for others."""
    limits = limits_of(design(), book())
    (us,) = (one for one in limit_rows(limits, WORDS, "us") if one.name == "home run, length one way")
    (metric,) = (one for one in limit_rows(limits, WORDS, "metric") if one.name == "home run, length one way")

    assert (us.goes, us.fails_at) == ("at most 53\N{NO-BREAK SPACE}ft", "54\N{NO-BREAK SPACE}ft")
    assert (metric.goes, metric.fails_at) == ("at most 16.4\N{NO-BREAK SPACE}m", "16.5\N{NO-BREAK SPACE}m")
