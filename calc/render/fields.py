"""What inputs are called: the label of a path, and the part it belongs to where parts repeat."""

import re
from functools import lru_cache

from calc.model.units import UNITS
from calc.render.catalogue import Words
from calc.render.numbers import show_text

PARTS = ("run", "string", "coupler")
ABOUT = "about"
QUANTITY = re.compile(r"(-?[0-9.]+) (\S+)")
KEPT = 1024
"""Paths whose field is kept; a design has some sixty, and each is asked for at every change."""


@lru_cache(maxsize=KEPT)
def field_path(path: str) -> str:
    """The path without the names and numbers of parts: ``run.home run.length`` is ``run.length``."""
    pieces = path.split(".")
    between = pieces[1:-1]
    if pieces[0] not in PARTS or not between:
        return path
    return f"{'module' if 'module' in between else pieces[0]}.{pieces[-1]}"


def part_of(path: str, words: Words) -> str:
    """The part a path belongs to, where parts repeat: a run's name, ``string 2``, ``coupler 1``; else nothing."""
    kind, _, rest = path.partition(".")
    name = rest.rpartition(".")[0].removesuffix(".module")
    if kind not in PARTS or not name:
        return ""
    return name if kind == "run" else words(f"page.part.{kind}", number=name)


def field_label(path: str, words: Words) -> str:
    """What an input is called, with its part: ``length, one way (home run)``."""
    label = words.find(f"page.field.{field_path(path)}") or path
    part = part_of(path, words)
    return f"{label} ({part})" if part else label


def section_of(path: str) -> str:
    """The section of a file in which a path stands: ``site``, ``run.home run``, ``string.2.module``, or ``about``."""
    return path.rpartition(".")[0] or ABOUT


def section_title(section: str, words: Words) -> str:
    """The heading of a section: ``Run: home run``."""
    kind, _, name = section.partition(".")
    if name.endswith(".module"):
        kind, name = "string-module", name.removesuffix(".module")
    return words(f"page.section.{kind}", name=name) if name else words(f"page.section.{kind}")


def said_shown(said: str, words: Words, system: str = "us") -> str:
    """A value as a design file has it, printed like any other: ``75 degC`` is 75 °C, ``true`` is yes."""
    if said in ("true", "false"):
        return words("working.yes" if said == "true" else "working.no")
    found = QUANTITY.fullmatch(said)
    return show_text(float(found[1]), found[2], system=system) if found and found[2] in UNITS else said
