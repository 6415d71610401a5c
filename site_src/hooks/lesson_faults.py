"""What shade and single faults leave of a lesson's design, for its text: shares, powers and reasons from the core."""

from functools import lru_cache

from coursebook import CodeError, design_of, file_of
from markupsafe import escape

from calc import Assessment, load_book
from calc.model.faults import FaultCase, FaultReport
from calc.plan.faults import faults_of
from calc.render.catalogue import load_words
from calc.render.faults.sentences import says
from calc.render.numbers import show_text

HEALTHY = "healthy"


@lru_cache(maxsize=64)
def _report(file: str) -> FaultReport:
    return faults_of(design_of(file), load_book())


def fault_told(code: str, assessment: Assessment) -> str:
    """``CASE WHAT`` of the design's own layout, or ``CASE WHAT 4x1`` of another one of the same modules."""
    case, what, *layout = code.split(" ")
    found = [
        one
        for one in _report(file_of(assessment)).layouts
        if (f"{one.series}x{one.parallel}" == layout[0] if layout else one.own)
    ]
    if not found:
        raise CodeError(f"the modules of this design are in no layout {' '.join(layout)!r}")
    if case == HEALTHY:
        return _number(found[0].healthy.power_W, "W")
    cases = {one.id: one for one in found[0].cases}
    if case not in cases:
        raise CodeError(f"this layout has no case {case!r}; it has {', '.join(cases)}")
    return _told(cases[case], what)


def _told(case: FaultCase, what: str) -> str:
    if what == "why":
        return str(escape(says("reason", case.reason, load_words())))
    at = case.stays if what == "stays" else case.left
    if at is None:
        raise CodeError(f"no tracker stays at another peak in the case {case.id!r}")
    shown = {
        "share": (at.share, "%"),
        "stays": (at.share, "%"),
        "power": (at.power_W, "W"),
        "light": (case.light_lost, "%"),
    }
    value, unit = shown.get(what, (None, ""))
    if value is None:
        raise CodeError(f"the case {case.id!r} has no {what!r}")
    return _number(100 * value if unit == "%" else value, unit)


def _number(value: float, unit: str) -> str:
    return f'<span class="q">{escape(show_text(float(f"{value:.3g}"), unit))}</span>'
