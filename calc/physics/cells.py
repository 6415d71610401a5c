"""Cells in series behind bypass diodes, the right way round or backwards: the parts of which strings are made."""

from dataclasses import dataclass, field
from typing import Protocol

from calc.physics.diode import Curve


class Part(Protocol):
    """Something in a string with a voltage for every current."""

    @property
    def turns_at(self) -> float:
        """The current at which its bypass diodes begin to conduct, A."""
        ...

    def voltage(self, current_A: float) -> float:
        """Voltage in V that it adds to the string at a current in A."""
        ...

    def point(self, current_A: float) -> tuple[float, float]:
        """The same, and how it falls with current in ohm: 0 where its bypass diodes conduct."""
        ...

    def flat(self, current_A: float) -> bool:
        """Whether its bypass diodes conduct at a current in A."""
        ...


@dataclass(frozen=True, slots=True)
class Cells:
    """Alike cells in one light, with the bypass diodes across them.

    Up to the current at which the cells would be driven backwards by more than the diodes' drop, they follow their own
    curve. Beyond it the diodes carry what the cells cannot, and the voltage stays at the drop.

    Cites:
        Common practice (a bypass diode as a fixed drop)

    Args:
        curve: of all the cells in series.
        bypass_V: drop of all the diodes across them when they conduct, V: one diode's times the number of groups.
        turns_at: the current at which the diodes begin to conduct, A; it follows from the other two.
    """

    curve: Curve
    bypass_V: float
    turns_at: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "turns_at", self.curve.current(-self.bypass_V))

    def voltage(self, current_A: float) -> float:
        """Voltage in V at a current in A."""
        return self.curve.voltage(current_A) if current_A < self.turns_at else -self.bypass_V

    def point(self, current_A: float) -> tuple[float, float]:
        """Voltage in V and its fall with current in ohm, for the price of one."""
        if current_A >= self.turns_at:
            return -self.bypass_V, 0.0
        return self.curve.point(current_A)

    def flat(self, current_A: float) -> bool:
        """Whether the diodes conduct at a current in A."""
        return current_A >= self.turns_at


@dataclass(frozen=True, slots=True)
class Backwards:
    """The same cells joined the wrong way round: the string's current enters them where it should leave.

    Args:
        cells: as they are when joined the right way.
    """

    cells: Cells

    @property
    def turns_at(self) -> float:
        """The current of the string below which the diodes conduct, A."""
        return -self.cells.turns_at

    def voltage(self, current_A: float) -> float:
        """Voltage in V that is added to the string, mostly below zero."""
        return -self.cells.voltage(-current_A)

    def point(self, current_A: float) -> tuple[float, float]:
        """The same, and how it falls with current in ohm."""
        voltage_V, resistance = self.cells.point(-current_A)
        return -voltage_V, resistance

    def flat(self, current_A: float) -> bool:
        """Whether the diodes conduct at a current in A."""
        return self.cells.flat(-current_A)
