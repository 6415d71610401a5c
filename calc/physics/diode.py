"""The single-diode equation of a module, a string or a part of either, at one irradiance and cell temperature.

    current = photocurrent − saturation current × (exp(diode voltage / a) − 1) − diode voltage / shunt resistance
    diode voltage = voltage + current × series resistance

Everything is explicit but the maximum power point, which is one bracketed root.
"""

from math import exp, expm1, inf, log, log1p
from typing import Self

from calc.model.record import record
from calc.physics.lambert import lambert_w_exp
from calc.physics.root import bracketed_root

_LARGEST_EXPONENT = 700.0
"""Just below where an exponential overflows a float."""

_NEARLY_DARK = 0.1
"""An open-circuit voltage below this share of the ideality leaves differences that rounding would spoil."""

_TANGENTS, _SETTLED = 20, 1e-8
"""Most steps along a tangent, and the share of open circuit below which a step is the last one; four are usual.

What a step leaves is about the square of it, and so beyond a float's digits after one as short as that.
"""

_NO_LEAK_A = 1e-60
"""Below this, shunt conductance times ideality is taken as none: Lambert W would be asked beyond its range."""


def _exp(x: float) -> float:
    """eˣ, or infinity where a float cannot hold it."""
    return exp(x) if x < _LARGEST_EXPONENT else inf


@record(frozen=True, slots=True)
class Curve:
    """What current flows at what voltage, for one irradiance and cell temperature.

    It holds on both sides of the generating quadrant: above open circuit the current is negative (pushed back by
    stronger strings); below 0 V the cells are driven backwards, and neither breakdown nor a bypass diode is in it.

    Cites:
        De Soto, Klein, Beckman 2006 (the equation; as written out in pvlib 0.16.1)
        Jain, Kapoor 2004, doi:10.1016/j.solmat.2003.11.018 (its explicit form; as cited by pvlib 0.16.1)

    Args:
        photocurrent_A: current the light sets free, A.
        saturation_current_A: the diode's, A, above zero.
        series_resistance_ohm: ohm, zero or more.
        shunt_resistance_ohm: ohm, infinite where nothing leaks.
        modified_ideality_V: ideality factor × cells in series × thermal voltage at this temperature, V.
    """

    photocurrent_A: float
    saturation_current_A: float
    series_resistance_ohm: float
    shunt_resistance_ohm: float
    modified_ideality_V: float

    def in_series(self, n: float) -> Self:
        """The curve of n alike in series: n times the voltage at the same current; a fraction cuts out a part."""
        return type(self)(
            self.photocurrent_A,
            self.saturation_current_A,
            self.series_resistance_ohm * n,
            self.shunt_resistance_ohm * n,
            self.modified_ideality_V * n,
        )

    def in_parallel(self, n: float) -> Self:
        """The curve of n alike in parallel: n times the current at the same voltage."""
        return type(self)(
            self.photocurrent_A * n,
            self.saturation_current_A * n,
            self.series_resistance_ohm / n,
            self.shunt_resistance_ohm / n,
            self.modified_ideality_V,
        )

    def behind(self, wire_ohm: float) -> Self:
        """The curve at the end of a wire that all its current passes: more series resistance, in ohm."""
        return type(self)(
            self.photocurrent_A,
            self.saturation_current_A,
            self.series_resistance_ohm + wire_ohm,
            self.shunt_resistance_ohm,
            self.modified_ideality_V,
        )

    def current(self, voltage_V: float) -> float:
        """Current in A at a terminal voltage in V; negative where it is pushed back into the module.

        (source − v × leak) / divider − a / series × W(eˣ), with x linear in v.
        """
        source, leak = self.photocurrent_A + self.saturation_current_A, 1.0 / self.shunt_resistance_ohm
        a, rs, i0 = self.modified_ideality_V, self.series_resistance_ohm, self.saturation_current_A
        divider = 1.0 + leak * rs
        scale = i0 * rs / (a * divider)
        if scale == 0.0:
            return source - i0 * _exp(voltage_V / a) - voltage_V * leak
        w = lambert_w_exp(log(scale) + (rs * source + voltage_V) / (a * divider))
        return (source - voltage_V * leak) / divider - a / rs * w

    def voltage(self, current_A: float) -> float:
        """Terminal voltage in V at a current in A; minus infinity where no voltage drives that current."""
        return self._diode_voltage(current_A) - current_A * self.series_resistance_ohm

    def point(self, current_A: float) -> tuple[float, float]:
        """The same, and how it falls with current in ohm, for little more than the price of one."""
        diode_V, series_ohm = self._diode_voltage(current_A), self.series_resistance_ohm
        conductance = self._conductance(diode_V)
        return diode_V - current_A * series_ohm, series_ohm + 1.0 / conductance if conductance else inf

    def _diode_voltage(self, current_A: float) -> float:
        """Voltage in V across the diode at a terminal current in A.

        Lambert W gives it. Where W is above 1 its logarithm is used, because the plain form is then the small
        difference of two large numbers.
        """
        a, i0 = self.modified_ideality_V, self.saturation_current_A
        to_diode_A, leak_A = self.photocurrent_A - current_A, a / self.shunt_resistance_ohm
        if leak_A < _NO_LEAK_A:
            return a * log1p(to_diode_A / i0) if to_diode_A > -i0 else -inf
        reach = (to_diode_A + i0) / leak_A
        log_share = log(i0) - log(leak_A)
        w = lambert_w_exp(log_share + reach)
        return a * ((log(w) - log_share) if w > 1.0 else (reach - w))

    def slope(self, voltage_V: float) -> float:
        """Change of current with voltage in A/V, never above zero, at a terminal voltage in V."""
        diode_V = voltage_V + self.current(voltage_V) * self.series_resistance_ohm
        resistance = 1.0 / self._conductance(diode_V) + self.series_resistance_ohm
        return -1.0 / resistance if resistance else -inf

    def _conductance(self, diode_V: float) -> float:
        """Conductance of diode and shunt together, in A/V."""
        a = self.modified_ideality_V
        return self.saturation_current_A / a * _exp(diode_V / a) + 1.0 / self.shunt_resistance_ohm

    def voc(self) -> float:
        """Open-circuit voltage in V."""
        return self.voltage(0.0)

    def isc(self) -> float:
        """Short-circuit current in A."""
        return self.current(0.0)

    def mpp(self, open_V: float | None = None) -> tuple[float, float]:
        """Voltage in V and current in A at the maximum power point; both 0 in the dark.

        The one root of d(power)/d(diode voltage) between 0 and open circuit: there the current is an explicit
        function, and power has a single peak because current falls ever faster. A few steps along the tangent find it;
        where they do not settle, or hardly any light is left, it is bracketed instead.

        Args:
            open_V: open-circuit voltage, V, where it is known already.
        """
        open_V = self.voc() if open_V is None else open_V
        diode_V = self._peak_by_tangents(open_V)
        if diode_V is None:
            if self._power_slope(open_V) >= 0.0:  # dark, or so nearly that only rounding is left
                return 0.0, 0.0
            diode_V = bracketed_root(self._power_slope, 0.0, open_V)
        i = self._through(diode_V)
        return diode_V - i * self.series_resistance_ohm, i

    def _through(self, diode_V: float) -> float:
        """Current in A at a diode voltage in V."""
        through_diode_A = self.saturation_current_A * expm1(diode_V / self.modified_ideality_V)
        return self.photocurrent_A - through_diode_A - diode_V / self.shunt_resistance_ohm

    def _power_slope(self, diode_V: float) -> float:
        """Change of power with diode voltage over a factor above zero, in A."""
        i = self._through(diode_V)
        return i - self._conductance(diode_V) * (diode_V - 2.0 * i * self.series_resistance_ohm)

    def _peak_by_tangents(self, open_V: float) -> float | None:
        """The diode voltage at the peak by Newton's steps; None where they do not settle.

        They begin at the peak of a curve without resistances: v + a ln(1 + v/a) = Voc, put into itself twice.
        """
        a, i0, leak = self.modified_ideality_V, self.saturation_current_A, 1.0 / self.shunt_resistance_ohm
        rs, whole_A = self.series_resistance_ohm, self.photocurrent_A + i0
        if open_V < _NEARLY_DARK * a:
            return None
        v = open_V - a * log1p((open_V - a * log1p(open_V / a)) / a)
        for _ in range(_TANGENTS):
            power_A = i0 * exp(v / a)
            conductance = power_A / a + leak
            i = whole_A - power_A - v * leak
            room_V = v - 2.0 * i * rs
            steep = conductance * (2.0 + 2.0 * conductance * rs) + power_A / (a * a) * room_V
            step = (i - conductance * room_V) / steep
            if not 0.0 < v + step < open_V:  # as behind much wire, where the peak is higher up than guessed
                v = (v + open_V) / 2.0
                continue
            v += step
            if abs(step) <= _SETTLED * open_V:
                return v
        return None

    def points(self, n: int) -> list[tuple[float, float]]:
        """The curve as n points (V, A), two or more, evenly spaced in voltage from 0 V to open circuit."""
        step = self.voc() / (n - 1)
        return [(step * k, self.current(step * k)) for k in range(n)]
