"""Figures of layouts, limits and moves as a reader sees them; what would do is never rounded to what would not."""

from math import ceil, floor

from calc.model.layouts import Limit, Move, Tried
from calc.model.units import convert
from calc.render.catalogue import Words
from calc.render.day.figures import clock, energy
from calc.render.numbers import MINUS, NO_BREAK, THOUSANDS, in_words, show, show_text

HUNDRED = 100.0
METAL = "m·mm²"
SHORT_FT, SHORT_M = 20.0, 1.0
"""Lengths below these are told a digit finer."""
NOISE = 1e-6
"""Steps of the printed grid that are left over from changing units."""


def layout_name(layout: Tried, words: Words) -> str:
    """A layout by modules in series and strings: 3 × 2."""
    if not layout.series:
        return words("layouts.unlike")
    return words("layouts.name", series=layout.series, parallel=layout.parallel).replace(" ", NO_BREAK)


def percent(share: float) -> str:
    """A share in whole percent; one that is not nothing never looks like it, nor one that is not all."""
    whole = floor(HUNDRED * share + 0.5)
    if share > 0.0 and whole == 0:
        return f"<{NO_BREAK}1{NO_BREAK}%"
    if share < 1.0 and whole == HUNDRED:
        return f">{NO_BREAK}99{NO_BREAK}%"
    return f"{whole}{NO_BREAK}%"


def metal(value: float, system: str) -> str:
    """Length times area of the wire's metal."""
    return f"{value:,.{0 if value >= HUNDRED else 1}f}".replace(",", THOUSANDS[system]) + NO_BREAK + METAL


def column_text(layout: Tried, code: str, words: Words, system: str) -> str:
    """What a layout has in one column, printed."""
    value = layout.columns[code]
    if value is None:
        never = code == "begins" and layout.charges is False
        return words("layouts.never" if never else "layouts.unknown")
    printed = {
        "copper": lambda: metal(value, system),
        "cost": lambda: f"{value:,.2f}",
        "loss": lambda: show_text(value, "W", system=system),
        "begins": lambda: clock(value),
        "energy": lambda: str(energy(value, system=system)),
        "fault": lambda: percent(value),
    }
    return printed[code]() if code in printed else f"{value:.0f}"


def figure(layout: Tried, key: str, unit: str, system: str) -> str:
    """A quantity of a layout, printed; empty where it is not known."""
    value = layout.figures.get(key)
    return "" if value is None else show_text(value, unit, system=system)


def wires(layout: Tried, words: Words) -> str:
    """The wire each run needs: home run 6 AWG."""
    said = [
        words("layouts.wire", run=one.run, size=in_words(words, one.size, "size"))
        if one.size
        else words("layouts.wire-none", run=one.run)
        for one in layout.wires
    ]
    return ", ".join(said) or words("layouts.no-wire")


def edge(limit: Limit, value: float | str, words: Words, system: str, *, up: bool) -> str:
    """One end of a limit, printed on the safe side: ``up`` rounds up, else down."""
    if isinstance(value, str):
        return in_words(words, value, "size")
    if limit.unit == "m":
        return _length(value, system, up=up)
    if not limit.unit:
        return f"{value:.0f}"
    number = f"{abs(value):,.1f}".replace(",", THOUSANDS[system]).removesuffix(".0")
    unit = show(value, limit.unit, system=system).unit
    return f"{MINUS if value < 0 else ''}{number}{NO_BREAK}{unit}"


def _length(value: float, system: str, *, up: bool) -> str:
    unit, short, fine, coarse = ("ft", SHORT_FT, 10, 1) if system == "us" else ("m", SHORT_M, 100, 10)
    number = convert(value, "m", unit)
    steps = fine if number < short else coarse
    whole = ceil(number * steps - NOISE) if up else floor(number * steps + NOISE)
    places = len(str(steps)) - 1
    text = f"{whole / steps:,.{places}f}".replace(",", THOUSANDS[system])
    return f"{text}{NO_BREAK}{unit}"


def shift_text(move: Move, words: Words, system: str) -> str:
    """How far an input moves until something fails: 7.25 °C hotter, 8 % more."""
    shift = move.shift or 0.0
    by = show_text(abs(shift), move.unit, system=system)
    if move.unit == "K":
        return words("moves.hotter" if shift > 0 else "moves.colder", by=by)
    return words("moves.more" if shift > 0 else "moves.less", by=by)


def reach_text(reach: float, system: str) -> str:
    """How many usual doubts, in two digits that count."""
    return show(float(f"{reach:.2g}"), "", system=system).number


def move_now(move: Move, value: float | None, system: str) -> str:
    """The value of an input that was moved alone; empty where several were."""
    return "" if value is None else show_text(value, move.now_unit, system=system)
