"""A design's day as an HTML fragment: one section with a fixed id, complete in itself."""

from calc.model.day import DayReport
from calc.render.as_html import environment
from calc.render.catalogue import load_words
from calc.render.day.view import day_view


def as_day_html(report: DayReport, system: str = "us", *, language: str = "en", home: str = "") -> str:
    """Print a design's day as the fragment ``report-day``.

    Args:
        report: the day as worked out by ``calc.plan.day.day_of``.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site (``../../``); empty when there is no site around it.
    """
    words = load_words(language)
    template = environment().get_template("day.html")
    return template.render(day=day_view(report, words, system), w=words, home=home)
