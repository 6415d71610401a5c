"""Reads the three files that are not tables: the bibliography, the assumptions, and what was considered."""

import re
from collections.abc import Collection, Mapping
from typing import Any

from calc.model.design import Given
from calc.model.units import UNITS
from calc.tables.book import STANDINGS, STATUSES, Assumed, Clause, Source
from calc.tables.strict import Section, each
from calc.tables.table import Cell, Scalar, Table, TableError

QUANTITY = re.compile(r"(-?[0-9.]+) (\S+)")
FLAGS = {"true": True, "false": False}
Entries = Mapping[str, Table | Scalar]


def read_source(key: str, data: object) -> Source:
    """Read one line of the bibliography."""
    section = Section(f"sources.toml: [{key}]", data)
    found = Source(
        key=key,
        title=section.text("title"),
        publisher=section.text("publisher", ""),
        edition=section.text("edition", ""),
        year=section.text("year", ""),
        url=section.text("url", ""),
        standing=section.one_of("standing", STANDINGS),
        note=section.text("note", ""),
    )
    section.end()
    return found


def read_assumptions(
    data: Mapping[str, Any], sources: Collection[str], entries: Entries
) -> dict[str, Assumed]:
    """Read what is taken when nobody gave a value; each path once, each with one place to take it from."""
    found: dict[str, Assumed] = {}

    def read(section: Section) -> None:
        one = _assumed(section, sources, entries)
        if one.path in found:
            raise section.wrong(f"{one.path} stands here twice", "each path once")
        found[one.path] = one

    _only(data, "assumptions.toml", "assumption")
    each("assumptions.toml: [[assumption]]", data.get("assumption", []), read)
    return found


def _assumed(section: Section, sources: Collection[str], entries: Entries) -> Assumed:
    path, value, same_as = section.text("path"), section.text("value", ""), section.text("same_as", "")
    table = section.one_of("table", entries, "", called="the name of a table or single value")
    column = section.text("column", "")
    if [bool(value), bool(table), bool(same_as)].count(True) != 1:
        said = f"{path} has not one place to take its value from"
        raise section.wrong(said, "one of value, table and same_as")
    given = None
    if value:
        given = _said(section, value)
    elif table:
        given = _looked_up(section, entries[table], column)
    return Assumed(
        path=path,
        value=value,
        table=table,
        column=column,
        same_as=same_as,
        given=given,
        why=section.text("why"),
        safe_side=section.take("safe_side", bool),
        standing=section.one_of("standing", STANDINGS),
        source=section.one_of("source", sources, "", called="a key of sources.toml"),
    )


def _said(section: Section, text: str) -> Given:
    """A value as a design file would have it: a quantity, a count, yes or no, or a word."""
    quantity = QUANTITY.fullmatch(text)
    if quantity is not None:
        if quantity[2] not in UNITS:
            units = ", ".join(filter(None, UNITS))
            raise section.wrong(f"value is {text!r}", f"a unit the core knows: {units}")
        return Given(float(quantity[1]), quantity[2], text)
    if text.isdecimal():
        return Given(int(text), "", text)
    return Given(FLAGS.get(text, text), "", text)


def _looked_up(section: Section, entry: Table | Scalar, column: str) -> Given | None:
    """The value of a pointer; None when the table has several rows, so that the design must choose one."""
    columns = [one.name for one in entry.columns] if isinstance(entry, Table) else [""]
    if column not in columns:
        raise section.wrong(
            f"column is {column!r}", f"one of: {', '.join(columns)}" if columns[0] else "no column"
        )
    if isinstance(entry, Scalar):
        return _given(entry.cell)
    return None if entry.keys else _given(entry.cell(column))


def _given(cell: Cell) -> Given | None:
    if cell.value is None:
        return None
    text = f"{cell.value:g}" if isinstance(cell.value, float) else cell.value
    return Given(cell.value, cell.unit, f"{text} {cell.unit}".strip())


def read_coverage(data: Mapping[str, Any]) -> tuple[Clause, ...]:
    """Read what was considered, clause by clause; what is not wholly checked must say why."""
    found: list[Clause] = []

    def read(section: Section) -> None:
        one = Clause(
            clause=section.text("clause"),
            title=section.text("title"),
            status=section.one_of("status", STATUSES),
            findings=section.texts("findings", ()),
            says=section.text("says"),
            why=section.text("why", ""),
            edition=section.text("edition"),
            standing=section.one_of("standing", STANDINGS),
        )
        said = f"{one.clause} is {one.status}"
        if bool(one.findings) == (one.status == "not checked"):
            raise section.wrong(
                f"{said}, findings = {list(one.findings)}", "findings unless it is not checked"
            )
        if bool(one.why) == (one.status == "checked"):
            raise section.wrong(f"{said}, why = {one.why!r}", "a reason unless it is checked")
        found.append(one)

    _only(data, "coverage.toml", "clause")
    each("coverage.toml: [[clause]]", data.get("clause", []), read)
    return tuple(found)


def _only(data: Mapping[str, Any], file: str, name: str) -> None:
    others = sorted(set(data) - {name})
    if others:
        raise TableError(f"{file}: does not know {', '.join(others)}; wanted only [[{name}]]")
