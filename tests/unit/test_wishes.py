"""What may be wished of layouts in a terminal: modules left out, prices of wire, other values that are tried too."""

import json
import re

import pytest

from calc.model.layouts import Wishes
from calc.model.problems import Refused
from calc.plan.layouts import layouts_of
from calc.read.scenario import read_design
from calc.read.wishes import read_wishes
from tests.contract.scenes import ROOT
from tests.rules.designs import book
from tests.terminal.test_check import run

PUMP = "scenarios/examples/stock-water-pump.toml"
FILE = (ROOT / PUMP).read_bytes()


def text(run_of):
    return " ".join(run_of.stdout.decode().split())


def test_nothing_wished_is_nothing_changed():
    """The same as the command without options."""
    assert read_wishes(FILE, None, [], []) == Wishes()
    assert run("layouts", PUMP, "--json").stdout == run("layouts", PUMP, "--json").stdout


def test_every_wish_is_read():
    """A count, a price by size, and the design with another value."""
    found = read_wishes(
        FILE, "2", ["6 awg=2.40", "10 mm²=3"], ["controller.max_voltage=150 V", "disconnect.rating="]
    )

    assert (found.leave_out, found.prices) == (2, {"6 AWG": 2.4, "10 mm2": 3.0})
    (volts, higher), (without, fewer) = found.options
    assert (volts, higher.number("controller.max_voltage")) == ("controller.max_voltage = 150 V", 150)
    assert (without, fewer.number("disconnect.rating")) == ("disconnect.rating left out", None)


@pytest.mark.parametrize("count", ["x", "-1", "41", "1.5", "", "\N{FULLWIDTH DIGIT TWO}", "9" * 400])
@pytest.mark.parametrize(
    "price", ["6=2.4", "6 AWG", "6 AWG=", "6 AWG=-1", "6 AWG=nan", "6 AWG=inf", "=3", "5 mm=2"]
)
def test_whatever_is_wrong_is_told_at_once(count, price):
    """One problem each, with what is wanted and an example."""
    found = read_wishes(
        FILE, count, [price], ["a", "=3", "controller.max_voltage=150", "controller.colour=red"]
    )

    assert isinstance(found, Refused)
    told = [one.path for one in found.problems]
    assert told[:4] == ["--leave-out", "--price", "--or", "--or"]
    assert any("controller.max_voltage" in one for one in told)
    assert any("colour" in one.line() for one in found.problems)
    assert all(one.wanted and one.example for one in found.problems)


def test_a_part_that_the_design_does_not_have_is_told():
    """A mistyped name of a run would else add one and change nothing that anybody asked about; so would a further coupler."""
    found = read_wishes(FILE, None, [], ["run.hom run.size=6 AWG", "coupler.9.rating=30 A"])

    assert isinstance(found, Refused)
    run, coupler = found.problems
    assert (run.path, run.said, run.example) == ("run.hom run.size", "run.hom run.size", "run.home run.size")
    assert "run.home run" in run.wanted
    assert coupler.example == "coupler.1.rating"
    assert coupler.wanted.endswith("coupler.1")


def test_layouts_that_leave_some_out_are_tried():
    """Six modules, or five: six layouts."""
    found = json.loads(run("layouts", PUMP, "--leave-out", "1", "--json").stdout)

    assert {one["left_out"] for one in found["layouts"]} == {0, 1}
    assert len(found["layouts"]) == 6


def test_prices_give_costs():
    """The home run needs 6 AWG: 85 ft out and back, at 2.40 a metre: 2 x 25.908 m x 2.40 = 124.36."""
    found = json.loads(run("layouts", PUMP, "--price", "6 AWG=2.40", "--json").stdout)
    own = next(one for one in found["layouts"] if one["own"])

    assert own["columns"]["cost"] == pytest.approx(2 * 85 * 0.3048 * 2.40)
    assert "124.36" in text(run("layouts", PUMP, "--price", "6 AWG=2.40"))


def test_a_price_that_is_not_known_is_no_lower_price():
    """The first has a price and the second none: the reason says so, and the size that lacks one is named."""
    wishes = ("--price", "6 AWG=2.40", "--leave-out", "1", "--or", "controller.max_voltage=150 V")
    found = json.loads(run("layouts", PUMP, *wishes, "--json").stdout)
    (option,) = found["options"]
    said = " ".join(option["says"]).replace("\N{NO-BREAK SPACE}", " ")

    assert "This is known of it and not of 5 × 1: cost of the wire." in said
    assert re.search(r"No price was given for [^.]*\b12 AWG", said)


def test_an_option_is_the_design_with_another_value():
    """Each as if the file had said so."""
    option = "controller.max_voltage=200 V"
    found = json.loads(run("layouts", PUMP, "--or", option, "--json").stdout)
    written = read_design(FILE.decode().replace('max_voltage = "100 V"', 'max_voltage = "200 V"'))
    (one,) = found["options"]

    assert one["with"] == "controller.max_voltage = 200 V"
    assert [(each["change"]["array.modules_in_series"], each["verdict"]) for each in one["layouts"]] == [
        (each.series, each.verdict) for each in layouts_of(written, book()).layouts
    ]
    assert "With another value" in text(run("layouts", PUMP, "--or", option))


def test_what_cannot_be_read_is_refused_with_exit_code_2():
    """One line a problem on stderr, nothing on stdout."""
    done = run("layouts", PUMP, "--leave-out", "many", "--or", "b=3", "--add", "no-such-file.toml")

    assert done.returncode == 2
    assert done.stdout == b""
    assert len(done.stderr.decode().splitlines()) == 3


def test_adding_is_printed_instead():
    """As text and as data, alone or with the modules of another design."""
    other = "scenarios/examples/high-tunnel.toml"

    assert run("layouts", PUMP, "--add").stdout.startswith(b"Add to what you have")
    assert b"String of other modules" not in run("layouts", PUMP, "--add").stdout
    assert "A string of other modules" in text(run("layouts", PUMP, "--add", other))
    assert json.loads(run("layouts", PUMP, "--add", other, "--json").stdout)["schema"] == "arraybook/adding/1"
