"""The section of curves: three drawings, each with its heading, a sentence and the table that says the same."""

from dataclasses import dataclass

from calc.model.curves import CurveReport
from calc.render.catalogue import Words
from calc.render.drawings.along import along_drawing
from calc.render.drawings.iv import best_peak, iv_drawing
from calc.render.drawings.shade import shade_drawing
from calc.render.drawings.svg import Figure
from calc.render.faults.sentences import case_name, says
from calc.render.fields import field_label
from calc.render.numbers import show_text

NOTICED = 0.01
"""A smaller share between the rules' voltage and the curve's cannot be seen in the drawing."""


@dataclass(frozen=True, slots=True)
class CurvePart:
    """One drawing with its heading and what to know before looking at it."""

    name: str
    title: str
    intro: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class CurvesView:
    """Everything the template prints; ``missing`` says why there is nothing else."""

    missing: str
    parts: tuple[CurvePart, ...]


def curves_view(report: CurveReport, words: Words, system: str = "us") -> CurvesView:
    """Gather what the section of curves prints.

    Args:
        report: what was worked out by ``calc.plan.curves.curves_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    figures = (
        ("iv", _iv_says(report, words, system), iv_drawing(report, words, system)),
        ("shade", _shade_says(report, words, system), shade_drawing(report, words, system)),
        ("along", words("curves.along.intro"), along_drawing(report.along, words, system)),
    )
    parts = tuple(
        CurvePart(name, words(f"curves.{name}.title"), intro, figure)
        for name, intro, figure in figures
        if figure is not None
    )
    return CurvesView(_missing(report, words), parts)


def _iv_says(report: CurveReport, words: Words, system: str) -> str:
    """What the drawing shows, and how far the rules' hot voltage lies from the curve's where anybody would see it."""
    says = words("curves.iv.intro")
    if report.along is None or "hot" not in report.sweeps:
        return says
    rule_V = report.along.arrives_V
    apart_V = best_peak(report.sweeps["hot"])[0] - rule_V
    if abs(apart_V) < NOTICED * abs(rule_V):
        return says
    shown = {
        name: show_text(volts, "V", system=system)
        for name, volts in (("rule", rule_V), ("difference", abs(apart_V)))
    }
    side = "below" if apart_V > 0.0 else "above"
    return f"{says} {words(f'curves.iv.rule-{side}', **shown)}"


def _shade_says(report: CurveReport, words: Words, system: str) -> str:
    """What befalls the array, and why it leaves what it leaves; empty where there is no curve."""
    if report.shade is None:
        return ""
    name = case_name(report.shade, words)
    return f"{name[:1].upper()}{name[1:]}. {says('reason', report.shade.reason, words, system)}"


def _missing(report: CurveReport, words: Words) -> str:
    if report.reason:
        return words(f"faults.reason-none.{report.reason}")
    if report.needs:
        return words("curves.missing", needs=", ".join(field_label(path, words) for path in report.needs))
    return ""
