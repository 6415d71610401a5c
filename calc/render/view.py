"""Findings and steps as a reader sees them: plain records of words, printed numbers and links, grouped into chapters."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.model.assessment import WORST_FIRST, Assessment, Finding, Verdict
from calc.render.anchors import href, slug
from calc.render.catalogue import Words
from calc.render.fields import part_of
from calc.render.formulas import StepView, step_lines
from calc.render.groups import FINDING_GROUPS, OTHER, RUN, STEP_GROUPS, finding_group, step_group
from calc.render.numbers import Pair
from calc.render.sentences import finding_pair, finding_says

HARM_ORDER = ("damage", "code", "energy")
MARKS = {
    Verdict.HOLDS: "holds",
    Verdict.TIGHT: "tight",
    Verdict.FAILS: "fails",
    Verdict.DOES_NOT_APPLY: "idle",
    Verdict.NEEDS_INPUT: "asks",
}
# A margin bar is a hundred long; the limit stands at four fifths of it, unless the value lies far beyond the limit.
BAR, LIMIT_AT = 100.0, 80.0


@dataclass(frozen=True, slots=True)
class Link:
    """A text and where it leads."""

    text: str
    href: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A margin bar: where the value ends and where the limit stands, as written into the drawing."""

    value: str
    limit: str
    over: bool


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding; ``pair`` and ``bar`` are None where there are not two numbers to compare."""

    anchor: str
    verdict: str
    mark: str
    name: str
    question: str
    part: str
    says: str
    pair: Pair | None
    sense: str
    bar: Bar | None
    harm: str
    steps: tuple[Link, ...]
    cites: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class FindingGroup:
    """The findings of one chapter."""

    title: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step with the part it belongs to, where parts repeat (``string 2``), and the clauses it rests on."""

    part: str
    step: StepView
    cites: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class StepGroup:
    """The steps of one chapter."""

    anchor: str
    title: str
    lines: tuple[StepLine, ...]


def order(finding: Finding) -> tuple[int, int, float]:
    """Worst first: by verdict, then by what a failure costs, then by the share of the limit that is left."""
    return WORST_FIRST.index(finding.verdict), HARM_ORDER.index(finding.harm), share_left(finding)


def share_left(finding: Finding) -> float:
    """The room left as a share of the limit; all of it where there is nothing to compare."""
    if finding.margin is None or finding.limit is None or isinstance(finding.limit.value, str):
        return 1.0
    return finding.margin / (abs(finding.limit.number) or 1.0)


def closest(assessment: Assessment) -> Finding:
    """The finding to name first: the worst one; where nothing is wrong, the one with the least share of room.

    A count, or a device of just the size wanted, has no room by nature, so it is named only when there is nothing else.
    """
    found = [finding for finding in assessment.findings if finding.verdict == assessment.verdict]
    if assessment.verdict in (Verdict.HOLDS, Verdict.TIGHT):
        return min(found, key=lambda finding: (not finding.tight_below, share_left(finding)))
    return min(found, key=order)


def bar(finding: Finding) -> Bar | None:
    """The margin bar of a finding, or None where a length would say nothing (counts, temperatures, a limit of zero)."""
    if finding.actual is None or finding.limit is None or finding.unit in ("", "degC"):
        return None
    actual, limit = finding.actual.number, finding.limit.number
    if limit <= 0 or actual < 0:
        return None
    scale = min(LIMIT_AT / limit, BAR / actual) if actual else LIMIT_AT / limit
    return Bar(f"{actual * scale:.1f}", f"{limit * scale:.1f}", over=(finding.margin or 0.0) < 0)


class Viewer:
    """Makes the records of one assessment in one language and unit system."""

    def __init__(self, assessment: Assessment, words: Words, system: str) -> None:
        """Note what every record is made from."""
        self.assessment = assessment
        self.words = words
        self.system = system
        self.tables = _tables(assessment)

    def findings(self) -> tuple[FindingView, ...]:
        """Every finding, in the order of the rules; a second one about the same part gets a number in its id."""
        seen: dict[str, int] = {}
        views = []
        for finding in self.assessment.findings:
            name = slug(f"{finding.id} {finding.part}")
            seen[name] = seen.get(name, 0) + 1
            views.append(self._finding(finding, f"finding-{name}" + (f"-{seen[name]}" if seen[name] > 1 else "")))
        return tuple(views)

    def _finding(self, finding: Finding, anchor: str) -> FindingView:
        words, pair = self.words, finding_pair(finding, self.system)
        return FindingView(
            anchor=anchor,
            verdict=words(f"verdict.{finding.verdict}"),
            mark=MARKS[finding.verdict],
            name=words(f"finding.{finding.id}.name"),
            question=words(f"finding.{finding.id}.question"),
            part=finding.part,
            says=self.says(finding),
            pair=pair if finding.unit else None,
            sense=finding.sense,
            bar=bar(finding) if pair else None,
            harm=words(f"harm.{finding.harm}") if finding.verdict == Verdict.FAILS else "",
            steps=tuple(self._step_link(step) for step in finding.steps),
            cites=self._cites(finding.cites),
        )

    def says(self, finding: Finding) -> str:
        """A finding in a sentence or two."""
        return finding_says(finding, self.words, self.system)

    def _step_link(self, step: str) -> Link:
        symbol = self.assessment.steps[step].symbol
        return Link(self.words(f"symbol.{symbol}"), f"#step-{slug(step)}")

    def _cites(self, keys: Iterable[str]) -> tuple[Link, ...]:
        return tuple(Link(key, f"#{self.cite_anchor(key)}") for key in keys)

    def cite_anchor(self, key: str) -> str:
        """The id of a citation; a table's is the one that every number from it links to."""
        return href(f"table {key}")[1:] if key in self.tables else f"clause-{slug(key)}"

    def grouped(self, views: Iterable[FindingView]) -> tuple[FindingGroup, ...]:
        """Findings by chapter; empty chapters are left out."""
        chapters: dict[str, list[FindingView]] = {key: [] for key in (*FINDING_GROUPS, OTHER)}
        for finding, view in zip(self.assessment.findings, views, strict=True):
            chapters[finding_group(finding.id)].append(view)
        return tuple(
            FindingGroup(self.words(f"page.group.{key}"), tuple(found)) for key, found in chapters.items() if found
        )

    def steps(self) -> tuple[StepGroup, ...]:
        """Every step by chapter, each run a chapter of its own."""
        chapters: dict[str, list[StepLine]] = {}
        for step in self.assessment.steps.values():
            key = step_group(step.id, step.symbol)
            part = "" if key.startswith(RUN) else part_of(step.id, self.words)
            line = StepLine(part, step_lines(step, self.words, self.system), self._cites(step.cites))
            chapters.setdefault(key, []).append(line)
        ranks = {key: float(rank) for rank, key in enumerate((*STEP_GROUPS, OTHER))}
        ordered = sorted(chapters, key=lambda key: ranks.get(key, ranks["runs"] - 0.5))
        return tuple(StepGroup(f"chapter-{slug(key)}", self._title(key), tuple(chapters[key])) for key in ordered)

    def _title(self, key: str) -> str:
        if key.startswith(RUN):
            return self.words("page.chapter.run", name=key.removeprefix(RUN))
        return self.words(f"page.chapter.{key}")


def _tables(assessment: Assessment) -> frozenset[str]:
    """The tables and single values from which any step took a number."""
    origins = (value.origin for step in assessment.steps.values() for value in step.values.values())
    return frozenset(origin.removeprefix("table ").partition(":")[0] for origin in origins if origin.startswith("table "))
