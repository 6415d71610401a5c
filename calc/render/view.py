"""Findings and steps as a reader sees them: plain records of words, printed numbers and links, grouped into chapters."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from calc.model.assessment import WORST_FIRST, Assessment, Finding, Step, Verdict
from calc.model.record import record
from calc.render.anchors import href, slug
from calc.render.before import Before, Place, Was, places
from calc.render.catalogue import Words
from calc.render.drawings.bars import margin_bar
from calc.render.fields import part_of
from calc.render.formulas import StepView, step_lines
from calc.render.groups import FINDING_GROUPS, OTHER, RUN, STEP_GROUPS, finding_group, step_group
from calc.render.kept import Kept
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


@record(frozen=True, slots=True)
class Link:
    """A text and where it leads."""

    text: str
    href: str


@dataclass(frozen=True, slots=True)
class Saying:
    """A finding in a sentence or two, and what passing its limit does."""

    anchor: str
    text: str
    harm: str


@dataclass(frozen=True, slots=True)
class Figures:
    """The two quantities that a finding compares, how far they are apart, and what they were at the start."""

    anchor: str
    pair: Pair
    sense: str
    mark: str
    bar: Markup
    was: Was


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding; ``figures`` is None where there are not two quantities to compare."""

    anchor: str
    verdict: str
    mark: str
    name: str
    question: str
    part: str
    saying: Saying
    figures: Figures | None
    steps: tuple[Link, ...]
    cites: tuple[Link, ...]
    was: str = ""

    @property
    def frame(self) -> tuple[object, ...]:
        """All that stands in it but what may change alone, which is most of what a slider changes."""
        kind = (self.verdict, self.mark, self.was, self.figures is None)
        return (*kind, self.question, self.part, self.steps, self.cites)

    @property
    def inside(self) -> tuple[tuple[str, Saying | Figures], ...]:
        """What may change alone, each with its template."""
        says = ("finding_says.html", self.saying)
        return (says,) if self.figures is None else (says, ("finding_figures.html", self.figures))


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
    was: str = ""

    @property
    def anchor(self) -> str:
        """The id of its place."""
        return self.step.anchor


@dataclass(frozen=True, slots=True)
class StepGroup:
    """The steps of one chapter."""

    anchor: str
    title: str
    lines: tuple[StepLine, ...]

    @property
    def count(self) -> "Count":
        """How many steps it has, and how many results are other ones than at the start."""
        changed = sum(bool(line.was) for line in self.lines)
        return Count(f"count-{self.anchor}", len(self.lines), changed)


@dataclass(frozen=True, slots=True)
class Count:
    """How many steps a chapter has, and how many of them changed."""

    anchor: str
    steps: int
    changed: int


_FINDINGS: Kept[FindingView] = Kept()
_LINES: Kept[StepLine] = Kept()


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


def lead(assessment: Assessment, words: Words) -> str:
    """What stands before the finding to name first; of parts with less room it says why they are passed over."""
    opening = words(f"page.verdict.{assessment.verdict.replace(' ', '-')}")
    if assessment.verdict not in (Verdict.HOLDS, Verdict.TIGHT):
        return opening
    named = share_left(closest(assessment))
    others = any(
        finding.unit and not finding.tight_below and share_left(finding) < named
        for finding in assessment.findings
    )
    return f"{opening} {words('page.verdict.others' if others else 'page.verdict.closest')}"


class Viewer:
    """Makes the records of one assessment in one language and unit system."""

    def __init__(
        self, assessment: Assessment, words: Words, system: str, start: Assessment | None = None
    ) -> None:
        """Note what every record is made from; ``start`` is the design that the report began as, if it has changed."""
        self.assessment = assessment
        self.words = words
        self.system = system
        self.before = Before(start, words, system)
        self.tables = _tables(assessment)

    def findings(self) -> tuple[FindingView, ...]:
        """Every finding, in the order of the rules; a second one about the same part gets a number in its id."""
        kind = (self.words.language, self.system, self.before.start is None)
        return tuple(
            _FINDINGS.get(
                (*kind, *place),
                (finding, self.before.source(place), self.tables.intersection(finding.cites)),
                partial(self._finding, place, finding),
            )
            for place, finding in zip(places(self.assessment.findings), self.assessment.findings, strict=True)
        )

    def _finding(self, place: Place, finding: Finding) -> FindingView:
        words, pair, mark = self.words, finding_pair(finding, self.system), MARKS[finding.verdict]
        number = f"-{place[2]}" if place[2] > 1 else ""
        anchor = f"finding-{slug(f'{finding.id} {finding.part}')}{number}"
        was = self.before.finding(place, finding, pair)
        harm = words(f"harm.{finding.harm}") if finding.verdict == Verdict.FAILS else ""
        figures = None
        if pair is not None and finding.unit:
            bar = Markup(margin_bar(finding, words, self.system))  # our own drawing
            figures = Figures(f"{anchor}-figures", pair, finding.sense, mark, bar, was)
        return FindingView(
            anchor=anchor,
            verdict=words(f"verdict.{finding.verdict}"),
            mark=mark,
            name=words(f"finding.{finding.id}.name"),
            question=words(f"finding.{finding.id}.question"),
            part=finding.part,
            saying=Saying(f"{anchor}-says", self.says(finding), harm),
            figures=figures,
            steps=tuple(self._step_link(step) for step in finding.steps),
            cites=self._cites(finding.cites),
            was=was.verdict,
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
            FindingGroup(self.words(f"page.group.{key}"), tuple(found))
            for key, found in chapters.items()
            if found
        )

    def steps(self) -> tuple[StepGroup, ...]:
        """Every step by chapter, each run a chapter of its own."""
        chapters: dict[str, list[StepLine]] = {}
        for step in self.assessment.steps.values():
            chapters.setdefault(step_group(step.id, step.symbol), []).append(self._line(step))
        ranks = {key: float(rank) for rank, key in enumerate((*STEP_GROUPS, OTHER))}
        ordered = sorted(chapters, key=lambda key: ranks.get(key, ranks["runs"] - 0.5))
        return tuple(
            StepGroup(f"chapter-{slug(key)}", self._title(key), tuple(chapters[key])) for key in ordered
        )

    def _line(self, step: Step) -> StepLine:
        was = self.before.step(step)
        return _LINES.get(
            (self.words.language, self.system, step.id),
            (step, was, self.tables.intersection(step.cites)),
            lambda: StepLine(
                "" if step.id.startswith(RUN) else part_of(step.id, self.words),
                step_lines(step, self.words, self.system),
                self._cites(step.cites),
                was,
            ),
        )

    def _title(self, key: str) -> str:
        if key.startswith(RUN):
            return self.words("page.chapter.run", name=key.removeprefix(RUN))
        return self.words(f"page.chapter.{key}")


def _tables(assessment: Assessment) -> frozenset[str]:
    """The tables and single values from which any step took a number."""
    origins = (value.origin for step in assessment.steps.values() for value in step.values.values())
    return frozenset(
        origin.removeprefix("table ").partition(":")[0] for origin in origins if origin.startswith("table ")
    )
