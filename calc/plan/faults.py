"""What shade and single faults leave of a whole design, for its own layout and every other one of the same modules."""

from collections.abc import Iterator
from types import MappingProxyType

from calc.assess import CORE
from calc.model.assessment import Assessment, Remark, Unknown
from calc.model.design import Design
from calc.model.faults import HELD, NOTHING, FaultLayout, FaultReport
from calc.model.units import rounded
from calc.physics.arrays import Array
from calc.physics.curve import FitError
from calc.physics.operating import Working
from calc.plan.fault_cases import Shades, cases
from calc.plan.fault_inputs import Stand, assumed, in_layout, left_out, stand, tracks, working_of
from calc.plan.fault_look import look_at
from calc.plan.fault_reasons import held, volts
from calc.plan.fault_sayings import sayings
from calc.plan.shapes import nearest_shapes
from calc.tables import RuleBook

MOST_LAYOUTS = 8


def faults_of(
    design: Design, book: RuleBook, assessment: Assessment | None = None, *, shades: Shades = ()
) -> FaultReport:
    """What do shade and single faults leave of a design's power, and why?

    Each case is worked out from the curves of the modules in full sun on the hottest afternoon, with the run, the
    bypass diodes, the fuses and what the controller needs: for the design's own layout and for every other one of as
    many modules in series times as many in parallel.

    Cites:
        Single-diode model (calc.physics)

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already; its working is used again.
        shades: further cases of shade: groups of cells of one string, and the share of their light that is lost, %.

    Refuses nothing: what is missing stands in the report's ``needs``, a module that no curve fits in its ``reason``.
    """
    about = (CORE, book.id, book.hash, design)
    trace = working_of(design, book, assessment)
    try:
        own = stand(trace)
    except FitError as error:
        return FaultReport(*about, reason=error.reason, mppt=tracks(trace))
    if isinstance(own, Unknown):
        return FaultReport(*about, needs=own.paths, mppt=tracks(trace))
    layouts = tuple(_layouts(design, book, own, shades))
    return FaultReport(
        *about,
        mppt=tracks(trace),
        values=MappingProxyType(_conditions(own)),
        layouts=layouts,
        sayings=sayings(next(layout for layout in layouts if layout.own), own, book),
        assumptions=tuple(assumed(trace)),
        left_out=tuple(left_out(trace)),
    )


def _conditions(own: Stand) -> dict[str, float]:
    """What holds for every case."""
    kind = own.kinds[0]
    return {
        "light_Wm2": rounded(kind.sun.light_Wm2),
        "cell_degC": rounded(max(one.sun.cell_degC for one in own.kinds)),
        "least_V": rounded(own.controller.least_V),
        "bypass_V": kind.build.bypass_V,
        "groups": float(kind.build.groups),
    }


def _layouts(design: Design, book: RuleBook, own: Stand, shades: Shades) -> Iterator[FaultLayout]:
    if design.strings:
        yield _layout(own, book, shades, own=True)
        return
    for series, parallel in nearest_shapes(own.series, own.parallel, MOST_LAYOUTS):
        if (series, parallel) == (own.series, own.parallel):
            yield _layout(own, book, shades, own=True)
            continue
        other = stand(in_layout(design, book, (series, parallel)))
        if isinstance(other, Stand):
            yield _layout(other, book, shades, own=False)


def _layout(layout: Stand, book: RuleBook, shades: Shades, *, own: bool) -> FaultLayout:
    look = look_at(layout)
    return FaultLayout(
        series=layout.series,
        parallel=layout.parallel,
        own=own,
        healthy=look.resting(look.before.best),
        remarks=tuple(_of_healthy(look.before, look.array)),
        cautions=tuple(_of_layout(layout)),
        cases=tuple(look.case(case) for case in cases(layout, book, shades)),
    )


def _of_healthy(before: Working, array: Array) -> Iterator[Remark]:
    """What to say of the healthy array."""
    if before.best.way == HELD:
        yield held(before, array)
    if before.best.way == NOTHING:
        yield Remark("nothing", {"volts": volts(array.open.voltage_V)})


def _of_layout(layout: Stand) -> Iterator[Remark]:
    """Why a layout must not be built, whatever it gives."""
    if layout.cold_V is not None and layout.limit_V is not None and layout.cold_V > layout.limit_V:
        yield Remark("too-high", {"volts": volts(layout.cold_V), "limit": volts(layout.limit_V)})
