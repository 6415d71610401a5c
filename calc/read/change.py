"""A design document with some of its values changed, by path, as a form or a link gives them."""

from collections.abc import Mapping
from typing import Any

from calc.read.sections import SECTIONS, field_for

Document = dict[str, Any]
MOST_CHANGES = 400
"""More than a form has fields; a link with more is cut there."""
FIRST_RUN = "home run"


def changed_document(document: Mapping[str, Any], change: Mapping[str, str]) -> Document:
    """A copy of ``document`` with the text of each path in ``change`` put in its place.

    An empty text takes the value out. Counts and yes-or-no become what a file would have; whatever cannot be one stays
    text, so that reading it says what is wrong. A path that names no field is kept as an unknown line, so that it is
    told too. Parts that are not there yet (a first run, a next coupler) are added.
    """
    changed = _copy(document)
    for path, text in list(change.items())[:MOST_CHANGES]:
        table, name = _place(changed, path)
        if text.strip():
            table[name] = _typed(path, text.strip())
        else:
            table.pop(name, None)
    return _without_emptied(changed, document)


def _copy(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _copy(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [_copy(entry) for entry in value]
    return value


def _typed(path: str, text: str) -> str | int | bool:
    try:
        kind = field_for(path).kind
    except KeyError:
        return text
    if kind == "flag" and text in ("true", "false"):
        return text == "true"
    if kind == "count" and text.isascii() and text.isdigit() and len(text) < len(str(10**9)):
        return int(text)
    return text


def _place(document: Document, path: str) -> tuple[Document, str]:
    """The table in which the value at ``path`` stands, made where it is missing, and the value's name."""
    section, _, rest = path.partition(".")
    if not rest:
        return document, section
    known = SECTIONS.get(section)
    if known is None or not known.many:
        table = document.get(section)
        if not isinstance(table, dict):
            table = document[section] = {}
        return table, rest
    listed = document.get(section)
    if not isinstance(listed, list):
        listed = document[section] = []
    part, _, name = rest.rpartition(".")
    if section == "run":
        return _run(listed, part), name
    number, _, inner = part.partition(".")
    table = _numbered(listed, number)
    if inner and not isinstance(table.get(inner), dict):
        table[inner] = {}
    return (table[inner] if inner else table), name


def _run(listed: list[Any], name: str) -> Document:
    for place, table in enumerate(listed, 1):
        if isinstance(table, dict) and str(table.get("name") or f"run {place}") == name:
            return table
    table = {"name": name}
    listed.append(table)
    return table


def _numbered(listed: list[Any], number: str) -> Document:
    """Table number ``number`` of a list, made when it is the next one; a number far beyond becomes the next."""
    place = (
        int(number) - 1
        if number.isascii() and number.isdigit() and len(number) < len("1000")
        else len(listed)
    )
    if place < 0 or place >= len(listed) or not isinstance(listed[place], dict):
        listed.append({})
        place = len(listed) - 1
    return listed[place]  # type: ignore[no-any-return]


def _without_emptied(changed: Document, document: Mapping[str, Any]) -> Document:
    """Take out tables from which a change took everything; a run that has only its name left is no run.

    What was as empty before the change stays: a coupler of which nothing is said is a coupler. Only the last of numbered
    tables can go, since the others would change their numbers.
    """
    kept: Document = {}
    for name, value in changed.items():
        if value == document.get(name):
            kept[name] = value
        elif isinstance(value, list):
            kept[name] = _tables(name, value, document.get(name))
        else:
            kept[name] = value
    return {
        name: value for name, value in kept.items() if value not in ({}, []) or value == document.get(name)
    }


def _tables(name: str, changed: list[Any], before: Any) -> list[Any]:
    were = before if isinstance(before, list) else []
    tables = [table if table in were else _without_inner(table) for table in changed]
    if name == "run":
        return [
            table for table in tables if table in were or not isinstance(table, dict) or set(table) - {"name"}
        ]
    while tables and tables[-1] == {} and were[len(tables) - 1 : len(tables)] != [{}]:
        tables.pop()
    return tables


def _without_inner(table: Any) -> Any:
    """A table without the empty tables inside it."""
    if not isinstance(table, dict):
        return table
    return {name: value for name, value in table.items() if value != {}}
