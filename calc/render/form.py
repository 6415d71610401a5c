"""The form beside a report: one control a field, with what was typed, what counts without it, and what is wrong with it."""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from calc.model.assessment import Assessment
from calc.model.fields import FIELDS, Field
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.fields import field_label, field_path, said_shown, section_title
from calc.render.numbers import NO_BREAK, show_text

QUANTITY = re.compile(r"\s*([-\N{MINUS SIGN}]?[0-9]+(?:\.[0-9]+)?)\s*(\D.*?)\s*")
NOT_IN_FORM = frozenset({"title", "story", "site.rules", "run.name"})
QUICK = ("array.modules_in_series", "array.strings_in_parallel", "run.length", "run.size", "site.coldest", "site.hottest")
BY_FIELD_PATH = {field_path(field.path): field for field in FIELDS}
FIRST_RUN = "home run"
ALONE = ("module", "array")
"""Sections that a design of unlike strings does without, at least in part."""


@dataclass(frozen=True, slots=True)
class Slider:
    """A range beside a text field, in the unit of the text."""

    least: str
    most: str
    step: str
    value: str
    unit: str


@dataclass(frozen=True, slots=True)
class Control:
    """One field of the form."""

    id: str
    path: str
    label: str
    kind: str
    value: str
    stands_for: str
    also: str
    problem: str
    example: str
    options: tuple[tuple[str, str], ...]
    slider: Slider | None
    changed: bool


@dataclass(frozen=True, slots=True)
class FormSection:
    """The controls of one section of the design file."""

    id: str
    title: str
    controls: tuple[Control, ...]
    open: bool


@dataclass(frozen=True, slots=True)
class Form:
    """The whole form: the controls most often turned, then every section."""

    quick: tuple[Control, ...]
    sections: tuple[FormSection, ...]


@dataclass(frozen=True, slots=True)
class Typed:
    """What the form shows: texts by path now and at the start, the parts there are, and what is wrong."""

    texts: Mapping[str, str]
    start: Mapping[str, str]
    runs: tuple[str, ...]
    strings: int
    couplers: int
    problems: tuple[InputProblem, ...] = ()


def typed_of(assessment: Assessment) -> Typed:
    """What the form shows for a design that was read and not yet changed."""
    design = assessment.design
    texts = {path: given.said for path, given in design.values.items()}
    return Typed(texts, texts, design.runs, design.strings, design.couplers)


def make_form(typed: Typed, assessment: Assessment | None, words: Words, system: str) -> Form:
    """Gather the controls; ``assessment`` gives what counts where nothing was typed, when the design could be read."""
    maker = _Maker(typed, assessment, words, system)
    sections = [maker.section(name) for name in _section_names(typed)]
    quick = [
        control
        for wanted in QUICK
        for section in sections
        for control in section.controls
        if field_path(control.path) == wanted
    ]
    taken = {control.path for control in quick}
    rest = (
        FormSection(
            section.id,
            section.title,
            tuple(control for control in section.controls if control.path not in taken),
            section.open,
        )
        for section in sections
    )
    return Form(tuple(quick), tuple(section for section in rest if section.controls))


def _section_names(typed: Typed) -> Iterable[str]:
    yield "array"
    for number in range(1, typed.strings + 1):
        yield f"string.{number}"
        yield f"string.{number}.module"
    if not typed.strings or any(path.startswith("module.") for path in typed.texts):
        yield "module"
    yield "site"
    for name in typed.runs or (FIRST_RUN,):
        yield f"run.{name}"
    for number in range(1, max(typed.couplers, 1) + 1):
        yield f"coupler.{number}"
    yield from ("combiner", "disconnect", "grounding", "controller", "battery", "margins")


@dataclass(frozen=True, slots=True)
class _Maker:
    typed: Typed
    assessment: Assessment | None
    words: Words
    system: str

    def section(self, name: str) -> FormSection:
        kind = field_path(f"{name}.x").removesuffix(".x")
        fields = [field for path, field in BY_FIELD_PATH.items() if self._within(name, kind, path, field)]
        controls = tuple(self._control(f"{name}.{field.path.rpartition('.')[2]}", field) for field in fields)
        return FormSection(
            f"form-{slug(name)}",
            section_title(name, self.words),
            controls,
            any(control.problem or control.changed for control in controls),
        )

    def _within(self, name: str, kind: str, path: str, field: Field) -> bool:
        if path in NOT_IN_FORM or path.rpartition(".")[0] != kind:
            return False
        counts = field.required and kind == "array"
        return not (counts and self.typed.strings)

    def _control(self, path: str, field: Field) -> Control:
        text = self.typed.texts.get(path, "")
        return Control(
            id=f"in-{slug(path)}",
            path=path,
            label=self.words.find(f"page.field.{field_path(path)}") or field_label(path, self.words),
            kind={"choice": "choice", "flag": "choice"}.get(field.kind, "text"),
            value=text,
            stands_for=self._stands_for(path),
            also=self._also(path, text),
            problem=next((one.wanted for one in self.typed.problems if one.path == path), ""),
            example=field.example,
            options=self._options(field),
            slider=slider(field, text, self.typed.start.get(path, "")),
            changed=text != self.typed.start.get(path, ""),
        )

    def _options(self, field: Field) -> tuple[tuple[str, str], ...]:
        if field.kind == "flag":
            return (("true", self.words("working.yes")), ("false", self.words("working.no")))
        return tuple((choice, choice) for choice in field.choices) if field.kind == "choice" else ()

    def _stands_for(self, path: str) -> str:
        """What counts where nothing was typed."""
        for one in self.assessment.assumptions if self.assessment else ():
            if one.path == path:
                return said_shown(one.value, self.words, self.system)
        return ""

    def _also(self, path: str, text: str) -> str:
        """The value in the reader's unit system, when that says more than what was typed."""
        given = self.assessment.design.values.get(path) if self.assessment else None
        if given is None or given.unit not in ("m", "degC") or isinstance(given.value, (str, bool)):
            return ""
        in_fahrenheit = given.unit == "degC" and self.system == "us"
        shown = show_text(given.value, given.unit, system=self.system, both=in_fahrenheit)
        same = shown.replace(NO_BREAK, " ").replace("\N{MINUS SIGN}", "-").replace("°", "deg").split(" (")[0]
        if same != text or in_fahrenheit:
            return shown
        return ""


def slider(field: Field, text: str, start: str) -> Slider | None:
    """A range for a count, a length or an air temperature, around the value the page began with; else None."""
    if field.kind == "count" and field.path.startswith(("array.", "string.")):
        here, first = _whole(text), _whole(start)
        if here is None:
            return None
        return Slider("1", str(max(12, 2 * (first or here), here)), "1", str(here), "")
    if field.path not in ("run.<run>.length", "site.coldest", "site.hottest"):
        return None
    now, began = QUANTITY.fullmatch(text), QUANTITY.fullmatch(start or text)
    if not now or not began:
        return None
    value, first_value = _number(now[1]), _number(began[1])
    if field.kind == "temperature":
        low, high = math.floor(min(first_value - 30, value)), math.ceil(max(first_value + 30, value))
    else:
        low, high = 1, math.ceil(max(10, 3 * first_value, value))
    return Slider(str(low), str(high), "1", f"{value:g}", now[2])


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < len("1000") else None


def _number(text: str) -> float:
    return float(text.replace("\N{MINUS SIGN}", "-"))
