"""Layouts, limits and moves as their sections need them: plain records of words and printed numbers."""

import json
from collections.abc import Iterator
from dataclasses import dataclass

from calc.model.layouts import ALWAYS, ASKS, AXES, NEVER, LayoutReport, Limit, LimitReport, MoveReport, Tried
from calc.render.catalogue import Words
from calc.render.drawings.moves import moves_drawing
from calc.render.drawings.svg import Figure
from calc.render.drawings.tradeoff import tradeoff_drawing
from calc.render.drawings.tradeoff_axes import drawable, pick
from calc.render.layouts.figures import column_text, edge, figure, layout_name, percent, wires
from calc.render.layouts.sentences import (
    check_says,
    finding_name,
    gives_way,
    labels,
    limit_notes,
    moves_say,
    notes,
    summary,
)
from calc.render.numbers import in_words, show_text
from calc.render.view import MARKS

OF_THE_AIR = ("coldest", "hottest")
"""Limits whose ends, -90 and 70 degC, are beyond any air ever measured: one that is not reached there suits any site."""


@dataclass(frozen=True, slots=True)
class LayoutRow:
    """One layout, its figures printed; a figure that is not known is empty, and so is a cost without prices."""

    name: str
    own: bool
    left_out: str
    mark: str
    verdict: str
    check: str
    gives_way: str
    cold: str
    hot: str
    current: str
    fuses: str
    wire: str
    metal: str
    cost: str
    loss: str
    charges: bool | None
    begins: str
    energy: str
    fault: str
    why_fault: str
    shade: str
    parts: str
    change: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One solved limit, printed: the input, its value now, how far it goes, where it fails and what fails there.

    ``more`` says what else there is to say of how far it goes.
    """

    name: str
    now: str
    goes: str
    fails_at: str
    because: str
    more: str


@dataclass(frozen=True, slots=True)
class AxisChoice:
    """One axis that can be picked."""

    code: str
    title: str
    picked: bool


@dataclass(frozen=True, slots=True)
class LayoutsView:
    """Everything the template of the layouts prints; ``so_far`` counts the work while some of it is left."""

    summary: tuple[str, ...]
    rows: tuple[LayoutRow, ...]
    priced: bool
    notes: tuple[str, ...]
    figure: Figure | None
    axes: tuple[tuple[str, tuple[AxisChoice, ...]], ...]
    so_far: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class LimitsView:
    """Everything the template of the limits prints; ``moves`` is None where nothing was moved."""

    rows: tuple[LimitRow, ...]
    notes: tuple[str, ...]
    moves_say: tuple[str, ...]
    moves: Figure | None


def layouts_view(
    report: LayoutReport,
    words: Words,
    system: str = "us",
    *,
    across: str = "",
    up: str = "",
    so_far: tuple[int, int] | None = None,
) -> LayoutsView:
    """Gather what the section of the layouts prints.

    Args:
        report: layouts as ranked by ``calc.plan.layouts.layouts_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
        across, up: axes of the drawing; see ``calc.render.drawings.tradeoff``.
        so_far: bits of the work that are done, and all of them, while some are left.
    """
    return LayoutsView(
        summary=summary(report, words, system),
        rows=layout_rows(report, words, system),
        priced=any(one.columns["cost"] is not None for one in report.layouts),
        notes=notes(words),
        figure=tradeoff_drawing(report, words, system, across=across, up=up),
        axes=_axes(report, words, (across, up)),
        so_far=so_far,
    )


def _axes(
    report: LayoutReport, words: Words, asked: tuple[str, str]
) -> tuple[tuple[str, tuple[AxisChoice, ...]], ...]:
    """The two axes of the drawing, each with those that can stand there."""
    picked = [one or other for one, other in zip(asked, pick(report), strict=True)]
    codes = [code for code in AXES if drawable(report, code)]
    return tuple(
        (
            way,
            tuple(AxisChoice(code, words(f"drawing.tradeoff.axis.{code}"), code == now) for code in codes),
        )
        for way, now in zip(("across", "up"), picked, strict=True)
    )


def layout_rows(report: LayoutReport, words: Words, system: str = "us") -> tuple[LayoutRow, ...]:
    """Every layout, best first."""
    return tuple(_row(one, words, system) for one in report.layouts)


def _row(layout: Tried, words: Words, system: str) -> LayoutRow:
    def column(code: str) -> str:
        known = layout.columns[code] is not None or layout.charges is False
        return column_text(layout, code, words, system) if known else ""

    left_out = layout.left_out
    key = "one" if left_out == 1 else "more"
    return LayoutRow(
        name=layout_name(layout, words),
        own=layout.own,
        left_out=words(f"layouts.left-out-{key}", number=left_out) if left_out else "",
        mark=MARKS[layout.verdict],
        verdict=words(f"verdict.{layout.verdict}"),
        check=check_says(layout, words),
        gives_way=gives_way(layout, words),
        cold=figure(layout, "voc_cold_string_V", "V", system),
        hot=figure(layout, "vmp_hot_at_controller_V", "V", system),
        current=figure(layout, "current_max_array_A", "A", system),
        fuses=_fuses(layout, words, system),
        wire=wires(layout, words),
        metal=column("copper") if layout.columns["copper"] is not None else "",
        cost=column("cost") if layout.columns["cost"] is not None else "",
        loss=column("loss") if layout.columns["loss"] is not None else "",
        charges=layout.charges,
        begins=column("begins"),
        energy=column("energy"),
        fault=column("fault") if layout.columns["fault"] is not None else "",
        why_fault=words(f"layouts.fault.{layout.worst_fault}") if layout.worst_fault else "",
        shade="" if layout.shade_left is None else percent(layout.shade_left),
        parts=column("parts"),
        change=_change(layout),
    )


def _change(layout: Tried) -> str:
    """What makes the design's layout this one, as texts by path in JSON; nothing where it is this one, or unlike."""
    if layout.own or not layout.series:
        return ""
    return json.dumps(
        {
            "array.modules_in_series": str(layout.series),
            "array.strings_in_parallel": str(layout.parallel),
        }
    )


def _fuses(layout: Tried, words: Words, system: str) -> str:
    """Which fuse every string needs."""
    if layout.fuses is None:
        return ""
    if not layout.fuses:
        return words("layouts.fuses-none")
    if layout.fuse_A is None:
        return words("layouts.fuses-some")
    return words("layouts.fuses", rating=show_text(layout.fuse_A, "A", system=system))


def limits_view(
    report: LimitReport, moves: MoveReport | None, words: Words, system: str = "us"
) -> LimitsView:
    """Gather what the section of the limits prints.

    Args:
        report: limits as solved for by ``calc.plan.limits.limits_of``.
        moves: inputs as moved by ``calc.plan.sensitivity.sensitivity_of``; left out when None.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    return LimitsView(
        rows=limit_rows(report, words, system),
        notes=limit_notes(report, words),
        moves_say=moves_say(moves, words, system) if moves else (),
        moves=moves_drawing(moves, words, system) if moves else None,
    )


def limit_rows(report: LimitReport, words: Words, system: str = "us") -> tuple[LimitRow, ...]:
    """Every limit that was solved for."""
    return tuple(_limit(one, words, system) for one in report.limits)


def _limit(limit: Limit, words: Words, system: str) -> LimitRow:
    beyond = None if limit.fails_at is None else edge(limit, limit.fails_at, words, system, up=limit.most)
    return LimitRow(
        name=words(f"limits.name.{limit.code}", part=limit.part),
        now=_now(limit, words, system),
        goes=_goes(limit, words, system),
        fails_at=beyond or "",
        because=finding_name(limit.because, words) if limit.because[0] else "",
        more=" ".join(_more(limit, words, system)),
    )


def _anywhere(limit: Limit) -> bool:
    """Whether any site will do, however cold or hot."""
    return limit.outcome == ALWAYS and limit.code in OF_THE_AIR


def _more(limit: Limit, words: Words, system: str) -> Iterator[str]:
    """Why any site will do, and which limits were not counted."""
    if _anywhere(limit) and limit.value is not None:
        value = edge(limit, limit.value, words, system, up=not limit.most)
        yield words(f"limits.any-site-{limit.code}", value=value)
    if limit.needs and limit.outcome != ASKS:
        yield words("limits.partly", needs=labels(limit.needs, words))


def _now(limit: Limit, words: Words, system: str) -> str:
    if limit.now is None:
        return words("limits.not-given")
    if isinstance(limit.now, str):
        return in_words(words, limit.now, "size")
    return show_text(limit.now, limit.unit, system=system)


def _goes(limit: Limit, words: Words, system: str) -> str:
    """How far it goes; what would do is rounded towards the safe side."""
    if limit.outcome == ASKS:
        return words("limits.asks", needs=labels(limit.needs, words))
    if limit.outcome == NEVER or limit.value is None:
        return words("limits.never")
    value = edge(limit, limit.value, words, system, up=not limit.most)
    if _anywhere(limit):
        return words("limits.any-site")
    if limit.outcome == ALWAYS:
        return words(f"limits.always-{'most' if limit.most else 'least'}", value=value)
    sense = words("limits.sense.most" if limit.most else "limits.sense.least")
    return f"{sense} {value}"
