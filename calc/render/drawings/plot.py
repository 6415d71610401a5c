"""A plot with two axes from zero: ticks at round numbers, words outside, curves and marks inside."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, hypot, log10

from calc.render.drawings.svg import NOTE, WIDTH, Canvas, wide
from calc.render.numbers import show_text

LEFT, RIGHT = 44.0, WIDTH - 8.0
TICK, WORDS = 4.0, 7.0  # length of a tick; from the axis to its numbers
UP, ACROSS = 5, 7  # most steps on an axis
SEEN = 0.2  # a place this near to a line is not seen beside it
ROUND = (1.0, 2.0, 5.0)
APART = 10.0  # between the numbers of an axis
WHOLE = 10.0  # watts from which on decimals say nothing
SHORT = (
    (1e6, 1e6, "M"),
    (1e4, 1e3, "k"),
    (1e-2, 1.0, ""),
    (1e-5, 1e-3, "m"),
    (1e-9, 1e-6, "µ"),
)  # 12000 is 12k


@dataclass(frozen=True, slots=True)
class Plot:
    """Where values stand in a plot: ``across`` and ``up`` are the largest on each axis."""

    top: float
    tall: float
    across: float
    up: float

    @property
    def floor(self) -> float:
        """The lower axis."""
        return self.top + self.tall

    def x(self, value: float) -> float:
        """How far right a value stands; beyond the end it is cut off there."""
        return LEFT + (RIGHT - LEFT) * min(max(value / self.across, 0.0), 1.0)

    def y(self, value: float) -> float:
        """How high a value stands; beyond the top it is cut off there."""
        return self.floor - self.tall * min(max(value / self.up, 0.0), 1.0)

    def curve(self, canvas: Canvas, points: Sequence[tuple[float, float]], css: str) -> None:
        """Draw a curve through points, leaving out those that a straight line passes as well."""
        canvas.line(thinned([(self.x(across), self.y(up)) for across, up in points]), css)

    def frame(self, canvas: Canvas, unit: str) -> None:
        """Draw both axes, with ticks and numbers on the upright one and ticks on the other."""
        canvas.line([(LEFT, self.top), (LEFT, self.floor), (RIGHT, self.floor)], "d-line")
        canvas.text(LEFT - WORDS, self.top - 15, unit, "d-head", anchor="end")
        for value in ticks(self.up, UP):
            y = self.y(value)
            canvas.line([(LEFT - TICK, y), (LEFT, y)], "d-line")
            number = plain(value)
            end = max(LEFT - WORDS, wide(number, NOTE))  # millions come nearer to the axis, not over the edge
            canvas.text(end, y, number, "d-note", anchor="end")
        for value in ticks(self.across, ACROSS):
            x = self.x(value)
            canvas.line([(x, self.floor), (x, self.floor + TICK)], "d-line")

    def numbers(self, canvas: Canvas, unit: str) -> None:
        """Write the numbers of the lower axis and its unit at the end; a number without room is left out."""
        y = self.floor + TICK + NOTE * 0.75
        end = RIGHT - wide(unit, NOTE, bold=True) - APART
        canvas.text(RIGHT, y, unit, "d-head", anchor="end")
        free = 0.0
        for value in ticks(self.across, ACROSS):
            half = wide(plain(value), NOTE) / 2
            x = self.x(value)
            if x - half >= free and x + half <= end:
                canvas.text(x, y, plain(value), "d-note", anchor="middle")
                free = x + half + APART


def thinned(places: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Of many places on a curve those that are needed to draw it: none left out lies beside the line."""
    kept = list(places[:1])
    start = 0
    for end in range(2, len(places)):
        if _bends(places[start], places[end], places[start + 1 : end]):
            start = end - 1
            kept.append(places[start])
    return kept + list(places[1:][-1:])


def _bends(
    start: tuple[float, float], end: tuple[float, float], between: Sequence[tuple[float, float]]
) -> bool:
    """Whether a place lies beside the line through two others, or where they are one, away from it, so that it is seen."""
    x, y = start
    along, down = end[0] - x, end[1] - y
    length = hypot(along, down)
    if not length:
        return any(hypot(right - x, below - y) > SEEN for right, below in between)
    room = SEEN * length
    return any(abs(along * (below - y) - down * (right - x)) > room for right, below in between)


def ticks(most: float, steps: int) -> list[float]:
    """Round numbers from 0 up to the end of an axis, at most so many steps apart."""
    if not most > 0.0:
        return [0.0]
    rough = most / steps
    power = 10.0 ** floor(log10(rough))
    step = next((power * one for one in ROUND if power * one >= rough), power * 10.0)
    return [step * k for k in range(int(most / step * (1 + 1e-9)) + 1)]


def plain(value: float) -> str:
    """A tick's number, as short as it can be."""
    for least, unit, letter in SHORT:
        if value >= least:
            return f"{value / unit:.10g}{letter}"
    return "0"


def watts(power_W: float) -> str:
    """A power as words beside a plot have it: in whole watts from ten on."""
    return show_text(round(power_W) if power_W >= WHOLE else round(power_W, 1), "W")


def ceiling(values: Sequence[float], room: float = 1.06) -> float:
    """The end of an axis that holds values with a little room above them; 1 where all are 0."""
    return max([*values, 0.0]) * room or 1.0
