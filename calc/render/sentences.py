"""Findings in sentences of the word catalogue, for every renderer alike."""

from calc.model.assessment import Finding, Remark, Verdict
from calc.render.catalogue import Words
from calc.render.fields import field_label
from calc.render.numbers import Pair, in_words, show_pair


def finding_pair(finding: Finding, system: str = "us") -> Pair | None:
    """Actual, limit and margin printed so that the digits agree with the verdict; None without two numbers."""
    actual, limit = finding.actual, finding.limit
    if actual is None or limit is None or isinstance(actual.value, str) or isinstance(limit.value, str):
        return None
    return show_pair(
        actual.number,
        limit.number,
        finding.sense,
        finding.unit,
        system=system,
        tight_below=finding.tight_below,
    )


def finding_says(finding: Finding, words: Words, system: str = "us") -> str:
    """A finding in a sentence or two: its verdict's own sentence, why it does not apply, or what it needs.

    Where nothing that could be given would answer it, its remarks say so instead of asking.
    """
    reason = words(f"reason.{finding.reason}") if finding.reason else ""
    sentence = ""
    if finding.verdict == Verdict.NEEDS_INPUT and not finding.remarks:
        needs = ", ".join(field_label(path, words) for path in finding.needs)
        sentence = words("page.findings.needs", needs=needs)
    elif finding.verdict not in (Verdict.NEEDS_INPUT, Verdict.DOES_NOT_APPLY):
        said = words(_key(finding, words), **_values(finding, words, system))
        sentence = said[0].upper() + said[1:]
    remarks = (remark_says(remark, words, system) for remark in finding.remarks)
    return " ".join(filter(None, (sentence, reason, *remarks)))


def _key(finding: Finding, words: Words) -> str:
    """The sentence of its verdict; a value that just meets its limit has one of its own where room is told."""
    just = f"finding.{finding.id}.just"
    return just if finding.margin == 0 and words.find(just) else f"finding.{finding.id}.{finding.verdict}"


def remark_says(remark: Remark, words: Words, system: str = "us") -> str:
    """A remark in words, with its values printed."""
    values = {
        name: in_words(words, value.value, value.unit, system=system) for name, value in remark.values.items()
    }
    return words(f"remark.{remark.code}", **values)


def _values(finding: Finding, words: Words, system: str) -> dict[str, str]:
    pair = finding_pair(finding, system)
    if pair is not None:
        return {
            "actual": str(pair.actual),
            "limit": str(pair.limit),
            "margin": str(pair.gap),
            "part": finding.part,
        }
    actual, limit = (
        in_words(words, value.value, value.unit, system=system) if value else ""
        for value in (finding.actual, finding.limit)
    )
    return {"actual": actual, "limit": limit, "margin": "", "part": finding.part}
