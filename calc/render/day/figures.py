"""Hours, energies, shares and names as a reader sees them: 7:05, 2.97 kWh, 1.4 %, 3 × 2."""

from calc.model.day import KeyDay, Layout
from calc.render.catalogue import Words
from calc.render.numbers import MINUS, NO_BREAK, THOUSANDS, Shown

JOINER = "\N{WORD JOINER}"
MINUTES = 60
KILO = 1000.0
DIGITS = 3
HUNDRED, TEN, LAST_DIGIT = 100.0, 10.0, 0.1
NOTHING_WH = 1e-9
"""Energies below this are left over from rounding."""


def clock(hour: float) -> str:
    """An hour of the day to the minute: 7.5 is 7:30, and 19.999 is 20:00."""
    minutes = round(hour * MINUTES)
    return f"{minutes // MINUTES}:{minutes % MINUTES:02d}"


def hours(begins: float, ends: float) -> str:
    """From one hour to another: 7:15–16:54, in one piece."""
    return f"{clock(begins)}–{JOINER}{clock(ends)}"


def energy(value_Wh: float, *, system: str = "us", kilo: bool | None = None) -> Shown:
    """An energy in Wh or kWh with three digits that count; ``kilo`` fixes the unit, so that a column has one."""
    in_kilo = value_Wh >= KILO if kilo is None else kilo
    return Shown(_three(value_Wh / KILO if in_kilo else value_Wh, system), "kWh" if in_kilo else "Wh")


def insolation(value_Whm2: float, *, system: str = "us") -> Shown:
    """Light on the array in kWh/m2."""
    return Shown(_three(value_Whm2 / KILO, system), "kWh/m²")


def _three(value: float, system: str) -> str:
    """A number with three digits that count, at most two of them decimals, and thousands parted."""
    if abs(value) < NOTHING_WH:
        return "0"
    tried = (f"{value:,.{places}f}" for places in reversed(range(DIGITS)))
    shown = next((text for text in tried if sum(map(str.isdigit, text)) <= DIGITS), f"{value:,.0f}")
    return shown.replace(",", THOUSANDS[system])


def share(part: float, whole: float) -> str:
    """A share in percent; one that would look like none of it says «less than»."""
    percent = HUNDRED * part / whole if whole > 0.0 else 0.0
    if percent < LAST_DIGIT:
        return f"<{NO_BREAK}{LAST_DIGIT}{NO_BREAK}%" if part > NOTHING_WH else f"0{NO_BREAK}%"
    return f"{percent:.1f}{NO_BREAK}%" if percent < TEN else f"{percent:.0f}{NO_BREAK}%"


def whole_percent(value: float) -> str:
    """A share without its sign, in whole percent."""
    return f"{abs(HUNDRED * value):.0f}{NO_BREAK}%"


def zone(hours: int) -> str:
    """A time zone by its hours ahead of universal time: UTC−7."""
    return f"UTC{MINUS if hours < 0 else '+'}{abs(hours)}" if hours else "UTC"


def layout_name(layout: Layout, words: Words) -> str:
    """A layout by modules in series and strings: 3 × 2."""
    if not layout.series:
        return words("day.layouts.unlike")
    return words("day.layouts.series", series=layout.series, parallel=layout.parallel).replace(" ", NO_BREAK)


def dated(day: KeyDay, words: Words) -> str:
    """A day with its date: Shortest day, 21 December."""
    date = words(f"day.date.{day.month}", day=day.date).replace(" ", NO_BREAK)
    return words(f"day.dated.{day.name}", date=date)
