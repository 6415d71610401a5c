"""What shade and single faults leave, as a section of a report needs it: plain records of words and printed numbers."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.model.faults import FaultCase, FaultLayout, FaultReport
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.drawings.plot import watts
from calc.render.faults.sentences import (
    all_cases,
    case_name,
    conditions,
    layout_name,
    layout_sign,
    missing,
    not_counted,
    own_reason,
    percent,
    reason_for_all,
    reverse_says,
    saying_says,
    says,
)


@dataclass(frozen=True, slots=True)
class LayoutHead:
    """One layout's column: its sign and name, its healthy power, and in a word why not to build it."""

    sign: str
    name: str
    own: bool
    power: str
    mark: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """What one case leaves in one layout: the share, and that of the first peak where a tracker may stay there."""

    share: str
    stays: str


@dataclass(frozen=True, slots=True)
class Row:
    """One case across all layouts."""

    name: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class CaseView:
    """One case in the design's own layout."""

    anchor: str
    name: str
    power: str
    share: str
    light: str
    reason: str
    remarks: tuple[str, ...]
    reverse: str
    dangers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultsView:
    """Everything the template prints; ``missing`` says why there is nothing else, ``nothing`` why nothing is left."""

    missing: str
    conditions: str
    heads: tuple[LayoutHead, ...]
    rows: tuple[Row, ...]
    own: str
    cases: tuple[CaseView, ...]
    sayings: tuple[tuple[str, str], ...]
    not_counted: tuple[str, ...]
    nothing: str = ""


def faults_view(report: FaultReport, words: Words, system: str = "us") -> FaultsView:
    """Gather what the section prints.

    Args:
        report: what was worked out by ``calc.plan.faults.faults_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    own = report.own
    if own is None:
        return FaultsView(missing(report, words), "", (), (), "", (), (), ())
    return FaultsView(
        missing="",
        conditions=conditions(report, words, system),
        heads=tuple(_head(layout, words, system) for layout in report.layouts),
        rows=tuple(_rows(report, words)),
        own=layout_name(own, words),
        cases=tuple(_case(case, words, system) for case in own.cases),
        sayings=tuple(saying_says(saying, own, words) for saying in report.sayings),
        not_counted=not_counted(report, words),
        nothing=reason_for_all(own, words, system),
    )


def _head(layout: FaultLayout, words: Words, system: str) -> LayoutHead:
    mark = "too-high" if layout.cautions else "nothing" if not layout.healthy.power_W else ""
    notes = [says("danger", one, words, system) for one in layout.cautions]
    notes += [says("remark", one, words, system) for one in layout.remarks]
    return LayoutHead(
        sign=layout_sign(layout, words),
        name=layout_name(layout, words),
        own=layout.own,
        power=watts(layout.healthy.power_W),
        mark=words(f"faults.mark-{mark}") if mark else "",
        notes=tuple(notes),
    )


def _rows(report: FaultReport, words: Words) -> Iterator[Row]:
    """A row for every case that leaves or takes anything in any layout."""
    for wanted, name in all_cases(report.layouts, words).items():
        cells = tuple(_cell(layout, wanted) for layout in report.layouts)
        if any(cell.share for cell in cells):
            yield Row(name, cells)


def _cell(layout: FaultLayout, wanted: str) -> Cell:
    case = next((one for one in layout.cases if one.id == wanted), None)
    if case is None or case.left.share is None:
        return Cell("", "")
    return Cell(percent(case.left.share), "" if case.stays is None else percent(case.stays.share))


def _case(case: FaultCase, words: Words, system: str) -> CaseView:
    return CaseView(
        anchor=f"fault-{slug(case.id)}",
        name=case_name(case, words),
        power=watts(case.left.power_W),
        share=percent(case.left.share),
        light="" if case.light_lost is None else percent(case.light_lost),
        reason=own_reason(case, words, system),
        remarks=tuple(says("remark", one, words, system) for one in case.remarks),
        reverse=reverse_says(case.reverse, words, system) if case.reverse and case.light_lost is None else "",
        dangers=tuple(says("danger", one, words, system) for one in case.cautions),
    )
