"""Where a controller holds an array: a tracker at a peak of power, a plain one at the battery's voltage."""

from dataclasses import dataclass, field

from calc.model.faults import HELD, JOINED, NOTHING, PEAK
from calc.physics.arrays import Array, State


@dataclass(frozen=True, slots=True)
class Taken:
    """What a controller takes from an array.

    Args:
        way: how it holds the array: at a peak, held at the least voltage, joined to the battery, or nothing.
        state: the array there; open circuit where it takes nothing.
        power_W: what reaches the controller, and for one that joins the array to the battery, the battery, W.
    """

    way: str
    state: State
    power_W: float


@dataclass(frozen=True, slots=True)
class Working:
    """Where a controller can come to rest with an array.

    Args:
        best: where it takes most.
        first: the resting place it meets first when it comes from open circuit; a tracker may stay there.
    """

    best: Taken
    first: Taken


@dataclass(frozen=True, slots=True)
class Tracker:
    """An MPPT controller, which looks for a peak of power.

    Args:
        least_V: the least voltage at which it charges, V; 0 where it is not known.
    """

    least_V: float = 0.0

    def works(self, array: Array) -> Working:
        """Where does it come to rest?

        At a peak of power, as long as the voltage there is enough. Where power would only rise below the least voltage,
        it can hold that voltage.
        """
        peaks = array.peaks()
        resting = [Taken(PEAK, peak, peak.power) for peak in peaks if peak.voltage_V >= self.least_V]
        held = array.at(self.least_V) if len(resting) < len(peaks) else None
        if held is not None and not (resting and resting[-1].power_W >= held.power):
            resting.append(Taken(HELD, held, held.power))
        if not resting:
            resting = [Taken(NOTHING, array.open, 0.0)]
        return Working(max(resting, key=lambda taken: taken.power_W), resting[0])


@dataclass(frozen=True, slots=True)
class Joiner:
    """A PWM controller, which joins the array to the battery.

    Args:
        battery_V: the battery's voltage, V.
        own_drop_V: what the controller uses up itself, V.
        least_V: the voltage at which it holds the array, V; it follows from the other two.
    """

    battery_V: float
    own_drop_V: float
    least_V: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "least_V", self.battery_V + self.own_drop_V)

    def works(self, array: Array) -> Working:
        """Where does it come to rest? It has one place only."""
        state = array.at(self.least_V)
        taken = (
            Taken(NOTHING, array.open, 0.0)
            if state is None
            else Taken(JOINED, state, self.battery_V * state.current_A)
        )
        return Working(taken, taken)


Controller = Tracker | Joiner
