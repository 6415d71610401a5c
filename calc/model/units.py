"""The closed set of units used inside the core, each with its factor to the coherent unit of its kind.

A value keeps the unit of its symbol. Formulas are evaluated in coherent units, so that 2 × 25.9 m × 4.07 ohm/km
needs no hidden factor: the factors here are applied once, by the formula evaluator, and judged by pint in a test.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its factor to the coherent unit, the kind of quantity, the suffix in keys and pint's spelling."""

    factor: float
    kind: str
    suffix: str
    pint: str


UNITS: dict[str, Unit] = {
    "": Unit(1.0, "number", "", "dimensionless"),
    "%": Unit(0.01, "number", "percent", "percent"),
    "V": Unit(1.0, "voltage", "V", "volt"),
    "A": Unit(1.0, "current", "A", "ampere"),
    "W": Unit(1.0, "power", "W", "watt"),
    "ohm": Unit(1.0, "resistance", "ohm", "ohm"),
    "m": Unit(1.0, "length", "m", "meter"),
    "ft": Unit(0.3048, "length", "ft", "foot"),
    "ohm/km": Unit(0.001, "resistance per length", "ohm_per_km", "ohm/kilometer"),
    "ohm/kft": Unit(1 / 304.8, "resistance per length", "ohm_per_kft", "ohm/kilofoot"),
    "degC": Unit(1.0, "temperature", "degC", "degC"),
    "K": Unit(1.0, "temperature difference", "K", "kelvin"),
    "W/m2": Unit(1.0, "irradiance", "Wm2", "watt/meter**2"),
    "%/K": Unit(0.01, "per temperature", "percent_per_K", "percent/kelvin"),
    "1/K": Unit(1.0, "per temperature", "per_K", "1/kelvin"),
    "V/K": Unit(1.0, "voltage per temperature", "V_per_K", "volt/kelvin"),
    "A/K": Unit(1.0, "current per temperature", "A_per_K", "ampere/kelvin"),
    "W/K": Unit(1.0, "power per temperature", "W_per_K", "watt/kelvin"),
    "mm2": Unit(1.0, "area", "mm2", "millimeter**2"),
    "cmil": Unit(0.000506707479097, "area", "cmil", "circular_mil"),
    "deg": Unit(1.0, "angle", "deg", "degree"),
}

DIGITS = 10
"""Significant digits that are kept: beyond lie the arithmetic's noise and the platforms' differences."""

ROUNDING = 1e-9
"""What the difference of two equal values may come to, as a share or in units of a reading."""


def rounded(value: float) -> float:
    """``value`` at the digits that are kept, so that 1.25 × 1.12 A is 1.4 A and not a hair more."""
    return float(f"{value:.{DIGITS}g}") + 0.0


def settled(value: float) -> float:
    """``value``, or 0 where only rounding is left of it: of amperes, watts or shares, which differ between machines."""
    return value if abs(value) >= ROUNDING else 0.0


def convert(value: float, unit: str, wanted: str) -> float:
    """Return ``value`` given in ``unit`` as a number of ``wanted``; refuses units of different kinds (ValueError)."""
    if unit == wanted:
        return value
    here, there = UNITS[unit], UNITS[wanted]
    if here.kind != there.kind:
        raise ValueError(
            f"{unit} is a {here.kind}, {wanted} is a {there.kind}: one cannot be read as the other"
        )
    return value * here.factor / there.factor
