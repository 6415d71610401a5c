"""A design as the text of a design file, in one fixed order, so that it can be saved, read again and compared."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from calc.model.design import Design
from calc.read.sections import SECTIONS, Section, field_for

BARE = re.compile(r"[A-Za-z0-9_-]+")
ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f"}
SPECIAL = re.compile(r'["\\\x00-\x1f\x7f\ud800-\udfff]')
AS_WRITTEN = frozenset({"count", "flag"})
"""Kinds that stand in a file without quotes."""

Document = dict[str, object]


def write_document(document: Mapping[str, object]) -> str:
    """The text of a design file with the lines and tables of ``document``; reading the text gives the document again.

    Known names come in the order of the register; names that no design has come after them, so that nothing a reader
    typed is lost. Half a character (which no file can hold) is replaced by U+FFFD. Refuses (TypeError) what is
    neither text, number, yes or no, list nor table.
    """
    return "\n".join(_table(document, SECTIONS[""], "")).lstrip("\n") + "\n"


def document_of(design: Design) -> Document:
    """The document of a design: every value in its author's own words, in the tables of a design file."""
    document: Document = {}
    for name, count in (("string", design.strings), ("coupler", design.couplers), ("run", len(design.runs))):
        if count:
            document[name] = [{} for _ in range(count)]
    for path, given in design.values.items():
        as_written = field_for(path).kind in AS_WRITTEN
        _place(document, design.runs, path)[path.rpartition(".")[2]] = (
            given.value if as_written else given.said
        )
    return document


def _place(document: Any, runs: tuple[str, ...], path: str) -> Any:
    """The table of ``document`` in which the value at ``path`` stands; made when it is not there yet."""
    section, _, rest = path.partition(".")
    if not rest:
        return document
    if not SECTIONS[section].many:
        return document.setdefault(section, {})
    if section == "run":
        return document[section][runs.index(rest.rpartition(".")[0])]
    number, *inner = rest.split(".")
    table = document[section][int(number) - 1]
    return table.setdefault(inner[0], {}) if len(inner) > 1 else table


def _table(table: Mapping[str, object], section: Section | None, path: str) -> Iterator[str]:
    """The lines of one table: its values, then the tables inside it, each below an empty line and its header."""
    known = _known(section)
    names = [*(name for name in known if name in table), *(name for name in table if name not in known)]
    for name in names:
        if not _is_table(table[name]) and not _is_tables(table[name]):
            yield f"{_key(name)} = {_value(table[name])}"
    for name in names:
        value = table[name]
        header = f"{path}.{_key(name)}" if path else _key(name)
        if isinstance(value, Mapping):
            yield from ("", f"[{header}]", *_table(value, known.get(name), header))
        elif isinstance(value, list | tuple) and _is_tables(value):
            for entry in value:
                yield from ("", f"[[{header}]]", *_table(entry, known.get(name), header))


def _known(section: Section | None) -> dict[str, Section | None]:
    """The names a section knows, in order, with the section each of them is (None for a value)."""
    if section is None:
        return {}
    names: dict[str, Section | None] = dict.fromkeys(section.fields)
    names.update(section.inner if section.name else {name: inner for name, inner in SECTIONS.items() if name})
    return names


def _is_table(value: object) -> bool:
    return isinstance(value, Mapping)


def _is_tables(value: object) -> bool:
    return (
        isinstance(value, list | tuple) and bool(value) and all(isinstance(entry, Mapping) for entry in value)
    )


def _key(name: str) -> str:
    return name if BARE.fullmatch(name) else _quoted(name)


def _value(value: object) -> str:
    match value:
        case str():
            return _quoted(value)
        case bool():
            return "true" if value else "false"
        case int() | float():
            return repr(value)
        case list() | tuple():
            return f"[{', '.join(_value(entry) for entry in value)}]"
        case Mapping():
            return f"{{{', '.join(f'{_key(name)} = {_value(entry)}' for name, entry in value.items())}}}"
    raise TypeError(
        f"{type(value).__name__} cannot stand in a design file; use text, a number, true or false"
    )


def _quoted(text: str) -> str:
    return f'"{SPECIAL.sub(_escape, text)}"'


def _escape(found: re.Match[str]) -> str:
    letter = found[0]
    if "\ud800" <= letter <= "\udfff":
        return "\N{REPLACEMENT CHARACTER}"
    return ESCAPES.get(letter, f"\\u{ord(letter):04x}")
