"""Shade that somebody asks for: any number of groups of cells of one string, at any depth."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.__main__ import main
from calc.model.problems import Refused
from calc.plan.faults import faults_of
from calc.read.shades import read_shades
from tests.rules.designs import book, design

TWO_BY_TWO = {"module.bypass_groups": 3}


def own(shades, changes=None):
    """The design's own layout, with shade asked for: two strings of two modules of three groups each."""
    return faults_of(design(TWO_BY_TWO | (changes or {})), book(), shades=shades).own


def asked(shades, changes=None):
    return [case for case in own(shades, changes).cases if case.kind == "shade-some"]


@pytest.mark.parametrize(
    ("groups", "lost", "named"),
    [(1, 50.0, "shade-group-50"), (3, 100.0, "shade-module-100"), (6, 100.0, "shade-string-100")],
)
def test_it_is_the_same_as_the_named_case(groups, lost, named):
    """One group, a module's three and a string's six leave what the cases of the table leave."""
    (case,) = asked(((groups, lost),))
    (known,) = (one for one in own(()).cases if one.id == named)

    assert (case.left, case.stays, case.reason, case.light_lost) == (
        known.left,
        known.stays,
        known.reason,
        known.light_lost,
    )


@given(st.integers(1, 6), st.floats(1, 99), st.floats(0, 1))
def test_more_shade_never_leaves_more(groups, lost, deeper):
    """Deeper shade on as many groups leaves no more power, and never more than with nothing wrong."""
    (light,), (deep,) = (asked(((groups, one),)) for one in (lost, lost + deeper * (100 - lost)))

    assert deep.left.power_W <= light.left.power_W * (1 + 1e-9)
    assert light.left.power_W <= own(()).healthy.power_W * (1 + 1e-9)
    assert light.light_lost == pytest.approx(groups * lost / 100 / 12)


def test_more_groups_than_a_string_has_are_left_out():
    """Seven groups of a string of six are no case of this layout."""
    assert asked(((7, 40.0),)) == []


@pytest.mark.parametrize(
    "said", ["2", "x=40", "2=", "0=40", "2=0", "2=101", "2=nan", "-1=40", "2=40=3", "²=40"]
)
def test_what_is_no_shade_is_refused(said):
    """Each is named with what is wanted and an example, all at once."""
    found = read_shades(["2=40 %", said, said])

    assert isinstance(found, Refused)
    assert [problem.path for problem in found.problems] == ["--shade"] * 2
    assert f'said "{said}"' in found.problems[0].line()


def test_shade_is_read_with_or_without_its_sign():
    """Percent may have its sign; the same case twice is one."""
    assert read_shades(["2=40 %", "2=40", " 3 = 12.5% "]) == ((2, 40.0), (3, 12.5))


def test_the_terminal_tells_it(capsys):
    """The command has it beside the other cases, in words and as data."""
    file = "scenarios/examples/high-tunnel.toml"

    assert main(["faults", file, "--shade", "2=40 %", "--json"]) == 0
    layouts = json.loads(capsys.readouterr().out)["layouts"]
    (case,) = (one for one in layouts[1]["cases"] if one["kind"] == "shade-some")
    assert case["name"].replace("\u00a0", " ") == (
        "groups of cells in one string that lose 40 % of their light: 2"
    )
    assert main(["faults", file, "--shade", "2=40 %"]) == 0
    assert "2 × group, 40 % dark" in capsys.readouterr().out
    assert main(["faults", file, "--shade", "two"]) == 2
    assert "--shade" in capsys.readouterr().err
