"""Layouts and limits as HTML fragments: two sections with fixed ids, each complete in itself."""

from collections.abc import Sequence

from calc.model.layouts import LayoutReport, LimitReport, MoveReport
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.layouts.options import option_view
from calc.render.layouts.view import layouts_view, limits_view


def as_layouts_html(
    report: LayoutReport,
    system: str = "us",
    *,
    options: Sequence[tuple[str, LayoutReport]] = (),
    so_far: tuple[int, int] | None = None,
    language: str = "en",
    home: str = "",
    across: str = "",
    up: str = "",
) -> str:
    """Print the layouts as the fragment ``report-layouts``.

    Args:
        report: layouts as ranked by ``calc.plan.layouts.layouts_of``.
        system: ``us`` or ``metric``.
        options: layouts of the same design with another value, each by what was changed (``path = value``).
        so_far: bits of the work that are done, and all of them, while some are left.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site (``../../``); empty when there is no site around it.
        across, up: axes of the drawing, of ``calc.model.layouts.AXES``; chosen by itself when left out.
    """
    words = load_words(language)
    view = layouts_view(report, words, system, across=across, up=up, so_far=so_far)
    told = [option_view(said, one, report, words, system) for said, one in options]
    return environment().get_template("layouts.html").render(layouts=view, options=told, w=words, home=home)


def as_limits_html(
    report: LimitReport,
    moves: MoveReport | None = None,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
) -> str:
    """Print the limits, and what moves the verdict first, as the fragment ``report-limits``.

    Args:
        report: limits as solved for by ``calc.plan.limits.limits_of``.
        moves: inputs as moved by ``calc.plan.sensitivity.sensitivity_of``.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site; empty when there is no site around it.
    """
    words = load_words(language)
    view = limits_view(report, moves, words, system)
    return environment().get_template("limits.html").render(limits=view, w=words, home=home)
