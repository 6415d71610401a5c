"""Text for a terminal 80 columns wide: what every printed look is put together from."""

import textwrap
from collections.abc import Iterable

from calc.render.catalogue import Words
from calc.render.numbers import NO_BREAK, ascii_text

WIDTH = 80

Blocks = list[list[str]]


def wrap(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> list[str]:
    """A text in lines; a quantity and its unit, and a word with a hyphen, stay together.

    Args:
        text: what to print.
        first: what the first line begins with.
        rest: what every other line begins with.
        width: how many columns there are.
    """
    plain = text.replace(NO_BREAK, "\0")
    lines = textwrap.wrap(plain, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return [line.replace("\0", NO_BREAK) for line in lines] or [first]


def heading(title: str) -> list[str]:
    """The title of all, underlined; nothing where there is none."""
    lines = wrap(title) if title else []
    return [*lines, "=" * min(max(map(len, lines)), WIDTH)] if lines else []


def section(title: str, lines: list[str]) -> list[str]:
    """Lines under their title; nothing where there are none."""
    return [title, "-" * len(title), *lines] if lines else []


def listed(sentences: Iterable[str]) -> list[str]:
    """Sentences one below the other, each with a dash before it."""
    return [line for says in sentences for line in wrap(says, "- ", "  ")]


def foot(words: Words, rules: str, core: str, tables: str) -> Blocks:
    """What every look ends with: by which rules and tables it was worked out, and the caution."""
    return [wrap(words("text.edition", rules=rules, core=core, tables=tables)), wrap(words("text.caution"))]


def finished(blocks: Iterable[list[str]], *, ascii_only: bool) -> str:
    """All blocks as one text with an empty line between them.

    A line that is too wide (a title, or one that grew when it was spelled in ASCII) is broken under its own beginning.
    """
    text = "\n\n".join("\n".join(block) for block in blocks if block).replace(NO_BREAK, " ")
    lines = (ascii_text(text) if ascii_only else text).split("\n")
    return "\n".join(piece for line in lines for piece in _fitted(line)) + "\n"


def _fitted(line: str) -> list[str]:
    if len(line) <= WIDTH:
        return [line]
    return wrap(line, rest=" " * (len(line) - len(line.lstrip(" -"))))
