"""How one question comes out, where two outcomes stand beside each other: in a comparison, before and after an addition."""

from dataclasses import dataclass

from calc.model.assessment import Finding, Verdict
from calc.render.catalogue import Words
from calc.render.sentences import finding_pair
from calc.render.view import MARKS

YES_OR_NO = "string-fuse-needed"
"""A finding whose two values are a yes and a no: its verdict says it all."""


@dataclass(frozen=True, slots=True)
class Answer:
    """How one question comes out: no mark where it is not asked."""

    mark: str
    verdict: str
    figures: str


def answer_of(finding: Finding | None, words: Words, system: str) -> Answer:
    """A finding's verdict with its value and limit; None is a question that is not asked.

    Args:
        finding: the finding.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    if finding is None:
        return Answer("", words("compare.not-asked"), "")
    pair = finding_pair(finding, system)
    told = finding.id != YES_OR_NO and finding.verdict not in (Verdict.DOES_NOT_APPLY, Verdict.NEEDS_INPUT)
    figures = (
        words(f"compare.{finding.sense.replace(' ', '-')}", actual=pair.actual, limit=pair.limit)
        if pair is not None and told
        else ""
    )
    return Answer(MARKS[finding.verdict], words(f"verdict.{finding.verdict}"), figures)
