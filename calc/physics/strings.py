"""A string: parts at one current whose voltages add, and the wire to where it is joined."""

from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import copysign, inf, isinf

from calc.physics.cells import Backwards, Cells, Part
from calc.physics.diode import Curve
from calc.physics.root import bracketed_root

_MOST_DOUBLINGS = 60


@dataclass(frozen=True, slots=True)
class _Lone:
    """The only part that is not bypassed between two turns, with the wire in it, and what the rest adds in V."""

    curve: Curve
    rest_V: float


@dataclass(frozen=True)
class String:
    """Parts in series with the string's own wire.

    Voltage is explicit in current. The current at a voltage is explicit where only one part is not bypassed, and else
    the one root between two currents at which bypass diodes turn, since voltage only falls as current rises.

    Args:
        parts: none where the string is a dead short.
        wire_ohm: the string's wire, out and back, ohm.
    """

    parts: tuple[Part, ...]
    wire_ohm: float = 0.0

    def voltage(self, current_A: float) -> float:
        """Voltage in V at the end of its wire at a current in A, also below zero, where it is pushed back."""
        voltage_V = -current_A * self.wire_ohm
        for part in self.parts:  # asked for so often that a sum over a generator would show
            voltage_V += part.voltage(current_A)
        return voltage_V

    def point(self, current_A: float) -> tuple[float, float]:
        """The same, and how it falls with current in ohm: 0 where all is bypassed and the wire has none."""
        voltage_V, resistance = -current_A * self.wire_ohm, self.wire_ohm
        for part in self.parts:
            part_V, part_ohm = part.point(current_A)
            voltage_V += part_V
            resistance += part_ohm
        return voltage_V, resistance

    def voc(self) -> float:
        """Open-circuit voltage in V."""
        return self.voltage(0.0)

    def current(self, voltage_V: float) -> float:
        """Current in A at a voltage in V.

        Where nothing holds the current it is infinite: beyond the voltage of the diodes where every part is bypassed
        and the wire has no resistance, and far above open circuit where nothing has any.
        """
        place = bisect_left(self._turn_volts, voltage_V)
        lone = self._lone[place]
        if lone is not None:
            return lone.curve.current(voltage_V - lone.rest_V)
        currents = self._turns
        if self._all_flat[place]:
            return self._through_diodes(voltage_V, currents[place - 1 if place else 0] if currents else 0.0)
        high = currents[place - 1] if place else self._beyond(voltage_V, upward=True)
        low = currents[place] if place < len(currents) else self._beyond(voltage_V, upward=False)
        if isinf(high) or isinf(low):
            return high if isinf(high) else low
        return bracketed_root(lambda current_A: self.voltage(current_A) - voltage_V, low, high)

    def slope(self, voltage_V: float) -> float:
        """Change of current with voltage in A/V at a voltage in V."""
        resistance = self.point(self.current(voltage_V))[1]
        return -1.0 / resistance if resistance else -inf

    @cached_property
    def turned(self) -> bool:
        """Whether any of its cells are joined the wrong way round."""
        return any(isinstance(part, Backwards) for part in self.parts)

    @cached_property
    def only(self) -> Curve | None:
        """The curve of its cells with its wire, where all stand in one light and the right way round."""
        if len(self.parts) != 1 or not isinstance(self.parts[0], Cells):
            return None
        return self.parts[0].curve.behind(self.wire_ohm)

    @cached_property
    def clamp(self) -> float:
        """Its voltage with all cells bypassed, V."""
        return self.turns[0][0] if self.turns else 0.0

    @cached_property
    def turns(self) -> tuple[tuple[float, float], ...]:
        """Voltage and current wherever bypass diodes turn, from the lowest voltage on."""
        currents = sorted((part.turns_at for part in self.parts), reverse=True)
        return tuple((self.voltage(current_A), current_A) for current_A in currents)

    @cached_property
    def _turn_volts(self) -> list[float]:
        return [volts for volts, _ in self.turns]

    @cached_property
    def _turns(self) -> list[float]:
        return [current for _, current in self.turns]

    @cached_property
    def _between(self) -> list[float]:
        """One current on each side of every turn, from the lowest voltage on."""
        if not self.turns:
            return [0.0]
        currents = self._turns
        inner = [(one + other) / 2.0 for one, other in pairwise(currents)]
        return [currents[0] + 1.0, *inner, currents[-1] - 1.0]

    @cached_property
    def _lone(self) -> list[_Lone | None]:
        return [self._lone_at(current_A) for current_A in self._between]

    @cached_property
    def _all_flat(self) -> list[bool]:
        return [all(part.flat(current_A) for part in self.parts) for current_A in self._between]

    def _lone_at(self, current_A: float) -> _Lone | None:
        active = [part for part in self.parts if not part.flat(current_A)]
        if len(active) != 1 or not isinstance(active[0], Cells):
            return None
        rest_V = sum(part.voltage(current_A) for part in self.parts if part.flat(current_A))
        return _Lone(active[0].curve.behind(self.wire_ohm), rest_V)

    def _through_diodes(self, voltage_V: float, at_A: float) -> float:
        """Current in A where every part is bypassed: only the wire resists."""
        beyond_V = voltage_V - self.voltage(at_A)
        if self.wire_ohm:
            return at_A - beyond_V / self.wire_ohm
        return at_A - copysign(inf, beyond_V) if beyond_V else at_A

    def _beyond(self, voltage_V: float, *, upward: bool) -> float:
        """A current beyond the last turn at which the string's voltage is past a voltage; infinite where none is."""
        step = 1.0 + abs(self._turns[0 if upward else -1])
        current_A = self._turns[0 if upward else -1]
        for _ in range(_MOST_DOUBLINGS):
            current_A += step if upward else -step
            if (self.voltage(current_A) <= voltage_V) if upward else (self.voltage(current_A) >= voltage_V):
                return current_A
            step *= 2.0
        return inf if upward else -inf


def backwards(string: String) -> String:
    """The same string with its two ends exchanged."""
    return String(tuple(_turned(part) for part in string.parts), string.wire_ohm)


def _turned(part: Part) -> Part:
    if isinstance(part, Backwards):
        return part.cells
    if isinstance(part, Cells):
        return Backwards(part)
    raise TypeError(f"{part!r} cannot be turned")
