"""What each layout brings: the shortest day, and what one fault or one shadow leaves."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from calc.model.assessment import Unknown
from calc.model.day import DayReport
from calc.model.design import Design
from calc.model.faults import FaultCase, FaultLayout, FaultReport
from calc.model.units import rounded
from calc.physics.curve import FitError
from calc.physics.day import charging
from calc.plan.day_inputs import inputs
from calc.plan.faults import faults_of
from calc.plan.searching import Shape, joined
from calc.tables import RuleBook

SHORTEST = "shortest"
BREAKS_BY_ITSELF = ("open-module", "shorted-module", "shorted-group", "blown-fuse")
"""Faults that happen to a part in service.

Reversed parts are found by the meter before anything is joined, and the last coupler of a chain cuts off the whole
array in every layout that has one.
"""
HALF_A_MODULE = ("shade-half", "shade-group", "shade-module")
"""The first of these that a module of so many groups has is half of it, or the nearest to it."""


@dataclass(frozen=True, slots=True)
class Brings:
    """What one layout brings on the shortest day: None where it does not charge."""

    begins_h: float | None
    energy_Wh: float


@dataclass(frozen=True, slots=True)
class Leaves:
    """The share of power that the worst fault leaves, with its case, and the share left with half a module shaded."""

    fault: float
    case: str
    shade: float | None


@dataclass(frozen=True, slots=True)
class Days:
    """The shortest day of every shape; ``needs`` says what is missing, ``no_curve`` that no curve fits the module."""

    by_shape: dict[Shape, Brings]
    needs: tuple[str, ...] = ()
    no_curve: bool = False


def shortest_day(
    design: Design, book: RuleBook, shapes: Collection[Shape], day: DayReport | None = None
) -> Days:
    """When does each shape begin to charge on the shortest day, and how much does it bring?

    Args:
        design: as read; its own runs count.
        book: tables and assumptions.
        shapes: modules in series and strings; (0, 0) is the design as it is.
        day: the design's day, where it is worked out already.
    """
    known = {} if day is None else _from_day(day)
    if day is not None and (day.needs or day.reason or known.keys() >= set(shapes)):
        return Days(known, needs=day.needs, no_curve=bool(day.reason))
    try:
        _, found = inputs(design, book)
    except FitError:
        return Days({}, no_curve=True)
    if isinstance(found, Unknown):
        return Days({}, needs=found.paths)
    sun = found.day(*found.key_date(SHORTEST))
    brings = known
    for shape in shapes:
        if shape in known:
            continue
        taken = charging(sun, found.array(*shape), found.controller, found.battery)
        begins = rounded(taken.spans[0][0]) if taken.spans else None
        brings[shape] = Brings(begins, rounded(taken.energy_Wh))
    return Days(brings)


def _from_day(day: DayReport) -> dict[Shape, Brings]:
    """What a report on the day says about the shortest one, by shape."""
    return {
        (one.series, one.parallel): Brings(taken.begins_h, taken.energy_Wh)
        for one in day.layouts
        for taken in one.days
        if taken.day == SHORTEST
    }


@dataclass(frozen=True, slots=True)
class Faults:
    """What faults leave of every shape; ``needs`` says what is missing. Shapes that bring nothing are left out."""

    by_shape: dict[Shape, Leaves]
    needs: tuple[str, ...] = ()


def what_faults_leave(
    design: Design, book: RuleBook, shapes: Iterable[Shape], known: FaultReport | None = None
) -> Faults:
    """What do the worst fault and half a module in the dark leave of each shape's power?

    A report on faults covers the other shapes of as many modules too, so few are needed: the design's own, if it is
    ``known`` already, may do.
    """
    found: dict[Shape, FaultLayout] = {}
    for shape in shapes:
        if shape not in found:
            report = known or faults_of(design.changed(joined(shape)), book)
            known = None
            if report.needs or report.reason:
                return Faults({}, report.needs)
            found |= {(one.series, one.parallel): one for one in report.layouts}
    leaves = {shape: _leaves(found[shape]) for shape in shapes}
    return Faults({shape: one for shape, one in leaves.items() if one is not None})


def _leaves(layout: FaultLayout) -> Leaves | None:
    faults = [
        (_share(case), place) for place, case in enumerate(layout.cases) if case.kind in BREAKS_BY_ITSELF
    ]
    known = [(share, place) for share, place in faults if share is not None]
    if not known:
        return None
    share, place = min(known)
    return Leaves(share, layout.cases[place].kind, _shade(layout))


def _shade(layout: FaultLayout) -> float | None:
    """What the deepest shade on half a module leaves; of unlike strings, on the one where it costs most."""
    for kind in HALF_A_MODULE:
        cases = [case for case in layout.cases if case.kind == kind]
        if cases:
            deepest = max(case.number or 0.0 for case in cases)
            shares = [_share(case) for case in cases if case.number == deepest]
            return min((share for share in shares if share is not None), default=None)
    return None


def _share(case: FaultCase) -> float | None:
    return case.left.share
