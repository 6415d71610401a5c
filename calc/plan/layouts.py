"""Every rectangular way to join a design's modules, each put through every check, and ranked by stated columns."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
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
from calc.plan.trying import NO_PRICES, Prices, left_out_by, prices_of, tried
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
AFTER_CHECKS = ("day", "faults")
"""Bits of work that follow when all layouts are checked."""


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
        leave_out: the most modules that may be left out; what the design file says where it is not given, else none,
            and up to three where nothing else holds.
        prices: by wire size, for one metre of a single wire; those of the design file where none are given. Without any,
            copper counts instead of cost.
        known: what else was worked out of the design already.

    Refuses nothing: columns that lack input are empty, and the report names the inputs.
    """
    trial = Trial(design, book, leave_out=leave_out, prices=prices, known=known)
    for _ in trial.in_turn():
        pass
    return trial.report()


@dataclass(slots=True)
class Trial:
    """Tries the layouts of one design bit by bit, for whoever shows rows as they come, or stops.

    Arguments are those of ``layouts_of``. ``done`` and ``whole`` count bits of work, as far as it is known how many.
    """

    design: Design
    book: RuleBook
    leave_out: int | None = None
    prices: Prices = field(default_factory=lambda: NO_PRICES)
    known: Known = NOTHING_KNOWN
    done: int = 0
    whole: int = 0
    _found: dict[Shape, Tried] = field(default_factory=dict)
    _off: int = 0
    _days: Days = field(default_factory=lambda: Days({}))
    _faults: Faults = field(default_factory=lambda: Faults({}))

    def __post_init__(self) -> None:
        """Take from the design file what was not asked for otherwise."""
        if self.leave_out is None:
            self.leave_out = left_out_by(self.design)
        self.prices = self.prices or prices_of(self.design)

    def in_turn(self) -> Iterator[int]:
        """Work, and tell how many bits are done: after each layout, the design's own first, after the day, and at the end."""
        modules = module_count(self.design)
        for out in range((MOST_LEFT_OUT if self.leave_out is None else self.leave_out) + 1):
            shapes = [shape for shape in shapes_of(self.design, modules - out) if shape not in self._found]
            kept = shapes[: MOST_LAYOUTS - len(self._found)]
            self._off += len(shapes) - len(kept)
            self.whole = len(self._found) + len(kept) + len(AFTER_CHECKS)
            for shape in kept:
                known = self.known.again
                self._found[shape] = tried(self.design, self.book, shape, modules, self.prices, known)
                yield self._one_more()
            found = self._found.values()
            if self.leave_out is None and any((one.columns["harm"] or 0) <= WITH_WIRE for one in found):
                break
        self._days = shortest_day(self.design, self.book, self._found.keys(), self.known.day)
        yield self._one_more()
        faulted = () if self._days.no_curve else self._found
        self._faults = what_faults_leave(self.design, self.book, faulted, self.known.faults)
        yield self._one_more()

    def _one_more(self) -> int:
        self.done += 1
        return self.done

    @property
    def finished(self) -> bool:
        """Whether all was tried."""
        return 0 < self.whole <= self.done

    def report(self) -> LayoutReport:
        """Every layout tried so far, best first; at least one must have been."""
        days, faults = self._days, self._faults
        layouts = ranked(_told(one, shape, days, faults) for shape, one in self._found.items())
        return LayoutReport(
            core=CORE,
            rules=self.book.id,
            rules_hash=self.book.hash,
            design=self.design,
            modules=module_count(self.design),
            layouts=layouts,
            reason=reason(layouts),
            everywhere=_everywhere(layouts),
            left_out=max(one.left_out for one in layouts),
            asked=self.leave_out is not None,
            left_off=self._off,
            day_needs=days.needs,
            fault_needs=faults.needs,
            no_curve=days.no_curve,
            unfinished=None if self.finished else (self.done, self.whole),
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
