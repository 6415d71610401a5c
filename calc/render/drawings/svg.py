"""The few strokes all drawings are made of, so that they look made by one hand: lines, boxes, hatching, text.

Coordinates are in a drawing's own units. Colours and weights are classes of ``drawing.css``; sizes of type are set
here, because the room a label takes decides where it may stand.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape

from calc.render.numbers import NO_BREAK

WIDTH = 340.0  # units across; shown 288 pixels wide on a small phone, type of 13 is 11 pixels high there
NOTE, LABEL, VALUE = 13.0, 14.0, 16.0  # sizes of type
LEAD = 1.28  # line height
BASELINE = 0.34  # from the middle of a line of type down to its baseline

# Widths in ems, from DejaVu Sans (from memory): the widest face that a reader without better ones gets.
_NARROW = {
    **dict.fromkeys(" .,:;|!'’ijl\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}", 0.33),
    **dict.fromkeys("()[]ftr-–/°I", 0.41),
    **dict.fromkeys("mwMW%—", 0.97),
}
_CAPITAL, _DIGIT, _OTHER, _BOLD = 0.72, 0.64, 0.61, 1.1


Piece = tuple[str, str, float]  # words, class, size


@dataclass(frozen=True, slots=True)
class Figure:
    """A finished drawing: the SVG, and the table that says the same in words and numbers."""

    svg: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(slots=True)
class Canvas:
    """Strokes so far, drawn in order."""

    parts: list[str] = field(default_factory=list)

    def line(self, points: list[tuple[float, float]], css: str) -> None:
        """A line through points."""
        self.parts.append(f'<path class="{css}" d="{_path(points)}"/>')

    def area(self, points: list[tuple[float, float]], css: str) -> None:
        """A filled shape."""
        self.parts.append(f'<path class="{css}" d="{_path(points)}Z"/>')

    def rect(self, x: float, y: float, width: float, height: float, css: str, radius: float = 0) -> None:
        """A box, with round corners if asked for."""
        corner = f' rx="{_n(radius)}"' if radius else ""
        self.parts.append(
            f'<rect class="{css}" x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}"{corner}/>'
        )

    def circle(self, x: float, y: float, radius: float, css: str) -> None:
        """A circle."""
        self.parts.append(f'<circle class="{css}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"/>')

    def hatch(self, box: tuple[float, float, float, float], css: str, gap: float = 6.0) -> None:
        """Slanting strokes that fill a box (x, y, width, height), cut at its edges."""
        x, y, width, height = box
        strokes = []
        start = gap / 2
        while start < width + height:
            low = (x + min(start, width), y + max(0.0, start - width))
            high = (x + max(0.0, start - height), y + min(start, height))
            strokes.append((low, high))
            start += gap
        if strokes:
            self.parts.append(f'<path class="{css}" d="{_paths(strokes)}"/>')

    def text(
        self, x: float, y: float, words: str, css: str = "d-ink", *, size: float = NOTE, anchor: str = "start"
    ) -> None:
        """A line of type with its middle at ``y``; ``anchor`` is start, middle or end."""
        self.spans(x, y, ((words, css, size),), anchor=anchor)

    def spans(self, x: float, y: float, pieces: tuple[Piece, ...], *, anchor: str = "start") -> None:
        """A line of type in pieces, each with its class and size; the first one's size sets the line."""
        (words, css, size), *rest = pieces
        where = "" if anchor == "start" else f' text-anchor="{anchor}"'
        more = "".join(
            f'<tspan class="{css}" font-size="{_n(size)}">{NO_BREAK}{escape(words, quote=False)}</tspan>'
            for words, css, size in rest
        )
        self.parts.append(
            f'<text class="{css}" x="{_n(x)}" y="{_n(y + size * BASELINE)}" font-size="{_n(size)}"{where}>'
            f"{escape(words, quote=False)}{more}</text>"
        )

    def finish(
        self, height: float, *, name: str, title: str, says: str, css: str = "", role: str = "img"
    ) -> str:
        """The whole SVG with its title and description; ``name`` makes their ids unique on a page.

        A drawing with parts that can be reached has the role ``group``: an image is one thing.
        """
        kind = f"d {css}".strip()
        return (
            f'<svg class="{kind}" viewBox="0 0 {_n(WIDTH)} {_n(height)}" role="{role}" '
            f'aria-labelledby="{name}-title {name}-says" xmlns="http://www.w3.org/2000/svg">'
            f'<title id="{name}-title">{escape(title, quote=False)}</title>'
            f'<desc id="{name}-says">{escape(says, quote=False)}</desc>{"".join(self.parts)}</svg>'
        )


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _path(points: Sequence[tuple[float, float]]) -> str:
    return _paths([points])


def _paths(lines: Sequence[Sequence[tuple[float, float]]]) -> str:
    """Lines through points as a path, all numbers printed at once as ``_n`` prints each."""
    form = "".join("M%.1f %.1f" + "L%.1f %.1f" * (len(points) - 1) for points in lines)
    said = form % tuple(number for points in lines for place in points for number in place)
    return said.replace(".0 ", " ").replace(".0L", "L").replace(".0M", "M").removesuffix(".0")


@lru_cache(maxsize=4096)
def wide(words: str, size: float, *, bold: bool = False) -> float:
    """Room a line of type takes at most, a little more than common faces need."""
    ems = sum(_NARROW.get(letter) or _of_kind(letter) for letter in words)
    return ems * size * (_BOLD if bold else 1.0)


def _of_kind(letter: str) -> float:
    if letter.isdigit():
        return _DIGIT
    return _CAPITAL if letter.isupper() or ord(letter) > ord("ÿ") else _OTHER


def cut(words: str, size: float, room: float, *, bold: bool = False) -> str:
    """The words, shortened with an ellipsis where they take more than ``room``."""
    if wide(words, size, bold=bold) <= room:
        return words
    while words and wide(words + "…", size, bold=bold) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def lines(words: str, size: float, room: float, most: int = 2, *, bold: bool = False) -> list[str]:
    """The words set in at most ``most`` lines of at most ``room``; the last is shortened if it must be."""
    set_lines: list[str] = [""]
    for word in words.split(" "):
        longer = f"{set_lines[-1]} {word}".strip()
        if len(set_lines) == most or wide(longer, size, bold=bold) <= room or not set_lines[-1]:
            set_lines[-1] = longer
        else:
            set_lines.append(word)
    return [cut(line, size, room, bold=bold) for line in set_lines if line]


def spread(wanted: list[float], heights: list[float], low: float, high: float) -> list[float]:
    """Middles for labels that want to stand at ``wanted`` (ascending) and must not overlap between low and high.

    Labels that collide become a block, and each block stands where its labels are moved least. A column too full for
    its room runs over at the lower end, so the caller gives it enough.
    """
    blocks: list[list[int]] = []
    for index in range(len(wanted)):
        blocks.append([index])
        while len(blocks) > 1 and _end(blocks[-2], wanted, heights, low, high) > _start(
            blocks[-1], wanted, heights, low, high
        ):
            last = blocks.pop()
            blocks[-1] += last
    places = [0.0] * len(wanted)
    for block in blocks:
        top = _start(block, wanted, heights, low, high)
        for index in block:
            places[index] = top + heights[index] / 2
            top += heights[index]
    return places


def _start(block: list[int], wanted: list[float], heights: list[float], low: float, high: float) -> float:
    tall = sum(heights[index] for index in block)
    offset, total = 0.0, 0.0
    for index in block:
        total += wanted[index] - offset - heights[index] / 2
        offset += heights[index]
    return max(low, min(total / len(block), high - tall))


def _end(block: list[int], wanted: list[float], heights: list[float], low: float, high: float) -> float:
    return _start(block, wanted, heights, low, high) + sum(heights[index] for index in block) - 1e-9
