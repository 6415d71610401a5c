"""Every rectangular way to join a design's modules, each put through every check, and ranked by stated columns."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from calc.assess import CORE
from calc.model.day import DayReport
from calc.model.design import Design
from calc.model.faults import FaultReport
from calc.model.layouts import NOTHING_FAILS, WITH_WIRE, Key, LayoutReport, Tried
from calc.plan.again import Again
from calc.plan.outcomes import Brings, Days, Faults, shortest_day, what_faults_leave
from calc.plan.ranking import ranked, reason
from calc.plan.searching import Shape
from calc.plan.shapes import module_count, shapes_of
from calc.plan.trying import NO_PRICES, Prices, tried
from calc.tables import RuleBook

MOST_LAYOUTS = 64
MOST_LEFT_OUT = 3
"""Modules that are left out, one after the other, where no layout of all of them holds and nobody said how many."""


@dataclass(frozen=True, slots=True)
class Known:
    """What was worked out of a design already: its check, its day, and what faults leave; None where it was not."""

    again: Again | None = None
    day: DayReport | None = None
    faults: FaultReport | None = None


NOTHING_KNOWN = Known()


def layouts_of(
    design: Design,
    book: RuleBook,
    *,
    leave_out: int | None = None,
    prices: Prices = NO_PRICES,
    known: Known = NOTHING_KNOWN,
) -> LayoutReport:
    """Which is the best way to join these modules, and why?

    Every rectangle of as many modules in series times as many strings is checked as a whole, as the file stands and
    with the least wire that passes its checks. Copper and loss are those of that wire; the hour, the energy and what
    faults leave are those of the file's own wire. ``calc.model.layouts.COLUMNS`` is the order.

    Cites:
        calc.assess, calc.plan.day_inputs, calc.plan.faults

    Args:
        design: as read. With unlike strings its own layout is the only one.
        book: tables and assumptions.
        leave_out: the most modules that may be left out; by itself none, and up to three where nothing else holds.
        prices: by wire size, for one metre of a single wire; without them copper counts instead of cost.
        known: what else was worked out of the design already.

    Refuses nothing: columns that lack input are empty, and the report names the inputs.
    """
    modules = module_count(design)
    found: dict[Shape, Tried] = {}
    off = 0
    for out in range((MOST_LEFT_OUT if leave_out is None else leave_out) + 1):
        shapes = [shape for shape in shapes_of(design, modules - out) if shape not in found]
        kept = shapes[: MOST_LAYOUTS - len(found)]
        off += len(shapes) - len(kept)
        found |= {shape: tried(design, book, shape, modules, prices, known.again) for shape in kept}
        if leave_out is None and any((one.columns["harm"] or 0) <= WITH_WIRE for one in found.values()):
            break
    days = shortest_day(design, book, found.keys(), known.day)
    faults = what_faults_leave(design, book, () if days.no_curve else found, known.faults)
    layouts = ranked(_told(one, shape, days, faults) for shape, one in found.items())
    return LayoutReport(
        core=CORE,
        rules=book.id,
        rules_hash=book.hash,
        design=design,
        modules=modules,
        layouts=layouts,
        reason=reason(layouts),
        everywhere=_everywhere(layouts),
        left_out=max(one.left_out for one in layouts),
        asked=leave_out is not None,
        left_off=off,
        day_needs=days.needs,
        fault_needs=faults.needs,
        no_curve=days.no_curve,
    )


def _told(layout: Tried, shape: Shape, days: Days, faults: Faults) -> Tried:
    """The same with what its day brings and what faults leave."""
    brings: Brings | None = days.by_shape.get(shape)
    leaves = faults.by_shape.get(shape)
    columns = {
        "begins": None if brings is None else brings.begins_h,
        "energy": None if brings is None else brings.energy_Wh,
        "fault": None if leaves is None else leaves.fault,
    }
    return replace(
        layout,
        charges=None if brings is None else brings.begins_h is not None,
        worst_fault="" if leaves is None else leaves.case,
        shade_left=None if leaves is None else leaves.shade,
        columns=MappingProxyType({**layout.columns, **columns}),
    )


def _everywhere(layouts: tuple[Tried, ...]) -> tuple[Key, ...]:
    """What fails in every layout, with any wire."""
    common = [key for key in layouts[0].failing if all(key in one.failing for one in layouts)]
    return tuple(common) if all((one.columns["harm"] or NOTHING_FAILS) > WITH_WIRE for one in layouts) else ()


def in_turn(design: Design, book: RuleBook) -> Iterator[Tried]:
    """The layouts of all modules one by one, the design's own first: for whoever shows rows as they come."""
    modules = module_count(design)
    for shape in shapes_of(design, modules):
        yield tried(design, book, shape, modules)
