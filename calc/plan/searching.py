"""How the planner searches: which findings fail, and the last value of a row that still passes."""

from collections.abc import Callable

from calc.model.assessment import Assessment, Finding, Verdict
from calc.model.design import Given
from calc.model.layouts import Key

HARM_ORDER = ("damage", "code", "energy")

Shape = tuple[int, int]
"""Modules in series and strings in parallel; (0, 0) is a design whose strings are unlike, as it is."""


def key_of(finding: Finding) -> Key:
    """A finding by its id and its part."""
    return finding.id, finding.part


def failing(assessment: Assessment) -> tuple[Key, ...]:
    """The findings that fail, the most harmful first, in the order of the rules among equals."""
    found = [one for one in assessment.findings if one.verdict is Verdict.FAILS]
    return tuple(key_of(one) for one in sorted(found, key=lambda one: HARM_ORDER.index(one.harm)))


def last_passing(passes: Callable[[int], bool], first: int, last: int) -> int:
    """The last number from ``first`` to ``last`` that passes, where all up to some number pass and none beyond.

    ``first`` must pass. Halves the rest again and again, so that 10,000 numbers take 14 trials.
    """
    low, high = first, last + 1
    while high - low > 1:
        middle = (low + high) // 2
        if passes(middle):
            low = middle
        else:
            high = middle
    return low


def joined(shape: Shape) -> dict[str, Given]:
    """The change that joins the modules in this shape; none for (0, 0), the design as it is."""
    counts = zip(("array.modules_in_series", "array.strings_in_parallel"), shape, strict=True)
    return {path: Given(count, "", str(count)) for path, count in counts} if all(shape) else {}
