"""Every number leads to where it came from, every cite to a clause, and every finding to its working."""

import re

import pytest

from calc.derive import METHODS
from calc.model.assessment import Verdict
from calc.model.formula import parse
from calc.model.units import UNITS, convert
from calc.tables import load_book
from calc.tables.table import Scalar
from tests.contract.scenes import NAMES, assessed

BOOK = load_book()
CLAUSES = {clause.clause for clause in BOOK.coverage}
ANSWERED = (Verdict.HOLDS, Verdict.TIGHT, Verdict.FAILS)


def same(value, unit, other, other_unit):
    """The same number, whatever the unit; the same word."""
    if isinstance(value, str) or isinstance(other, str):
        return str(value) == str(other)
    there = float(other) if unit == other_unit else convert(float(other), other_unit, unit)
    return float(value) == pytest.approx(there, rel=1e-12, abs=1e-15)


def assert_leads_back(value, assessment, before):
    """The origin of a value is there and says the same."""
    kind, _, place = value.origin.partition(" ")
    if kind == "given":
        given = assessment.design.values[place]
        assert same(value.value, value.unit, given.value, given.unit), value
    elif kind == "assumed":
        assert place in {one.path for one in assessment.assumptions}, value
        assert place not in assessment.design.values, value
    elif kind == "step":
        assert place in before, value
        step = assessment.steps[place]
        assert same(value.value, value.unit, step.result, step.unit), (value, step.result)
    else:
        assert kind == "table", value
        assert_in_table(value, place)


def assert_in_table(value, place):
    """``ambient_factor: upto 40 degC, c90`` is a cell of that table, and holds that number; nothing else counts."""
    key, _, where = place.partition(": ")
    entry = BOOK.cited(key)
    if isinstance(entry, Scalar):
        assert where == ""
        assert same(value.value, value.unit, entry.value, entry.unit), value
        return
    *which, column = where.split(", ")
    places = {one.name: number for number, one in enumerate(entry.columns)}
    if which and which[-1].startswith("beyond the last row"):
        assert value.value == 0.0, value
        return
    rows = [
        row
        for row in entry.rows
        if all(any(said(part, one, row[places[one.name]]) for one in entry.columns) for part in which)
    ]
    assert len(rows) == 1, (value.origin, len(rows))
    cell = rows[0][places[column]]
    unit = entry.columns[places[column]].unit
    unit = str(rows[0][places[unit[1:]]]) if unit.startswith("@") else unit
    if cell is None:
        assert value.value == 0.0, value
    else:
        assert same(value.value, value.unit, cell, unit if unit in UNITS else value.unit), value


def said(part, column, cell):
    """Whether a part of an origin («10 AWG», «upto 40 degC», «copper») is what a cell says."""
    text = f"{cell:g}" if isinstance(cell, float) else str(cell)
    text = f"{text} {column.unit}" if column.unit else text
    return part in (text, f"{column.name} {text}")


@pytest.mark.parametrize("name", NAMES)
def test_every_value_of_every_step_leads_back(name):
    """To an input, an assumption, a table's cell or an earlier step, each with the same number."""
    assessment, before = assessed(name), set()
    for key, step in assessment.steps.items():
        assert key == step.id
        assert step.values, step.id
        for value in step.values.values():
            assert_leads_back(value, assessment, before)
        before.add(key)


@pytest.mark.parametrize("name", NAMES)
def test_a_step_uses_the_values_it_names(name):
    """The names of its formula are its values, no more and no fewer; a look-up says by which method."""
    for step in assessed(name).steps.values():
        assert bool(step.formula) != bool(step.method), step.id
        if step.formula:
            assert set(parse(step.formula).names) == set(step.values), step.id


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_a_finding_leads_back(name):
    """What was worked out, the limit, and the numbers of its remarks."""
    assessment = assessed(name)
    for finding in assessment.findings:
        values = [
            finding.actual,
            finding.limit,
            *(one for remark in finding.remarks for one in remark.values.values()),
        ]
        for value in values:
            if value is not None and value.unit != "mm2":  # of a size in words, whose area the tables give
                assert_leads_back(value, assessment, assessment.steps)


@pytest.mark.parametrize("name", NAMES)
def test_findings_stand_on_steps(name):
    """An answer names the steps it stands on; one that is open or does not arise may have none."""
    assessment = assessed(name)
    for finding in assessment.findings:
        assert set(finding.steps) <= set(assessment.steps), finding.id
        assert len(set(finding.steps)) == len(finding.steps)
        if finding.verdict in ANSWERED:
            assert finding.steps, (finding.id, finding.part)


@pytest.mark.parametrize("name", NAMES)
def test_findings_have_what_their_verdict_asks_for(name):
    """Numbers with an answer, inputs with an open question, a reason where it does not arise."""
    for finding in assessed(name).findings:
        answered = finding.verdict in ANSWERED
        numbers = (finding.actual, finding.limit, finding.margin, finding.tight_below)
        assert all((one is not None) is answered for one in numbers), finding
        assert bool(finding.needs) is (finding.verdict is Verdict.NEEDS_INPUT), finding
        assert finding.cites, finding.id
        if finding.verdict is Verdict.DOES_NOT_APPLY:
            assert finding.reason, finding


@pytest.mark.parametrize("name", NAMES)
def test_what_was_cited_is_listed(name):
    """Every clause that is cited, and every table a number came from, stands under citations; nothing else does."""
    assessment = assessed(name)
    cited = {key for step in assessment.steps.values() for key in step.cites}
    cited |= {key for finding in assessment.findings for key in finding.cites}
    origins = [value.origin for step in assessment.steps.values() for value in step.values.values()]
    tables = {re.match(r"table (\w+)", origin)[1] for origin in origins if origin.startswith("table ")}

    assert cited <= CLAUSES
    assert set(assessment.citations) == cited | tables
    for key, one in assessment.citations.items():
        assert one.key == key
        assert one.title
        assert one.standing


@pytest.mark.parametrize("name", NAMES)
def test_an_assumption_is_an_input_nobody_gave(name):
    """With its value, its reason and whether it is on the safe side; each path once."""
    assessment = assessed(name)
    paths = [one.path for one in assessment.assumptions]

    assert len(set(paths)) == len(paths)
    for one in assessment.assumptions:
        assert one.path not in assessment.design.values
        assert one.value
        assert one.why.endswith((".", "?"))


@pytest.mark.parametrize("method", METHODS, ids=lambda method: method.symbol)
def test_every_cite_of_a_method_is_a_clause_that_was_considered(method):
    """The coverage register knows it."""
    assert set(method.cites) <= CLAUSES


@pytest.mark.parametrize("clause", BOOK.coverage, ids=lambda clause: clause.clause)
def test_a_checked_clause_is_cited_by_a_finding_that_checks_it(clause):
    """What the register says is checked, some finding of some design rests on; what is not checked, none does."""
    citing = {
        finding.id for name in NAMES for finding in assessed(name).findings if clause.clause in finding.cites
    }
    steps = {key for name in NAMES for step in assessed(name).steps.values() for key in step.cites}

    if clause.status == "not checked":
        assert not citing
    else:
        assert citing or clause.clause in steps
        assert set(clause.findings) <= {finding.id for name in NAMES for finding in assessed(name).findings}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_not_checked_is_said(name):
    """Every clause that is not wholly checked, with the reason."""
    assert [one.clause for one in assessed(name).not_checked] == [
        clause.clause for clause in BOOK.coverage if clause.status != "checked"
    ]
    assert all(one.why for one in assessed(name).not_checked)
