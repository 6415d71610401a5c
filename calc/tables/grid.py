"""Reads one table or single value out of a table file, and refuses rows that are not as the columns say."""

import math
from collections.abc import Collection
from typing import Any

from calc.tables.book import STANDINGS
from calc.tables.strict import Section
from calc.tables.table import NEXT_ABOVE, NEXT_BELOW, ROW_UNIT, Band, Column, Entry, Scalar, Table

BLANK = "-"
"""How a table file writes a cell in which the table gives nothing (TOML has no null)."""


def read_one(file: str, key: str, data: object, sources: Collection[str]) -> Table | Scalar:
    """Read the section ``[key]`` of ``file``; refuses (TableError) whatever is not documented in DEVELOPERS.md."""
    section = Section(f"{file}: [{key}]", data)
    about: dict[str, Any] = {
        "key": key,
        "file": file,
        "title": section.text("title"),
        "source": section.one_of("source", sources, called="a key of sources.toml"),
        "clause": section.text("clause"),
        "edition": section.text("edition"),
        "standing": section.one_of("standing", STANDINGS),
        "basis": section.text("basis", ""),
        "note": section.text("note", ""),
    }
    if section.has("value"):
        entry = _entry(section, "value", section.take("value", object))
        found: Table | Scalar = Scalar(**about, value=entry, unit=section.text("unit"))
    else:
        found = _table(section, about)
    section.end()
    return found


def _table(section: Section, about: dict[str, Any]) -> Table:
    columns = _columns(section)
    names = [column.name for column in columns]
    keys = section.texts("keys")
    for name in keys:
        if name not in names:
            raise section.wrong(f"keys names {name!r}", f"one of: {', '.join(names)}")
    choose = _band(section, names)
    rows = tuple(
        _row(section, number, row, names) for number, row in enumerate(section.take("rows", list), start=1)
    )
    if not rows:
        raise section.wrong("has no rows", "at least one")
    _same_kind(section, names, rows)
    _told_apart(section, names, keys, rows)
    if choose is not None:
        _ascending(section, names, keys, choose, rows)
    return Table(**about, columns=columns, keys=keys, choose=choose, rows=rows)


def _columns(section: Section) -> tuple[Column, ...]:
    columns = []
    for number, data in enumerate(section.take("columns", list), start=1):
        one = Section(f"{section.place} column {number}", data)
        columns.append(Column(name=one.text("name"), unit=one.text("unit"), holds=one.text("is")))
        one.end()
    names = [column.name for column in columns]
    if not names or len(set(names)) < len(names):
        raise section.wrong(
            f"has the columns {', '.join(names) or 'none'}", "at least one, and no name twice"
        )
    for column in columns:
        if column.unit.startswith(ROW_UNIT) and column.unit[1:] not in names:
            raise section.wrong(f"{column.name} has the unit {column.unit!r}", f"a column after {ROW_UNIT}")
    return tuple(columns)


def _band(section: Section, names: Collection[str]) -> Band | None:
    if not section.has("choose"):
        return None
    one = Section(f"{section.place} choose", section.take("choose", dict))
    band = Band(
        by=one.one_of("by", names),
        takes=one.one_of("takes", (NEXT_ABOVE, NEXT_BELOW)),
        ends=one.one_of("ends", names, ""),
    )
    one.end()
    return band


def _row(section: Section, number: int, row: object, names: Collection[str]) -> tuple[Entry, ...]:
    if not isinstance(row, list) or len(row) != len(names):
        count = f"{len(row)} values" if isinstance(row, list) else repr(row)
        raise section.wrong(f"row {number} has {count}", f"{len(names)} values: {', '.join(names)}")
    return tuple(
        _entry(section, f"row {number}, {name}", value) for name, value in zip(names, row, strict=True)
    )


def _entry(section: Section, where: str, value: object) -> Entry:
    if value == BLANK:
        return None
    if isinstance(value, str) and value:
        return value
    if isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value):
        return float(value)
    raise section.wrong(f"{where} is {value!r}", f'a finite number, a word, or "{BLANK}" for nothing')


def _same_kind(section: Section, names: list[str], rows: tuple[tuple[Entry, ...], ...]) -> None:
    kinds: dict[str, bool] = {}
    for number, row in enumerate(rows, start=1):
        for name, entry in zip(names, row, strict=True):
            word = isinstance(entry, str)
            if entry is not None and kinds.setdefault(name, word) != word:
                said = f"row {number}, {name} is {_plain(entry)}"
                raise section.wrong(said, f"{'numbers' if word else 'words'} as in the rows before")


def _told_apart(
    section: Section, names: list[str], keys: tuple[str, ...], rows: tuple[tuple[Entry, ...], ...]
) -> None:
    seen: dict[tuple[Entry, ...], int] = {}
    for number, row in enumerate(rows, start=1):
        mark = tuple(row[names.index(key)] for key in keys)
        if mark in seen:
            told = f"told apart by {', '.join(keys)}" if keys else "only one row, because keys is empty"
            raise section.wrong(
                f"row {number} has the same keys as row {seen[mark]}", f"rows {told}" if keys else told
            )
        seen[mark] = number


def _ascending(
    section: Section, names: list[str], keys: tuple[str, ...], band: Band, rows: tuple[tuple[Entry, ...], ...]
) -> None:
    by, others = names.index(band.by), [names.index(key) for key in keys if key != band.by]
    ends = names.index(band.ends) if band.ends else by
    last: dict[tuple[Entry, ...], Entry] = {}
    for number, row in enumerate(rows, start=1):
        group, start, end = tuple(row[place] for place in others), row[by], row[ends]
        before = last.get(group, -math.inf)
        if not isinstance(start, float) or not isinstance(before, float) or start <= before:
            raise section.wrong(
                f"row {number}, {band.by} is {_plain(start)} after {_plain(before)}",
                "numbers that rise from row to row",
            )
        if isinstance(end, float) and end < start:
            raise section.wrong(
                f"row {number} runs from {_plain(start)} to {_plain(end)}",
                f"{band.ends} at or above {band.by}",
            )
        last[group] = end


def _plain(entry: Entry) -> str:
    if entry == -math.inf:
        return "the start"
    return f"{entry:g}" if isinstance(entry, float) else "an open end" if entry is None else repr(entry)
