"""Names that no table knows: what the author may have meant."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from calc.read.reading import Reading
from calc.read.sections import SECTIONS, Section
from calc.read.words import Phrase, Trail, Wrong, plain, quoted

NEAR = 0.7
NAME = 40
"""Characters of an unknown name that are shown and compared."""


def part(name: object) -> str:
    """A name from a file as part of a path in a message."""
    return plain(str(name), NAME)


def unknown_line(
    reading: Reading, section: Section, line: tuple[object, object], path: str, trail: Trail
) -> None:
    """Note a line (name, value) whose name the table does not know; say where it belongs, or which name is near."""
    if reading.full:
        reading.further += 1
        return
    said = part(line[0])
    homes = [other for other in SECTIONS.values() if said in other.fields]
    near = _near(said, section.fields)
    if len(homes) == 1 and homes[0] is not section:
        home = homes[0]
        wrong = Wrong("name.elsewhere", {"table": home.header}) if home.name else Wrong("name.above")
        example = _line(home, said)
    elif near:
        wrong = Wrong("name.unknown-near", {"where": _where(section), "near": near})
        example = _line(section, near)
    else:
        wrong = Wrong("name.unknown", {"where": _where(section), "names": ", ".join(section.fields)})
        example = _line(section, next(iter(section.fields)))
    written = Phrase("as-is", {"text": plain(f"{said} = {quoted(line[1])}")})
    reading.refuse(path + said, trail, written, wrong, example)


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
    written = Phrase("as-is", {"text": f"[{said}]"})
    reading.refuse(said, trail, written, wrong, headers[near or "module"])


def wrong_brackets(reading: Reading, section: Section, raw: object, path: str, trail: Trail) -> None:
    """Note a table that has single brackets where double ones are wanted, or the other way, or is not a table."""
    code = "name.many-tables" if section.many else "name.one-table"
    said: object = raw
    if isinstance(raw, Mapping):
        said = Phrase("as-is", {"text": f"[{section.name}]"})
    elif isinstance(raw, list) and raw and isinstance(raw[0], Mapping):
        said = Phrase("as-is", {"text": f"[[{section.name}]]"})
    reading.refuse(path, trail, said, Wrong(code, {"table": section.header}), section.header)


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
