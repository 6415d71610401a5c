"""The self-check's door: the same rows and digests as the build prints, and another digest for any other report."""

import json

import pytest

from calc import bridge, load_book
from calc.bridge.proved import digest
from calc.proof import prove
from floor import ROOT

CASES = sorted((ROOT / "tests" / "published").glob("*.toml"))
TUNNEL = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")


def ask(**asked):
    return json.loads(bridge.answer(json.dumps({"prove": asked})))


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_rows_are_those_of_the_file(file):
    """A row for each figure, in the order of the file, with our answer and whether it is as it should be."""
    text = file.read_text("utf-8")

    rows = ask(cases=text)["rows"]

    assert [(row["ours"], row["good"]) for row in rows] == [
        (row.ours, row.agrees) for row in prove(text, load_book())
    ]
    assert {row["result"] for row in rows} <= {"agrees", "the printed one is wrong; ours differs"}


def test_a_figure_that_is_off_is_called_so():
    """A figure that was printed otherwise, and a wrong one that is ours, are told in capitals."""
    text = next(file for file in CASES if file.stem == "code-tables").read_text("utf-8")
    first = next(row for row in prove(text, load_book()) if row.printed.endswith(" A"))
    number = first.printed.removesuffix(" A")

    off = ask(cases=text.replace(f", {number}", f", {number}1", 1))["rows"]

    assert "DOES NOT AGREE" in {row["result"] for row in off if not row["good"]}


def test_digest_changes_with_the_design():
    """The same file gives the same digest; one more foot of wire gives another."""
    assert ask(design=TUNNEL)["digest"] == digest(TUNNEL)
    assert digest(TUNNEL) != digest(TUNNEL.replace('length = "40 ft"', 'length = "41 ft"', 1))


def test_a_broken_design_is_refused():
    """What cannot be read has no digest."""
    with pytest.raises(ValueError, match="voc"):
        digest(TUNNEL.replace("voc =", "voc_ ="))
