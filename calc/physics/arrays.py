"""Strings at one voltage whose currents add, seen through the run to the controller, with every peak of power."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import cos, pi

from calc.model.record import record
from calc.physics.diode import Curve
from calc.physics.root import bracketed_root
from calc.physics.strings import String

_INSIDE = 1e-9
"""How far from a turn of a diode the slope beside it is taken, as a share of the way to the next."""

_PIECES = 12
"""Into how many pieces the way between two turns is cut where modules are the wrong way round."""

_NEAR = 0.1
"""How near a cut by voltage comes to its place, as a share of the way to the next."""


@record(frozen=True, slots=True)
class State:
    """One point of an array's curve.

    Args:
        lead_A: current of one string of the leading kind, A.
        joint_V: voltage at which the strings are joined, V.
        current_A: of the whole array, A.
        voltage_V: at the controller, behind the run, V.
    """

    lead_A: float
    joint_V: float
    current_A: float
    voltage_V: float

    @property
    def power(self) -> float:
        """What reaches the controller, W."""
        return self.voltage_V * self.current_A


@dataclass(frozen=True)
class Array:
    """Strings of one or several kinds in parallel, and the run that carries them all.

    Every point is worked out from the current of one kind of string, the leading one: its voltage is explicit, and so
    are the others' currents at that voltage, as long as each of them has its cells in one light.

    Between two currents at which bypass diodes turn, power has one peak, because current falls ever faster with
    voltage there; at a turn itself there is none, because the curve bends the other way. Neither holds with modules the
    wrong way round: then the way is cut into more pieces, and the turns are looked at too.

    Args:
        kinds: each kind of string with how many there are of it, at least one kind. One of them may be a dead short or
            have modules the wrong way round.
        run_ohm: the run, out and back, ohm.
    """

    kinds: tuple[tuple[String, int], ...]
    run_ohm: float = 0.0

    @cached_property
    def leads(self) -> int:
        """The place of the leading kind: one whose current its voltage does not tell, else the one of most parts.

        Such are a dead short, and strings whose bypass diodes all conduct: those the wrong way round, or where these
        are the stronger ones, those the right way round with the fewest diodes. A wire tells the current of its string, so
        that one without comes first.
        """
        strings = [string for string, _ in self.kinds]
        places = range(len(strings))
        turned = [place for place in places if strings[place].turned]
        shorts = [place for place in places if not strings[place].parts]
        if shorts or not turned:
            return shorts[0] if shorts else max(places, key=lambda place: len(strings[place].parts))
        if sum(n * string.current(0.0) for string, n in self.kinds) >= 0.0:
            return turned[0]
        right = [place for place in places if place not in turned]
        bare = [place for place in right if not strings[place].wire_ohm]
        return min(bare or right or turned, key=lambda place: -strings[place].clamp)

    @cached_property
    def _lead(self) -> tuple[String, int]:
        return self.kinds[self.leads]

    @cached_property
    def _others(self) -> tuple[tuple[String, int], ...]:
        return self.kinds[: self.leads] + self.kinds[self.leads + 1 :]

    @cached_property
    def _only(self) -> Curve | None:
        """One string's curve with all wire in it, where all strings are alike and all their cells in one light.

        The run carries all strings, so that each sees it as many times over.
        """
        string, n = self.kinds[0]
        if len(self.kinds) > 1 or string.only is None:
            return None
        return string.only.behind(n * self.run_ohm)

    def _by(self, lead_A: float) -> State:
        """The state at a current of the leading kind."""
        lead, n = self._lead
        joint_V = lead.voltage(lead_A)
        current_A = n * lead_A
        for other, m in self._others:
            current_A += m * other.current(joint_V)
        return State(lead_A, joint_V, current_A, joint_V - current_A * self.run_ohm)

    @cached_property
    def open(self) -> State:
        """The state with nothing connected: the one root of the summed current."""
        lead, n = self._lead
        fed_A = sum(m * other.current(0.0) for other, m in self._others)
        if not self._others:
            return self._by(0.0)
        return self._by(_root(lambda lead_A: self._by(lead_A).current_A, -fed_A / n, lead.current(0.0)))

    def currents(self, state: State) -> tuple[float, ...]:
        """Current in A of one string of each kind in a state; below zero where it takes instead of giving."""
        return tuple(
            state.lead_A if place == self.leads else string.current(state.joint_V)
            for place, (string, _) in enumerate(self.kinds)
        )

    def at(self, voltage_V: float) -> State | None:
        """The state with a voltage in V at the controller; None above open circuit."""
        if voltage_V >= self.open.voltage_V:
            return None
        if self._only is not None and voltage_V >= 0.0:
            return self._by(self._only.current(voltage_V))
        short_A = self._lead[0].current(0.0)
        lead_A = _root(lambda lead_A: voltage_V - self._by(lead_A).voltage_V, self.open.lead_A, short_A)
        return self._by(lead_A)

    def peaks(self) -> tuple[State, ...]:
        """Every local peak of power at the controller, in the order in which they are met from open circuit."""
        if self._only is not None:
            _, peak_A = self._only.mpp()
            return (self._by(peak_A),) if peak_A > 0.0 else ()
        found: list[State] = []
        before = 0.0
        for start_A, end_A in self._stretches():
            places = self._places(start_A, end_A)
            gains = [self._gain(lead_A) for lead_A in places]
            if before < 0.0 < gains[0]:
                found.append(self._by(start_A))
            for (low_A, high_A), ends in zip(pairwise(places), pairwise(gains), strict=True):
                if ends[0] < 0.0 <= ends[1]:
                    found.append(self._by(bracketed_root(self._gain, low_A, high_A, ends)))
            before = gains[-1]
        return tuple(found)

    def best(self) -> State:
        """The highest peak of power; open circuit where there is none."""
        return max((*self.peaks(), self.open), key=lambda state: state.power)

    def points(self, n: int) -> tuple[State, ...]:
        """States from open circuit to short circuit, n on each stretch, closer together towards its ends."""
        stretches = self._stretches()
        states = [self._by(_along(start_A, end_A, k, n)) for start_A, end_A in stretches for k in range(n)]
        return tuple(states) + tuple(self._by(end_A) for _, end_A in stretches[-1:])

    def _stretches(self) -> list[tuple[float, float]]:
        """The leading kind's currents from open circuit to short circuit, cut wherever a diode turns."""
        if self.open.joint_V <= 0.0:
            return []
        lead = self._lead[0]
        first_A, last_A = self.open.lead_A, lead.current(0.0)
        cuts = [current_A for _, current_A in lead.turns]
        for other, _ in self._others:
            cuts += [lead.current(volts) for volts, _ in other.turns if 0.0 < volts < self.open.joint_V]
        edges = [first_A, *sorted({cut for cut in cuts if first_A < cut < last_A}), last_A]
        return list(pairwise(edges))

    def _places(self, start_A: float, end_A: float) -> list[float]:
        """Where the slope is looked at between two turns: beside both, and between where modules are the wrong way round."""
        inside = (end_A - start_A) * _INSIDE
        low_A, high_A = start_A + inside, end_A - inside
        if not any(string.turned for string, _ in self.kinds):
            return [low_A, high_A]
        return [low_A, *sorted({cut for cut in self._cuts(start_A, end_A) if low_A < cut < high_A}), high_A]

    def _cuts(self, start_A: float, end_A: float) -> Iterator[float]:
        """Currents of the leading kind between two: apart by current, and where it hardly changes, apart by voltage."""
        lead = self._lead[0]
        first_V, last_V = lead.voltage(start_A), lead.voltage(end_A)
        near_V = abs(last_V - first_V) / _PIECES * _NEAR
        cut_A = start_A
        for k in range(1, _PIECES):
            yield _along(start_A, end_A, k, _PIECES)
            cut_V = first_V + (last_V - first_V) * k / _PIECES
            cut_A = _root(lambda lead_A: _beyond(lead.voltage(lead_A) - cut_V, near_V), cut_A, end_A)  # noqa: B023 - called at once
            yield cut_A

    def _gain(self, lead_A: float) -> float:
        """Change of power with voltage at a current of the leading kind, A, over a factor that is above zero.

        The factor, the leading string's own resistance and 1 ohm, keeps it finite where its diodes conduct.
        """
        lead, n = self._lead
        joint_V, resistance = lead.point(lead_A)
        current_A, conductance = n * lead_A, float(n)
        for other, m in self._others:
            other_A = other.current(joint_V)
            current_A += m * other_A
            conductance += m * resistance / other.point(other_A)[1]
        gain = current_A * (resistance + 2.0 * self.run_ohm * conductance) - conductance * joint_V
        return gain / (resistance + 1.0)


def _beyond(value: float, near: float) -> float:
    """A value, or 0 where it is near enough to nothing."""
    return value if abs(value) > near else 0.0


def _along(start: float, end: float, k: int, n: int) -> float:
    """Step k of n from start to end, smaller towards both."""
    return end if k == n else start + (end - start) * (1.0 - cos(pi * k / n)) / 2.0


def _root(f: Callable[[float], float], low: float, high: float) -> float:
    """The root between two ends; the end that is nearer to it where rounding has left no change of sign."""
    at_low, at_high = f(low), f(high)
    if (at_low > 0.0) == (at_high > 0.0):
        return low if abs(at_low) <= abs(at_high) else high
    return bracketed_root(f, low, high, (at_low, at_high))
