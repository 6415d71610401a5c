"""What a report says of the design it began as: the verdict, figure or input that was another one then."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from calc.model.assessment import Assessment, Finding, Step, Value, Verdict
from calc.render.catalogue import Words
from calc.render.numbers import Pair, in_words
from calc.render.sentences import finding_pair

Place = tuple[str, str, int]
"""A finding's id, its part, and which one of that name it is."""


@dataclass(frozen=True, slots=True)
class Was:
    """What a finding said at the start, where that was something else: each a ready text, or empty."""

    verdict: str = ""
    actual: str = ""
    limit: str = ""


UNCHANGED = Was()


def places(findings: Iterable[Finding]) -> list[Place]:
    """The place of each finding, in order; a second one about the same part is number two."""
    seen: Counter[tuple[str, str]] = Counter()
    found = []
    for finding in findings:
        seen[finding.id, finding.part] += 1
        found.append((finding.id, finding.part, seen[finding.id, finding.part]))
    return found


class Before:
    """The start of a report, in words; without a start nothing was ever different."""

    def __init__(self, start: Assessment | None, words: Words, system: str) -> None:
        """Note the findings, steps and inputs of ``start``."""
        self.start = start
        self._words = words
        self._system = system
        self._findings = dict(zip(places(start.findings), start.findings, strict=True)) if start else {}

    def verdict(self, now: Verdict) -> str:
        """The whole design's verdict at the start, when it is another one now."""
        return self._verdict(self.start.verdict, now) if self.start else ""

    def source(self, place: Place) -> Finding | None:
        """The finding that stood at ``place``, from which ``finding`` is made."""
        return self._findings.get(place)

    def finding(self, place: Place, now: Finding, pair: Pair | None) -> Was:
        """What differs in the finding at ``place``; ``pair`` is how its figures are printed now."""
        if self.start is None:
            return UNCHANGED
        then = self._findings.get(place)
        if then is None:
            return Was(verdict=self._words("form.was.new"))
        if then == now:
            return UNCHANGED
        was = finding_pair(then, self._system)
        figures = (
            [("", ""), ("", "")]
            if was is None or pair is None
            else [
                (str(was.actual), str(pair.actual)),
                (str(was.limit), str(pair.limit)),
            ]
        )
        values = ((then.actual, now.actual), (then.limit, now.limit))
        actual, limit = (
            self._text(*texts) if _differ(*pairs) else ""
            for texts, pairs in zip(figures, values, strict=True)
        )
        return Was(self._verdict(then.verdict, now.verdict), actual, limit)

    def step(self, now: Step) -> str:
        """A step's result at the start, when it is another one now."""
        if self.start is None:
            return ""
        then = self.start.steps.get(now.id)
        if then is None:
            return self._words("form.was.new")
        if then.result == now.result:
            return ""
        texts = (in_words(self._words, one.result, one.unit, system=self._system) for one in (then, now))
        return self._text(*texts)

    def given(self, path: str, said: str) -> str:
        """What its author wrote at ``path`` at the start, when it is something else now."""
        if self.start is None:
            return ""
        then = self.start.design.values.get(path)
        return self._words("form.was.not-said") if then is None else self._text(then.said, said)

    def _verdict(self, then: Verdict, now: Verdict) -> str:
        return "" if then is now else self._words("form.was.said", text=self._words(f"verdict.{then}"))

    def _text(self, then: str, now: str) -> str:
        return "" if then == now else self._words("form.was.said", text=then)


def _differ(then: Value | None, now: Value | None) -> bool:
    return then is not None and now is not None and then.value != now.value
