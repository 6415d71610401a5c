"""Adding to an array as text for a terminal 80 columns wide."""

from calc.model.adding import AddReport
from calc.render.adding.view import WayView, remarks, ways
from calc.render.answers import Answer
from calc.render.catalogue import Words, load_words
from calc.render.columns import finished, foot, heading, section, wrap
from calc.render.layouts.text import table

COLUMNS = (34, 23, 23)


def as_adding_text(
    report: AddReport,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """Each way to add: the verdict after it, what it gains, and every question that comes out otherwise.

    Args:
        report: what was worked out by ``calc.plan.adding.adding_of``.
        name: what to call the design when its file has no title.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    title = report.design.text("title") or name
    blocks = [
        heading(f"{words('adding.title')}: {title}" if title else words("adding.title")),
        wrap(words("adding.intro")),
        *(section(one.name, _way(one, words)) for one in ways(report, words, system)),
        *(wrap(line) for line in remarks(report, words)),
        *foot(words, report.rules, report.core, report.rules_hash),
    ]
    return finished(blocks, ascii_only=ascii_only)


def _way(one: WayView, words: Words) -> list[str]:
    lines = wrap(f"{one.verdict[:1].upper()}{one.verdict[1:]}. {' '.join(one.says)}")
    if not one.rows:
        return lines
    heads = tuple(
        (words(f"adding.{key}"), width)
        for key, width in zip(("question", "before", "after"), COLUMNS, strict=True)
    )
    rows: list[tuple[str, ...]] = [(row.name, _answer(row.before), _answer(row.after)) for row in one.rows]
    return [*lines, "", *table(heads, rows)]


def _answer(one: Answer) -> str:
    return f"{one.verdict}: {one.figures}" if one.figures else one.verdict
