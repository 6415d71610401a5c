"""The page on which readings are entered, as HTML fragments: form, problems, what to stop for, the verdict."""

from collections.abc import Mapping, Sequence

from calc.model.assessment import Verdict
from calc.model.meter import FITS, LOOK, STOP, UNJUDGED, Diagnosis, MeterSheet
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.as_form import Bench, ProblemView, bench_data, problems_list, problems_title
from calc.render.as_html import environment
from calc.render.catalogue import Words, load_words
from calc.render.fields import field_label
from calc.render.meter.entry import Entered, entry_view
from calc.render.meter.view import CauseRow, cause_rows, stop_says
from calc.render.view import MARKS

MARK = {
    FITS: MARKS[Verdict.HOLDS],
    LOOK: MARKS[Verdict.TIGHT],
    STOP: MARKS[Verdict.FAILS],
    UNJUDGED: MARKS[Verdict.NEEDS_INPUT],
}
"""The mark of each outcome: the one of the verdict that asks for the same heed."""


def entry_parts(
    sheet: MeterSheet, entered: Entered, words: Words, diagnosis: Diagnosis | None = None
) -> dict[str, str]:
    """Every part of the page around its sheet that follows from a design and from what was typed, by name.

    Args:
        sheet: as made by ``calc.meter.expected.meter_sheet``.
        entered: what was typed, and what is wrong with it.
        words: the word catalogue.
        diagnosis: what the readings come to, where there are any.
    """
    form = entry_view(sheet, entered, words, diagnosis)
    outcome = UNJUDGED if diagnosis is None else diagnosis.verdict
    paths = {field.path for group in (form.moment, *form.strings, form.array) for field in group.fields}
    lines = [_line(one, sheet, words, paths) for one in entered.problems]
    return {
        "form": _render("meter_form.html", words, form=form),
        "problems": _problems(lines, words, "typed"),
        "stop": _render("meter_stop.html", words, stops=stops(diagnosis, words)),
        "state": _render(
            "meter_state.html",
            words,
            mark=MARK[outcome],
            verdict=words(f"meter-page.outcome.{outcome}"),
            says=says(diagnosis, words),
        ),
    }


def _render(template: str, words: Words, **values: object) -> str:
    return environment().get_template(template).render(w=words, **values)


def stops(diagnosis: Diagnosis | None, words: Words) -> list[str]:
    """Why the work stops first: what was read, and causes that are dangerous whatever else they are."""
    if diagnosis is None or diagnosis.verdict != STOP:
        return []
    found = [stop_says(code, place, words) for code, place in diagnosis.stops]
    causes = [cause_rows(group, words)[0] for group in diagnosis.rounds if group and group[0].stop]
    named = [f"{_cause(one)}. {one.next}" for one in causes]
    return list(dict.fromkeys([*found, *named]))


def _cause(one: CauseRow) -> str:
    return one.name + (f" ({one.place})" if one.place else "")


def says(diagnosis: Diagnosis | None, words: Words) -> str:
    """What readings come to, in one sentence: the first reason to stop, else the likeliest cause."""
    if diagnosis is None:
        return words("meter-page.nothing-yet")
    if diagnosis.verdict == STOP:
        return stops(diagnosis, words)[0]
    if diagnosis.causes:
        first = cause_rows(diagnosis.causes, words)[0]
        return words("meter-page.likely", cause=_cause(first))
    return words(f"meter.verdict.{diagnosis.verdict}")


def spoken(diagnosis: Diagnosis | None, problems: Sequence[InputProblem], words: Words) -> str:
    """What is said aloud after a change: what cannot be read, and what the rest comes to."""
    told = []
    if problems:
        count = "one" if len(problems) == 1 else "more"
        told.append(words(f"form.spoken.problems.{count}", number=len(problems)))
    if diagnosis is not None:
        told += [f"{words(f'meter-page.outcome.{diagnosis.verdict}')}.", says(diagnosis, words)]
    return " ".join(told)


def refused_html(problems: Sequence[InputProblem], words: Words, what: str) -> str:
    """Everything that is wrong with a design (``design``) or with a file of readings (``readings``)."""
    lines = [
        ProblemView(_said(one.path, what, words), "", one.said, one.wanted, one.example) for one in problems
    ]
    return _problems(lines, words, what)


def _said(path: str, what: str, words: Words) -> str:
    return field_label(path, words) if path and what == "design" else path


def _problems(lines: Sequence[ProblemView], words: Words, what: str) -> str:
    """The list of problems with a design, with readings from a file, or with what was ``typed``."""
    title = problems_title(len(lines), words) if what == "typed" else words(f"meter-page.problems.{what}")
    return problems_list(lines, words, title, words(f"meter-page.problems-kept.{what}"))


def _line(problem: InputProblem, sheet: MeterSheet, words: Words, paths: set[str]) -> ProblemView:
    target = f"in-{slug(problem.path)}" if problem.path in paths else ""
    return ProblemView(
        reading_label(problem.path, sheet, words), target, problem.said, problem.wanted, problem.example
    )


def reading_label(path: str, sheet: MeterSheet, words: Words) -> str:
    """What a reading is called: ``S2 Voc``; the path itself where it is none."""
    table, _, name = path.rpartition(".")
    kind, _, number = table.partition(".")
    if kind == "string" and number.isdigit() and int(number) <= len(sheet.rows):
        return f"{sheet.rows[int(number) - 1].name} {words.find(f'meter.short.{name}') or name}"
    return words.find(f"meter-page.path.{path}") or words.find(f"meter-page.label.{path}") or path


def as_meter_bench(bench: Bench, parts: Mapping[str, str], *, language: str = "en") -> str:
    """The part of the page in which readings are entered, with what the page's code needs to know.

    Args:
        bench: the design that the page begins with, and those it can take instead.
        parts: as made by ``entry_parts`` for that design.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    more = {"says": {key: words(f"meter-page.{key}") for key in ("restored", "not-kept")}}
    return _render("meter_bench.html", words, bench=bench, parts=parts, data=bench_data(bench, words, more))


def as_meter_bar(parts: Mapping[str, str], *, language: str = "en") -> str:
    """The line at the foot of the window: what the readings come to."""
    return _render("meter_bar.html", load_words(language), state=parts["state"])
