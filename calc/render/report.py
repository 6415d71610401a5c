"""A whole report as the templates need it, from the verdict and the fixes to the sources and drawings."""

import json
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from calc.model.assessment import WORST_FIRST, Assessment, Verdict
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.changes import change_says
from calc.render.drawings.ladder import ladder
from calc.render.drawings.svg import Figure
from calc.render.drawings.wiring import wiring
from calc.render.fields import ABOUT, field_label, said_shown, section_of, section_title
from calc.render.numbers import in_words
from calc.render.sentences import finding_says
from calc.render.view import MARKS, FindingGroup, FindingView, StepGroup, Viewer, closest, lead

GLANCE = (
    ("power_stc_W",),
    ("voc_cold_string_V",),
    ("vmp_hot_at_controller_V", "vmp_hot_string_V"),
    ("current_max_array_A",),
    ("drop_percent",),
    ("string_fuse_needed",),
)
"""The main figures beside the verdict; of several in a line the first that could be worked out."""


@dataclass(frozen=True, slots=True)
class FixView:
    """One change, in words and as JSON of texts by path, and the whole design's verdict after it."""

    says: str
    verdict: str
    mark: str
    change: str


@dataclass(frozen=True, slots=True)
class Mend:
    """Failing findings that the same fixes mend."""

    findings: tuple[FindingView, ...]
    fixes: tuple[FixView, ...]


@dataclass(frozen=True, slots=True)
class Input:
    """One given input: what it is called, what its author wrote, and remarks on it."""

    anchor: str
    label: str
    path: str
    said: str
    notes: tuple[str, ...]
    was: str


@dataclass(frozen=True, slots=True)
class Look:
    """What needs the reader's eye first."""

    anchor: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """One main figure, and what it was at the start when that was something else."""

    name: str
    value: str
    was: str


@dataclass(frozen=True, slots=True)
class Section:
    """The inputs of one section of the design file."""

    title: str
    inputs: tuple[Input, ...]


@dataclass(frozen=True, slots=True)
class AssumptionView:
    """One assumed value."""

    anchor: str
    label: str
    path: str
    value: str
    why: str
    safe: bool


@dataclass(frozen=True, slots=True)
class CitationView:
    """One clause or table that was used."""

    anchor: str
    clause: str
    title: str
    edition: str
    standing: str
    table: bool


DRAWINGS: Mapping[str, Callable[[Assessment, Words, str], Figure | None]] = {
    "ladder": ladder,
    "wiring": wiring,
}


class Report:
    """Everything the templates print, each part gathered when a template first asks for it."""

    def __init__(
        self, assessment: Assessment, words: Words, system: str, start: Assessment | None = None
    ) -> None:
        """Note what is printed; ``start`` is the design that the report began as, if it has changed since."""
        self._assessment = assessment
        self._words = words
        self._system = system
        self._viewer = Viewer(assessment, words, system, start)
        self.mark = MARKS[assessment.verdict]
        self.verdict = _capital(words(f"verdict.{assessment.verdict}"))
        self.was = self._viewer.before.verdict(assessment.verdict)
        self.lead = lead(assessment, words)

    @cached_property
    def says(self) -> str:
        """The sentence of the finding to name first."""
        return _says(self._assessment, self._words, self._system)

    @cached_property
    def tally(self) -> tuple[tuple[str, str], ...]:
        """How many findings came out in each way."""
        return _tally(self._assessment, self._words)

    @cached_property
    def glance(self) -> tuple[Fact, ...]:
        """The main figures."""
        return _glance(self._assessment, self._viewer)

    @cached_property
    def _findings(self) -> tuple[FindingView, ...]:
        return self._viewer.findings()

    @cached_property
    def look(self) -> Look:
        """What needs the reader's eye."""
        return Look("report-first", _first(self._assessment, self._findings))

    @cached_property
    def mends(self) -> tuple[Mend, ...]:
        """Failing findings with their fixes."""
        return _mends(self._assessment, self._findings, self._words)

    @cached_property
    def groups(self) -> tuple[FindingGroup, ...]:
        """Findings by chapter."""
        return self._viewer.grouped(self._findings)

    @cached_property
    def chapters(self) -> tuple[StepGroup, ...]:
        """The working by chapter."""
        return self._viewer.steps()

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """What was given."""
        return _sections(self._assessment, self._viewer)

    @cached_property
    def assumptions(self) -> tuple[AssumptionView, ...]:
        """What was assumed."""
        return _assumptions(self._assessment, self._words, self._system)

    @cached_property
    def citations(self) -> tuple[CitationView, ...]:
        """Clauses and tables that were used."""
        return _citations(self._assessment, self._viewer)

    def drawing(self, name: str) -> Figure | None:
        """The drawing called ``name``; None when there is none of that name, or nothing to draw."""
        draw = DRAWINGS.get(name)
        return draw(self._assessment, self._words, self._system) if draw else None


def _says(assessment: Assessment, words: Words, system: str) -> str:
    """The sentence of the finding to name first, with its part and name."""
    if assessment.verdict is Verdict.DOES_NOT_APPLY:
        return ""
    return finding_says(closest(assessment), words, system)


def _tally(assessment: Assessment, words: Words) -> tuple[tuple[str, str], ...]:
    """How many findings came out in each way: ``14 hold``."""
    counted = Counter(finding.verdict for finding in assessment.findings)
    return tuple(
        (
            MARKS[one],
            words(f"page.tally.{MARKS[one]}.{'one' if counted[one] == 1 else 'more'}", number=counted[one]),
        )
        for one in WORST_FIRST
        if counted[one]
    )


def _glance(assessment: Assessment, viewer: Viewer) -> tuple[Fact, ...]:
    words, shown = viewer.words, []
    for keys in GLANCE:
        key = next((key for key in keys if key in assessment.steps), None)
        if key is not None:
            step = assessment.steps[key]
            value = in_words(words, step.result, step.unit, system=viewer.system)
            shown.append(Fact(words(f"page.glance.{key}"), value, viewer.before.step(step)))
    return tuple(shown)


def _first(assessment: Assessment, views: tuple[FindingView, ...]) -> tuple[FindingView, ...]:
    """What needs the reader's eye: failing, then unanswered, then tight."""
    urgent = (Verdict.FAILS, Verdict.NEEDS_INPUT, Verdict.TIGHT)
    pairs = list(zip(assessment.findings, views, strict=True))
    return tuple(view for verdict in urgent for finding, view in pairs if finding.verdict is verdict)


def _mends(assessment: Assessment, views: tuple[FindingView, ...], words: Words) -> tuple[Mend, ...]:
    """Failing findings with their fixes; those that the very same fixes mend stand together."""
    together: dict[tuple[FixView, ...], list[FindingView]] = {}
    for finding, view in zip(assessment.findings, views, strict=True):
        if finding.verdict is Verdict.FAILS:
            fixes = tuple(
                FixView(
                    change_says(fix.change, words),
                    words(f"verdict.{fix.verdict}"),
                    MARKS[fix.verdict],
                    json.dumps({path: _said(value) for path, value in fix.change.items()}),
                )
                for fix in finding.fixes
            )
            together.setdefault(fixes, []).append(view)
    return tuple(Mend(tuple(found), fixes) for fixes, found in together.items())


def _said(value: str | int | bool) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sections(assessment: Assessment, viewer: Viewer) -> tuple[Section, ...]:
    design, words = assessment.design, viewer.words
    notes: dict[str, list[str]] = {}
    for path, code in design.notes:
        notes.setdefault(path, []).append(words(f"note.{code}"))
    sections: dict[str, list[Input]] = {}
    for path, given in design.values.items():
        if section_of(path) == ABOUT:
            continue  # title and story stand above the report
        shown = Input(
            f"given-{slug(path)}",
            field_label(path, words),
            path,
            given.said,
            tuple(notes.get(path, ())),
            viewer.before.given(path, given.said),
        )
        sections.setdefault(section_of(path), []).append(shown)
    return tuple(Section(section_title(key, words), tuple(inputs)) for key, inputs in sections.items())


def _assumptions(assessment: Assessment, words: Words, system: str) -> tuple[AssumptionView, ...]:
    return tuple(
        AssumptionView(
            f"assumed-{slug(one.path)}",
            field_label(one.path, words),
            one.path,
            said_shown(one.value, words, system),
            one.why,
            one.safe_side,
        )
        for one in assessment.assumptions
    )


def _citations(assessment: Assessment, viewer: Viewer) -> tuple[CitationView, ...]:
    return tuple(
        CitationView(
            viewer.cite_anchor(key),
            cited.clause or cited.key,
            cited.title,
            cited.edition,
            cited.standing,
            key in viewer.tables,
        )
        for key, cited in assessment.citations.items()
    )
