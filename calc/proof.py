"""Published values against ours: every case of a case file, each with its source, the printed figure and our own.

A case file (``tests/published/*.toml``) names its ``[source]`` and lists entries of six kinds:

    [[cells]]   rows of a published table, compared with ours cell by cell
    [[value]]   one figure, compared with a single value or an assumption
    [[lookup]]  one figure, compared with what a table answers
    [[sum]]     a formula of the source's own, worked out with its own figures
    [[clause]]  what a clause asks, which must have its place among what was considered
    [[case]]    a worked example as a whole small design, compared with the steps and findings of our check

A figure is written with the digits in which it was printed, and ours agrees when it is within half a unit of the last
one. ``widen`` allows more and needs a ``note``. What was published and is wrong stands under ``wrong`` or ``not_ours``
with the reason under ``why``; then ours must not be that.
"""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from calc.assess import assess
from calc.model.assessment import WORST_FIRST, Assessment, Verdict
from calc.model.formula import parse
from calc.model.problems import Refused
from calc.model.units import UNITS, convert
from calc.read.scenario import read_design
from calc.tables import Cell, RuleBook

Entry = Mapping[str, Any]
Ours = float | str | bool | None

PRINTED = re.compile(r"(-?\d+(?:\.(\d+))?)(?: (\S.*))?")
LAST_BITS = 1e-9
"""Slack for the last bits of a sum, far below any printed digit."""
BLANK = "-"
NOTHING = "nothing"
COMMON = frozenset({"id", "name", "source", "where", "note"})
KINDS: Mapping[str, frozenset[str]] = {
    "cells": frozenset({"table", "match", "columns", "keys", "rows", "not_ours", "why"}),
    "value": frozenset({"key", "assumption", "expect"}),
    "lookup": frozenset({"table", "match", "at", "column", "expect", "widen", "wrong", "why"}),
    "sum": frozenset({"formula", "given", "expect"}),
    "clause": frozenset({"clause", "says"}),
    "case": frozenset({"made_up", "design", "expect", "widen", "finding", "wrong"}),
}


class ProofError(ValueError):
    """A case file is not as it should be; the message names the case and says what is wanted."""


@dataclass(frozen=True, slots=True)
class ProofRow:
    """One published figure beside ours. Where ``must_differ``, the published one is wrong and ours must not be it."""

    id: str
    case: str
    source: str
    where: str
    what: str
    printed: str
    ours: str
    agrees: bool
    note: str
    must_differ: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as printed: its text, number, unit, and the distance within which another one agrees."""

    text: str
    number: float
    unit: str
    within: float
    decimals: int


def prove(case_text: str, book: RuleBook) -> list[ProofRow]:
    """Return one row for each published figure of a case file; refuses (ProofError) a file that is not one."""
    return [row for _, rows in cases(case_text, book) for row in rows]


def cases(case_text: str, book: RuleBook) -> Iterator[tuple[str, list[ProofRow]]]:
    """Yield each case of a case file by name with its rows, in the order of the file."""
    data = tomllib.loads(case_text)
    source = data.pop("source", {}).get("key", "")
    for kind, entries in data.items():
        if kind not in KINDS:
            raise ProofError(f"[[{kind}]] is not a kind of case; wanted one of: {', '.join(KINDS)}")
        for entry in entries:
            yield _named(entry), _rows(kind, {"source": source, "note": "", **entry}, book)


def _named(entry: Entry) -> str:
    return f"{entry.get('id', '?')}: {entry.get('name', '?')}"


def _rows(kind: str, entry: Entry, book: RuleBook) -> list[ProofRow]:
    try:
        _check(kind, entry, book)
        return list(READERS[kind](entry, book))
    except (KeyError, ValueError) as error:
        raise ProofError(f"{_named(entry)}: {error}") from error


def _check(kind: str, entry: Entry, book: RuleBook) -> None:
    unknown, missing = sorted(set(entry) - COMMON - KINDS[kind]), sorted(COMMON - set(entry))
    if unknown:
        raise ValueError(f"does not know {', '.join(unknown)}; wanted no keys but those of [[{kind}]]")
    if missing:
        raise ValueError(f"has no {', '.join(missing)}")
    if entry["source"] not in book.sources:
        raise ValueError(f"source is {entry['source']!r}; wanted a key of sources.toml")
    wrong = entry.get("wrong", "")
    why = wrong.get("why") if isinstance(wrong, dict) else entry.get("why")
    if ("wrong" in entry or "not_ours" in entry) and not why:
        raise ValueError("calls an answer wrong; wanted the reason under why")
    if "widen" in entry and not entry["note"]:
        raise ValueError("widens a tolerance; wanted the reason under note")


def _row(entry: Entry, what: str, printed: str, ours: str, *, agrees: bool) -> ProofRow:
    return ProofRow(
        id=entry["id"],
        case=entry["name"],
        source=entry["source"],
        where=entry["where"],
        what=what,
        printed=printed,
        ours=ours,
        agrees=agrees,
        note=entry["note"],
    )


def _but(entry: Entry, row: ProofRow, why: str) -> ProofRow:
    """The same row where ours must not be what was printed."""
    return replace(row, agrees=not row.agrees, note=why or entry["note"], must_differ=True)


def _cells(entry: Entry, book: RuleBook) -> Iterator[ProofRow]:
    table, columns, keys = book.table(entry["table"]), entry["columns"], entry["keys"]
    compared = [column for column in columns if column not in keys] or columns  # a bare list is all keys
    refuted = {tuple(one) for one in entry.get("not_ours", ())}
    for printed in entry["rows"]:
        values = dict(zip(columns, printed, strict=True))
        match = {**entry.get("match", {}), **{key: values[key] for key in keys}}
        for column in compared:
            cell = table.find(column, **match) or Cell(None, "", f"no row {values}")
            wanted = None if values[column] == BLANK else values[column]
            row = _row(
                entry,
                cell.origin.removeprefix("table "),
                _plain(wanted, cell.unit),
                _plain(cell.value, cell.unit),
                agrees=cell.value == wanted,
            )
            mark = (*(values[key] for key in keys), column)
            yield _but(entry, row, entry["why"]) if mark in refuted else row


def _value(entry: Entry, book: RuleBook) -> Iterator[ProofRow]:
    if "assumption" in entry:
        given = book.assumptions[entry["assumption"]].given
        cell = Cell(given.value if given else None, given.unit if given else "", entry["assumption"])
    else:
        cell = book.scalar(entry["key"])
    yield _compared(entry, cell.origin.removeprefix("table "), entry["expect"], cell.value, cell.unit)


def _lookup(entry: Entry, book: RuleBook) -> Iterator[ProofRow]:
    table, match = book.table(entry["table"]), entry.get("match", {})
    cell = (
        table.band(entry["column"], entry["at"], **match)
        if "at" in entry
        else table.cell(entry["column"], **match)
    )
    what = cell.origin.removeprefix("table ")
    yield _compared(entry, what, entry["expect"], cell.value, cell.unit, entry.get("widen", ""))
    if "wrong" in entry:
        yield _but(entry, _compared(entry, what, entry["wrong"], cell.value, cell.unit), entry["why"])


def _sum(entry: Entry, _book: RuleBook) -> Iterator[ProofRow]:
    given = {name: float(value) for name, value in entry["given"].items()}
    figures = ", ".join(f"{name} = {value:g}" for name, value in given.items())
    unit = _figure(entry["expect"], "").unit
    ours = parse(entry["formula"]).evaluate(given)
    yield _compared(entry, f"{entry['formula']}, with {figures}", entry["expect"], ours, unit)


def _clause(entry: Entry, book: RuleBook) -> Iterator[ProofRow]:
    found = [clause for clause in book.coverage if clause.clause == entry["clause"]]
    ours = f"{found[0].status}: {', '.join(found[0].findings) or found[0].why}" if found else NOTHING
    yield _row(entry, f"clause {entry['clause']}", entry["says"], ours, agrees=bool(found))


def _case(entry: Entry, book: RuleBook) -> Iterator[ProofRow]:
    design = read_design(entry["design"])
    if isinstance(design, Refused):
        raise ValueError("; ".join(problem.line() for problem in design.problems))  # noqa: TRY004
    assessment = assess(design, book)
    widen, wrong = entry.get("widen", {}), dict(entry.get("wrong", {}))
    why = wrong.pop("why", "")
    for key, printed in entry.get("expect", {}).items():
        yield _compared(entry, key, printed, *_quantity(assessment, key), widen.get(key, ""))
    for key, printed in wrong.items():
        yield _but(entry, _compared(entry, key, printed, *_quantity(assessment, key)), why)
    if "finding" in entry:
        wanted = entry["finding"]
        ours = _verdict(assessment, wanted["id"], wanted.get("part", ""))
        yield _row(
            entry, f"finding {wanted['id']}", wanted["verdict"], ours, agrees=ours == wanted["verdict"]
        )


READERS: Mapping[str, Callable[[Entry, RuleBook], Iterator[ProofRow]]] = {
    "cells": _cells,
    "value": _value,
    "lookup": _lookup,
    "sum": _sum,
    "clause": _clause,
    "case": _case,
}


def _quantity(assessment: Assessment, key: str) -> tuple[Ours, str]:
    step = assessment.steps.get(key)
    return (None, "") if step is None else (step.result, step.unit)


def _verdict(assessment: Assessment, finding: str, part: str) -> str:
    """The worst verdict of the findings with this id (of one part, if named)."""
    found: set[Verdict] = {
        one.verdict for one in assessment.findings if one.id == finding and part in ("", one.part)
    }
    return next((str(verdict) for verdict in WORST_FIRST if verdict in found), NOTHING)


def _compared(
    entry: Entry, what: str, printed: str | bool, ours: Ours, unit: str, widen: str = ""
) -> ProofRow:
    if isinstance(printed, bool) or isinstance(ours, (bool, str)) or ours is None:
        text = _plain(ours, unit)
        return _row(entry, what, _plain(printed, ""), text, agrees=text == _plain(printed, ""))
    figure = _figure(printed, widen)
    number = convert(ours, unit, figure.unit) if unit in UNITS and figure.unit in UNITS else ours
    if unit not in UNITS and unit != figure.unit:
        raise ValueError(f"{what} is in {unit!r}; wanted {printed!r} in the same unit")
    text = f"{number:.{figure.decimals + 1}f} {figure.unit}".strip()
    return _row(
        entry, what, figure.text, text, agrees=abs(number - figure.number) <= figure.within + LAST_BITS
    )


def _figure(printed: str, widen: str) -> Figure:
    """Read a figure as printed; what agrees with it is half a unit of its last digit away, or the wider distance."""
    found = PRINTED.fullmatch(printed)
    if found is None:
        raise ValueError(f"{printed!r} is not a figure; wanted digits and a unit, such as '8.52 A'")
    decimals = len(found[2] or "")
    within = _figure(widen, "").number if widen else 0.5 * 10**-decimals
    return Figure(printed, float(found[1]), found[3] or "", within, decimals)


def _plain(value: object, unit: str) -> str:
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = f"{value:.10g}" if isinstance(value, (int, float)) else str(value)
    return f"{text} {unit}".strip()
