"""Fixes: changes after which the whole check was run again and nothing fails."""

from collections.abc import Generator
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from time import perf_counter
from typing import TypeVar

from calc.assess import assess
from calc.model.assessment import Assessment, Finding, Fix, Verdict
from calc.model.design import Design, Given
from calc.plan.again import Again, again_on
from calc.plan.candidates import CANDIDATES, Change, possible
from calc.tables import RuleBook

MOST_TRIALS = 120
"""Of a design whose strings are all alike; where each kind is worked out by itself, as much fewer as each takes longer."""
FEWEST_TRIALS = 16
MOST_ROUNDS = 6
MOST_STARTS = 6
MOST_FIXES = 3
ENOUGH = 2
ANSWERED = (Verdict.HOLDS, Verdict.TIGHT)
LAYOUT = ("array.modules_in_series", "array.strings_in_parallel")

Key = tuple[str, str]
Found = TypeVar("Found")
Bits = Generator[None, None, Found]
"""Work that rests before each trial, so that it can be left for something newer, and gone on with."""


def check(design: Design, book: RuleBook) -> Assessment:
    """Assess ``design`` and give each failing finding the fixes that were tried and make everything hold.

    Returns:
        The assessment; its failing findings carry at most three fixes each, single changes before combined ones.
    """
    return Mending(assess(design, book), book).whole()


class Mending:
    """The search for the fixes of one design, which can be gone on with bit by bit."""

    def __init__(self, assessment: Assessment, book: RuleBook) -> None:
        """Begin with a design as it was assessed."""
        self._bits = _checked(assessment, book)
        self._checked: Assessment | None = None

    def further(self, seconds: float = float("inf")) -> bool:
        """Go on for about so long, at least to the next trial; tells whether the search has come to its end."""
        end = perf_counter() + seconds
        while self._checked is None:
            try:
                next(self._bits)
            except StopIteration as done:
                self._checked = done.value
            if perf_counter() > end:
                break
        return self._checked is not None

    def whole(self) -> Assessment:
        """The assessment with its fixes, once all of the search is done."""
        while self._checked is None:
            self.further()
        return self._checked


def _checked(assessment: Assessment, book: RuleBook) -> Bits[Assessment]:
    failing = _failing(assessment)
    if not failing:
        return assessment
    search = Search(again_on(assessment.design, book), {frozenset(): assessment})
    single: dict[Key, list[Fix]] = {}
    for finding in failing:
        single[_key(finding)] = yield from search.single(assessment, finding)
    enough = min(len(fixes) for fixes in single.values()) >= ENOUGH
    combined = [] if enough else (yield from search.combined(assessment))
    findings = tuple(
        replace(finding, fixes=_unlike([*single[_key(finding)], *combined]))
        if _key(finding) in single
        else finding
        for finding in assessment.findings
    )
    return replace(assessment, findings=findings)


def _unlike(fixes: list[Fix]) -> tuple[Fix, ...]:
    """The first few fixes, each set of changes once."""
    once = {tuple(sorted(fix.change.items(), key=str)): fix for fix in reversed(fixes)}
    return tuple(fix for fix in fixes if once[tuple(sorted(fix.change.items(), key=str))] is fix)[:MOST_FIXES]


def _failing(assessment: Assessment) -> list[Finding]:
    return [finding for finding in assessment.findings if finding.verdict is Verdict.FAILS]


def _key(finding: Finding) -> Key:
    return finding.id, finding.part


def _changes(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> list[list[Change]]:
    """Candidate changes for one finding, one list a kind of change, mildest first in each."""
    makers = CANDIDATES.get(finding.id, ())
    return [
        [change for change in make(design, assessment, finding, book) if possible(change)] for make in makers
    ]


@dataclass(slots=True)
class Search:
    """One search for fixes of a design; remembers what was tried and stops after a fixed number of trials."""

    again: Again
    tried: dict[frozenset[tuple[str, str]], Assessment] = field(default_factory=dict)

    @property
    def most(self) -> int:
        """After how many trials the search ends."""
        return max(FEWEST_TRIALS, MOST_TRIALS // max(self.again.design.strings, 1))

    def trial(self, change: Change, *, last: bool = False) -> Bits[Assessment | None]:
        """The whole assessment with ``change``; None when the trials are used up, unless it is a ``last`` one."""
        key = frozenset((path, given.said) for path, given in change.items())
        if key not in self.tried:
            if len(self.tried) >= self.most and not last:
                return None
            yield
            self.tried[key] = self.again.after(change)
        return self.tried[key]

    def single(self, assessment: Assessment, finding: Finding) -> Bits[list[Fix]]:
        """The mildest single change of each kind after which nothing fails."""
        fixes: list[Fix] = []
        for kind in _changes(self.again.design, assessment, finding, self.again.book):
            for change in kind:
                after = yield from self.trial(change)
                if after is not None and not _failing(after):
                    fixes.append(_fix(change, after))
                    break
        return fixes

    def combined(self, assessment: Assessment) -> Bits[list[Fix]]:
        """Sets of changes found by mending one failing finding after another, from several beginnings."""
        found: dict[frozenset[str], Fix] = {}
        first = _failing(assessment)[0]
        kinds = _changes(self.again.design, assessment, first, self.again.book)
        starts = [
            change for turn in zip_longest(*kinds) for change in turn if change
        ]  # the mildest of each kind first
        for start in ({}, *starts[:MOST_STARTS]):
            change = yield from self._mend(dict(start))
            if change:
                change = yield from self._least(change)
                after = yield from self.trial(change, last=True)
                if after is not None:
                    found.setdefault(frozenset(change), _fix(change, after))
        return sorted(found.values(), key=lambda fix: len(fix.change))

    def _mend(self, change: Change) -> Bits[Change | None]:
        """Add changes to ``change`` until nothing fails; None when no candidate helps or the trials are used up."""
        for _ in range(MOST_ROUNDS):
            now = yield from self.trial(change)
            if now is None:
                return None
            failing = _failing(now)
            if not failing:
                return change
            better = yield from self._best(change, now, failing)
            if better is None:
                return None
            change = better
        return None

    def _least(self, change: Change) -> Bits[Change]:
        """The change without any part that is not needed for nothing to fail, or for all to be answered as before."""
        now = yield from self.trial(change, last=True)
        for part in _parts(change):
            fewer = {path: given for path, given in change.items() if path not in part}
            after = (yield from self.trial(fewer, last=True)) if fewer else None
            if now and after and not _failing(after) and after.verdict in (now.verdict, *ANSWERED):
                change = fewer
        return change

    def _best(self, change: Change, now: Assessment, failing: list[Finding]) -> Bits[Change | None]:
        """The first candidate that mends the first finding which can be mended without breaking another."""
        broken = {_key(finding) for finding in failing}
        design = self.again.design.changed(change)
        for finding in failing:
            for kind in _changes(design, now, finding, self.again.book):
                for more in kind:
                    after = yield from self.trial({**change, **more})
                    if after is None:
                        return None
                    left = {_key(other) for other in _failing(after)}
                    if _key(finding) not in left and left < broken:
                        return {**change, **more}
        return None


def _parts(change: Change) -> list[tuple[str, ...]]:
    """The paths of a change one by one; the two counts of a layout stay together: they share the modules."""
    layout = tuple(path for path in LAYOUT if path in change)
    return [layout, *((path,) for path in change if path not in layout)]


def _fix(change: Change, after: Assessment) -> Fix:
    return Fix({path: _plain(given) for path, given in change.items()}, after.verdict)


def _plain(given: Given) -> str | int | bool:
    """A value as a design file has it: a count or a yes as such, everything else as text."""
    return given.value if isinstance(given.value, int) else given.said
