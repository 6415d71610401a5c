"""Layouts, limits and moves as text for a terminal 80 columns wide."""

import textwrap
from collections.abc import Sequence

from calc.model.layouts import LayoutReport, LimitReport, MoveReport
from calc.render.catalogue import Words, load_words
from calc.render.columns import finished, foot, heading, listed, section, wrap
from calc.render.drawings.moves import moves_drawing
from calc.render.layouts.options import option_name, option_says
from calc.render.layouts.sentences import limit_notes, moves_say, notes, summary
from calc.render.layouts.view import LayoutRow, layout_rows, limit_rows
from calc.render.numbers import NO_BREAK

OWN = ">"
Columns = tuple[tuple[str, int], ...]
"""Heads with the width of each column; long cells are wrapped in it. Those of negative width stand to the right."""


def as_layouts_text(
    report: LayoutReport,
    limits: LimitReport | None = None,
    moves: MoveReport | None = None,
    name: str = "",
    *,
    options: Sequence[tuple[str, LayoutReport]] = (),
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """Which layout and why, every layout in three tables, how far each input stretches, and what moves the verdict.

    Args:
        report: layouts as ranked by ``calc.plan.layouts.layouts_of``.
        limits: limits as solved for by ``calc.plan.limits.limits_of``.
        moves: inputs as moved by ``calc.plan.sensitivity.sensitivity_of``.
        name: what to call the design when its file has no title.
        options: layouts of the same design with another value, each by what was changed.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    title = report.design.text("title") or name
    rows = layout_rows(report, words, system)
    blocks = [
        heading(title),
        wrap(" ".join(summary(report, words, system))),
        section(words("layouts.section.checked"), _checked(rows, words)),
        section(words("layouts.section.wire"), _wired(rows, words)),
        section(words("layouts.section.brings"), _brings(rows, words)),
        section(words("layouts.section.notes"), listed(notes(words))),
        section(
            words("layouts.section.options"),
            listed(
                words(
                    "layouts.option",
                    said=option_name(said, words),
                    says=" ".join(option_says(one, report, words, system)),
                )
                for said, one in options
            ),
        ),
        section(words("limits.title"), _limits(limits, words, system) if limits else []),
        section(words("moves.title"), _moves(moves, words, system) if moves else []),
        *foot(words, report.rules, report.core, report.rules_hash),
    ]
    return finished(blocks, ascii_only=ascii_only)


def table(columns: Columns, rows: list[tuple[str, ...]]) -> list[str]:
    """Rows under their heads, long cells wrapped in their columns."""
    widths = [width for _, width in columns]
    heads = tuple(head for head, _ in columns)
    return [line for row in (heads, *rows) for line in _row(widths, row)]


def _row(widths: list[int], row: tuple[str, ...]) -> list[str]:
    cells = [
        textwrap.wrap(cell.replace(NO_BREAK, " "), abs(width) - 2) or [""]
        for cell, width in zip(row, widths, strict=True)
    ]
    lines = []
    for place in range(max(len(cell) for cell in cells)):
        parts = [cell[place] if place < len(cell) else "" for cell in cells]
        line = "".join(
            f"{part:<{width}}" if width > 0 else f"{part:>{-width - 2}}  "
            for part, width in zip(parts, widths, strict=True)
        )
        lines.append(line.rstrip())
    return lines


def _named(row: LayoutRow) -> str:
    return f"{OWN if row.own else ' '} {row.name}"


def _checked(rows: tuple[LayoutRow, ...], words: Words) -> list[str]:
    heads = [words(f"layouts.head.{key}") for key in ("layout", "cold", "hot", "current", "fuses", "check")]
    columns = tuple(zip((f"  {heads[0]}", *heads[1:]), (12, -10, -10, -10, 13, 25), strict=True))
    lines = [*wrap(f"{words('layouts.intro')} {words('layouts.key')}"), ""]
    lines += table(
        columns,
        [
            (
                _named(row),
                row.cold,
                row.hot,
                row.current,
                row.fuses,
                f"{row.check}. {row.left_out}" if row.left_out else row.check,
            )
            for row in rows
        ],
    )
    return [*lines, "", f"{OWN} {words('layouts.own')}"]


def _wired(rows: tuple[LayoutRow, ...], words: Words) -> list[str]:
    priced = any(row.cost for row in rows)
    heads = [words(f"layouts.head.{key}") for key in ("layout", "metal", "cost", "loss", "wire")]
    columns = [(f"  {heads[0]}", 12), (heads[1], -16), (heads[2], -12), (heads[3], -11), (heads[4], 29)]
    told = [[_named(row), row.metal, row.cost, row.loss, row.wire] for row in rows]
    if not priced:
        columns.pop(2)
        for one in told:
            one.pop(2)
    return table(tuple(columns), [tuple(one) for one in told])


def _brings(rows: tuple[LayoutRow, ...], words: Words) -> list[str]:
    keys = ("layout", "begins", "energy", "fault", "shade", "parts")
    heads = [words(f"layouts.head.{key}") for key in keys]
    columns = tuple(zip((f"  {heads[0]}", *heads[1:]), (12, -12, -13, -13, -15, -9), strict=True))
    return table(
        columns, [(_named(row), row.begins, row.energy, row.fault, row.shade, row.parts) for row in rows]
    )


def _limits(limits: LimitReport, words: Words, system: str) -> list[str]:
    heads = [words(f"limits.{key}") for key in ("what", "now", "most", "fails-at", "because")]
    columns = tuple(zip(heads, (22, -11, 19, -11, 17), strict=True))
    rows = limit_rows(limits, words, system)
    lines = [*wrap(words("limits.intro")), ""]
    lines += table(columns, [(row.name, row.now, row.goes, row.fails_at, row.because) for row in rows])
    more = tuple(f"{row.name}: {row.more}" for row in rows if row.more)
    return [*lines, "", *listed((*limit_notes(limits, words), *more))]


def _moves(moves: MoveReport, words: Words, system: str) -> list[str]:
    drawn = moves_drawing(moves, words, system)
    lines = wrap(" ".join(moves_say(moves, words, system)))
    if drawn is None:
        return lines
    columns = tuple(zip(drawn.head, (26, -13, 22, 19), strict=True))
    return [*lines, "", *table(columns, list(drawn.rows))]
