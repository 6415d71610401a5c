"""Readings as a form gives them: a text for each path, from which come Readings, the text of a file, and back again."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from calc.model.meter import Readings
from calc.model.problems import Refused
from calc.read.readings import HEADERS, READING_FIELDS, read_readings_document
from calc.read.text import read_toml
from calc.read.words import Mistake, put
from calc.read.write import write_document

Texts = dict[str, str]
Document = dict[str, Any]

TEMPERATURES = ("air", "module")
MOST = 1000
"""More than a form of as many strings as a file may have has fields that anybody fills."""
BARE = re.compile(r"[+-]?[0-9]+(\.[0-9]*)?|[+-]?\.[0-9]+")
PLACES = {one.path.replace("<string>", "string"): one for one in READING_FIELDS}
STRING = re.compile(r"string\.([1-9][0-9]{0,2})\.(name|voc|isc|current)")


def unit_of(path: str, system: str) -> str:
    """The unit that stands beside a field, and that a bare number in it has; empty for words.

    Args:
        path: as in a readings file, a string by its number.
        system: ``us`` or ``metric``.
    """
    field = PLACES.get(re.sub(r"\.[0-9]+\.", ".string.", path))
    if field is None or field.kind not in ("quantity", "temperature"):
        return ""
    return "degF" if path in TEMPERATURES and system == "us" else field.unit


def readings_document(texts: Mapping[str, str], names: Iterable[str], system: str) -> Document:
    """The tables of a readings file from the texts of a form; a bare number gets the unit beside its field.

    Args:
        texts: what was typed, by path; empty texts are as good as none.
        names: what the strings are called, in their order.
        system: ``us`` or ``metric``.
    """
    called = dict(enumerate(names, 1))
    document: Document = {}
    strings: dict[int, Document] = {}
    for path, text in list(texts.items())[:MOST]:
        said = text.strip()
        if not said:
            continue
        if BARE.fullmatch(said):
            said = f"{said} {unit_of(path, system)}".strip()
        found = STRING.fullmatch(path)
        if found:
            strings.setdefault(int(found[1]), {})[found[2]] = said
        else:
            table, _, name = path.rpartition(".")
            (document.setdefault(table, {}) if table else document)[name] = said
    if strings:
        document["string"] = [_string(number, strings, called) for number in range(1, max(strings) + 1)]
    return document


def _string(number: int, strings: Mapping[int, Document], called: Mapping[int, str]) -> Document:
    name = {"name": called[number]} if number in called else {}
    return {**name, **strings.get(number, {})}


def read_readings_form(
    texts: Mapping[str, str], names: Iterable[str], system: str, language: str = "en"
) -> Readings | Refused:
    """The readings of a form; refuses like ``read_readings``, and takes a form in which nothing is typed for no readings."""
    document = readings_document(texts, names, system)
    return read_readings_document(document, language) if document else Readings()


def write_readings(document: Mapping[str, Any]) -> str:
    """The text of a readings file: sun and temperatures, then the strings, then what is read of the whole array."""
    lines = [write_document({name: document[name]}) for name in ("sun", *TEMPERATURES) if name in document]
    tables = [write_document({name: document[name]}) for name in HEADERS if document.get(name)]
    rest = {name: value for name, value in document.items() if name not in HEADERS and name not in PLACES}
    return "\n".join(["".join([*lines, *([write_document(rest)] if rest else [])]), *tables]).lstrip("\n")


def open_readings(text: str, names: Iterable[str], language: str = "en") -> Texts | Refused:
    """The texts of a form from a readings file, in its author's words; a string goes to its name, else to its place.

    Args:
        text: the file.
        names: what the strings of the design are called, in their order.
        language: folder of the words for problems.

    Refuses like ``read_readings``.
    """
    document = read_toml(text)
    if isinstance(document, Mistake):
        return Refused((put(document, language),))
    read = read_readings_document(document, language)
    if isinstance(read, Refused):
        return read
    texts: Texts = {}
    for name, value in document.items():
        if isinstance(value, Mapping):
            texts |= {f"{name}.{inner}": str(said) for inner, said in value.items()}
        elif not isinstance(value, list):
            texts[name] = str(value)
    return texts | _strings(document, list(names))


def _strings(document: Mapping[str, Any], names: list[str]) -> Texts:
    places = {name.casefold(): number for number, name in enumerate(names, 1)}
    listed = document.get("string", [])
    taken: dict[int, Mapping[str, Any]] = {}
    for number, table in enumerate(listed, 1):
        place = places.get(str(table.get("name", "")).casefold(), number)
        free = (one for one in range(len(names) + 1, len(names) + len(listed) + 2) if one not in taken)
        taken[place if place <= len(names) and place not in taken else next(free)] = table
    return {
        f"string.{place}.{inner}": str(said)
        for place, table in sorted(taken.items())
        for inner, said in table.items()
        if inner != "name" or place > len(names)
    }
