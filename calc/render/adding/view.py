"""What a section, a terminal or a data file says of each way to add: plain records of words and printed numbers."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from calc.model.adding import Addition, AddReport, Reopened, Yield
from calc.model.assessment import Verdict
from calc.render.answers import Answer, answer_of
from calc.render.catalogue import Words
from calc.render.day.figures import clock, energy
from calc.render.layouts.sentences import finding_name, labels
from calc.render.numbers import show_text
from calc.render.view import MARKS


@dataclass(frozen=True, slots=True)
class QuestionRow:
    """One question that comes out otherwise; ``turned`` where its verdict does."""

    name: str
    before: Answer
    after: Answer
    turned: bool


@dataclass(frozen=True, slots=True)
class WayView:
    """One way to add: its name, the whole design's verdict after it, what it gains and opens, in sentences."""

    name: str
    mark: str
    verdict: str
    says: tuple[str, ...]
    rows: tuple[QuestionRow, ...]
    change: str


def ways(report: AddReport, words: Words, system: str = "us") -> tuple[WayView, ...]:
    """Every way to add that was tried.

    Args:
        report: what was worked out by ``calc.plan.adding.adding_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    return tuple(_way(one, report.brings, words, system) for one in report.additions)


def remarks(report: AddReport, words: Words) -> tuple[str, ...]:
    """What could not be worked out, and the caution."""
    said = [] if report.additions else [words("adding.none")]
    if report.no_curve:
        said.append(words("day.reason.no-curve"))
    if report.day_needs:
        said.append(words("adding.needs", needs=labels(report.day_needs, words)))
    return (*said, words("adding.caution"))


def name_of(one: Addition, words: Words) -> str:
    """What is added, in a few words."""
    if one.code == "other":
        return words(
            f"adding.name.other{'' if one.label else '-unnamed'}", series=one.series, label=one.label
        )
    if one.code != "string":
        return words(f"adding.name.{one.code}")
    key = f"string{'-one' if one.modules == 1 else ''}{'-kind' if one.kind else ''}"
    return words(f"adding.name.{key}", series=one.series, kind=one.kind)


def _way(one: Addition, now: Yield, words: Words, system: str) -> WayView:
    return WayView(
        name=name_of(one, words),
        mark=MARKS[one.after.verdict],
        verdict=words(f"verdict.{one.after.verdict}"),
        says=tuple(_says(one, now, words, system)),
        rows=tuple(_row(row, words, system) for row in one.reopened),
        change=json.dumps({path: str(count) for path, count in one.change.items()}) if one.change else "",
    )


def _says(one: Addition, now: Yield, words: Words, system: str) -> Iterator[str]:
    """What it takes, what it gains, and what it opens."""
    yield words(f"adding.says.modules-{'one' if one.modules == 1 else 'more'}", modules=one.modules)
    yield from _gains(now, one.brings, words, system)
    yield _named("passed", one, words, lambda row: _after(row) is Verdict.FAILS) or words(
        "adding.says.passed-none"
    )
    yield from filter(
        None,
        (
            _named("tight", one, words, lambda row: _after(row) is Verdict.TIGHT),
            _named("asks", one, words, lambda row: _after(row) is Verdict.NEEDS_INPUT),
            _named(
                "mended", one, words, lambda row: bool(row.before and row.before.verdict is Verdict.FAILS)
            ),
        ),
    )


def _gains(now: Yield, after: Yield, words: Words, system: str) -> Iterator[str]:
    if now.power_W is not None and after.power_W is not None:
        before, there = (show_text(value, "W", system=system) for value in (now.power_W, after.power_W))
        yield words("adding.says.power", before=before, after=there)
    if now.energy_Wh is None or after.energy_Wh is None:
        return
    if after.begins_h is None:
        yield words("adding.says.energy-never")
        return
    before, there = (str(energy(value, system=system)) for value in (now.energy_Wh, after.energy_Wh))
    yield words("adding.says.energy", before=before, after=there)
    then, begins = (None if hour is None else clock(hour) for hour in (now.begins_h, after.begins_h))
    if then == begins:
        yield words("adding.says.begins-same")
    elif then is not None:
        yield words("adding.says.begins", before=then, after=begins)


def _after(row: Reopened) -> Verdict | None:
    return row.after.verdict if row.after else None


def _named(key: str, one: Addition, words: Words, does: Callable[[Reopened], bool]) -> str:
    """The questions that turned in one way, in a sentence; empty where none did."""
    found = [
        finding_name((row.finding.id, row.finding.part), words)
        for row in one.reopened
        if row.turned and does(row)
    ]
    return words(f"adding.says.{key}", names=", ".join(dict.fromkeys(found))) if found else ""


def _row(row: Reopened, words: Words, system: str) -> QuestionRow:
    before, after = (answer_of(one, words, system) for one in (row.before, row.after))
    name = finding_name((row.finding.id, row.finding.part), words)
    return QuestionRow(name, before, after, row.turned)
