"""Slips of the meter: readings on the wrong range, or with its leads exchanged, as they would be without the slip."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import log10

from calc.meter.judged import Item

Shown = tuple[Item, float, float]
"""A reading, what is predicted for it, and how far the reading may be from that."""

_POWERS = (-3, -2, -1, 1, 2, 3)
_OFF = 0.08
"""How far a reading may be from a power of ten, in powers of ten: some 20 %."""


def ranges(shown: Sequence[Shown]) -> Iterator[list[Shown]]:
    """The readings with one of them, or all of a kind, taken as read on the wrong range."""
    for at, (item, value, _) in enumerate(shown):
        factor = _power(item.measured, value)
        if factor:
            yield [_times(one, factor) if n == at else one for n, one in enumerate(shown)]
    for volts in (True, False):
        mine = [(item, value) for item, value, _ in shown if item.volts == volts and abs(item.measured) > 0.0]
        factors = {_power(item.measured, value) for item, value in mine}
        factor = factors.pop() if len(factors) == 1 else 0.0
        if factor:
            yield [_times(one, factor) if one[0].volts == volts else one for one in shown]


def swapped(shown: Sequence[Shown]) -> list[Shown]:
    """The readings as they are with the meter's leads the other way round; nothing where no voltage is below zero."""
    volts = [item.measured < 0.0 < value for item, value, _ in shown if item.volts]
    return [_times(one, -1.0) if one[0].volts else one for one in shown] if volts and all(volts) else []


def _times(one: Shown, factor: float) -> Shown:
    item, value, within = one
    return replace(item, measured=item.measured * factor), value, within


def _power(measured: float, value: float) -> float:
    """By which power of ten a reading would have to be multiplied; 0 where by none."""
    if measured <= 0.0 or value <= 0.0:
        return 0.0
    needed = log10(value / measured)
    near = round(needed)
    return 10.0**near if near in _POWERS and abs(needed - near) < _OFF else 0.0
