"""How a mistake in the input is said: the sentences, and showing what an author wrote without letting it do harm."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from calc.model.problems import InputProblem
from calc.read.fields import Field

FOLDER = Path(__file__).parent / "words"
SHOWN = 60
"""Characters of an author's text that a message repeats."""
LARGE = 10**18

Trail = tuple[str | int, ...]
"""Where a value stands in a document: keys, and places in lists counted from 0."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why one value cannot be taken: the code of a sentence, and what is set into it.

    ``better`` is the author's value put right; it is offered as the example when it can be read.
    """

    code: str
    values: Mapping[str, str] = field(default_factory=dict)
    better: str = ""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One problem before it is put into words: the path, where it stands, what was said, what is wrong, an example."""

    path: str
    trail: Trail
    said: object
    wrong: Wrong
    example: str
    field: Field | None = None


class Nothing:
    """Stands for a value that was not given, where one is wanted."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """Stands for a thing that is described instead of quoted, by a sentence of the catalogue (``said.<code>``)."""

    code: str
    values: Mapping[str, str] = field(default_factory=dict)


DESCRIBED: Mapping[type, str] = {Nothing: "nothing", list: "list", tuple: "list", Mapping: "table"}


@cache
def sentences(language: str = "en") -> Mapping[str, Mapping[str, str]]:
    """The reader's sentences in ``language``, by group and code."""
    loaded: Mapping[str, Mapping[str, str]] = tomllib.loads((FOLDER / f"{language}.toml").read_text("utf-8"))
    return loaded


def plain(text: str, limit: int = SHOWN) -> str:
    """An author's text made safe to show: one line, nothing that steers a terminal, and shortened."""
    start = text[: limit + 1]
    safe = "".join(letter if letter.isprintable() else _escaped(letter) for letter in start)
    return safe if len(safe) <= limit and len(text) <= limit else safe[: limit - 1] + "…"


def quoted(value: object, language: str = "en") -> str:
    """What an author gave, as it would stand in a design file; what cannot be quoted is described."""
    said = sentences(language)["said"]
    if isinstance(value, Phrase):
        return said[value.code].format(**value.values)
    if isinstance(value, str):
        return f'"{plain(value)}"'
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return said["large"] if isinstance(value, int) and abs(value) >= LARGE else str(value)
    return next((said[name] for kind, name in DESCRIBED.items() if isinstance(value, kind)), said["date"])


def put(mistake: Mistake, language: str = "en") -> InputProblem:
    """The problem in words."""
    group, _, code = mistake.wrong.code.partition(".")
    words = sentences(language)
    values = {**_named(mistake.field, words), **mistake.wrong.values}
    wanted = words[group][code].format(**values)
    return InputProblem(mistake.path, quoted(mistake.said, language), wanted, mistake.example)


def _named(field: Field | None, words: Mapping[str, Mapping[str, str]]) -> dict[str, str]:
    """What a field wants, as a name for the thing and a list of its units."""
    if field is None:
        return {}
    thing = words["thing"].get(field.kind) or words["thing"][field.unit]
    thing = thing.format(choices=", ".join(field.choices))
    units = words["units"].get(field.absolute or field.unit, "")
    return {"thing": thing, "units": units, "full": f"{thing} ({units})" if units else thing}


def _escaped(letter: str) -> str:
    return letter.encode("unicode_escape").decode("ascii")
