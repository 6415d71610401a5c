"""Faults and curves as HTML fragments: each one section with a fixed id, complete in itself."""

from calc.model.curves import CurveReport
from calc.model.faults import FaultReport
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.faults.curves import curves_view
from calc.render.faults.view import faults_view


def as_faults_html(report: FaultReport, system: str = "us", *, language: str = "en") -> str:
    """Print what shade and single faults leave as the fragment ``report-faults``.

    Args:
        report: what was worked out by ``calc.plan.faults.faults_of``.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    template = environment().get_template("faults.html")
    return template.render(faults=faults_view(report, words, system), w=words)


def as_curves_html(report: CurveReport, system: str = "us", *, language: str = "en") -> str:
    """Print the curves of an array, before and after shade, and the voltage along the run as ``report-curves``.

    Args:
        report: what was worked out by ``calc.plan.curves.curves_of``.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    template = environment().get_template("curves.html")
    return template.render(curves=curves_view(report, words, system), w=words)
