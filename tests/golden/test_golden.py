"""Each example and each design of the gallery gives, byte for byte, the assessment that was last looked at.

A difference that is wanted is written with ``python3 scripts/golden``; a changed verdict is a line of the changelog.
"""

import difflib
import json

import pytest

from tests.golden.write import FOLDERS, HERE, changed, designs, fresh, golden_of, table, verdicts

MOST_LINES = 40


@pytest.mark.parametrize("file", designs(), ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_the_assessment_is_the_golden_one(file):
    """Same design, same bytes; the difference is shown line by line."""
    path = golden_of(file)
    assert path.is_file(), f"{path} is not there yet: run python3 scripts/golden"
    golden, now = path.read_text(encoding="utf-8"), fresh(file)
    if golden != now:
        lines = list(
            difflib.unified_diff(golden.splitlines(), now.splitlines(), "golden", "now", lineterm="", n=2)
        )
        shown = "\n".join(lines[:MOST_LINES])
        pytest.fail(
            f"{path.name} differs; if that is wanted, run python3 scripts/golden\n{shown}", pytrace=False
        )


def test_every_golden_file_has_its_design():
    """None is left over from a design that was renamed or removed."""
    assert {golden_of(file) for file in designs()} == set(HERE.glob("*/*.json"))


@pytest.mark.parametrize("folder", FOLDERS)
def test_both_folders_have_designs(folder):
    """So that the tests above look at something."""
    assert sum(file.parent.name == folder for file in designs()) >= 6


def assessment(whole, **findings):
    return json.dumps(
        {
            "verdict": whole,
            "findings": [{"id": id_, "part": "x", "verdict": now} for id_, now in findings.items()],
        }
    )


def test_changed_verdicts_are_told():
    """Another verdict, a new finding and one that is gone, with what was and what is."""
    old = assessment("holds", kept="holds", moved="holds", gone="tight")
    new = assessment("fails", kept="holds", moved="fails", new="needs input")

    assert list(changed("shed", old, new)) == [
        ("shed", "whole design", "", "holds", "fails"),
        ("shed", "moved", "x", "holds", "fails"),
        ("shed", "gone", "x", "tight", "none"),
        ("shed", "new", "x", "none", "needs input"),
    ]
    assert list(changed("shed", old, old)) == []
    assert list(changed("shed", "", new)) == [("shed", "whole design", "", "none", "fails")]
    assert list(changed("shed", old, "")) == [("shed", "whole design", "", "holds", "none")]
    assert verdicts("") == {}


def test_the_table_of_changes_is_aligned():
    """A header, a line below it, and columns that stand under each other."""
    rows = [("shed", "moved", "x", "holds", "fails"), ("a long name", "whole design", "", "tight", "holds")]
    lines = table(rows).split("\n")

    assert lines[0].split() == ["design", "finding", "part", "was", "is"]
    assert set(lines[1]) == {"-", " "}
    assert {line.index(word) for line, word in zip(lines[2:], ("moved", "whole"), strict=True)} == {13}
    assert {line.rindex(word) for line, word in zip(lines[2:], ("fails", "holds"), strict=True)} == {
        lines[0].index("is")
    }
