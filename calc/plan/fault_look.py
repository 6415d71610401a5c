"""One layout looked at, healthy and in each case of shade and fault: what is left, why, and what is dangerous in it."""

from collections.abc import Iterator
from functools import lru_cache

from calc.model.assessment import Remark
from calc.model.faults import HELD, NOTHING, FaultCase, Resting, Reverse
from calc.model.units import convert, rounded
from calc.physics.arrays import Array
from calc.physics.faults import pushed_back, through_diodes
from calc.physics.operating import Taken, Working
from calc.plan.fault_cases import Case, affected, healthy, left_of, standing, without
from calc.plan.fault_inputs import Stand
from calc.plan.fault_reasons import (
    Seen,
    amperes,
    cut_off,
    fuse_opened,
    held,
    nothing_before,
    reason,
    volts,
    watts,
)

_NOTICED_A = 0.01
"""Less current than this flowing back is not told."""


class Look:
    """Looks at one layout, healthy and in each case; the same array is worked out once."""

    def __init__(self, layout: Stand) -> None:
        self.layout = layout
        self.array = healthy(layout)
        self._known: dict[Array, Working] = {}
        self._told: dict[Case, FaultCase] = {}
        self.before = self.works(self.array)
        self.currents = self.array.currents(self.before.best.state)

    def works(self, array: Array) -> Working:
        """Where the controller rests."""
        if array not in self._known:
            self._known[array] = self.layout.controller.works(array)
        return self._known[array]

    def resting(self, taken: Taken) -> Resting:
        """The same for a reader, beside the healthy array."""
        whole_W = self.before.best.power_W
        return Resting(
            way=taken.way,
            voltage_V=rounded(taken.state.voltage_V),
            current_A=rounded(0.0 if taken.way == NOTHING else taken.state.current_A),
            power_W=rounded(taken.power_W),
            share=rounded(taken.power_W / whole_W) if whole_W > 0.0 else None,
        )

    def case(self, case: Case) -> FaultCase:
        """What one case leaves, and why."""
        if case not in self._told:
            self._told[case] = self._case(case)
        return self._told[case]

    def _case(self, case: Case) -> FaultCase:
        layout, array, string = self.layout, left_of(self.layout, case), affected(self.layout, case)
        reverse: Reverse | None = None
        cautions: tuple[Remark, ...] = ()
        if string is None or array is None:
            why = cut_off(layout, case)
        else:
            reverse = _reverse(layout, case, array)
            opened = (
                reverse is not None and reverse.opens_A is not None and reverse.curve_A >= reverse.opens_A
            )
            kind = layout.kinds[case.place]
            whole = standing(kind.build, kind.sun)
            seen = Seen(layout, case, array, string, self.works(array), whole, self.currents[case.place])
            cautions = tuple(_dangers(seen, reverse, opened=opened))
            why = fuse_opened(layout, reverse.curve_A) if reverse and opened else reason(seen)
            array = without(layout, case) if opened else array
        if self.before.best.way == NOTHING:
            why = nothing_before(layout)
        working = None if array is None else self.works(array)
        nothing = Resting(NOTHING, 0.0, 0.0, 0.0, 0.0 if self.before.best.power_W > 0.0 else None)
        apart = working is not None and working.first is not working.best
        return FaultCase(
            id=case.id,
            kind=case.kind,
            number=case.number,
            string=layout.kinds[case.place].number if case.kind != "open-coupler" else 0,
            light_lost=rounded(case.count * convert(case.lost, "%", "") / layout.groups)
            if case.count
            else None,
            left=self.resting(working.best) if working else nothing,
            stays=self.resting(working.first) if working and apart else None,
            reason=why,
            remarks=tuple(_remarks(layout, array, working)) if working and array else (),
            cautions=cautions,
            reverse=reverse,
            count=case.count,
        )


@lru_cache(maxsize=16)
def look_at(layout: Stand) -> Look:
    """The look at a layout, kept for the next who asks: curves, faults and other layouts often ask about the same one."""
    return Look(layout)


def _reverse(layout: Stand, case: Case, array: Array) -> Reverse | None:
    """What flows back into the string in trouble; None where nothing worth naming does."""
    kind = layout.kinds[case.place]
    flows_A = pushed_back(array, 0, layout.back_V)
    if flows_A < _NOTICED_A:
        return None
    return Reverse(rounded(flows_A), kind.rule_A, kind.limit_A, layout.fuse_A, layout.opens_A)


def _remarks(layout: Stand, array: Array, working: Working) -> Iterator[Remark]:
    """What else to know of the array that is left."""
    best, first = working.best, working.first
    if best.way == HELD:
        yield held(working, array)
    if first is not best:
        yield Remark("may-stay", {"power": watts(first.power_W), "volts": volts(first.state.voltage_V)})
    start_V, open_V = layout.start_V, array.open.voltage_V
    if start_V is not None and best.way != NOTHING and open_V < start_V:
        yield Remark("no-start", {"needed": volts(start_V), "volts": volts(open_V)})


def _dangers(seen: Seen, reverse: Reverse | None, *, opened: bool) -> Iterator[Remark]:
    """What is dangerous in a case."""
    kind, layout = seen.case.kind, seen.stand
    if kind == "reversed-string" and not seen.others:
        yield Remark("reversed-array", {"volts": volts(seen.whole.voc())})
    if kind == "reversed-module" and not opened and seen.current > 0.0:
        turned = seen.string.parts[0]
        yield Remark("reversed-module", {"power": watts(-turned.voltage(seen.current) * seen.current)})
    if reverse is None:
        return
    values = {"current": amperes(reverse.curve_A)}
    if kind == "reversed-string":
        diodes_A = through_diodes(seen.array, 0)
        told = "circling" if diodes_A <= _NOTICED_A else "until" if opened else "string"
        yield Remark(f"reversed-{told}", values | {"diodes": amperes(diodes_A)})
    if opened:
        return
    if not seen.string.parts:
        yield Remark("short-current", values)
    if reverse.limit_A is not None and reverse.curve_A > reverse.limit_A:
        yield Remark("reverse-above", values | {"limit": amperes(reverse.limit_A)})
    if reverse.fuse_A is not None and reverse.opens_A is not None and reverse.curve_A > reverse.fuse_A:
        holds = {"fuse": amperes(reverse.fuse_A), "opens": amperes(reverse.opens_A)}
        yield Remark("fuse-may-hold", values | holds)
    if layout.back_V is not None:
        yield Remark("battery-feeds", values)
