"""The assessment as text for a terminal 80 columns wide."""

import textwrap

from calc.model.assessment import WORST_FIRST, Assessment, Finding, Verdict
from calc.render.catalogue import Words, load_words
from calc.render.changes import change_says
from calc.render.formulas import plain_line
from calc.render.numbers import NO_BREAK, ascii_text
from calc.render.view import Viewer, closest

WIDTH = 80
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
        [title, "=" * min(len(title), WIDTH)] if title else [],
        _verdict(assessment, viewer, words),
        _fixes(assessment, words),
        _findings(assessment, viewer, words),
        _section(words("text.working"), _working(assessment, words, system)),
        _section(words("text.assumed"), _assumed(assessment)),
        _section(words("text.not_checked"), _not_checked(assessment)),
        _wrap(
            words("text.edition", rules=assessment.rules, core=assessment.core, tables=assessment.rules_hash)
        ),
        _wrap(words("text.caution")),
    ]
    text = "\n\n".join("\n".join(block) for block in blocks if block).replace(NO_BREAK, " ")
    lines = (ascii_text(text) if ascii_only else text).split("\n")
    return "\n".join(piece for line in lines for piece in _fitted(line)) + "\n"


def _fitted(line: str) -> list[str]:
    """A line that is too wide (a title, or one that grew when it was spelled in ASCII), broken under its own beginning."""
    if len(line) <= WIDTH:
        return [line]
    return _wrap(line, rest=" " * (len(line) - len(line.lstrip(" -"))))


def _verdict(assessment: Assessment, viewer: Viewer, words: Words) -> list[str]:
    verdict = words(f"verdict.{assessment.verdict}").upper()
    sentence = words(f"page.verdict.{assessment.verdict.replace(' ', '-')}")
    return _wrap(f"{verdict}. {sentence} {viewer.says(closest(assessment))}")


def _wrap(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=rest, break_long_words=True
    ) or [first]


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, "-" * len(title), *lines] if lines else []


def _fixes(assessment: Assessment, words: Words) -> list[str]:
    seen: dict[str, Verdict] = {}
    for finding in assessment.findings:
        for fix in finding.fixes:
            seen.setdefault(change_says(fix.change, words), fix.verdict)
    failing = any(finding.verdict is Verdict.FAILS for finding in assessment.findings)
    lines = [
        line
        for says, verdict in seen.items()
        for line in _wrap(words("text.fix", says=says, verdict=words(f"verdict.{verdict}")), "- ", "  ")
    ]
    if failing and not lines:
        lines = _wrap(words("text.no_fix"))
    return _section(words("text.fixes"), lines)


def _findings(assessment: Assessment, viewer: Viewer, words: Words) -> list[str]:
    lines: list[str] = []
    for verdict in WORST_FIRST:
        for finding in assessment.findings:
            if finding.verdict is verdict:
                lines += _finding(finding, viewer, words)
    return _section(words("text.findings"), lines)


def _finding(finding: Finding, viewer: Viewer, words: Words) -> list[str]:
    head = f"{words(f'verdict.{finding.verdict}'):<{LEFT}}"
    name = f"{words(f'finding.{finding.id}.name')} ({finding.part}) [{finding.id}]"
    return [*_wrap(name, head, " " * LEFT), *_wrap(viewer.says(finding), " " * LEFT, " " * LEFT)]


def _working(assessment: Assessment, words: Words, system: str) -> list[str]:
    lines: list[str] = []
    for step in assessment.steps.values():
        lines += _wrap(f"{words(f'symbol.{step.symbol}')} [{step.id}]")
        lines += _wrap(plain_line(step, words, system), INDENT, INDENT + "  ")
    return lines


def _assumed(assessment: Assessment) -> list[str]:
    return [
        line
        for one in assessment.assumptions
        for line in _wrap(f"{one.path} = {one.value}. {one.why}", "- ", "  ")
    ]


def _not_checked(assessment: Assessment) -> list[str]:
    return [line for one in assessment.not_checked for line in _wrap(f"{one.clause}: {one.why}", "- ", "  ")]
