"""A design's day as a section of a report needs it: plain records of words, printed numbers and links."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.model.assessment import Value, Verdict
from calc.model.day import DAYS, DayReport, Layout, LayoutDay
from calc.render.anchors import href, slug
from calc.render.catalogue import Words
from calc.render.day.figures import KILO, clock, energy, hours, insolation, layout_name
from calc.render.day.sentences import compared, missing, remarks, summary
from calc.render.drawings.day import day_drawing
from calc.render.drawings.svg import Figure
from calc.render.numbers import Shown, show_text
from calc.render.view import MARKS, Link


@dataclass(frozen=True, slots=True)
class DayCell:
    """What a layout does on one day: hours as text and energy, empty where it does not charge."""

    begins: str
    ends: str
    hours: str
    brings: Shown | None


@dataclass(frozen=True, slots=True)
class LayoutRow:
    """One layout: its name, whether it is the design's own, the check's verdict and what decides it, and its days."""

    name: str
    own: bool
    mark: str
    verdict: str
    because: str
    cells: tuple[DayCell, ...]


@dataclass(frozen=True, slots=True)
class MonthRow:
    """One month, or the year: light on the array, energy in a day, energy in all."""

    name: str
    light: Shown
    daily: Shown | None
    energy: Shown


@dataclass(frozen=True, slots=True)
class Taken:
    """A value that only the day assumes."""

    anchor: str
    path: str
    value: str
    why: str


@dataclass(frozen=True, slots=True)
class DayView:
    """Everything the template of the day prints; ``missing`` says why there is nothing else."""

    missing: str
    summary: tuple[str, ...]
    compared: tuple[str, ...]
    remarks: tuple[str, ...]
    figure: Figure | None
    days: tuple[str, ...]
    layouts: tuple[LayoutRow, ...]
    months: tuple[MonthRow, ...]
    year: MonthRow | None
    methods: tuple[str, ...]
    inputs: tuple[Link, ...]
    sources: tuple[str, ...]
    taken: tuple[Taken, ...]


def day_view(report: DayReport, words: Words, system: str = "us") -> DayView:
    """Gather what the section of a design's day prints.

    Args:
        report: the day as worked out by ``calc.plan.day.day_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    return DayView(
        missing=missing(report, words),
        summary=summary(report, words, system),
        compared=compared(report, words),
        remarks=remarks(report, words, system),
        figure=day_drawing(report, words, system),
        days=tuple(words(f"day.head.{day.name}") for day in report.days),
        layouts=layout_rows(report, words, system),
        months=month_rows(report, words, system),
        year=year_row(report, words, system),
        methods=methods(report, words),
        inputs=tuple(_inputs(report, words, system)),
        sources=sources(report, words),
        taken=tuple(_taken(report)),
    )


def layout_rows(report: DayReport, words: Words, system: str = "us") -> tuple[LayoutRow, ...]:
    """Every layout with its verdict and its hours and energy on the three days; energies of a column in one unit."""
    kilo = {
        day: max((_of(layout, day).energy_Wh for layout in report.layouts), default=0.0) >= KILO
        for day in DAYS
    }

    def cell(taken: LayoutDay) -> DayCell:
        if taken.begins_h is None or taken.ends_h is None:
            return DayCell("", "", "", None)
        brings = energy(taken.energy_Wh, system=system, kilo=kilo[taken.day])
        begins, ends = taken.begins_h, taken.ends_h
        return DayCell(clock(begins), clock(ends), hours(begins, ends), brings)

    return tuple(
        LayoutRow(
            name=layout_name(layout, words),
            own=layout.own,
            mark=MARKS[layout.verdict],
            verdict=words(f"verdict.{layout.verdict}"),
            because=because(layout, words),
            cells=tuple(cell(taken) for taken in layout.days),
        )
        for layout in report.layouts
    )


def because(layout: Layout, words: Words) -> str:
    """The name of the finding that makes a layout fail; empty where none does."""
    return words(f"finding.{layout.because[0]}.name") if layout.verdict is Verdict.FAILS else ""


def _of(layout: Layout, day: str) -> LayoutDay:
    return next(one for one in layout.days if one.day == day)


def month_rows(report: DayReport, words: Words, system: str = "us") -> tuple[MonthRow, ...]:
    """The twelve months; none where they were not wanted."""
    kilo = max((month.energy_Wh / month.days for month in report.months), default=0.0) >= KILO
    return tuple(
        MonthRow(
            name=words(f"day.month.{month.month}"),
            light=insolation(month.insolation_Whm2, system=system),
            daily=energy(month.energy_Wh / month.days, system=system, kilo=kilo),
            energy=energy(month.energy_Wh, system=system, kilo=True),
        )
        for month in report.months
    )


def year_row(report: DayReport, words: Words, system: str = "us") -> MonthRow | None:
    """The year's sum below the months; None where it was not wanted."""
    if report.year is None:
        return None
    light = insolation(report.year.insolation_Whm2, system=system)
    return MonthRow(
        words("day.table.year"), light, None, energy(report.year.energy_Wh, system=system, kilo=True)
    )


def methods(report: DayReport, words: Words) -> tuple[str, ...]:
    """How the results were found, each way once, in the order of the working."""
    return tuple(
        words(f"day.method.{code}") for code in dict.fromkeys(step.method for step in report.steps.values())
    )


def worked_out_from(report: DayReport) -> dict[str, Value]:
    """Every input of the working by name, each once."""
    return {name: value for step in report.steps.values() for name, value in step.values.items()}


def sources(report: DayReport, words: Words) -> tuple[str, ...]:
    """What the methods rest on, each source once."""
    cited = dict.fromkeys(key for step in report.steps.values() for key in step.cites)
    return tuple(words(f"day.source.{key}") for key in cited)


def _inputs(report: DayReport, words: Words, system: str) -> Iterator[Link]:
    for name, value in worked_out_from(report).items():
        shown = show_text(value.number, value.unit, system=system)
        yield Link(f"{words(f'day.input.{name}')} {shown}", href(value.origin))


def _taken(report: DayReport) -> Iterator[Taken]:
    """What only the day assumes: where and how the modules stand."""
    for one in report.assumptions:
        if one.path in ("site.tilt", "site.azimuth", "site.elevation"):
            yield Taken(f"assumed-{slug(one.path)}", one.path, one.value, one.why)
