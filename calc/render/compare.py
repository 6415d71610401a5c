"""Two layouts side by side: what was chosen differently, main figures, and every finding that came out differently."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.model.assessment import WORST_FIRST, Assessment, Finding, Step
from calc.model.design import Design
from calc.render.answers import Answer, answer_of
from calc.render.as_html import environment
from calc.render.before import Place, places
from calc.render.catalogue import Words, load_words
from calc.render.fields import field_label
from calc.render.form import form_texts
from calc.render.numbers import NO_BREAK, in_words, show_text
from calc.render.view import MARKS

FIGURES = (
    "power_stc_W",
    "voc_cold_string_V",
    "vmp_hot_string_V",
    "vmp_hot_at_controller_V",
    "isc_array_A",
    "current_max_array_A",
    "drop_percent",
    "loss_W",
    "charge_current_A",
    "string_fuse_needed",
    "string_fuse_A",
)
"""Quantities that are set side by side, where both layouts have them."""
NOT_COMPARED = frozenset({"title", "story"})


@dataclass(frozen=True, slots=True)
class Row:
    """One line: what it is, what the pinned layout has, what this one has, and the difference in words."""

    name: str
    pinned: str
    here: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding that came out differently."""

    name: str
    part: str
    pinned: Answer
    here: Answer
    says: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two layouts side by side; ``better`` and ``worse`` count findings as this layout stands to the pinned one."""

    pinned: Answer
    here: Answer
    layouts: tuple[str, str]
    says: str
    inputs: tuple[Row, ...]
    figures: tuple[Row, ...]
    findings: tuple[FindingRow, ...]


def as_compare(pinned: Assessment, here: Assessment, system: str = "us", *, language: str = "en") -> str:
    """The comparison as HTML."""
    words = load_words(language)
    shown = compare(pinned, here, words, system)
    return environment().get_template("compare.html").render(one=shown, w=words)


def no_compare(language: str = "en") -> str:
    """The empty place where a comparison will stand."""
    return environment().get_template("compare.html").render(one=None, w=load_words(language))


def compare(pinned: Assessment, here: Assessment, words: Words, system: str) -> Comparison:
    """Set ``here`` beside ``pinned``: inputs, figures and findings that differ, each with the difference in words."""
    findings = tuple(_findings(pinned, here, words, system))
    return Comparison(
        pinned=_overall(pinned, words),
        here=_overall(here, words),
        layouts=(_side(pinned.design, here.design, words), _side(here.design, pinned.design, words)),
        says=_says(pinned, here, len(findings), words),
        inputs=tuple(_inputs(pinned.design, here.design, words)),
        figures=tuple(_figures(pinned, here, words, system)),
        findings=findings,
    )


def _side(design: Design, other: Design, words: Words) -> str:
    """How one side's modules are joined, and of which design they are where the two have different titles."""
    layout, title = layout_says(design, words), design.text("title")
    return (
        words("compare.of", layout=layout, title=title) if title and title != other.text("title") else layout
    )


def layout_says(design: Design, words: Words) -> str:
    """How the modules are joined, in a few words: «4 strings of 2 modules in series»."""
    series, strings = design.number("array.modules_in_series"), design.number("array.strings_in_parallel")
    if series is None or strings is None:
        return words("page.shelf.unlike")
    modules = words(f"page.shelf.series.{_count(int(series))}", number=int(series))
    return words(f"page.shelf.strings.{_count(int(strings))}", number=int(strings), series=modules)


def _count(number: int) -> str:
    return "one" if number == 1 else "more"


def _overall(assessment: Assessment, words: Words) -> Answer:
    return Answer(MARKS[assessment.verdict], words(f"verdict.{assessment.verdict}"), "")


def _says(pinned: Assessment, here: Assessment, differ: int, words: Words) -> str:
    """The comparison in a sentence or two."""
    then, now = (words(f"compare.whole.{MARKS[one.verdict]}") for one in (pinned, here))
    key = "same" if pinned.verdict is here.verdict else "other"
    counted = words(f"compare.differ.{'none' if not differ else _count(differ)}", number=differ)
    return f"{words(f'compare.says.{key}', pinned=then, here=now)} {counted}"


def _inputs(pinned: Design, here: Design, words: Words) -> Iterator[Row]:
    then, now = form_texts(pinned), form_texts(here)
    nothing = words("form.not-said")
    for path in dict.fromkeys((*then, *now)):
        if then.get(path) != now.get(path) and path not in NOT_COMPARED:
            yield Row(field_label(path, words), then.get(path, nothing), now.get(path, nothing))


def _figures(pinned: Assessment, here: Assessment, words: Words, system: str) -> Iterator[Row]:
    for key in FIGURES:
        then, now = pinned.steps.get(key), here.steps.get(key)
        if then is None and now is None:
            continue
        was, have = (_figure(step, words, system) for step in (then, now))
        symbol = now or then
        if symbol is not None:
            yield Row(words(f"symbol.{symbol.symbol}"), was, have, _difference(then, now, words, system))


def _figure(step: Step | None, words: Words, system: str) -> str:
    if step is None:
        return words("compare.not-worked-out")
    return in_words(words, step.result, step.unit, system=system)


def _difference(then: Step | None, now: Step | None, words: Words, system: str) -> str:
    """How much more or less this layout has; nothing where the two are alike or are no numbers."""
    if (
        then is None
        or now is None
        or isinstance(then.result, str | bool)
        or isinstance(now.result, str | bool)
    ):
        return ""
    more = now.result - then.result
    if _figure(then, words, system) == _figure(now, words, system):
        return words("compare.alike")
    unit = "K" if now.unit == "degC" else now.unit
    difference = show_text(abs(more), unit, system=system)
    if unit == "%":
        difference = words("compare.points", number=difference.partition(NO_BREAK)[0])
    return words("compare.more" if more > 0 else "compare.less", difference=difference)


def _findings(pinned: Assessment, here: Assessment, words: Words, system: str) -> Iterator[FindingRow]:
    """Findings whose verdicts differ, the worst in this layout first."""
    then = dict(zip(places(pinned.findings), pinned.findings, strict=True))
    now = dict(zip(places(here.findings), here.findings, strict=True))
    differ = [place for place in dict.fromkeys((*then, *now)) if _other(then.get(place), now.get(place))]
    for place in sorted(differ, key=lambda place: _worst(then.get(place), now.get(place))):
        yield _row(place, then.get(place), now.get(place), words, system)


def _other(then: Finding | None, now: Finding | None) -> bool:
    return then is None or now is None or then.verdict is not now.verdict


def _worst(then: Finding | None, now: Finding | None) -> int:
    return min(WORST_FIRST.index(one.verdict) for one in (then, now) if one is not None)


def _row(place: Place, then: Finding | None, now: Finding | None, words: Words, system: str) -> FindingRow:
    pinned, here = (answer_of(one, words, system) for one in (then, now))
    says = words("compare.finding", pinned=_sentence(pinned, words), here=_sentence(here, words))
    return FindingRow(words(f"finding.{place[0]}.name"), place[1], pinned, here, says)


def _sentence(answer: Answer, words: Words) -> str:
    return (
        words("compare.with", verdict=answer.verdict, figures=answer.figures)
        if answer.figures
        else answer.verdict
    )
