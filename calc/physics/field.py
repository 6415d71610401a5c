"""Strings joined in parallel: the voltage they share, the current each gives there, and what joining them costs."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from calc.model.units import settled
from calc.physics.root import bracketed_root

Point = tuple[float, float]
"""Voltage in V and current in A."""


class Source(Protocol):
    """Whatever has two terminals and a curve whose current falls ever faster with voltage, such as a Curve."""

    def current(self, voltage_V: float) -> float:
        """Current in A at a voltage in V, also above open circuit, where it is negative."""
        ...

    def slope(self, voltage_V: float) -> float:
        """Change of current with voltage in A/V."""
        ...

    def voc(self) -> float:
        """Open-circuit voltage in V."""
        ...

    def mpp(self) -> Point:
        """Voltage in V and current in A at the maximum power point."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPoint:
    """Where strings that share one voltage come to stand, beside where each would stand alone.

    Args:
        voltage_V: the joint maximum power point's voltage, V.
        current_A: the array's current there, A.
        power_W: the array's power there, W.
        currents_A: each string's current there, A; below zero where one takes current instead of giving it.
        alone: each string's own maximum power point, V and A.
        power_alone_W: the sum of the powers there, W.
        losses_W: what each string gives away by sharing the voltage, W.
        loss_share: the power given away as a share of what the strings would give alone; 0 in the dark.
        open_circuit_V: the joined array's voltage with nothing connected, V.
        open_circuit_currents_A: each string's current there, A: above zero it drives the others, below zero current
            is pushed back into it.
        reverse_current_A: the largest of the currents pushed back, A.
    """

    voltage_V: float
    current_A: float
    power_W: float
    currents_A: tuple[float, ...]
    alone: tuple[Point, ...]
    power_alone_W: float
    losses_W: tuple[float, ...]
    loss_share: float
    open_circuit_V: float
    open_circuit_currents_A: tuple[float, ...]
    reverse_current_A: float


def joint_current(strings: Sequence[Source], voltage_V: float) -> float:
    """Current in A of strings in parallel at their common voltage in V."""
    return sum(string.current(voltage_V) for string in strings)


def joint_voc(strings: Sequence[Source]) -> float:
    """Open-circuit voltage in V of strings in parallel.

    The one root of the summed current between the lowest and the highest of their own open-circuit voltages.
    """
    own_V = [string.voc() for string in strings]
    low, high = min(own_V), max(own_V)
    if joint_current(strings, low) <= 0.0:  # alike, but for rounding
        return low
    if joint_current(strings, high) >= 0.0:
        return high
    return bracketed_root(lambda voltage_V: joint_current(strings, voltage_V), low, high)


def joint_mpp(strings: Sequence[Source]) -> JointPoint:
    """Where do strings in parallel give most together, what does each give there, and what would each give alone?

    The one root of d(power)/d(voltage) between the lowest and the highest of their own peak voltages: each string's
    current falls ever faster with voltage, so their sum does, and its power has one peak.

    Args:
        strings: one or more, each a Curve (``model.at(irradiance, cell).in_series(n)``) or anything like it.

    Refuses (ValueError) an empty sequence.
    """
    if not strings:
        raise ValueError("joint_mpp wants one string or more")
    alone = tuple(string.mpp() for string in strings)
    voltage_V = _peak_voltage(strings, alone)
    currents_A = tuple(string.current(voltage_V) for string in strings)
    open_V = joint_voc(strings)
    open_currents_A = tuple(settled(string.current(open_V)) for string in strings)
    powers_W = [own_V * own_A for own_V, own_A in alone]
    losses_W = tuple(
        settled(own_W - voltage_V * joint_A) for own_W, joint_A in zip(powers_W, currents_A, strict=True)
    )
    power_alone_W = sum(powers_W)
    return JointPoint(
        voltage_V=voltage_V,
        current_A=sum(currents_A),
        power_W=voltage_V * sum(currents_A),
        currents_A=currents_A,
        alone=alone,
        power_alone_W=power_alone_W,
        losses_W=losses_W,
        loss_share=settled(sum(losses_W) / power_alone_W) if power_alone_W else 0.0,
        open_circuit_V=open_V,
        open_circuit_currents_A=open_currents_A,
        reverse_current_A=max(0.0, -min(open_currents_A)),
    )


def _peak_voltage(strings: Sequence[Source], alone: tuple[Point, ...]) -> float:
    """The joint maximum power point's voltage in V."""

    def power_slope(voltage_V: float) -> float:
        return sum(string.current(voltage_V) + voltage_V * string.slope(voltage_V) for string in strings)

    low, high = min(own_V for own_V, _ in alone), max(own_V for own_V, _ in alone)
    if power_slope(low) <= 0.0:  # alike, but for rounding
        return low
    return high if power_slope(high) >= 0.0 else bracketed_root(power_slope, low, high)
