"""Ranges beside text fields: which inputs have one, from where to where, in the unit that the reader writes."""

import math
import re
from dataclasses import dataclass

from calc.model.fields import Field

QUANTITY = re.compile(r"\s*([-\N{MINUS SIGN}]?[0-9]+(?:\.[0-9]+)?)\s*([^\d\s][^\d]*?)\s*")
REACH = 30
"""How far, in degrees, the range of a temperature goes to either side of the start."""
LEAST_LENGTH, LEAST_COUNT = 10, 12
"""The least upper ends of the ranges of a length and a count."""


@dataclass(frozen=True, slots=True)
class Slider:
    """A range beside a text field, in the unit of the text."""

    least: str
    most: str
    step: str
    value: str
    unit: str


def slider(field: Field, text: str, start: str, assumed: str = "") -> Slider | None:
    """A range for a count, a length or an air temperature, around the value the page began with; else None.

    While the text cannot be read the range stays where it was: at the start's value, or at the assumed one.
    """
    if field.kind == "count" and field.path.startswith(("array.", "string.")):
        return _count_slider(text, start)
    if field.path not in ("run.<run>.length", "site.coldest", "site.hottest"):
        return None
    now = next(filter(None, map(QUANTITY.fullmatch, (text, start, assumed))), None)
    if now is None:
        return None
    value, first = _number(now[1]), QUANTITY.fullmatch(start or assumed)
    middle = _number(first[1]) if first and first[2] == now[2] else value
    if field.kind == "temperature":
        low, high = math.floor(min(middle - REACH, value)), math.ceil(max(middle + REACH, value))
    else:
        low, high = 1, math.ceil(max(LEAST_LENGTH, 3 * middle, value))
    return Slider(str(low), str(high), "1", f"{value:g}", now[2])


def _count_slider(text: str, start: str) -> Slider | None:
    here, first = _whole(text), _whole(start)
    value = first if here is None else here
    if value is None:
        return None
    return Slider("1", str(max(LEAST_COUNT, 2 * (first or value), value)), "1", str(value), "")


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < len("1000") else None


def _number(text: str) -> float:
    return float(text.replace("\N{MINUS SIGN}", "-"))
