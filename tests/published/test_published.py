"""Every published figure against ours. Each case file names its source; the answers that are wrong must not be ours."""

from functools import cache
from pathlib import Path

import pytest

from calc.proof import cases
from calc.tables import load_book

FILES = sorted(Path(__file__).parent.glob("*.toml"))


@cache
def proved(path):
    return list(cases(path.read_text(encoding="utf-8"), load_book()))


CASES = [pytest.param(rows, id=f"{path.stem}: {name}") for path in FILES for name, rows in proved(path)]


@pytest.mark.parametrize("rows", CASES)
def test_a_published_case_agrees(rows):
    """Every figure of the case is ours to its last printed digit, and no wrong one is."""
    assert rows
    assert [row for row in rows if not row.agrees] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_cases_are_told_apart(path):
    """Each case of a file has a name of its own, so that a reader can point to it."""
    names = [name for name, _ in proved(path)]

    assert sorted(set(names)) == sorted(names)


def test_wrong_answers_are_among_them():
    """The superseded, misplaced and wrong figures that were collected are all held against ours."""
    refuted = {row.id for path in FILES for _, rows in proved(path) for row in rows if row.must_differ}

    assert refuted == {
        "NEC-T310.16-CU-OLD",
        "NEC-T310.15B2-40C",
        "NEC-CH9-T8",
        "NEC-T310.15B1-FORMULA",
        "WE-27",
        "WE-29",
        "WE-30",
    }


def test_every_source_is_used():
    """The bibliography lists what a table, an assumption or a published case rests on, and nothing else."""
    book = load_book()
    used = {
        entry.source for entry in (*book.tables.values(), *book.scalars.values(), *book.assumptions.values())
    }
    used |= {row.source for path in FILES for _, rows in proved(path) for row in rows}

    assert sorted(set(book.sources) - used) == []


WITHOUT_A_CASE = {
    "absolute_zero": "the definition of the Celsius scale",
    "resistance_reference": "the headings of two tables whose cells are all here",
    "connector_names": "names, not figures; no published list of them was found",
    "fuse_sure_to_open": "from memory of the standard; the reprint at hand gives the American figure only",
    "label_rules": "clauses, not figures; from memory",
    "wiring_label_spacing": "from memory of the code; no reprint was found",
}


def test_every_table_is_held_against_something():
    """Every table and single value has a published case, or says that it is practice or our own choice."""
    book = load_book()
    proven = {row.what.partition(":")[0] for path in FILES for _, rows in proved(path) for row in rows}
    ours = {"common practice", "our own choice"}
    entries = {**book.tables, **book.scalars}
    left = {key for key, entry in entries.items() if key not in proven and entry.standing not in ours}

    assert sorted(left) == sorted(WITHOUT_A_CASE)
