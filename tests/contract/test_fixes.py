"""Fixes are what they say: written into the file they leave nothing failing, and give the verdict they promise."""

import tomllib

import pytest

from calc.assess import assess
from calc.model.assessment import Verdict
from calc.model.problems import Refused
from calc.read.scenario import read_design
from calc.read.write import document_of, write_document
from calc.tables import load_book
from tests.contract.scenes import NAMES, checked, design, text
from tests.rules.designs import put

ANSWERED = (Verdict.HOLDS, Verdict.TIGHT, Verdict.DOES_NOT_APPLY)


def fixes(name):
    """Every fix of a design, with the finding it is offered for."""
    return [(finding, fix) for finding in checked(name).findings for fix in finding.fixes]


def with_change(name, change):
    """The design file's text with a fix written into it, read again."""
    document = tomllib.loads(text(name))
    for path, value in change.items():
        put(document, path, value)
    found = read_design(write_document(document))
    assert not isinstance(found, Refused), [problem.line() for problem in found.problems]
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_fix_written_into_the_file_does_what_it_says(name):
    """Nothing fails any more, the finding it was offered for is answered, and the whole is as promised."""
    for finding, fix in fixes(name):
        after = assess(with_change(name, fix.change), load_book())
        assert after.verdict == fix.verdict, (finding.id, fix)
        assert Verdict.FAILS not in {one.verdict for one in after.findings}
        now = [one for one in after.findings if (one.id, one.part) == (finding.id, finding.part)]
        assert all(one.verdict in ANSWERED for one in now), (finding.id, fix, now)


@pytest.mark.parametrize("name", NAMES)
def test_fixes_change_something_and_are_told_apart(name):
    """At most three a finding, each another, none of them what is there already."""
    said = {path: given.said for path, given in design(name).values.items()}
    for finding in checked(name).findings:
        changes = [dict(fix.change) for fix in finding.fixes]
        assert len(changes) <= 3
        assert all(changes.count(change) == 1 for change in changes)
        for change in changes:
            assert change
            assert any(said.get(path) != str(value) for path, value in change.items())


LAYOUT = {"array.modules_in_series", "array.strings_in_parallel"}


@pytest.mark.parametrize("name", NAMES)
def test_no_part_of_a_fix_is_idle(name):
    """Without any one part something fails, or a question opens that was answered; a layout counts as one part."""
    for finding, fix in fixes(name):
        for part in [{path} for path in fix.change if path not in LAYOUT] + [LAYOUT & set(fix.change)]:
            fewer = {path: value for path, value in fix.change.items() if path not in part}
            if part and fewer:
                after = assess(with_change(name, fewer), load_book()).verdict
                assert after in (Verdict.FAILS, Verdict.NEEDS_INPUT), (finding.id, fix, part)


@pytest.mark.parametrize("name", NAMES)
def test_only_what_fails_is_mended(name):
    """A finding that holds has no fixes; everything else of the assessment is as without the search."""
    without = assess(design(name), load_book())
    for plain, found in zip(without.findings, checked(name).findings, strict=True):
        assert not found.fixes or found.verdict is Verdict.FAILS
        assert (plain.id, plain.part, plain.verdict, plain.margin) == (
            found.id,
            found.part,
            found.verdict,
            found.margin,
        )
    assert dict(without.steps) == dict(checked(name).steps)


def test_fixes_are_offered_somewhere():
    """The designs that fail here are not beyond help, so the tests above look at something."""
    assert sum(len(fixes(name)) for name in NAMES) >= 3


@pytest.mark.parametrize("name", NAMES)
def test_a_design_written_and_read_again_is_the_same(name):
    """The text that the core writes of a design gives the design again."""
    again = read_design(write_document(document_of(design(name))))

    assert again == design(name)
