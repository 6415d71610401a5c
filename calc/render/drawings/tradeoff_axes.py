"""The axes on which layouts can be set against each other: what stands on them, how it is printed, and their ticks."""

from dataclasses import dataclass
from math import ceil, floor, log10

from calc.model.layouts import AXES, LayoutReport, Tried
from calc.render.catalogue import Words
from calc.render.day.figures import KILO, clock
from calc.render.layouts.figures import METAL, column_text, figure

MORE_IS_BETTER = ("energy", "fault")
OF_FIGURES = {"cold": ("voc_cold_string_V", "V"), "current": ("current_max_array_A", "A")}
PICKED = ("copper", "fault", "energy", "parts", "cold", "loss")
"""Axes in the order in which they are taken where the reader picked none: the first two on which layouts differ."""

UNITS = {
    "copper": (METAL, 1.0),
    "loss": ("W", 1.0),
    "energy": ("kWh", 1.0 / KILO),
    "fault": ("%", 100.0),
    "cold": ("V", 1.0),
    "current": ("A", 1.0),
}
"""The unit and the factor in which an axis is printed."""
TICKS = 4
ROOM_AT_EDGE = 0.08  # of the plot, so that no mark stands on its frame
NICE = (1.0, 2.0, 2.5, 5.0, 10.0)


def value_of(layout: Tried, axis: str) -> float | None:
    """What a layout has on an axis; None where it is not known. An axis that does not exist is refused (KeyError)."""
    if axis in OF_FIGURES:
        return layout.figures.get(OF_FIGURES[axis][0])
    if axis not in AXES:
        raise KeyError(f"axis {axis!r}: wanted one of {', '.join(AXES)}")
    return layout.columns[axis]


def text_of(layout: Tried, axis: str, words: Words, system: str) -> str:
    """The same, printed."""
    if axis in OF_FIGURES:
        return figure(layout, *OF_FIGURES[axis], system) or words("layouts.unknown")
    return column_text(layout, axis, words, system)


def drawable(report: LayoutReport, code: str) -> bool:
    """Whether an axis is known of enough layouts to set them against each other."""
    return sum(value_of(one, code) is not None for one in report.layouts) >= 2  # noqa: PLR2004  # two to compare


def pick(report: LayoutReport) -> tuple[str, str]:
    """The two axes that are shown where nobody picked any."""
    differ = [axis for axis in PICKED if len({value_of(one, axis) for one in report.layouts} - {None}) > 1]
    return (*differ, *(axis for axis in PICKED if axis not in differ))[:2]  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its code, the unit and factor in which it is printed, and from values to places; whole ticks."""

    code: str
    unit: str
    factor: float
    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value stands."""
        return self.start + (self.end - self.start) * (value * self.factor - self.low) / (
            self.high - self.low
        )

    def ticks(self) -> list[tuple[float, str]]:
        """The values at which the axis is marked, with their words."""
        first, last = ceil(self.low / self.step - 1e-9), floor(self.high / self.step + 1e-9)
        return [
            (self.step * place / self.factor, self._text(self.step * place))
            for place in range(first, last + 1)
        ]

    def _text(self, number: float) -> str:
        if self.code == "begins":
            return clock(number)
        return f"{number:,.{max(0, -floor(log10(self.step) + 1e-9))}f}"

    def title(self, words: Words) -> str:
        """What the axis shows, with its unit."""
        name = words(f"drawing.tradeoff.axis.{self.code}")
        return f"{name}, {self.unit}" if self.unit else name


def axis(code: str, values: list[float], start: float, end: float) -> Axis:
    """An axis that has room for all the values, from one place to another."""
    unit, factor = UNITS.get(code, ("", 1.0))
    if code == "energy" and max(values) < KILO:
        unit, factor = "Wh", 1.0
    low, high = min(values) * factor, max(values) * factor
    span = (high - low) or abs(high) or 1.0
    low, high = low - ROOM_AT_EDGE * span, high + ROOM_AT_EDGE * span
    rough = (high - low) / TICKS
    power = 10.0 ** floor(log10(rough))
    step = next(power * nice for nice in NICE if power * nice >= rough * 0.999)
    return Axis(code, unit, factor, low, high, step, start, end)
