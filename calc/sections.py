"""The sections of a report that go beyond the rules: what the array really does, and how it is built.

Each is slower than the check, so each is made alone, when it is asked for: by the build for every page, and by the page
when a reader has changed something and comes to look.
"""

from collections.abc import Callable, Mapping

from calc.make.order import order_of
from calc.make.parts import parts_of
from calc.model.assessment import Assessment
from calc.plan.curves import curves_of
from calc.plan.day import day_of
from calc.plan.faults import faults_of
from calc.render.day.section import as_day_html
from calc.render.faults.section import as_curves_html, as_faults_html
from calc.render.make.section import FRAGMENTS as MADE
from calc.render.make.section import as_make_html
from calc.tables import RuleBook

Maker = Callable[[Assessment, RuleBook, str, str, str], str]


def _curves(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:  # noqa: ARG001
    return as_curves_html(curves_of(assessment.design, book, assessment), system, language=language)


def _faults(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:  # noqa: ARG001
    return as_faults_html(faults_of(assessment.design, book, assessment), system, language=language)


def _day(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
    return as_day_html(day_of(assessment.design, book, assessment), system, language=language, home=home)


def _made(name: str) -> Maker:
    """What the design is made of and how it is put up: one of the fragments that come from its net of wires."""

    def make(assessment: Assessment, book: RuleBook, system: str, language: str, home: str) -> str:
        parts, order = parts_of(assessment, book), order_of(assessment, book)
        return as_make_html(parts, order, system, language=language, home=home, wanted=(name,))[name]

    return make


SECTIONS: Mapping[str, Maker] = {
    "curves": _curves,
    "faults": _faults,
    "day": _day,
    **{name: _made(name) for name in MADE},
}
"""Every section by name, in the order of a report."""
AFTER = "wiring"
"""The fragment of the report after which the sections stand."""


def section_html(
    name: str,
    assessment: Assessment,
    book: RuleBook,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
) -> str:
    """Print one section of an assessed design as an HTML fragment whose root is ``report-<name>``.

    Args:
        name: one of ``SECTIONS``; another name is a fault of ours (KeyError).
        assessment: the design's assessment.
        book: the rule book it was made under.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site.
    """
    return SECTIONS[name](assessment, book, system, language, home)


def with_sections(fragments: Mapping[str, str], sections: Mapping[str, str]) -> dict[str, str]:
    """The fragments of a report with the sections in their place among them."""
    placed: dict[str, str] = {}
    for name, html in fragments.items():
        placed[name] = html
        if name == AFTER:
            placed |= sections
    return placed
