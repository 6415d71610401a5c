"""Names that no table knows: what the author may have meant."""

from collections.abc import Iterable
from difflib import get_close_matches

from calc.read.reading import Reading
from calc.read.sections import SECTIONS, Section
from calc.read.words import Phrase, Trail, Wrong, plain

NEAR = 0.7
NAME = 40
"""Characters of an unknown name that are shown and compared."""


def part(name: object) -> str:
    """A name from a file as part of a path in a message."""
    return plain(str(name), NAME)


def unknown_line(reading: Reading, section: Section, name: object, path: str, trail: Trail) -> None:
    """Note a line whose name the table does not know; say where it belongs, or which name is near."""
    if reading.full:
        reading.further += 1
        return
    said = part(name)
    homes = [other for other in SECTIONS.values() if said in other.fields]
    near = _near(said, section.fields)
    if len(homes) == 1 and not section.name.startswith(homes[0].name):
        home = homes[0]
        wrong = Wrong("name.elsewhere", {"table": home.header}) if home.name else Wrong("name.above")
        example = _line(home, said)
    elif near:
        wrong = Wrong("name.unknown-near", {"where": _where(section), "near": near})
        example = _line(section, near)
    else:
        wrong = Wrong("name.unknown", {"where": _where(section), "names": ", ".join(section.fields)})
        example = _line(section, next(iter(section.fields)))
    reading.refuse(path, trail, said, wrong, example)


def unknown_table(reading: Reading, name: object, trail: Trail) -> None:
    """Note a table that no design file has; say which one is near."""
    if reading.full:
        reading.further += 1
        return
    said = part(name)
    headers = {section.name: section.header for section in SECTIONS.values() if section.name}
    near = _near(said, headers)
    if near:
        wrong = Wrong("name.unknown-table-near", {"near": headers[near]})
    else:
        wrong = Wrong("name.unknown-table", {"names": ", ".join(headers.values())})
    reading.refuse(said, trail, said, wrong, headers[near or "module"])


def wrong_brackets(reading: Reading, section: Section, raw: object, path: str, trail: Trail) -> None:
    """Note a table that has single brackets where double ones are wanted, or the other way, or is not a table."""
    code = "name.many-tables" if section.many else "name.one-table"
    reading.refuse(path, trail, raw, Wrong(code, {"table": section.header}), section.header)


def too_many(reading: Reading, section: Section, count: int, limit: int) -> None:
    """Note a list of more tables than an array of this kind can have."""
    said = Phrase("entries", {"count": str(count)})
    wrong = Wrong("name.too-many", {"limit": str(limit)})
    reading.refuse(section.name, (section.name,), said, wrong, section.header)


def _near(said: str, known: Iterable[str]) -> str:
    return next(iter(get_close_matches(said.casefold(), list(known), 1, NEAR)), "")


def _where(section: Section) -> str:
    return section.header if section.name else "the lines above the first table"


def _line(section: Section, name: str) -> str:
    field = section.fields[name]
    value = field.example if field.kind in {"count", "flag"} else f'"{field.example}"'
    return f"{name} = {value}"
