"""A design's day as text for a terminal 80 columns wide."""

import textwrap

from calc.model.assessment import Verdict
from calc.model.day import DayReport
from calc.render.catalogue import Words, load_words
from calc.render.columns import WIDTH, finished, foot, heading, listed, section, wrap
from calc.render.day.figures import dated
from calc.render.day.sentences import compared, missing, remarks, summary
from calc.render.day.view import (
    MonthRow,
    layout_rows,
    methods,
    month_rows,
    sources,
    worked_out_from,
    year_row,
)
from calc.render.numbers import show_text

NAME, HOUR, BRINGS, CHECK = 12, 7, 11, 43
OWN = ">"
MONTH, LIGHT, ENERGY = 12, 20, 16


def as_day_text(
    report: DayReport,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """When charging begins and ends, layouts side by side, months, what was taken as given, and how it is worked out.

    Args:
        report: the day as worked out by ``calc.plan.day.day_of``.
        name: what to call the design when its file has no title.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    title = report.design.text("title") or name
    blocks = [heading(title)]
    if report.needs or report.reason:
        blocks.append(wrap(missing(report, words)))
    else:
        blocks += [
            wrap(" ".join(summary(report, words, system))),
            wrap(words("day.caution")),
            _layouts(report, words, system),
            _months(report, words, system),
            section(words("day.text.remarks"), listed(remarks(report, words, system))),
            section(words("day.text.assumed"), _assumed(report)),
            section(words("day.text.how"), _how(report, words, system)),
        ]
    blocks += foot(words, report.rules, report.core, report.rules_hash)
    return finished(blocks, ascii_only=ascii_only)


def _layouts(report: DayReport, words: Words, system: str) -> list[str]:
    """A small table a day, because three days do not stand beside each other in 80 columns."""
    rows = layout_rows(report, words, system)
    lines = wrap(f"{words('day.layouts.intro')} {words('day.layouts.key')}") if len(rows) > 1 else []
    for place, day in enumerate(report.days):
        begins, ends, brings, check = (
            words(f"day.layouts.{key}") for key in ("begins", "ends", "brings", "check")
        )
        lines += ["", dated(day, words), _line(words("day.layouts.layout"), begins, ends, brings, check)]
        for row, layout in zip(rows, report.layouts, strict=True):
            cell = row.cells[place]
            checked = row.verdict
            if layout.verdict is Verdict.FAILS:
                checked = words("day.layouts.fails", verdict=row.verdict, name=row.because)
            brings = str(cell.brings) if cell.brings else words("day.layouts.not-at-all")
            name = f"{OWN} {row.name}" if row.own else row.name
            first, *more = textwrap.wrap(checked, WIDTH - CHECK)
            lines.append(_line(name, cell.begins, cell.ends, brings, first))
            lines += [" " * CHECK + line for line in more]
    lines += ["", f"{OWN} {words('day.layouts.own')}"] if len(rows) > 1 else []
    lines += ["", *wrap(" ".join(compared(report, words)))] if len(rows) > 1 else []
    return section(words("day.layouts.title"), lines)


def _line(name: str, begins: str, ends: str, brings: str, check: str) -> str:
    start = name if name.startswith(OWN) else f"  {name}"
    return f"{start:<{NAME + 2}}{begins:>{HOUR}}{ends:>{HOUR}}{brings:>{BRINGS}}   {check}".rstrip()


def _months(report: DayReport, words: Words, system: str) -> list[str]:
    rows = month_rows(report, words, system)
    year = year_row(report, words, system)
    if year is None:
        return []
    head = [words(f"day.table.{key}") for key in ("month", "light", "daily", "energy")]
    lines = [*wrap(words("day.table.months-intro")), "", _month_line(*head)]
    lines += [_of_month(row) for row in (*rows, year)]
    return section(words("day.table.months-title"), lines)


def _of_month(row: MonthRow) -> str:
    return _month_line(row.name, str(row.light), str(row.daily) if row.daily else "", str(row.energy))


def _month_line(name: str, light: str, daily: str, total: str) -> str:
    return f"  {name:<{MONTH}}{light:>{LIGHT}}{daily:>{ENERGY}}{total:>{ENERGY}}"


def _assumed(report: DayReport) -> list[str]:
    return [
        line
        for one in report.assumptions
        for line in wrap(f"{one.path} = {one.value}. {one.why}", "- ", "  ")
    ]


def _how(report: DayReport, words: Words, system: str) -> list[str]:
    """Each method once, the inputs, and the sources."""
    inputs = ", ".join(
        f"{words(f'day.input.{name}')} {show_text(value.number, value.unit, system=system)} ({value.origin})"
        for name, value in worked_out_from(report).items()
    )
    return [
        *listed(methods(report, words)),
        *wrap(f"{words('day.working.from')}: {inputs}.", "- ", "  "),
        "",
        *listed(sources(report, words)),
    ]
