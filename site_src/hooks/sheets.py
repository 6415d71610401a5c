"""The tables and single values of the rule book, as sheets to print: every cell as text, every column with its unit."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.model.units import UNITS
from calc.render.anchors import slug
from calc.render.numbers import MINUS, show
from calc.tables import RuleBook, Scalar, Table

OWN_SYSTEM = {"m": "metric", "ohm/km": "metric"}
ROW_UNIT = "@"


@dataclass(frozen=True, slots=True)
class Head:
    """One column: what it holds, its unit as printed, and whether it holds numbers."""

    title: str
    unit: str
    number: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table, or one single value, with all that it says of itself."""

    anchor: str
    key: str
    subject: str
    about: Table | Scalar
    value: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]


def sheets(book: RuleBook) -> Iterator[Sheet]:
    """Every table and single value, file by file in the order of the files' names, tables first."""
    entries = [*book.tables.values(), *book.scalars.values()]
    for entry in sorted(entries, key=lambda entry: entry.file):
        yield _sheet(entry)


def unit_label(unit: str) -> str:
    """A unit as it is printed: Ω/km for ohm/km; nothing for a column whose rows have units of their own."""
    if unit.startswith(ROW_UNIT):
        return ""
    return show(1.0, unit, system=OWN_SYSTEM.get(unit, "us")).unit if unit in UNITS else unit


def _sheet(entry: Table | Scalar) -> Sheet:
    single = isinstance(entry, Scalar)
    return Sheet(
        anchor=f"table-{slug(entry.key)}",
        key=entry.key,
        subject=entry.file.removesuffix(".toml"),
        about=entry,
        value=f"{_text(entry.value)} {unit_label(entry.unit)}".strip() if single else "",
        heads=() if single else tuple(_head(entry, place) for place in range(len(entry.columns))),
        rows=() if single else tuple(tuple(_text(cell) for cell in row) for row in entry.rows),
    )


def _head(table: Table, place: int) -> Head:
    column = table.columns[place]
    number = all(isinstance(row[place], float) or row[place] is None for row in table.rows)
    return Head(column.holds[:1].upper() + column.holds[1:], unit_label(column.unit), number)


def _text(entry: object) -> str:
    if entry is None:
        return "–"
    return f"{entry:.10g}".replace("-", MINUS) if isinstance(entry, float) else str(entry)
