"""The curves of a whole design: cold and hot, before and after shade, and the voltage along the run."""

from types import MappingProxyType

from calc.derive.parts import run_part, runs_carrying
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Unknown
from calc.model.curves import Along, CurveReport, Drop, Rest, Sweep
from calc.model.design import Design
from calc.model.faults import NOTHING
from calc.model.units import rounded
from calc.physics.arrays import Array
from calc.physics.curve import FitError
from calc.physics.operating import Taken, Working
from calc.plan.fault_cases import Case, at_cell, cases, healthy, left_of
from calc.plan.fault_inputs import Stand, stand, tracks, working_of
from calc.plan.fault_look import Look, look_at
from calc.tables import RuleBook

POINTS = 48
"""Points on each stretch of a curve between two currents at which bypass diodes turn."""

SHORT_V = 1e-6
"""Below this a point of a curve is that of short circuit, which stands for itself."""


def curves_of(design: Design, book: RuleBook, assessment: Assessment | None = None) -> CurveReport:
    """What curves does a design's array have, and where on them does its controller work?

    The curves are those at the controller's terminals, with the run in between: in full sun on the coldest morning and
    on the hottest afternoon, and on the hottest afternoon with part of one module in shade.

    Cites:
        Single-diode model (calc.physics)

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already; its working is used again.

    Refuses nothing: what is missing stands in the report's ``needs``, a module that no curve fits in its ``reason``.
    """
    trace = working_of(design, book, assessment)
    try:
        own = stand(trace)
    except FitError as error:
        return CurveReport(design, reason=error.reason, mppt=tracks(trace))
    if isinstance(own, Unknown):
        return CurveReport(design, needs=own.paths, mppt=tracks(trace))
    look = look_at(own)
    case = _shade(look, book)
    shaded = left_of(own, case)
    cold = at_cell(own, float(trace.steps["cell_cold_degC"].result))
    sweeps = [("cold", cold, healthy(cold)), ("hot", own, look.array), ("shaded", own, shaded)]
    return CurveReport(
        design,
        mppt=tracks(trace),
        sweeps=MappingProxyType(
            {name: _sweep(name, layout, array) for name, layout, array in sweeps if array is not None}
        ),
        least_V=rounded(own.controller.least_V) or None,
        limit_V=own.limit_V,
        shade=look.case(case),
        along=_along(trace),
    )


def _shade(look: Look, book: RuleBook) -> Case:
    """The first case of shade on part of a string that leaves two peaks to rest at; else the first on part of one."""
    shades = [case for case in cases(look.layout, book) if case.kind in ("shade-group", "shade-module")]

    def apart(case: Case) -> bool:
        array = left_of(look.layout, case)
        found = look.works(array) if array is not None else None
        return found is not None and found.first is not found.best

    return next((case for case in shades if apart(case)), shades[len(shades) // 2])


def _sweep(name: str, layout: Stand, array: Array) -> Sweep:
    found: Working = layout.controller.works(array)
    states = [(rounded(state.voltage_V), rounded(state.current_A)) for state in array.points(POINTS)]
    short = array.at(0.0)
    short_A = rounded(short.current_A) if short else 0.0
    inside = [point for point in states if point[0] > SHORT_V]
    apart = found.first is not found.best
    return Sweep(
        name=name,
        light_Wm2=rounded(layout.kinds[0].sun.light_Wm2),
        cell_degC=rounded(layout.kinds[0].sun.cell_degC),
        points=(*inside, (0.0, short_A)),
        open_V=rounded(array.open.voltage_V),
        short_A=short_A,
        peaks=tuple((rounded(peak.voltage_V), rounded(peak.current_A)) for peak in array.peaks()),
        rest=_rest(found.best),
        first=_rest(found.first) if apart else None,
    )


def _rest(taken: Taken) -> Rest | None:
    if taken.way == NOTHING:
        return None
    state = taken.state
    return Rest(taken.way, rounded(state.voltage_V), rounded(state.current_A), rounded(taken.power_W))


def _along(trace: Trace) -> Along | None:
    """What heat and runs take of the working voltage, by the rules' own straight lines; None where a run is unknown."""
    steps = trace.steps
    wanted = ("vmp_stc_string_V", "heat_taken_V", "vmp_hot_at_controller_V")
    if any(key not in steps for key in wanted):
        return None
    label, heat, arrives = (rounded(float(steps[key].result)) for key in wanted)
    drops = [Drop("heat", "", None, heat)]
    for name in (*runs_carrying(trace.design, "string"), *runs_carrying(trace.design, "array")):
        part = run_part(name)
        taken_V = rounded(float(steps[part + "drop_V"].result))
        drops.append(Drop("run", name, trace.design.number(part + "length"), taken_V))
    needed = steps.get("charging_needed_V")
    return Along(label, tuple(drops), arrives, None if needed is None else rounded(float(needed.result)))
