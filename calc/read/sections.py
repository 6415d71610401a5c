"""The tables of a design file, as the register of fields gives them, and where in a file the value of a path stands."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from calc.read.fields import FIELDS, Field
from calc.read.words import Trail


@dataclass(frozen=True, slots=True)
class Section:
    """One table: its fields by name, in the order of the register; ``many`` when it stands in double brackets.

    ``inner`` are the tables inside it (a string's own module).
    """

    name: str
    many: bool = False
    fields: dict[str, Field] = field(default_factory=dict)
    inner: dict[str, "Section"] = field(default_factory=dict)

    @property
    def header(self) -> str:
        """The line that begins it."""
        return f"[[{self.name}]]" if self.many else f"[{self.name}]"


class FormatRow(NamedTuple):
    """One line of the page that documents the file format."""

    path: str
    kind: str
    unit: str
    example: str
    required: bool
    choices: tuple[str, ...]


def _sections() -> dict[str, Section]:
    found: dict[str, Section] = {"": Section("")}
    for entry in FIELDS:
        *place, name = entry.path.split(".")
        if not place:
            found[""].fields[name] = entry
            continue
        section = found.setdefault(place[0], Section(place[0], many=len(place) > 1))
        for inner in place[2:]:
            section = section.inner.setdefault(inner, Section(f"{section.name}.{inner}"))
        section.fields[name] = entry
    return found


SECTIONS: Mapping[str, Section] = _sections()
"""Every table by name; the one named "" holds the lines above the first table."""
BY_PATH: Mapping[str, Field] = {entry.path: entry for entry in FIELDS}


def field_for(path: str) -> Field:
    """The field a path belongs to: ``run.home run.length`` is ``run.<run>.length``; a path of none is a KeyError."""
    if path in BY_PATH:
        return BY_PATH[path]
    section, _, rest = path.partition(".")
    which, _, name = rest.rpartition(".")
    if not which:
        raise KeyError(path)
    if which.endswith(".module"):
        name = f"module.{name}"
    return BY_PATH[f"{section}.<{section}>.{name}"]


def describe_format() -> tuple[FormatRow, ...]:
    """Every input of a design file, in order, for the page that documents the format."""
    return tuple(
        FormatRow(entry.path, entry.kind, entry.unit, entry.example, entry.required, entry.choices)
        for entry in FIELDS
    )


def trail_of(path: str) -> Trail:
    """Where the value at ``path`` stands in a document: ``string.2.module.isc`` is string, 1, module, isc."""
    section, *rest = path.split(".")
    if not SECTIONS[section if rest else ""].many:
        return (section, *rest)
    return (section, int(rest[0]) - 1, *rest[1:])
