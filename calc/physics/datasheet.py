"""Which single-diode curves pass through a datasheet's four points: one for each ideality, up to a largest one."""

from dataclasses import dataclass
from math import exp, expm1, isfinite

from calc.physics.diode import Curve
from calc.physics.root import bracketed_root

_LEAST, _MOST = 1e-6, 1e6
"""Volts and amperes outside this belong to no module, string or array."""

_STEEPEST_PER_K = 0.01
"""No module's coefficient is beyond 1 % per kelvin; such a value is in another unit (common practice, no source)."""

_SMALLEST_SHARE = 1.0 / 200.0
"""Least ideality as a share of Voc: modules lie near 1/26, and far below the saturation current leaves a float."""

_LEAST_LEAK = 1e-4
"""Least shunt conductance as a share of Isc/Voc: a shunt so large that it costs 0.01 % of the current."""

_NEARLY = 1.0 - 1e-9
_LOWERING = 0.8


class FitError(ValueError):
    """A datasheet's values cannot belong to one single-diode curve; reason is a word for a catalogue of messages."""

    def __init__(self, reason: str, message: str) -> None:
        super().__init__(message)
        self.reason = reason


def refuse_impossible(
    voc: float,
    isc: float,
    vmp: float,
    imp: float,
    beta_voc: float,
    alpha_isc: float,
    gamma_pmax: float | None = None,
) -> None:
    """Raise FitError for the first value that no single-diode curve can have.

    The curve bends one way only, so it lies below its tangent at the maximum power point, and that tangent meets the
    axes at 2 × Vmp and 2 × Imp.
    """
    for name, value in (("Voc", voc), ("Isc", isc), ("Vmp", vmp), ("Imp", imp)):
        if not (isfinite(value) and _LEAST <= value <= _MOST):
            raise FitError("not-a-quantity", f"{name} is {value!r}; give a value above zero")
    for end_name, unit, end, peak in (("Voc", "V", voc, vmp), ("Isc", "A", isc, imp)):
        peak_name = end_name[0] + "mp"
        if peak >= end:
            raise FitError("peak-outside", f"{peak_name} {peak} {unit} is not below {end_name} {end} {unit}")
        if peak <= end / 2.0:
            raise FitError(
                "peak-too-low", f"{peak_name} {peak} {unit} is not above half of {end_name} {end} {unit}"
            )
    if not -_STEEPEST_PER_K <= beta_voc < 0.0:
        raise FitError("voc-coefficient", f"Voc coefficient {beta_voc} 1/K is not between -0.01 and 0 1/K")
    if not -_STEEPEST_PER_K <= alpha_isc <= _STEEPEST_PER_K:
        raise FitError(
            "isc-coefficient", f"Isc coefficient {alpha_isc} 1/K is not between -0.01 and 0.01 1/K"
        )
    if gamma_pmax is not None and not -_STEEPEST_PER_K <= gamma_pmax < 0.0:
        raise FitError(
            "pmax-coefficient", f"Pmax coefficient {gamma_pmax} 1/K is not between -0.01 and 0 1/K"
        )


@dataclass(frozen=True, slots=True)
class FourPoints:
    """The family of single-diode curves through Voc, Isc and the maximum power point, by modified ideality in V.

    Three conditions are linear in photocurrent, saturation current and shunt conductance; the fourth, that power peaks
    at Vmp, fixes the series resistance. Exponentials are taken relative to the one at Voc, so that none overflows.

    Args:
        voc: open-circuit voltage, V.
        isc: short-circuit current, A.
        vmp: voltage at the maximum power point, V.
        imp: current there, A.
    """

    voc: float
    isc: float
    vmp: float
    imp: float

    def _linear(self, a: float, rs: float) -> tuple[float, float]:
        """The diode's current at Voc in A (its saturation current counted in), and the shunt conductance in A/V."""
        short_V, peak_V = self.isc * rs, self.vmp + self.imp * rs
        short_fall = -expm1((short_V - self.voc) / a)
        peak_fall = -expm1((peak_V - self.voc) / a)
        below_short, below_peak = self.voc - short_V, self.voc - peak_V
        divisor = short_fall * below_peak - peak_fall * below_short
        diode_A = (self.isc * below_peak - self.imp * below_short) / divisor
        return diode_A, (short_fall * self.imp - peak_fall * self.isc) / divisor

    def _power_slope(self, a: float, rs: float) -> float:
        """What is left of d(power)/d(voltage) at Vmp, in A: above zero the series resistance is too small."""
        diode_A, leak = self._linear(a, rs)
        conductance = diode_A / a * exp((self.vmp + self.imp * rs - self.voc) / a) + leak
        return self.imp - conductance * (self.vmp - self.imp * rs)

    def _series_resistance(self, a: float) -> float:
        """The series resistance in ohm that puts the peak of power at Vmp; 0 where only less than 0 would."""
        if self._power_slope(a, 0.0) <= 0.0:
            return 0.0
        most = (self.voc - self.vmp) / self.imp * _NEARLY
        return bracketed_root(lambda rs: self._power_slope(a, rs), 0.0, most)

    def _spare_leak(self, a: float) -> float:
        """By how much the shunt conductance is above the least one, in A/V."""
        return self._linear(a, self._series_resistance(a))[1] - _LEAST_LEAK * self.isc / self.voc

    def limit(self, a: float) -> str:
        """Which resistance would be negative at this ideality: "series", "shunt", or "" when neither would."""
        if self._power_slope(a, 0.0) < 0.0:
            return "series"
        return "shunt" if self._spare_leak(a) < 0.0 else ""

    def largest_ideality(self, above: float) -> tuple[float, str]:
        """The largest modified ideality in V, below one that is too large, at which no resistance is negative.

        Returns:
            The ideality, and the resistance that is at its end there: "series" or "shunt".

        Refuses (FitError) when it would be below 1/200 of Voc: the corner at the maximum power point is too sharp.
        """
        low, least = above, self.voc * _SMALLEST_SHARE
        while self.limit(low):
            if low <= least:
                raise FitError(
                    "no-curve", "no single-diode curve passes through these four values; check them"
                )
            low = max(low * _LOWERING, least)
        high, held = above, ""
        if self._power_slope(high, 0.0) < 0.0:
            high, held = bracketed_root(lambda a: self._power_slope(a, 0.0), low, high), "series"
        if self._spare_leak(high) < 0.0:
            high, held = bracketed_root(self._spare_leak, low, high), "shunt"
        return high, held

    def curve(self, a: float) -> Curve:
        """The curve of this family at a modified ideality in V that is not above the largest."""
        rs = self._series_resistance(a)
        diode_A, leak = self._linear(a, rs)
        saturation_A = diode_A * exp(-self.voc / a)
        photocurrent_A = diode_A - saturation_A + leak * self.voc
        return Curve(photocurrent_A, saturation_A, rs, 1.0 / leak, a)
