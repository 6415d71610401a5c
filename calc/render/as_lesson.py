"""The live figure of a lesson: a few controls of a small design, and the findings and quantities that answer it.

Everything is printed by the templates of the report; a plan says which of it.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace

from markupsafe import Markup

from calc.model.assessment import Assessment, Finding
from calc.render.as_form import Bench, bench_data, problems_html, state_html
from calc.render.as_html import environment
from calc.render.before import Before
from calc.render.catalogue import Words, load_words
from calc.render.fields import field_label, part_of
from calc.render.form import Control, Form, Typed, changes_of, make_form, typed_of
from calc.render.formulas import step_lines
from calc.render.numbers import in_words
from calc.render.view import FindingView, Viewer

LINK = re.compile(r"</?a\b[^>]*>")
LISTS = ("controls", "findings", "quantities", "drawings")
PART = " @ "
"""Between a finding's id and its part, where only one part is wanted."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What a figure shows: paths of its controls, ids of findings, keys of quantities, names of drawings and sections.

    ``report`` is the way to the report of its design, where all that the figure leaves out stands.
    """

    controls: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    quantities: tuple[str, ...] = ()
    drawings: tuple[str, ...] = ()
    report: str = ""

    @property
    def parts(self) -> list[list[str]]:
        """The parts of the page in the order in which they are asked for."""
        return [["answers", "state"], ["form", "problems"], *([name] for name in self.drawings)]


@dataclass(frozen=True, slots=True)
class Fact:
    """One quantity, and what it was at the start when that was something else."""

    name: str
    part: str
    value: str
    was: str


def plan_of(asked: object) -> Plan | None:
    """A plan as a page asks for it; None where it asks for none. Nothing in it is trusted to have the right kind."""
    if not isinstance(asked, Mapping):
        return None
    report = asked.get("report")
    controls, findings, quantities, drawings = (_texts(asked.get(name)) for name in LISTS)
    return Plan(controls, findings, quantities, drawings, report if isinstance(report, str) else "")


def _texts(listed: object) -> tuple[str, ...]:
    return tuple(map(str, listed)) if isinstance(listed, Sequence) and not isinstance(listed, str) else ()


def as_lesson(
    assessment: Assessment, plan: Plan, bench: Bench, drawings: Sequence[str], *, language: str = "en"
) -> str:
    """The whole figure as a page begins with it.

    Args:
        assessment: the design's.
        plan: what the figure shows.
        bench: the design file, its name, and the way to the start of the site.
        drawings: what the plan names as drawings, printed.
        language: folder of the word catalogue.
    """
    words = load_words(language)
    return (
        environment()
        .get_template("lesson.html")
        .render(
            w=words,
            name=bench.name,
            title=assessment.design.text("title") or "",
            story=assessment.design.text("story") or "",
            report=plan.report,
            data=bench_data(bench, words, {"parts": plan.parts, "lesson": asdict(plan)}),
            form=few_html(typed_of(assessment.design), assessment, words, "us", plan),
            problems=problems_html((), words),
            answers=answers_html(assessment, words, "us", plan),
            drawings=drawings,
            state=state_html(assessment, 0, words, "us"),
        )
    )


def in_lesson(html: str, plan: Plan) -> str:
    """A section of the report as it stands in a lesson: what its links lead to stands in the report."""
    return html.replace('href="#', f'href="{plan.report}#')


def few_html(typed: Typed, assessment: Assessment | None, words: Words, system: str, plan: Plan) -> str:
    """The form with the plan's controls only."""
    form = make_form(typed, assessment, words, system)
    found = {control.path: control for control in (*form.quick, *_in_sections(form))}
    return (
        environment()
        .get_template("lesson_form.html")
        .render(
            w=words,
            controls=[
                replace(found[path], label=field_label(path, words))
                for path in plan.controls
                if path in found
            ],
        )
    )


def _in_sections(form: Form) -> Iterator[Control]:
    for section in form.sections:
        yield from section.controls


def answers_html(
    assessment: Assessment, words: Words, system: str, plan: Plan, start: Assessment | None = None
) -> str:
    """The findings and quantities that answer the lesson's question."""
    viewer = Viewer(assessment, words, system, start)
    return (
        environment()
        .get_template("lesson_answers.html")
        .render(
            w=words,
            findings=chosen(assessment, viewer.findings(), plan.findings),
            facts=tuple(_facts(assessment, viewer.before, words, system, plan.quantities)),
        )
    )


def as_mistake(start: Assessment, now: Assessment, findings: Sequence[str], *, language: str = "en") -> str:
    """A common mistake shown failing: what was changed, and the findings that say so."""
    words = load_words(language)
    typed = typed_of(now.design, start.design)
    return (
        environment()
        .get_template("lesson_mistake.html")
        .render(
            w=words,
            changes=changes_of(typed, words),
            change=json.dumps({path: typed.texts.get(path, "") for path in typed.differing()}),
            findings=chosen(now, Viewer(now, words, "us").findings(), findings),
        )
    )


def as_working(assessment: Assessment, key: str, report: str, *, language: str = "en") -> str:
    """One quantity's formula with the numbers set in; its name leads to its place in the report, where there is one.

    The numbers themselves are no links here: inside a formula not every reader could follow them.
    """
    words = load_words(language)
    step = step_lines(assessment.steps[key], words, "us")
    lines = [Markup(LINK.sub("", line)) for line in (step.formula, step.numbers, step.result, step.symbol)]
    return (
        environment()
        .get_template("lesson_working.html")
        .render(w=words, step=step, lines=lines, part=part_of(key, words), report=report)
    )


def chosen(assessment: Assessment, views: Sequence[FindingView], wanted: Sequence[str]) -> list[FindingView]:
    """The views of the findings that are wanted, in that order: all of an id, or those of one part only."""
    pairs = list(zip(assessment.findings, views, strict=True))
    return [view for entry in wanted for finding, view in pairs if is_meant(finding, entry)]


def is_meant(finding: Finding, entry: str) -> bool:
    """Whether an entry (``coupler-current``, ``coupler-current @ coupler 2``) means this finding."""
    key, _, part = entry.partition(PART)
    return finding.id == key and part in ("", finding.part)


def _facts(
    assessment: Assessment, before: Before, words: Words, system: str, keys: Sequence[str]
) -> Iterator[Fact]:
    for key in keys:
        step = assessment.steps.get(key)
        if step is not None:
            value = in_words(words, step.result, step.unit, system=system)
            yield Fact(words(f"symbol.{step.symbol}"), part_of(key, words), value, before.step(step))
