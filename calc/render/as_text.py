"""The assessment as text for a terminal 80 columns wide."""

from calc.model.assessment import WORST_FIRST, Assessment, Finding, Verdict
from calc.render.catalogue import Words, load_words
from calc.render.changes import change_says
from calc.render.columns import finished, foot, heading, section, wrap
from calc.render.formulas import plain_line
from calc.render.view import Viewer, closest, lead

INDENT = "    "
LEFT = 15
"""Column at which text beside a verdict begins."""


def as_text(
    assessment: Assessment,
    name: str = "",
    *,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """The verdict, what to fix, findings, working, assumptions and what was not checked, at 80 columns.

    Args:
        assessment: what to print.
        name: what to call the design when its file has no title.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    viewer = Viewer(assessment, words, system)
    title = assessment.design.text("title") or name
    blocks = [
        heading(title),
        _verdict(assessment, viewer, words),
        _fixes(assessment, words),
        _findings(assessment, viewer, words),
        section(words("text.working"), _working(assessment, words, system)),
        section(words("text.assumed"), _assumed(assessment)),
        section(words("text.not_checked"), _not_checked(assessment)),
        *foot(words, assessment.rules, assessment.core, assessment.rules_hash),
    ]
    return finished(blocks, ascii_only=ascii_only)


def _verdict(assessment: Assessment, viewer: Viewer, words: Words) -> list[str]:
    verdict = words(f"verdict.{assessment.verdict}").upper()
    return wrap(f"{verdict}. {lead(assessment, words)} {viewer.says(closest(assessment))}")


def _fixes(assessment: Assessment, words: Words) -> list[str]:
    seen: dict[str, Verdict] = {}
    for finding in assessment.findings:
        for fix in finding.fixes:
            seen.setdefault(change_says(fix.change, words), fix.verdict)
    failing = any(finding.verdict is Verdict.FAILS for finding in assessment.findings)
    lines = [
        line
        for says, verdict in seen.items()
        for line in wrap(words("text.fix", says=says, verdict=words(f"verdict.{verdict}")), "- ", "  ")
    ]
    if failing and not lines:
        lines = wrap(words("text.no_fix"))
    return section(words("text.fixes"), lines)


def _findings(assessment: Assessment, viewer: Viewer, words: Words) -> list[str]:
    lines: list[str] = []
    for verdict in WORST_FIRST:
        for finding in assessment.findings:
            if finding.verdict is verdict:
                lines += _finding(finding, viewer, words)
    return section(words("text.findings"), lines)


def _finding(finding: Finding, viewer: Viewer, words: Words) -> list[str]:
    head = f"{words(f'verdict.{finding.verdict}'):<{LEFT}}"
    name = f"{words(f'finding.{finding.id}.name')} ({finding.part}) [{finding.id}]"
    return [*wrap(name, head, " " * LEFT), *wrap(viewer.says(finding), " " * LEFT, " " * LEFT)]


def _working(assessment: Assessment, words: Words, system: str) -> list[str]:
    lines: list[str] = []
    for step in assessment.steps.values():
        lines += wrap(f"{words(f'symbol.{step.symbol}')} [{step.id}]")
        lines += wrap(plain_line(step, words, system), INDENT, INDENT + "  ")
    return lines


def _assumed(assessment: Assessment) -> list[str]:
    return [
        line
        for one in assessment.assumptions
        for line in wrap(f"{one.path} = {one.value}. {one.why}", "- ", "  ")
    ]


def _not_checked(assessment: Assessment) -> list[str]:
    return [line for one in assessment.not_checked for line in wrap(f"{one.clause}: {one.why}", "- ", "  ")]
