"""The slower sections of a report, asked for when the reader comes to look at them."""

from calc.bridge.turn import Turn
from calc.render.as_lesson import in_lesson
from calc.sections import Work, adding_html, layouts_html, limits_html, section_html, work_on
from calc.tables import load_book


def section(turn: Turn, name: str) -> str:
    """One section of the design as it stands, as HTML.

    Args:
        turn: the request.
        name: of ``calc.model.sections.NAMES``.
    """
    system, language, home = turn.system, turn.words.language, turn.home
    if name == "layouts":
        work = _work(turn)
        return layouts_html(work, system, language=language, home=home, axes=turn.axes, bits=turn.bits)
    if name == "limits" and turn.wants("moves"):
        return limits_html(_work(turn), system, language=language, home=home)
    book = load_book(turn.assessed.rules)
    if name == "adding" and turn.wants("adding"):
        other = None if turn.pinned is None or turn.pinned.refused else turn.pinned.design
        return adding_html(turn.assessed, book, system, language=language, other=other)
    html = section_html(name, turn.assessed, book, system, language=language, home=home)
    return html if turn.plan is None else in_lesson(html, turn.plan)


def tried(turn: Turn) -> list[int] | None:
    """How many bits of trying layouts are done, and how many there are; None when all are done."""
    so_far = _work(turn).layouts.so_far
    return None if so_far is None else list(so_far)


def _work(turn: Turn) -> Work:
    return work_on(turn.assessed, load_book(turn.assessed.rules))
