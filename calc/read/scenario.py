"""A design file, or the same tables from a form, as a Design; or everything that is wrong with it at once."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from calc.model.design import Design
from calc.model.problems import Refused
from calc.read.change import changed_document
from calc.read.names import too_many, unknown_line, unknown_table, wrong_brackets
from calc.read.parts import COUNTS, Table, Tables, counts, modules, run_names
from calc.read.reading import Reading
from calc.read.sections import SECTIONS, Section
from calc.read.text import TABLE, read_toml
from calc.read.together import check_together
from calc.read.words import Mistake, Nothing, Phrase, Trail, Wrong, plain, put

OPTIONS = "layouts.or"
MOST_PARTS = 50
"""Runs, couplers or unlike strings in one design."""


def read_design(text: str | bytes, language: str = "en") -> Design | Refused:
    """The design written in ``text`` (TOML); refuses with every problem at once, in the order of the file."""
    document = read_toml(text)
    if isinstance(document, Mistake):
        return Refused((put(document, language),))
    return read_document(document, language)


def read_document(document: Table, language: str = "en") -> Design | Refused:
    """The design in a document of tables, as TOML or a form gives it; refuses like ``read_design``."""
    if not isinstance(document, Mapping) or not document:
        return Refused((put(Mistake("", (), Nothing(), Wrong("file.empty"), TABLE), language),))
    reading = Reading()
    _lines_above(reading, document)
    found = {name: _tables(reading, section, document) for name, section in SECTIONS.items() if name}
    runs = run_names(reading, found["run"])
    for name, tables in found.items():
        for place, table in tables.items():
            path = f"{name}.{_part(name, place, runs)}"
            _table(reading, SECTIONS[name], table, path, (name, place) if SECTIONS[name].many else (name,))
    counts(reading, document)
    check_together(reading, modules(reading, document, found["string"]))
    if reading.mistakes:
        return reading.problems(document, language)
    design = Design(
        values=MappingProxyType(reading.values),
        runs=tuple(runs.values()),
        strings=len(found["string"]),
        couplers=len(found["coupler"]),
        notes=tuple(reading.notes),
    )
    options = tuple(_options(reading, document, design, language))
    return reading.problems(document, language) if reading.mistakes else replace(design, options=options)


def read_with(
    document: Table, design: Design, path: str, value: str, language: str = "en"
) -> Design | Refused:
    """The design as its document would read with another value at a path, or with none where the text is empty.

    Refuses like ``read_design``, and the path of a further run, string or coupler than the design has: a mistyped name
    would add one.
    """
    other = read_document(changed_document(document, {path: value, OPTIONS: ""}), language)
    if isinstance(other, Refused):
        return other
    own = {
        "run": [f"run.{name}" for name in design.runs],
        "string": [f"string.{number + 1}" for number in range(design.strings)],
        "coupler": [f"coupler.{number + 1}" for number in range(design.couplers)],
    }.get(path.partition(".")[0], [])
    new_run = not set(other.runs) <= set(design.runs)
    more = new_run or other.strings > design.strings or other.couplers > design.couplers
    if not own or not more:
        return other
    wrong = Wrong("name.other-part", {"parts": ", ".join(own)})
    better = f"{own[0]}.{path.rpartition('.')[2]}"
    return Refused((put(Mistake(path, (), Phrase("as-is", {"text": plain(path)}), wrong, better), language),))


def _options(
    reading: Reading, document: Table, design: Design, language: str
) -> Iterator[tuple[str, Design]]:
    """The design with each of the other values that its file asks for, as the file would read with that value."""
    given = reading.values.get(OPTIONS)
    if given is None:
        return
    for said in str(given.value).split("; "):
        path, _, value = (part.strip() for part in said.partition("="))
        found = read_with(document, design, path, value, language)
        if isinstance(found, Design):
            yield said, found
        else:
            wrong = Wrong("value.bad-option", {"option": plain(said), "wanted": found.problems[0].wanted})
            reading.refuse(OPTIONS, tuple(OPTIONS.split(".")), given.said, wrong, _example(design))


def _example(design: Design) -> str:
    """Other values that this design may be tried with."""
    run = f"run.{design.runs[0]}.size = 6 AWG; " if design.runs else ""
    return f'"{run}controller.max_voltage = 150 V"'


def _lines_above(reading: Reading, document: Table) -> None:
    """Read the lines above the first table, and note tables that no design file has."""
    above = SECTIONS[""]
    for name, about in above.fields.items():
        if name in document:
            reading.value(about, document[name], name, (name,))
    for name, raw in document.items():
        if name in above.fields or (name and name in SECTIONS):
            continue
        if isinstance(raw, Mapping) or (isinstance(raw, list) and raw and isinstance(raw[0], Mapping)):
            unknown_table(reading, name, (name,))
        else:
            unknown_line(reading, above, (name, raw), "", (name,))


def _tables(reading: Reading, section: Section, document: Table) -> Tables:
    """The tables of a section; notes those that are something else."""
    name = section.name
    if name not in document:
        return {}
    raw = document[name]
    listed = raw if section.many else [raw]
    if not isinstance(listed, list | tuple):
        wrong_brackets(reading, section, raw, name, (name,))
        return {}
    if len(listed) > MOST_PARTS:
        too_many(reading, section, len(listed), MOST_PARTS)
        return {}
    for place, table in enumerate(listed):
        if not isinstance(table, Mapping):
            path = f"{name}.{place + 1}" if section.many else name
            wrong_brackets(reading, section, table, path, (name, place))
    return {place: table for place, table in enumerate(listed) if isinstance(table, Mapping)}


def _part(name: str, place: int, runs: Mapping[int, str]) -> str:
    """What tells repeated tables apart in a path, with its dot: a run's name, else its number."""
    if not SECTIONS[name].many:
        return ""
    return f"{runs[place]}." if name == "run" else f"{place + 1}."


def _table(reading: Reading, section: Section, table: Table, path: str, trail: Trail) -> None:
    """Read one table's lines and the tables inside it."""
    for name, about in section.fields.items():
        if name in table:
            reading.value(about, table[name], path + name, (*trail, name))
        elif about.required and about.path not in COUNTS:
            reading.missing(about, path + name, (*trail, name))
    for name, raw in table.items():
        if name not in section.fields and name not in section.inner:
            unknown_line(reading, section, (name, raw), path, (*trail, name))
    for name, inner in section.inner.items():
        within = table.get(name, {})
        if not isinstance(within, Mapping):
            wrong_brackets(reading, inner, within, path + name, (*trail, name))
        elif name in table:
            _table(reading, inner, within, f"{path}{name}.", (*trail, name))
