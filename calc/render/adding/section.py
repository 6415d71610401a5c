"""Adding to an array as an HTML fragment: in short until somebody asks for it, then as a whole."""

from calc.model.adding import AddReport
from calc.render.adding.view import remarks, ways
from calc.render.as_html import environment
from calc.render.catalogue import load_words


def as_adding_html(report: AddReport | None, system: str = "us", *, language: str = "en") -> str:
    """Print what happens when modules are added as the fragment ``report-adding``.

    Args:
        report: what was worked out by ``calc.plan.adding.adding_of``; None for the short form that offers it.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    template = environment().get_template("adding.html")
    if report is None:
        return template.render(ways=None, remarks=(), w=words)
    return template.render(ways=ways(report, words, system), remarks=remarks(report, words), w=words)
