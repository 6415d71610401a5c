"""What a meter reads at an array that has something or nothing wrong: every voltage and current on the sheet."""

from dataclasses import dataclass, replace

from calc.meter.inputs import Setup
from calc.model.faults import NOTHING
from calc.physics.arrays import Array, State
from calc.physics.operating import Taken
from calc.physics.shade import WELL, Plight
from calc.physics.strings import String, backwards
from calc.plan.fault_cases import standing
from calc.plan.fault_inputs import Stand


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with an array; nothing when all is left out.

    Args:
        place: the kind of the string that is in trouble.
        plight: shade and faults of that string's modules; None where the string is open.
        turned: its two ends are exchanged.
        out: how many strings of each kind are cut off behind the place where strings are metered.
        string_ohm: a bad joint in the string, ohm.
        run_ohm: a bad joint in the run, ohm.
    """

    place: int = 0
    plight: Plight | None = WELL
    turned: bool = False
    out: tuple[int, ...] = ()
    string_ohm: float = 0.0
    run_ohm: float = 0.0

    @property
    def of_a_string(self) -> bool:
        """Whether one string is in trouble itself."""
        return self.plight != WELL or self.turned or self.string_ohm > 0.0


HEALTHY = Trouble()


@dataclass(frozen=True, slots=True)
class StringReads:
    """What one string reads: open-circuit voltage, short-circuit current, current at work, and how steeply that falls.

    ``steep`` is the change of the current at work, A, when the voltage changes by a hundredth.
    """

    voc: float
    isc: float
    current: float | None
    steep: float = 0.0


@dataclass(frozen=True, slots=True)
class Reads:
    """What an array reads: the string in trouble, the other strings kind by kind, and the joined array.

    ``open_V`` is the joined array's voltage with the breaker open; ``voltage``, ``current`` and ``way`` are those of
    the array at work, None where it is not known how it works.
    """

    own: StringReads | None
    others: tuple[StringReads, ...]
    open_V: float
    voltage: float | None
    current: float | None
    way: str = ""


def reads(setup: Setup, stand: Stand, trouble: Trouble = HEALTHY) -> tuple[Reads, ...]:
    """What does a meter read at an array with a trouble? Once for each place where its controller can come to rest.

    Args:
        setup: the design.
        stand: the same in the sun of the moment.
        trouble: what is wrong.
    """
    well = tuple(standing(kind.build, kind.sun, WELL) for kind in stand.kinds)
    own = _own(stand, trouble)
    array = _joined(stand, trouble, well, own)
    return tuple(_reads(taken, array, well, own, trouble) for taken in _resting(setup, array))


def _own(stand: Stand, trouble: Trouble) -> String | None:
    """The string in trouble as it then is; None where it is open or nothing is wrong with it."""
    if not trouble.of_a_string or trouble.plight is None:
        return None
    kind = stand.kinds[trouble.place]
    build = replace(kind.build, wire_ohm=kind.build.wire_ohm + trouble.string_ohm)
    found = standing(build, kind.sun, trouble.plight)
    return backwards(found) if trouble.turned else found


def _joined(stand: Stand, trouble: Trouble, well: tuple[String, ...], own: String | None) -> Array | None:
    """The strings that are joined, the one in trouble first; None where none is."""
    kinds = [] if own is None else [(own, 1)]
    for place, kind in enumerate(stand.kinds):
        gone = trouble.out[place] if trouble.out else int(trouble.of_a_string and place == trouble.place)
        kinds.append((well[place], kind.count - gone))
    joined = tuple((string, count) for string, count in kinds if count > 0)
    return Array(joined, stand.run_ohm + trouble.run_ohm) if joined else None


def _resting(setup: Setup, array: Array | None) -> list[Taken | None]:
    if array is None or setup.controller is None:
        return [None]
    working = setup.controller.works(array)
    return [working.best] if working.first == working.best else [working.best, working.first]


def _reads(
    taken: Taken | None, array: Array | None, well: tuple[String, ...], own: String | None, trouble: Trouble
) -> Reads:
    state = None if taken is None else taken.state
    open_string = StringReads(0.0, 0.0, None if array is not None and state is None else 0.0)
    mine = None
    if trouble.plight is None:
        mine = open_string
    elif own is not None:
        at_work = None if array is None or state is None else array.currents(state)[0]
        mine = _string(own, state, at_work)
    others = tuple(_string(string, state) for string in well)
    if array is None:
        return Reads(mine, others, 0.0, 0.0, 0.0, NOTHING)
    if taken is None or state is None:
        return Reads(mine, others, array.open.voltage_V, None, None)
    return Reads(mine, others, array.open.voltage_V, state.voltage_V, state.current_A, taken.way)


def _string(string: String, state: State | None, at_work_A: float | None = None) -> StringReads:
    """One string; ``at_work_A`` is its current where its voltage alone does not tell it, as in a dead short."""
    voc, isc = string.voc(), string.current(0.0)
    if state is None:
        return StringReads(voc, isc, None)
    current = string.current(state.joint_V) if at_work_A is None else at_work_A
    steep = abs(string.slope(state.joint_V) * state.joint_V) / 100.0 if string.parts else 0.0
    return StringReads(voc, isc, current, min(steep, abs(isc) + abs(current)))
