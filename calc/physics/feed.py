"""An array with its wire as the controller sees it: strings alike, or strings of several kinds joined."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from calc.physics.curve import Curve, ModuleModel
from calc.physics.field import joint_current, joint_voc
from calc.physics.heat import cell_temperature
from calc.physics.root import bracketed_root

if TYPE_CHECKING:
    from calc.physics.daylight import Light


@dataclass(frozen=True, slots=True)
class AlikeStrings:
    """Strings of one kind in parallel.

    Args:
        model: the strings and their wire as one large module; made by ``alike``.
        rise_K: rise of the cells over the air at 1000 W/m2, K.
        rear_gain: extra light from behind as a share of that in front; it does not count as heat.
    """

    model: ModuleModel
    rise_K: float
    rear_gain: float = 0.0

    def under(self, light: "Light") -> Curve:
        """The curve at the end of the wire under this light."""
        cell_degC = cell_temperature(light.air_degC, light.irradiance_Wm2, self.rise_K)
        return self.model.at(light.irradiance_Wm2 * (1.0 + self.rear_gain), cell_degC)


def alike(
    module: ModuleModel,
    in_series: int,
    in_parallel: int,
    *,
    rise_K: float,
    rear_gain: float = 0.0,
    string_ohm: float = 0.0,
    array_ohm: float = 0.0,
) -> AlikeStrings:
    """What does a controller see of alike strings at the end of their wire?

    Exact and without iteration: voltages add in a string, currents add over strings, and wire in the path is series
    resistance like the module's own, which does not change with light.

    Args:
        module: one module.
        in_series: modules in a string.
        in_parallel: strings.
        rise_K: rise of the cells over the air at 1000 W/m2, K.
        rear_gain: extra light from behind as a share of that in front.
        string_ohm: wire of each string, out and back, ohm.
        array_ohm: wire that carries all strings, out and back, ohm.
    """
    string = module.reference.in_series(in_series).behind(string_ohm)
    whole = string.in_parallel(in_parallel).behind(array_ohm)
    alpha = module.alpha_isc_A_per_K * in_parallel
    return AlikeStrings(replace(module, reference=whole, alpha_isc_A_per_K=alpha), rise_K, rear_gain)


@dataclass(frozen=True, slots=True)
class UnlikeStrings:
    """Strings of several kinds in parallel, and the wire that carries them all.

    Args:
        kinds: each kind with its own wire.
        array_ohm: wire that carries all strings, out and back, ohm.
    """

    kinds: tuple[AlikeStrings, ...]
    array_ohm: float = 0.0

    def under(self, light: "Light") -> "Joined":
        """What reaches the end of the wire under this light."""
        return Joined(tuple(kind.under(light) for kind in self.kinds), self.array_ohm)


@dataclass(frozen=True)
class Joined:
    """Unlike strings at one voltage, seen through the wire that carries them all.

    Args:
        strings: their curves.
        array_ohm: the wire, ohm.
    """

    strings: tuple[Curve, ...]
    array_ohm: float

    @cached_property
    def _open(self) -> float:
        return joint_voc(self.strings)

    def voc(self) -> float:
        """Open-circuit voltage, V; wire without current drops nothing."""
        return self._open

    def current(self, voltage_V: float) -> float:
        """Current in A at a voltage in V behind the wire: the one root between that voltage and open circuit."""
        if self.array_ohm == 0.0:
            return joint_current(self.strings, voltage_V)
        low, high = sorted((voltage_V, self._open))
        joint_V = _root(lambda v: v - self.array_ohm * joint_current(self.strings, v) - voltage_V, low, high)
        return joint_current(self.strings, joint_V)

    def mpp(self, open_V: float | None = None) -> tuple[float, float]:  # noqa: ARG002 - it is known here
        """Voltage behind the wire and current where most power arrives; both 0 in the dark.

        The one root of d(power)/d(voltage before the wire): current falls ever faster with that voltage.
        """

        def power_slope(v: float) -> float:
            i = joint_current(self.strings, v)
            slope = sum(string.slope(v) for string in self.strings)
            return i * (1.0 - self.array_ohm * slope) + slope * (v - self.array_ohm * i)

        if power_slope(0.0) <= 0.0 or power_slope(self._open) >= 0.0:  # dark, or only rounding is left
            return 0.0, 0.0
        v = bracketed_root(power_slope, 0.0, self._open)
        i = joint_current(self.strings, v)
        return v - self.array_ohm * i, i


def _root(f: Callable[[float], float], low: float, high: float) -> float:
    return high if low == high else bracketed_root(f, low, high)
