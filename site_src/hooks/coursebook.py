"""The lessons of the guide: what stands above the text of each page, its design, and the other designs made from it.

A lesson is one page, and a design file of the same name. Above its text stands what the figure shows, and the changes
of that design that the text speaks of. What the text relies on is said as ``then`` (a finding and its verdict) and
stops the build once it is no longer so.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from library import ROOT
from mkdocs.exceptions import PluginError
from mkdocs.utils.meta import get_data

from calc import Assessment, Design, Refused, check, load_book, read_design
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.read.write import document_of, write_document
from calc.render.as_lesson import LISTS, Plan, is_meant

PAGES = ROOT / "site_src" / "pages" / "guide"
DESIGNS = ROOT / "scenarios" / "guide"
NAME = re.compile(r"[a-z-]+")
MISTAKE = "mistake"


class CodeError(ValueError):
    """A code in a lesson's text that means nothing; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson; ``others`` are designs made from its own by the changes that the page names."""

    page: str
    number: int
    title: str
    asks: str
    line: str
    name: str
    file: str
    plan: Plan
    assessment: Assessment
    others: Mapping[str, Assessment | Refused]
    failing: tuple[str, ...]


@cache
def load_lessons() -> Mapping[str, Lesson]:
    """Every lesson by the source path of its page, in the order of their numbers."""
    found = list(_lessons())
    return {lesson.page: lesson for lesson in sorted(found, key=lambda lesson: lesson.number)}


def _lessons() -> Iterator[Lesson]:
    for file in sorted(PAGES.glob("*.md")):
        _, above = get_data(file.read_text("utf-8"))
        if "number" in above:
            yield _lesson(file.stem, above)


def _lesson(name: str, above: Mapping[str, Any]) -> Lesson:
    page = f"guide/{name}.md"
    try:
        file = (DESIGNS / f"{name}.toml").read_text("utf-8")
        named = {MISTAKE: above["mistake"], **above.get("others", {})}
        own = _checked(read_design(file), page)
        others = {name: changed(file, entry["set"]) for name, entry in named.items()}
        lesson = Lesson(
            page=page,
            number=int(above["number"]),
            title=str(above["title"]),
            asks=str(above["asks"]),
            line=str(above["line"]),
            name=name,
            file=file,
            plan=Plan(*(tuple(map(str, above.get(kind, ()))) for kind in LISTS), f"../designs/{name}/"),
            assessment=own,
            others=others,
            failing=tuple(above["mistake"]["fails"]),
        )
    except KeyError as missing:
        raise PluginError(f"{page}: a lesson needs {missing} above its text") from None
    except OSError as problem:
        raise PluginError(f"{page}: {problem}") from None
    _hold(lesson, above)
    return lesson


def changed(file: str, change: Mapping[str, object]) -> Assessment | Refused:
    """The design of a file with some values changed, assessed; or refused with everything that is wrong."""
    document = read_toml(file)
    if not isinstance(document, Mapping):
        raise PluginError("the design cannot be read")  # it was, a moment ago
    design = read_document(
        changed_document(document, {path: str(text) for path, text in change.items()}), "en"
    )
    return design if isinstance(design, Refused) else _checked(design, "")


def file_of(assessment: Assessment) -> str:
    """The text of a design, by which what was worked out of it can be remembered."""
    return write_document(document_of(assessment.design))


def design_of(file: str) -> Design:
    """The design of a text that was one before."""
    design = read_design(file)
    if isinstance(design, Refused):
        raise CodeError("the design cannot be read")
    return design


def _checked(design: object, page: str) -> Assessment:
    if isinstance(design, Refused):
        lines = "\n".join(f"  {problem.line()}" for problem in design.problems)
        raise PluginError(f"{page}: its design cannot be read:\n{lines}")
    return check(design, load_book(design.text("site.rules") or "us-2023"))


def _hold(lesson: Lesson, above: Mapping[str, Any]) -> None:
    """Stop the build where the text relies on what is no longer so."""
    for entry in lesson.failing:
        _verdict(lesson, MISTAKE, entry, "fails")
    claims = {
        "": above.get("then", {}),
        **{name: one.get("then", {}) for name, one in above.get("others", {}).items()},
    }
    for name, wanted in claims.items():
        for entry, verdict in wanted.items():
            _verdict(lesson, name, entry, verdict)
    shown = [finding for finding in lesson.plan.findings if not _meant(lesson.assessment, finding)]
    if shown or (lost := [key for key in lesson.plan.quantities if key not in lesson.assessment.steps]):
        raise PluginError(f"{lesson.page}: its figure has nothing to show for {', '.join(shown or lost)}")


def _meant(assessment: Assessment, entry: str) -> list[str]:
    return [str(finding.verdict) for finding in assessment.findings if is_meant(finding, entry)]


def _verdict(lesson: Lesson, name: str, entry: str, wanted: str) -> None:
    one = lesson.others[name] if name else lesson.assessment
    found = [] if isinstance(one, Refused) else _meant(one, entry)
    if wanted not in found:
        raise PluginError(
            f"{lesson.page}: the text relies on {entry!r} of {name or 'its design'} being {wanted!r}; "
            f"it is {', '.join(found) or 'not there'}"
        )
