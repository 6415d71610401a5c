"""The lessons of the guide: what stands above the text of each page, its design, and the other designs made from it.

A lesson is one page, and a design file of the same name. Above its text stands what the figure shows, and the changes
of that design that the text speaks of. What the text relies on is said as ``then`` (a finding and its verdict) and
stops the build once it is no longer so.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from itertools import pairwise
from typing import Any

from library import ROOT
from mkdocs.exceptions import PluginError
from mkdocs.utils.meta import get_data

from calc import Assessment, Design, Refused, check, load_book, read_design
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.read.write import document_of, write_document
from calc.render.as_lesson import LISTS, PART, Plan, is_meant
from calc.render.catalogue import load_words
from calc.render.form import make_form, typed_of

PAGES = ROOT / "site_src" / "pages" / "guide"
DESIGNS = ROOT / "scenarios" / "guide"
FIRST = "index"
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
    found = sorted(_lessons(), key=lambda lesson: lesson.number)
    for one, other in pairwise(found):
        if one.number == other.number:
            raise PluginError(
                f"{one.page} and {other.page} are both lesson {one.number}; "
                f"the next free number is {found[-1].number + 1}"
            )
    return {lesson.page: lesson for lesson in found}


def _lessons() -> Iterator[Lesson]:
    for file in sorted(PAGES.glob("*.md")):
        _, above = get_data(file.read_text("utf-8"))
        if isinstance(above.get("number"), int):
            yield _lesson(file.stem, above)
        elif file.stem != FIRST:
            raise PluginError(
                f"guide/{file.name}: a lesson needs its number above its text, for example «number: 11», between two "
                'lines «---». A text with a colon in it stands in quotes there: title: "Fuses: yes or no"'
            )


def _lesson(name: str, above: Mapping[str, Any]) -> Lesson:
    page = f"guide/{name}.md"
    if not (DESIGNS / f"{name}.toml").is_file():
        raise PluginError(
            f"{page}: a lesson stands on a design of the same name; "
            f"write scenarios/guide/{name}.toml, for example from a copy of another design"
        )
    try:
        file = (DESIGNS / f"{name}.toml").read_text("utf-8")
        named = {MISTAKE: above["mistake"], **above.get("others", {})}
        own = _checked(read_design(file), page)
        others = {name: changed(file, entry["set"]) for name, entry in named.items()}
        lesson = Lesson(
            page=page,
            number=above["number"],
            title=str(above["title"]),
            asks=str(above["asks"]),
            line=str(above["line"]),
            name=name,
            file=file,
            plan=Plan(*(_listed(above.get(kind, ())) for kind in LISTS), f"../designs/{name}/"),
            assessment=own,
            others=others,
            failing=_listed(above["mistake"]["fails"]),
        )
    except KeyError as missing:
        raise PluginError(
            f"{page}: a lesson needs {missing} above its text; "
            "site_src/pages/how/lesson.md shows a whole lesson with every line that it needs"
        ) from None
    _hold(lesson, above)
    return lesson


def _listed(entries: object) -> tuple[str, ...]:
    """A list as a page gives it; one entry alone may stand without brackets."""
    return (entries,) if isinstance(entries, str) else tuple(map(str, entries))  # type: ignore[call-overload]


def near(word: str, known: Collection[str]) -> str:
    """What to do about a name that is not known: the one that is most like it, or where the names stand."""
    found = get_close_matches(word, known, 1)
    if found:
        return f"; perhaps {found[0]!r} is meant"
    return "; «python -m calc check» of the lesson's design prints every name in square brackets"


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
    """Stop the build where the text relies on what is no longer so, or the figure shows what is not there."""
    for entry in lesson.failing:
        _verdict(lesson, MISTAKE, entry, "fails")
    claims = {
        "": above.get("then", {}),
        **{name: one.get("then", {}) for name, one in above.get("others", {}).items()},
    }
    for name, wanted in claims.items():
        for entry, verdict in wanted.items():
            _verdict(lesson, name, entry, verdict)
    form = make_form(typed_of(lesson.assessment.design), lesson.assessment, load_words(), "us")
    controls = {one.path for one in (*form.quick, *(one for part in form.sections for one in part.controls))}
    ids = {finding.id for finding in lesson.assessment.findings}
    for kind, shown, known in (
        ("controls", lesson.plan.controls, controls),
        ("findings", [entry.partition(PART)[0] for entry in lesson.plan.findings], ids),
        ("quantities", lesson.plan.quantities, lesson.assessment.steps),
    ):
        for entry in shown:
            if entry not in known:
                raise PluginError(f"{lesson.page}: {kind}: its design has no {entry!r}{near(entry, known)}")


def _meant(assessment: Assessment, entry: str) -> list[str]:
    return [str(finding.verdict) for finding in assessment.findings if is_meant(finding, entry)]


def _verdict(lesson: Lesson, name: str, entry: str, wanted: str) -> None:
    one = lesson.others[name] if name else lesson.assessment
    if isinstance(one, Refused):
        lines = "\n".join(f"  {problem.line()}" for problem in one.problems)
        raise PluginError(f"{lesson.page}: {name} cannot be read as a design:\n{lines}")
    found = _meant(one, entry)
    if wanted not in found:
        known = {finding.id for finding in one.findings}
        raise PluginError(
            f"{lesson.page}: the text relies on {entry!r} of {name or 'its design'} being {wanted!r}; "
            f"it is {', '.join(found) or 'not there' + near(entry, known)}"
        )
