"""What another value changes in the comparison of layouts, in sentences: which comes first then, and what is other."""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from calc.model.layouts import COLUMNS, LayoutReport, Tried
from calc.render.catalogue import Words
from calc.render.fields import field_label, said_shown
from calc.render.layouts.figures import column_text, layout_name
from calc.render.layouts.sentences import check_says, state

IN_CHECK = ("harm", "failing", "unanswered", "tight")
"""Columns that the verdict tells of already."""
Shape = tuple[int, int]


@dataclass(frozen=True, slots=True)
class OptionView:
    """The layouts with another value: what is other, what that changes, and the change itself."""

    said: str
    says: tuple[str, ...]
    change: str


def option_view(
    said: str, report: LayoutReport, before: LayoutReport, words: Words, system: str = "us"
) -> OptionView:
    """Gather what is printed of one other value.

    Args:
        said: the other value, as ``path = value``; nothing after the sign leaves the line out.
        report: the layouts with it.
        before: the layouts without it.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    path, _, value = (part.strip() for part in said.partition("="))
    shown = said_shown(value, words, system) if value else words("layouts.option-nothing")
    named = words("layouts.option-named", name=field_label(path, words), value=shown)
    says = option_says(report, before, words, system)
    return OptionView(named, says, json.dumps({path: value}, ensure_ascii=False))


def option_name(said: str, words: Words) -> str:
    """What is changed, as the design file names it: ``run.home run.size = 6 AWG``, or that a line is left out."""
    path, sign, value = (part.strip() for part in said.partition("="))
    return said if value or not sign else f"{path} {words('layouts.option-nothing')}"


def option_says(
    report: LayoutReport, before: LayoutReport, words: Words, system: str = "us"
) -> tuple[str, ...]:
    """Which layout comes first with another value, its check, what is other in it, and which layouts now fail or do not.

    Args:
        report: the layouts with the other value.
        before: the layouts without it.
        words: the word catalogue.
        system: ``us`` or ``metric``.
    """
    first, then = report.layouts[0], before.layouts[0]
    names = {"first": layout_name(first, words), "before": layout_name(then, words)}
    key = "same" if _shape(first) == _shape(then) else "changed"
    more = [
        _differs(first, then, words, system),
        _turned("mended", report, before, words),
        _turned("broken", report, before, words),
    ]
    told = tuple(filter(None, more)) or (words("layouts.other.nothing"),)
    return (words(f"layouts.other.{key}", **names), f"{_check(first, words)}.", *told)


def _check(layout: Tried, words: Words) -> str:
    """Its check, as a sentence begins."""
    said = check_says(layout, words)
    return said[:1].upper() + said[1:]


def _differs(first: Tried, then: Tried, words: Words, system: str) -> str:
    """The columns in which the first layout now is another one than the first before, with both values."""
    both = {
        one.code: [column_text(layout, one.code, words, system) for layout in (first, then)]
        for one in COLUMNS
        if one.code not in IN_CHECK
    }
    told = [
        words("layouts.says.against", name=words(f"layouts.column.{code}"), there=now, here=was)
        for code, (now, was) in both.items()
        if now != was
    ]
    return words("layouts.other.differs", list=", ".join(told)) if told else ""


def _turned(key: str, report: LayoutReport, before: LayoutReport, words: Words) -> str:
    """The layouts that failed and do so no longer, or the other way round."""
    was, now = (_fails(one) for one in (before, report))
    turns: Mapping[str, Callable[[Shape], bool]] = {
        "mended": lambda shape: was[shape] and not now[shape],
        "broken": lambda shape: now[shape] and not was[shape],
    }
    names = [layout_name(one, words) for one in _of_both(report, was) if turns[key](_shape(one))]
    return words(f"layouts.other.{key}", names=", ".join(names)) if names else ""


def _of_both(report: LayoutReport, was: Mapping[Shape, bool]) -> Iterator[Tried]:
    """The layouts that were tried before too."""
    return (one for one in report.layouts if _shape(one) in was)


def _fails(report: LayoutReport) -> dict[Shape, bool]:
    """Whether each layout fails with any wire."""
    return {_shape(one): state(one) == "fails" for one in report.layouts}


def _shape(layout: Tried) -> Shape:
    return layout.series, layout.parallel
