"""A whole report as the templates need it: verdict, fixes, findings, working, inputs, assumptions, sources and drawings."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from calc.model.assessment import WORST_FIRST, Assessment, Verdict
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.changes import change_says
from calc.render.drawings.ladder import ladder
from calc.render.drawings.svg import Figure
from calc.render.fields import ABOUT, field_label, said_shown, section_of, section_title
from calc.render.numbers import in_words
from calc.render.sentences import finding_says
from calc.render.view import MARKS, FindingGroup, FindingView, StepGroup, Viewer, closest

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
    """One change, in words, and the whole design's verdict after it."""

    says: str
    verdict: str
    mark: str


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


@dataclass(frozen=True, slots=True)
class Report:
    """Everything the templates print."""

    mark: str
    verdict: str
    lead: str
    says: str
    tally: tuple[tuple[str, str], ...]
    glance: tuple[tuple[str, str], ...]
    first: tuple[FindingView, ...]
    mends: tuple[Mend, ...]
    groups: tuple[FindingGroup, ...]
    chapters: tuple[StepGroup, ...]
    sections: tuple[Section, ...]
    assumptions: tuple[AssumptionView, ...]
    citations: tuple[CitationView, ...]
    drawings: Mapping[str, Figure]


def make_report(assessment: Assessment, words: Words, system: str) -> Report:
    """Gather what the templates print for ``assessment``."""
    viewer = Viewer(assessment, words, system)
    findings = viewer.findings()
    return Report(
        mark=MARKS[assessment.verdict],
        verdict=_capital(words(f"verdict.{assessment.verdict}")),
        lead=words(f"page.verdict.{assessment.verdict.replace(' ', '-')}"),
        says=_says(assessment, words, system),
        tally=_tally(assessment, words),
        glance=_glance(assessment, words, system),
        first=_first(assessment, findings),
        mends=_mends(assessment, findings, words),
        groups=viewer.grouped(findings),
        chapters=viewer.steps(),
        sections=_sections(assessment, words),
        assumptions=_assumptions(assessment, words, system),
        citations=_citations(assessment, viewer),
        drawings={"ladder": ladder(assessment, words, system)},
    )


def _says(assessment: Assessment, words: Words, system: str) -> str:
    """The sentence of the finding to name first, with its part and name."""
    if assessment.verdict is Verdict.DOES_NOT_APPLY:
        return ""
    return finding_says(closest(assessment), words, system)


def _tally(assessment: Assessment, words: Words) -> tuple[tuple[str, str], ...]:
    """How many findings came out in each way: ``14 hold``."""
    counted = Counter(finding.verdict for finding in assessment.findings)
    return tuple(
        (MARKS[one], words(f"page.tally.{MARKS[one]}.{'one' if counted[one] == 1 else 'more'}", number=counted[one]))
        for one in WORST_FIRST
        if counted[one]
    )


def _glance(assessment: Assessment, words: Words, system: str) -> tuple[tuple[str, str], ...]:
    shown = []
    for keys in GLANCE:
        key = next((key for key in keys if key in assessment.steps), None)
        if key is not None:
            step = assessment.steps[key]
            shown.append((words(f"page.glance.{key}"), in_words(words, step.result, step.unit, system=system)))
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
                FixView(change_says(fix.change, words), words(f"verdict.{fix.verdict}"), MARKS[fix.verdict])
                for fix in finding.fixes
            )
            together.setdefault(fixes, []).append(view)
    return tuple(Mend(tuple(found), fixes) for fixes, found in together.items())


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sections(assessment: Assessment, words: Words) -> tuple[Section, ...]:
    design = assessment.design
    notes: dict[str, list[str]] = {}
    for path, code in design.notes:
        notes.setdefault(path, []).append(words(f"note.{code}"))
    sections: dict[str, list[Input]] = {}
    for path, given in design.values.items():
        if section_of(path) == ABOUT:
            continue  # title and story stand above the report
        shown = Input(
            f"given-{slug(path)}", field_label(path, words), path, given.said, tuple(notes.get(path, ()))
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
            viewer.cite_anchor(key), cited.clause or cited.key, cited.title, cited.edition, cited.standing, key in viewer.tables
        )
        for key, cited in assessment.citations.items()
    )
