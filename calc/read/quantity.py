"""A quantity as people write it ("85 ft", "-0.30 %/degC", "97 °F") as a number in the unit that is wanted.

One number and one unit are read, nothing else: the text is taken apart here, and pint only ever sees names of units.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from calc.model.units import UNITS, convert
from calc.read.words import Wrong

if TYPE_CHECKING:
    import pint

DEFINITIONS = Path(__file__).with_name("units.txt")
LONGEST = 60
LONGEST_UNIT = 30
KEPT = 12
"""Digits and decimals kept after a conversion, so that -4 degF is -20 degC and not a hair beside it."""

# Signs and marks as keyboards, word processors and datasheets write them.
MARKS = str.maketrans({
    "−": "-", "–": "-", "²": "2", "%": " percent ", "°": "deg", "º": "deg", "℃": "degC", "℉": "degF",
    "Ω": "ohm", "\N{OHM SIGN}": "ohm", "'": "ft", "′": "ft", "’": "ft", '"': "in", "″": "in", "”": "in",
})  # fmt: skip
NUMBER = re.compile(r"\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)(.*)", re.DOTALL)
NOT_FINITE = re.compile(r"\s*[+-]?(?:nan|inf|infinity)\b", re.IGNORECASE)
THOUSANDS = re.compile(r"\s*[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?![0-9,])")
COMMA = re.compile(r"\s*[+-]?[0-9.]*,[0-9]")
UNIT = re.compile(r"([A-Za-z]+2?)(?:(?: ?/ ?| per )([A-Za-z]+2?))?")
DEGREES = re.compile(r"\bdeg(?:rees?)? (?=[A-Za-z])")
DIRECT_CURRENT = re.compile(r"(?<=[VA]) ?(?:dc|DC)$")
COMMON = {
    "V": "V", "A": "A", "W": "W", "m": "m", "ft": "ft", "degC": "degC", "percent": "%", "percent/degC": "%/K", "deg": "deg",
}  # fmt: skip
"""Units as nearly every design writes them, and what they are in our own table: pint agrees (a test asks it), and need
not be imported for them, which takes a tenth of a first start."""
LENGTH = "length"
SHORT = 3
"""Words up to this length are not taken as plurals ("ms" is not metres), nor "MV" as "mv"."""


def read_quantity(text: str, unit: str) -> float | Wrong:
    """The quantity written in ``text`` as a number of ``unit`` (a key of the core's unit table).

    A temperature below a slash ("%/degC"), or where a difference (K) is wanted, is a difference; elsewhere a point.
    Refuses (Wrong) what is not one number and one known unit of the right kind, and says which of these it is.
    """
    if len(text) > LONGEST:
        return Wrong("value.long", {"limit": str(LONGEST)})
    return _read(text, unit)


@lru_cache(maxsize=4096)
def _read(text: str, unit: str) -> float | Wrong:
    clear = text.translate(MARKS)
    if THOUSANDS.match(clear):
        return Wrong("value.thousands", better=text.replace(",", ""))
    if COMMA.match(clear):
        return Wrong("value.decimal-comma", better=text.replace(",", "."))
    found = NUMBER.fullmatch(clear)
    if found is None:
        return Wrong("value.not-finite" if NOT_FINITE.match(text) else "value.not-quantity")
    number, rest = float(found[1]), " ".join(found[2].split())
    if not math.isfinite(number):
        return Wrong("value.not-finite")
    if not rest:
        return Wrong("value.bare", better=text)
    conversion = _conversion(rest, unit)
    return conversion if isinstance(conversion, Wrong) else conversion(number)


@dataclass(frozen=True, slots=True)
class Conversion:
    """From one unit to another; ``exactly`` as the arithmetic gives it, and then kept to the digits that count."""

    exactly: Callable[[float], float]

    def __call__(self, number: float) -> float:
        """``number`` of the source unit as a number of the target unit; unchanged when they are the same."""
        converted = float(self.exactly(number))
        if converted != number:
            converted = round(float(f"{converted:.{KEPT}g}"), KEPT)
        return converted + 0.0  # makes -0.0 a plain zero


@lru_cache(maxsize=512)
def _conversion(written: str, unit: str) -> Conversion | Wrong:
    """How to get from the unit ``written`` by an author to ``unit``: as our own table says, else by pint."""
    short = DIRECT_CURRENT.sub("", DEGREES.sub("deg", written))
    found = UNIT.fullmatch(short) if len(written) <= LONGEST_UNIT else None
    if found is None:
        return Wrong("value.not-quantity")
    words = [word for word in found.groups() if word]
    own = COMMON.get("/".join(words))
    if own is not None and (own == unit or UNITS[own].kind == UNITS[unit].kind == LENGTH):
        return Conversion(lambda number: convert(number, own, unit))
    names = [_name(word) for word in words]
    if None in names:
        return Wrong("value.unknown-unit")
    registry = _registry()
    target = registry.parse_units(UNITS[unit].pint)
    spelled = "/".join(name for name in names if name)
    if UNITS[unit].kind == "temperature difference":
        spelled = spelled.replace("degree_", "delta_degree_")
    source = registry.parse_units(spelled)
    if source.dimensionality != target.dimensionality:
        return Wrong("value.other-kind")
    return Conversion(lambda number: registry.convert(number, source, target))


def _name(word: str) -> str | None:
    """The full name of the unit that ``word`` spells, singular or plural, or None."""
    for spelled in (word, word.lower()):
        if spelled != word and word.startswith("M") and len(word) <= SHORT:
            continue
        for _, name, plural in _registry().parse_unit_name(spelled):
            if not plural or len(spelled) > SHORT:
                return str(name)
    return None


@cache
def _registry() -> "pint.UnitRegistry[float]":
    """Our own units; made when the first quantity is read, because importing pint takes most of a start."""
    import pint

    return pint.UnitRegistry(str(DEFINITIONS))
