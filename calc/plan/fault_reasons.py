"""Why a case leaves what it leaves: codes and numbers for one plain sentence, taken from what the curves really do."""

from dataclasses import dataclass

from calc.model.assessment import Remark, Value
from calc.model.faults import HELD, JOINED, NOTHING
from calc.physics.arrays import Array
from calc.physics.operating import Working
from calc.physics.strings import String
from calc.plan.fault_cases import Case
from calc.plan.fault_inputs import Kind, Stand

LITTLE = 0.02
"""A string that gives less than this share of what it gave before gives nothing worth naming."""

ROUNDING_V = 1e-6

BATTERY, CONTROLLER, STRINGS = "battery", "controller", "strings"


@dataclass(frozen=True, slots=True)
class Seen:
    """One case in which the string in trouble stays joined: the array that is left, and where the controller rests.

    ``whole`` is that string when nothing is wrong, ``whole_A`` its current then.
    """

    stand: Stand
    case: Case
    array: Array
    string: String
    working: Working
    whole: String
    whole_A: float

    @property
    def kind(self) -> Kind:
        """The kind of string that is in trouble."""
        return self.stand.kinds[self.case.place]

    @property
    def others(self) -> int:
        """How many strings there are besides."""
        return self.stand.strings - 1

    @property
    def current(self) -> float:
        """What the string in trouble gives where the controller rests."""
        return self.array.currents(self.working.best.state)[0]

    @property
    def gives(self) -> bool:
        """Whether that is worth naming."""
        return self.current > LITTLE * self.whole_A

    @property
    def unchanged(self) -> bool:
        """Whether it gives as much as before, as near as anybody would notice."""
        return self.current >= (1.0 - LITTLE) * self.whole_A

    @property
    def held_by(self) -> str:
        """Who holds the array's voltage: the battery, the controller, the other strings, or nobody."""
        by_way = {JOINED: BATTERY, HELD: CONTROLLER}
        return by_way.get(self.working.best.way, STRINGS if self.others else "")

    def values(self) -> dict[str, Value]:
        """The numbers that most sentences need."""
        return {
            "current": amperes(abs(self.current)),
            "whole": amperes(self.whole_A),
            "volts": volts(self.working.best.state.joint_V),
            "least": volts(self.stand.controller.least_V),
            "count": count(self.case.count),
            "groups": count(self.kind.build.groups),
            "holder": Value(
                "string" if self.held_by == STRINGS and self.others == 1 else self.held_by, "", "word"
            ),
            "meets": Value(self.held_by, "", "word"),
        }

    def lost(self, current_A: float) -> Value:
        """The voltage that the string has lost at a current."""
        return volts(self.whole.voltage(current_A) - self.string.voltage(current_A))


def volts(value: float) -> Value:
    """A voltage from the curves; 0 where only rounding is left of it."""
    return Value(value if abs(value) >= ROUNDING_V else 0.0, "V", "curve")


def amperes(value: float) -> Value:
    """A current from the curves."""
    return Value(value, "A", "curve")


def watts(value: float) -> Value:
    """A power from the curves."""
    return Value(value, "W", "curve")


def count(value: int) -> Value:
    """A number of strings or groups."""
    return Value(float(value), "", "curve")


def cut_off(stand: Stand, case: Case) -> Remark:
    """What it means that strings are cut off."""
    gone = sum(case.out)
    values = {"count": count(gone), "others": count(stand.strings - gone)}
    where = "coupler" if case.kind == "open-coupler" else "string"
    return Remark(f"{where}-out" if gone < stand.strings else f"{where}-all", values)


def fuse_opened(stand: Stand, flowed_A: float) -> Remark:
    """What it means that the fuse of the string in trouble has opened, because of the current pushed back into it."""
    values = {"fuse": amperes(stand.fuse_A or 0.0), "current": amperes(flowed_A)}
    return Remark("fuse-opened", values | {"others": count(stand.strings - 1)})


def held(working: Working, array: Array) -> Remark:
    """The controller holds the array at its least voltage, because the best point lies lower."""
    return Remark(
        "held", {"volts": volts(working.best.state.voltage_V), "peak": volts(array.best().voltage_V)}
    )


def nothing_before(stand: Stand) -> Remark:
    """The healthy array gives nothing, so that there is nothing to lose."""
    return Remark("nothing-before", {"least": volts(stand.controller.least_V)})


def reason(seen: Seen) -> Remark:
    """Why is this left, when the string in trouble stays joined?"""
    kind, open_V = seen.case.kind, seen.array.open.joint_V
    if kind == "reversed-string":
        return Remark("reversed-string" if seen.others else "reversed-array", {"volts": volts(open_V)})
    if not seen.string.parts:
        return Remark("short-all" if seen.others else "short-alone")
    shade = kind.startswith("shade")
    if seen.working.best.way == NOTHING:
        return _nothing(seen, shade=shade)
    return _shade(seen) if shade else _shorter(seen)


def _nothing(seen: Seen, *, shade: bool) -> Remark:
    """Nothing is left: no light, no voltage, or too little of it."""
    open_V = seen.array.open.joint_V
    values = seen.values() | {"volts": volts(open_V)}
    if open_V < ROUNDING_V:
        return Remark("dark-all" if shade else "cancelled", values)
    pulled = not shade and seen.others and seen.current < 0.0
    return Remark("pulled-down" if pulled else "too-low", values)


def _shade(seen: Seen) -> Remark:
    build, shaded, values = seen.kind.build, seen.case.count, seen.values()
    joined = "-joined" if seen.others else ""
    if shaded == build.groups * build.modules:
        return Remark(f"string-{'dim' if seen.gives else 'dark'}{joined}", values)
    if seen.string.parts[0].flat(seen.current):
        values["lost"] = seen.lost(seen.current)
        where = "-held" if seen.held_by in (BATTERY, CONTROLLER) else joined
        if seen.held_by and seen.unchanged:
            where = "-spare"
        return Remark(f"bypassed{where}{'-more' if shaded > 1 else ''}", values)
    if not seen.gives:
        return Remark("held-nothing-part" if shaded < build.groups else "held-nothing", values)
    if seen.held_by:
        return Remark(f"held-at{joined}", values)
    higher = any(peak.power > seen.working.best.power_W for peak in seen.array.peaks())
    return Remark("held-low" if higher else "held", values)


def _shorter(seen: Seen) -> Remark:
    """A string that has lost voltage: shorted cells, or a module that works against it."""
    start = "against" if seen.case.kind == "reversed-module" else "shorter"
    values = seen.values() | {"lost": seen.lost(seen.current if seen.gives else seen.whole_A)}
    if not seen.held_by:
        return Remark(start, values)
    if seen.gives:
        return Remark(f"{start}-{'spare' if seen.unchanged else 'held'}", values)
    return Remark(f"{start}-{'takes' if seen.current < -LITTLE * seen.whole_A else 'nothing'}", values)
