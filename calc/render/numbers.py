"""Numbers as a reader sees them: sensible digits, the unit beside them, and never a contradiction of a verdict.

Values arrive in the fixed units of the core. Two unit systems exist: ``us`` shows lengths in feet (and, where asked,
Fahrenheit beside Celsius), ``metric`` shows metres. Number and unit are held together by a no-break space.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from calc.model.record import record
from calc.model.units import convert
from calc.render.catalogue import Words

MINUS = "\N{MINUS SIGN}"
NO_BREAK = "\N{NO-BREAK SPACE}"
THOUSANDS = {"us": ",", "metric": "\N{NARROW NO-BREAK SPACE}"}
SIGNIFICANT = 10  # what the canonical JSON keeps, so no printed digit goes beyond it
NOTHING = 1e-9  # smaller than any quantity here can be measured: noise of the arithmetic
THOUSAND = 3  # from this power of ten on, no decimals
HALF_UP = 1e-12  # lifts a half above itself, and is too small to lift anything else that has ten digits


@record(frozen=True, slots=True)
class Shown:
    """A number and its unit, ready to print apart (in aligned columns) or together (``str``)."""

    number: str
    unit: str

    def __str__(self) -> str:
        """Number and unit as one text that no line break can part."""
        if not self.unit:
            return self.number
        return self.number + ("" if self.unit == "°" else NO_BREAK) + self.unit


@dataclass(frozen=True, slots=True)
class Pair:
    """An actual value and its limit with enough digits to show which is larger.

    ``margin`` is signed (positive inside the limit), ``gap`` the same without its sign, ``tight`` the named margin.
    """

    actual: Shown
    limit: Shown
    margin: Shown
    gap: Shown
    tight: Shown | None


@dataclass(frozen=True, slots=True)
class _Look:
    """How a unit is printed: its label, how many digits count, and the fewest and most decimals below 1,000.

    An exact value drops trailing zeros, but keeps ``kept`` decimals.
    """

    label: str
    significant: int
    fewest: int
    most: int
    kept: int = 0


_LOOKS: dict[str, _Look] = {
    "": _Look("", 5, 0, 4),
    "%": _Look("%", 2, 1, 2),
    "V": _Look("V", 3, 1, 3),
    "A": _Look("A", 3, 1, 3),
    "W": _Look("W", 3, 0, 1),
    "ohm": _Look("Ω", 3, 0, 5),
    "m": _Look("m", 3, 0, 1),
    "ft": _Look("ft", 3, 0, 1),
    "ohm/km": _Look("Ω/km", 3, 0, 3),
    "ohm/kft": _Look("Ω/kft", 3, 0, 4),
    "degC": _Look("°C", 2, 1, 1),
    "degF": _Look("°F", 1, 0, 0),
    "K": _Look("°C", 2, 1, 1),
    "W/m2": _Look("W/m²", 1, 0, 0),
    "%/K": _Look("%/°C", 2, 2, 3, kept=2),
    "1/K": _Look("/°C", 3, 0, 5),
    "V/K": _Look("V/°C", 3, 0, 4),
    "A/K": _Look("A/°C", 3, 0, 5),
    "W/K": _Look("W/°C", 3, 0, 4),
    "mm2": _Look("mm²", 3, 0, 2),
    "cmil": _Look("cmil", 1, 0, 0),
    "deg": _Look("°", 2, 1, 1),
}

_IN_SYSTEM: dict[str, dict[str, str]] = {
    "us": {"m": "ft", "ohm/km": "ohm/kft"},
    "metric": {"ft": "m", "ohm/kft": "ohm/km"},
}

_PLAIN = str.maketrans(
    {
        MINUS: "-",
        NO_BREAK: " ",
        "\N{NARROW NO-BREAK SPACE}": ",",
        "\N{THIN SPACE}": " ",
        "×": "x",
        "÷": "/",
        "·": "*",
        "±": "+/-",
        "°": "deg",
        "Ω": "ohm",
        "²": "2",
        "³": "3",
        "√": "sqrt",
        "≤": "<=",
        "≥": ">=",
        "→": "->",
        "Δ": "d",
        "α": "alpha",
        "β": "beta",
        "γ": "gamma",
        "–": "-",
        "—": "-",
        "…": "...",
        "’": "'",
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "“": '"',
        "”": '"',
    }
)


def show(value: float, unit: str, *, system: str = "us") -> Shown:
    """Print a value that has ``unit`` inside the core, in the reader's unit system.

    Three or four digits that count, as the unit's own habit is; an exact value has no trailing zeros. A value that is
    not zero is never printed as zero, except below 1e-9 and in units that are only ever read whole (W/m²).
    """
    return _show(float(value), unit, system)


def show_text(value: float, unit: str, *, system: str = "us", both: bool = False) -> str:
    """Print value and unit as one text; ``both`` adds Fahrenheit in the ``us`` system: −21 °C (−6 °F)."""
    text = str(_show(float(value), unit, system))
    if both and system == "us" and unit in ("degC", "K"):
        fahrenheit = float(value) * 9 / 5 + (32 if unit == "degC" else 0)
        text += f" ({_show(fahrenheit, 'degF', system)})"
    return text


def in_words(
    words: Words, value: float | str | bool, unit: str, *, system: str = "us", both: bool = False
) -> str:
    """Print any result: a number with its unit, yes or no, or a text (a conductor size) as it is."""
    if isinstance(value, bool):
        return words("working.yes" if value else "working.no")
    if isinstance(value, str):
        return value.replace("mm2", "mm²").replace(" ", NO_BREAK)
    return show_text(value, unit, system=system, both=both)


@lru_cache(maxsize=8192)
def show_pair(
    actual: float,
    limit: float,
    sense: str,
    unit: str,
    *,
    system: str = "us",
    tight_below: float | None = None,
) -> Pair:
    """Print an actual value and its limit so that the printed digits agree with the verdict.

    When the two differ, digits are added until the printed numbers differ too (up to ten that count). The margin has as
    many decimals as they have, and more where it would look like nothing or like the named margin ``tight_below``.
    ``sense`` is ``at most`` or ``at least``.
    """
    shown_unit = _IN_SYSTEM[system].get(unit, unit)
    exact = [convert(float(number), unit, shown_unit) for number in (actual, limit)]
    here, there = map(_ten, exact)
    room = exact[1] - exact[0] if sense == "at most" else exact[0] - exact[1]
    margin = _ten(room) if here != there else 0.0
    tight = None if tight_below is None else _ten(convert(tight_below, unit, shown_unit))
    habits = [_places(number, shown_unit) for number in (here, there)]
    least = _least_apart(here, there, habits)
    common = max(*habits, least)
    for other in (0.0, tight):
        if other is not None:
            common = max(common, _least_apart(margin, other, (common, common)))

    def printed(number: float, places: int) -> Shown:
        return Shown(_digits(number, shown_unit, system, places), _LOOKS[shown_unit].label)

    return Pair(
        actual=printed(here, max(habits[0], least)),
        limit=printed(there, max(habits[1], least)),
        margin=printed(margin, common),
        gap=printed(abs(margin), common),
        tight=None if tight is None else printed(tight, common),
    )


def ascii_text(text: str) -> str:
    """The same text for a terminal that knows ASCII only; letters it cannot spell become question marks."""
    return text.translate(_PLAIN).encode("ascii", "replace").decode("ascii")


@lru_cache(maxsize=16384)
def _show(value: float, unit: str, system: str) -> Shown:
    shown_unit = _IN_SYSTEM[system].get(unit, unit)
    number = _ten(value if shown_unit == unit else convert(value, unit, shown_unit))
    return Shown(_digits(number, shown_unit, system, _places(number, shown_unit)), _LOOKS[shown_unit].label)


def _ten(value: float) -> float:
    """The value to ten significant digits: noise of the arithmetic beyond them is not a difference."""
    return float(f"{value:.{SIGNIFICANT}g}")


def _places(value: float, unit: str) -> int:
    """Decimals that the unit's habit gives this value."""
    look = _LOOKS[unit]
    if value == 0 or not math.isfinite(value):
        return look.fewest
    magnitude = math.floor(math.log10(abs(value)))
    if magnitude >= THOUSAND:
        return 0
    places = min(max(look.significant - 1 - magnitude, look.fewest), look.most)
    too_small = look.most > 0 and abs(value) < 0.5 * 10.0**-look.most
    return min(1 - magnitude, SIGNIFICANT - 1) if too_small else places


def _least_apart(one: float, other: float, habits: Sequence[int]) -> int:
    """Fewest decimals, beside the habit of each, at which values that differ are printed so."""
    least = 0
    if one == other or not (math.isfinite(one) and math.isfinite(other)):
        return least
    while True:
        here, there = (
            float(_fixed(value, max(habit, least))) for value, habit in zip((one, other), habits, strict=True)
        )
        if here != there and (here < there) == (one < other):
            return least
        least += 1


def _fixed(value: float, places: int, form: str = "") -> str:
    """The value with ``places`` decimals, halves away from zero as readers round: 31.25 is 31.3."""
    return f"{value * (1 + HALF_UP):{form}.{places}f}"


def _digits(value: float, unit: str, system: str, places: int) -> str:
    """The number as text with at most ``places`` decimals, thousands parted, a true minus."""
    if not math.isfinite(value):
        return "∞" if value > 0 else MINUS + "∞"
    if abs(value) < NOTHING:
        return "0"
    text = _fixed(abs(value), places, ",")
    if places and float(text.replace(",", "")) == abs(value):
        whole, _, decimals = text.partition(".")
        decimals = decimals.rstrip("0").ljust(_LOOKS[unit].kept, "0")
        text = f"{whole}.{decimals}" if decimals else whole
    if THOUSANDS[system] != ",":
        text = text.replace(",", THOUSANDS[system])
    return MINUS + text if value < 0 and text.strip("0.") else text  # what is printed as nothing has no sign
