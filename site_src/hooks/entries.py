"""Rows of the smaller registers: symbols, assumptions, fields of a design file, and published figures beside ours."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count, groupby

from library import ROOT
from sheets import unit_label

from calc.bridge.proved import result
from calc.model.symbols import SYMBOLS
from calc.proof import ProofRow, cases
from calc.read.fields import FIELDS, Field
from calc.read.readings import READING_FIELDS
from calc.read.words import sentences
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.fields import field_label, said_shown, section_of
from calc.render.notation import symbol_mathml
from calc.tables import RuleBook

LONG = 8
"""A case with more figures than this is closed at first."""
MEANINGS = {symbol.key: symbol.name for symbol in SYMBOLS.values()}
FINDING = "finding "
PART = re.compile(r"\.?<\w+>")


@dataclass(frozen=True, slots=True)
class SymbolRow:
    """One symbol."""

    anchor: str
    symbol: str
    meaning: str
    unit: str
    key: str


@dataclass(frozen=True, slots=True)
class AssumptionRow:
    """One default; ``href`` leads to the table it is taken from, if it is."""

    anchor: str
    label: str
    path: str
    value: str
    href: str
    why: str
    safe: bool
    standing: str


@dataclass(frozen=True, slots=True)
class FieldRow:
    """One field of a design file."""

    anchor: str
    name: str
    label: str
    wanted: str
    example: str
    required: bool


@dataclass(frozen=True, slots=True)
class FieldSection:
    """One section of a design file."""

    title: str
    anchor: str
    rows: tuple[FieldRow, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """One published figure beside ours; ``mark`` tells its place in its file of cases."""

    mark: str
    what: str
    printed: str
    ours: str
    result: str


@dataclass(frozen=True, slots=True)
class Case:
    """One published case."""

    name: str
    says: str
    long: bool
    sources: tuple[tuple[str, str], ...]
    tables: tuple[tuple[str, str], ...]
    rows: tuple[Figure, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProofFile:
    """The cases of one file."""

    title: str
    anchor: str
    intro: str
    cases: tuple[Case, ...]


def symbol_rows(words: Words) -> Iterator[SymbolRow]:
    """Every symbol of the register, in its order."""
    for symbol in SYMBOLS.values():
        printed = f"<math>{symbol_mathml(symbol.name)}</math>"
        meaning = words(f"symbol.{symbol.name}")
        yield SymbolRow(f"symbol-{slug(symbol.name)}", printed, meaning, unit_label(symbol.unit), symbol.key)


def assumption_rows(book: RuleBook, words: Words) -> Iterator[AssumptionRow]:
    """Every default, in the order of the design file."""
    for one in book.assumptions.values():
        told = said_shown(one.given.said, words) if one.given else f"as {field_label(one.same_as, words)}"
        yield AssumptionRow(
            anchor=f"assumption-{slug(one.path)}",
            label=field_label(one.path, words),
            path=one.path,
            value=told if one.given or one.same_as else "from a table",
            href=f"../tables/#table-{slug(one.table)}" if one.table else "",
            why=one.why,
            safe=one.safe_side,
            standing=one.standing,
        )


def field_sections(words: Words) -> Iterator[FieldSection]:
    """Every field of a design file, section by section."""
    for section, fields in groupby(FIELDS, key=lambda field: section_of(field.path)):
        key = PART.sub("", section).replace(".", "-")
        rows = tuple(_field(field, words) for field in fields)
        yield FieldSection(words(f"page.file-section.{key}"), f"fields-{key}", rows)


def reading_sections(words: Words) -> Iterator[FieldSection]:
    """Every line of a readings file, table by table."""
    for table, fields in groupby(
        READING_FIELDS, key=lambda field: field.path.rpartition(".")[0].partition(".")[0]
    ):
        rows = tuple(
            FieldRow(
                anchor=f"reading-{slug(PART.sub('', field.path))}",
                name=field.path.rpartition(".")[2],
                label=words(f"meter-page.line.{PART.sub('', field.path)}"),
                wanted=_wanted(field, words),
                example=f'"{field.example}"',
                required=field.required,
            )
            for field in fields
        )
        yield FieldSection(words(f"meter-page.table.{table or 'top'}"), f"readings-{table or 'top'}", rows)


def _field(field: Field, words: Words) -> FieldRow:
    path = PART.sub("", field.path)
    return FieldRow(
        anchor=f"field-{slug(path)}",
        name=path.rpartition(".")[2],
        label=field_label(path, words),
        wanted=_wanted(field, words),
        example=field.example if field.kind in ("count", "flag") else f'"{field.example}"',
        required=field.required,
    )


def _wanted(field: Field, words: Words) -> str:
    if field.choices and field.kind == "temperature":
        choices = ", ".join(f"{choice} {field.unit}" for choice in field.choices)
        return words("page.wanted.choice", choices=choices)
    units = sentences()["units"].get(field.absolute or field.unit, "")
    wanted = words(f"page.wanted.{field.kind}", units=units, choices=", ".join(field.choices))
    if field.usual is None:
        return wanted
    low, high = (f"{edge:g} {field.unit}".strip() for edge in field.usual)
    return f"{wanted}; {words('page.wanted.usual', low=low, high=high)}"


def case_files() -> dict[str, str]:
    """The files of published cases by name, in their order."""
    files = sorted((ROOT / "tests" / "published").glob("*.toml"))
    return {file.stem: file.read_text("utf-8") for file in files}


def proof_files(book: RuleBook, words: Words) -> Iterator[ProofFile]:
    """Every file of published cases, with its figures beside ours."""
    for stem, text in case_files().items():
        intro = text.partition("\n")[0].removeprefix("#").strip()
        marks = (f"{stem}.{number}" for number in count())
        found = tuple(
            _case(name.partition(": ")[2], rows, marks, book, words) for name, rows in cases(text, book)
        )
        title = words.find(f"page.published.{stem}") or stem.replace("-", " ").capitalize()
        yield ProofFile(title, f"published-{stem}", intro, found)


def _case(name: str, rows: list[ProofRow], marks: Iterator[str], book: RuleBook, words: Words) -> Case:
    agree = sum(row.agrees for row in rows if not row.must_differ)
    differ = sum(row.must_differ for row in rows)
    counts = [f"{agree} agree" if agree != 1 else "agrees"] if agree else []
    counts += [f"{differ} must differ" if differ != 1 else "must differ"] if differ else []
    return Case(
        name=name,
        says=", ".join(counts),
        long=len(rows) > LONG,
        sources=tuple(dict.fromkeys((row.source, row.where) for row in rows)),
        tables=tuple(
            (book.cited(key).title, f"../tables/#table-{slug(key)}")
            for key in dict.fromkeys(_table(row.what, book) for row in rows)
            if key
        ),
        rows=tuple(
            Figure(next(marks), _what(row.what, book, words), row.printed, row.ours, result(row, words))
            for row in rows
        ),
        notes=tuple(dict.fromkeys(row.note for row in rows if row.note)),
    )


def _table(what: str, book: RuleBook) -> str:
    """The table or single value that a figure belongs to; empty when it is none."""
    key = what.partition(":")[0]
    return key if key in book.tables or key in book.scalars else ""


def _what(what: str, book: RuleBook, words: Words) -> str:
    """What was compared, in words: a table's row and column, or a quantity's meaning with its part."""
    if _table(what, book):
        return what.partition(": ")[2] or what
    if what.startswith(FINDING):
        return words(f"finding.{what.removeprefix(FINDING)}.name")
    part, _, key = what.rpartition(".")
    if key not in MEANINGS:
        return what
    meaning = words(f"symbol.{MEANINGS[key]}")
    return f"{meaning} ({part.partition('.')[2]})" if part else meaning
