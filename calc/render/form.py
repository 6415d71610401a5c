"""The form beside a report: one control a field, with what was typed, what counts without it, and what is wrong."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from calc.model.assessment import Assessment
from calc.model.design import Design, Given
from calc.model.fields import FIELDS, Field
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.fields import field_label, field_path, said_shown, section_title
from calc.render.form_parts import Offer, adding, leaving_out
from calc.render.kept import Kept
from calc.render.numbers import NO_BREAK, show_text
from calc.render.sliders import Slider, slider

NOT_IN_FORM = frozenset({"title", "story", "site.rules", "run.name"})
QUICK = (
    "array.modules_in_series",
    "array.strings_in_parallel",
    "run.length",
    "run.size",
    "site.coldest",
    "site.hottest",
)
BY_FIELD_PATH = {field_path(field.path): field for field in FIELDS}
FIRST_RUN = "home run"


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

    @property
    def anchor(self) -> str:
        """The id of its place."""
        return f"field-{self.id}"


@dataclass(frozen=True, slots=True)
class Change:
    """One input that differs from the start: what it says now and said then, and the change that puts it back."""

    label: str
    now: str
    was: str
    back: str


@dataclass(frozen=True, slots=True)
class FormSection:
    """The controls of one section of the design file, how to leave it out, and what can be added after it."""

    id: str
    title: str
    controls: tuple[Control, ...]
    open: bool
    leave: tuple[Offer, ...] = ()
    add: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """The whole form: what was changed, the controls most often turned, then every section."""

    changes: tuple[Change, ...]
    quick: tuple[Control, ...]
    sections: tuple[FormSection, ...]

    @property
    def open(self) -> bool:
        """Whether something wrong stands in a section, so that it must be seen."""
        return any(control.problem for section in self.sections for control in section.controls)


@dataclass(frozen=True, slots=True)
class Typed:
    """What the form shows: texts by path now and at the start, the parts there are, and what is wrong."""

    texts: Mapping[str, str]
    start: Mapping[str, str]
    runs: tuple[str, ...]
    strings: int
    couplers: int
    problems: tuple[InputProblem, ...] = ()

    def differing(self) -> tuple[str, ...]:
        """The paths whose text is another one than at the start, in the order of the start."""
        paths = dict.fromkeys((*self.start, *self.texts))
        return tuple(path for path in paths if self.start.get(path, "") != self.texts.get(path, ""))


def typed_of(design: Design, start: Design | None = None) -> Typed:
    """What the form shows for a design that could be read, beside the one it began as (itself when left out)."""
    texts = form_texts(design)
    begun = texts if start is None else form_texts(start)
    return Typed(texts, begun, design.runs, design.strings, design.couplers)


def form_texts(design: Design) -> dict[str, str]:
    """The text of every given value, as its field in the form shows it: a choice in its own spelling.

    A run's name is left out, for it stands in every path of that run.
    """
    return {
        path: _form_text(path, given)
        for path, given in design.values.items()
        if field_path(path) != "run.name"
    }


def _form_text(path: str, given: Given) -> str:
    field = BY_FIELD_PATH.get(field_path(path))
    return str(given.value) if field is not None and field.kind == "choice" else given.said


def make_form(typed: Typed, assessment: Assessment | None, words: Words, system: str) -> Form:
    """Gather the controls; ``assessment`` gives what counts where nothing was typed, when the design could be read."""
    maker = _Maker(typed, assessment, words, system)
    names = list(_section_names(typed))
    last = {kind: name for name in names for kind in [name.partition(".")[0]]}
    ends = {last.get(kind, "array"): kind for kind in ("run", "string", "coupler")}
    sections = [
        replace(
            maker.section(name),
            leave=tuple(leaving_out(name, typed, words, section_title(name, words))),
            add=tuple(adding(ends[name], typed, words)) if name in ends else (),
        )
        for name in names
    ]
    quick = [
        replace(control, label=field_label(control.path, words))
        for wanted in QUICK
        for section in sections
        for control in section.controls
        if field_path(control.path) == wanted
    ]
    taken = {control.path for control in quick}
    rest = (
        replace(section, controls=tuple(control for control in section.controls if control.path not in taken))
        for section in sections
    )
    return Form(
        changes_of(typed, words),
        tuple(quick),
        tuple(section for section in rest if section.controls or section.leave or section.add),
    )


def changes_of(typed: Typed, words: Words) -> tuple[Change, ...]:
    """Every input that differs from the start, in words."""
    nothing = words("form.not-said")
    return tuple(
        Change(
            field_label(path, words),
            typed.texts.get(path) or nothing,
            typed.start.get(path) or nothing,
            json.dumps({path: typed.start.get(path, "")}),
        )
        for path in typed.differing()
    )


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
    yield from ("combiner", "disconnect", "grounding", "controller", "battery", "margins", "layouts")


def form_paths(typed: Typed) -> frozenset[str]:
    """The paths that have a control in the form."""
    return frozenset(path for name in _section_names(typed) for path, _ in _fields_of(name, typed))


def _fields_of(name: str, typed: Typed) -> Iterable[tuple[str, Field]]:
    """The fields of a section with their full paths; the counts of an array are left out where strings are unlike."""
    kind = field_path(f"{name}.x").removesuffix(".x")
    for path, field in BY_FIELD_PATH.items():
        section, _, last = path.rpartition(".")
        counted = field.required and kind == "array" and typed.strings
        if section == kind and path not in NOT_IN_FORM and not counted:
            yield f"{name}.{last}", field


_CONTROLS: Kept[Control] = Kept()


class _Maker:
    def __init__(self, typed: Typed, assessment: Assessment | None, words: Words, system: str) -> None:
        self.typed = typed
        self.assessment = assessment
        self.words = words
        self.system = system
        self.assumed = {one.path: one.value for one in assessment.assumptions} if assessment else {}
        self.wrong = {one.path: one.wanted for one in reversed(typed.problems)}

    def section(self, name: str) -> FormSection:
        controls = tuple(self._kept(path, field) for path, field in _fields_of(name, self.typed))
        return FormSection(
            f"form-{slug(name)}",
            section_title(name, self.words),
            controls,
            any(control.problem for control in controls),
        )

    def _kept(self, path: str, field: Field) -> Control:
        """The control at ``path``, made again only when what it shows has changed."""
        given = self.assessment.design.values.get(path) if self.assessment else None
        shown = (
            self.typed.texts.get(path, ""),
            self.typed.start.get(path, ""),
            self.assumed.get(path, ""),
            given,
            self.wrong.get(path, ""),
        )
        return _CONTROLS.get(
            (self.words.language, self.system, path), shown, lambda: self._control(path, field)
        )

    def _control(self, path: str, field: Field) -> Control:
        text, assumed = self.typed.texts.get(path, ""), self.assumed.get(path, "")
        begun = self.typed.start.get(path, "")
        return Control(
            id=f"in-{slug(path)}",
            path=path,
            label=self.words.find(f"page.field.{field_path(path)}") or field_label(path, self.words),
            kind={"choice": "choice", "flag": "choice"}.get(field.kind, "text"),
            value=text,
            stands_for=said_shown(assumed, self.words, self.system) if assumed else "",
            also=self._also(path, text),
            problem=self.wrong.get(path, ""),
            example=field.example,
            options=self._options(field),
            slider=slider(field, text, begun, assumed),
            changed=text != begun,
        )

    def _options(self, field: Field) -> tuple[tuple[str, str], ...]:
        if field.kind == "flag":
            return (("true", self.words("working.yes")), ("false", self.words("working.no")))
        return tuple((choice, choice) for choice in field.choices) if field.kind == "choice" else ()

    def _also(self, path: str, text: str) -> str:
        """The value in the reader's unit system, when that says more than what was typed."""
        given = self.assessment.design.values.get(path) if self.assessment else None
        if (
            given is None
            or given.said != text
            or given.unit not in ("m", "degC")
            or isinstance(given.value, (str, bool))
        ):
            return ""
        in_fahrenheit = given.unit == "degC" and self.system == "us"
        shown = show_text(given.value, given.unit, system=self.system, both=in_fahrenheit)
        same = shown.replace(NO_BREAK, " ").replace("\N{MINUS SIGN}", "-").replace("°", "deg").split(" (")[0]
        if same != text or in_fahrenheit:
            return shown
        return ""
