"""From a design to its assessment: derive, then rules, then what was not checked."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from calc.derive import derive
from calc.model.assessment import Assessment, Cited, Finding, NotChecked, Step, worst
from calc.model.design import Design
from calc.rules import RULES
from calc.tables import Clause, RuleBook

CORE = "0.1.0"
TABLE = "table "


def assess(design: Design, book: RuleBook) -> Assessment:
    """Answer every question about ``design`` under ``book``, with the working; never raises for a design that was read.

    Returns:
        A self-contained assessment: steps by id, findings in the order of the rules, assumptions, what was not checked,
        and every clause and table that was used.
    """
    trace = derive(design, book)
    findings = tuple(finding for rule in RULES for finding in rule(trace))
    return completed(
        Assessment(
            core=CORE,
            rules=book.id,
            rules_hash=book.hash,
            verdict=worst(findings),
            design=design,
            steps=MappingProxyType(trace.steps),
            findings=findings,
            assumptions=tuple(trace.assumptions.values()),
            not_checked=(),
        ),
        book,
    )


def completed(bare: Assessment, book: RuleBook) -> Assessment:
    """The same assessment with every clause and table that was used, and with what was not checked."""
    not_checked = tuple(
        NotChecked(clause.clause, clause.why) for clause in book.coverage if clause.status != "checked"
    )
    citations = MappingProxyType(_citations(bare.steps, bare.findings, book))
    return replace(bare, not_checked=not_checked, citations=citations)


def _citations(steps: Mapping[str, Step], findings: tuple[Finding, ...], book: RuleBook) -> dict[str, Cited]:
    clauses = {clause.clause: clause for clause in book.coverage}
    wanted = dict.fromkeys(
        [key for step in steps.values() for key in step.cites]
        + [key for finding in findings for key in finding.cites]
    )
    cited = {key: _of_clause(clauses[key]) for key in wanted}
    for step in steps.values():
        for value in step.values.values():
            if value.origin.startswith(TABLE):
                key = value.origin.removeprefix(TABLE).partition(":")[0]
                if key not in cited:
                    cited[key] = _of_table(book, key)
    return cited


def _of_clause(clause: Clause) -> Cited:
    return Cited(clause.clause, clause.clause, clause.edition, clause.title, clause.standing, "")


def _of_table(book: RuleBook, key: str) -> Cited:
    table = book.cited(key)
    return Cited(
        key, table.clause, table.edition, table.title, table.standing, book.sources[table.source].url
    )
