"""Numbers in a lesson's text, from the core: ``{{ voc_cold_string_V }}`` is what its design comes to, with the unit.

In the braces stands a quantity of the design, the path of an input, or two of either with + or - between. Before it may
stand the name of another design of the lesson and a colon; before the second of two as well, where ``here`` is the lesson's
own: ``{{ far: loss_W - here: loss_W }}``. Other codes begin with a word:

- ``margin``, ``actual``, ``limit``, ``verdict``, ``says`` and a finding;
- ``scalar`` and ``cell`` for a number from the tables, ``practice`` for one of the trade's that has no source;
- ``said`` and ``wanted`` and an input, for what the core says to a design that it refuses;
- ``type PATH = TEXT`` for what a reader may type into a control of the figure;
- ``fault CASE share`` (``power``, ``stays``, ``light``, ``why``), perhaps with a layout such as ``4x1``, for what shade
  or a fault leaves, and ``day longest begins`` (``ends``, ``full``, ``energy``) for an hour of the design's day.
"""

import re
import shlex
from collections.abc import Callable, Mapping

from coursebook import CodeError, Lesson, changed, near
from lesson_days import day_told
from lesson_faults import fault_told
from markupsafe import escape

from calc import Assessment, Finding, Refused, load_book
from calc.render.anchors import slug
from calc.render.as_html import environment
from calc.render.as_lesson import is_meant
from calc.render.catalogue import load_words
from calc.render.fields import said_shown
from calc.render.numbers import in_words
from calc.render.sentences import finding_pair, finding_says
from calc.render.view import MARKS

CODE = re.compile(r"\{\{(?P<inside>.*?)\}\}")
NAMED = re.compile(r"(?P<name>[a-z-]+): +(?P<rest>.+)")
SUM = re.compile(r"(?P<one>.+?) (?P<sign>[+-]) (?P<other>.+)")
TABLES = "../../how/tables/#table-"
SIGNS = {"+": 1.0, "-": -1.0}
HERE = "here"
"""The lesson's own design, where designs are named."""


def fill(text: str, lesson: Lesson) -> str:
    """A line of a lesson with every code replaced; refuses (CodeError) one that means nothing."""
    return CODE.sub(lambda found: _filled(found["inside"].strip(), lesson), text)


def _filled(code: str, lesson: Lesson) -> str:
    verb, _, rest = code.partition(" ")
    if verb == "type":
        return _typed(rest, lesson)
    named = NAMED.fullmatch(code)
    if named is None:
        return _value(code, lesson.assessment, lesson)
    other = _design(named["name"], lesson)
    if isinstance(other, Refused):
        return _wanted(named["rest"], other)
    return _value(named["rest"], other, lesson)


def _design(name: str, lesson: Lesson) -> Assessment | Refused:
    """One of the lesson's designs by its name."""
    designs = {HERE: lesson.assessment, **lesson.others}
    if name not in designs:
        raise CodeError(f"{name!r} is none of the designs named above the text: {', '.join(lesson.others)}")
    return designs[name]


def _value(code: str, assessment: Assessment, lesson: Lesson) -> str:
    verb, _, rest = code.partition(" ")
    if verb in OF_CURVES:
        return OF_CURVES[verb](rest, assessment)
    if verb in OF_TABLES and rest:
        return OF_TABLES[verb](rest)
    if verb in OF_FINDING and rest:
        return OF_FINDING[verb](_finding(rest, assessment))
    both = SUM.fullmatch(code)
    if both:
        one, unit, _ = _quantity(both["one"], assessment)
        other, same, _ = _other(both, assessment, lesson)
        if unit != same or isinstance(one, str) or isinstance(other, str):
            raise CodeError(f"{code!r} mixes {unit or 'a text'} and {same or 'a text'}")
        return _span(_shown(one + SIGNS[both["sign"]] * other, "K" if unit == "degC" else unit))
    value, unit, place = _quantity(code, assessment)
    report = lesson.plan.report if assessment is lesson.assessment else ""
    return _span(_shown(value, unit), report + place if report else "")


def _other(
    both: re.Match[str], assessment: Assessment, lesson: Lesson
) -> tuple[float | str | bool, str, str]:
    """The second of two quantities, of the same design as the first or of the one named before it."""
    named = NAMED.fullmatch(both["other"])
    key, design = (named["rest"], _design(named["name"], lesson)) if named else (both["other"], assessment)
    if isinstance(design, Refused):
        raise CodeError(f"{both[0]!r}: the design cannot be read, so it has no quantities")
    if design is assessment and key == both["one"] and both["sign"] == "-":
        raise CodeError(f"{both[0]!r} comes to nothing; of two designs write 'NAME: {key} - {HERE}: {key}'")
    return _quantity(key, design)


def _quantity(key: str, assessment: Assessment) -> tuple[float | str | bool, str, str]:
    """Value, unit and place on the report of a quantity or an input."""
    step = assessment.steps.get(key)
    if step is not None:
        return step.result, step.unit, f"#step-{slug(key)}"
    given = assessment.design.values.get(key)
    if given is not None:
        value = given.said if isinstance(given.value, str) else given.value
        return value, given.unit, f"#given-{slug(key)}"
    for one in assessment.assumptions:
        if one.path == key:
            return said_shown(one.value, load_words()), "", f"#assumed-{slug(key)}"
    known = {*assessment.steps, *assessment.design.values}
    raise CodeError(f"the design has no quantity and no input called {key!r}{near(key, known)}")


def _shown(value: float | str | bool, unit: str) -> str:
    return in_words(load_words(), value, unit, both=True)


def _span(text: str, href: str = "") -> str:
    shown = str(escape(text))
    return f'<a class="q" href="{href}">{shown}</a>' if href else f'<span class="q">{shown}</span>'


def _finding(entry: str, assessment: Assessment) -> Finding:
    found = [finding for finding in assessment.findings if is_meant(finding, entry)]
    if not found:
        known = {finding.id for finding in assessment.findings}
        raise CodeError(f"the design has no finding {entry!r}{near(entry, known)}")
    return found[0]


def _pair(finding: Finding, which: str) -> str:
    pair = finding_pair(finding)
    if pair is None:
        raise CodeError(f"the finding {finding.id!r} has no two numbers")
    return _span(str(getattr(pair, which)))


def _verdict(finding: Finding) -> str:
    module = environment().get_template("marks.html").make_module({"w": load_words()})
    word = load_words()(f"verdict.{finding.verdict}")
    return str(module.verdict(MARKS[finding.verdict], word))  # type: ignore[attr-defined]


def _scalar(key: str) -> str:
    if key not in load_book().scalars:
        raise CodeError(f"the tables have no single value {key!r}")
    cell = load_book().scalar(key)
    return _span(_shown(cell.number, cell.unit), TABLES + slug(key))


def _cell(rest: str) -> str:
    """A cell of a table: ``stc value quantity="cell temperature"``."""
    key, column, *pairs = shlex.split(rest)
    wanted = dict(pair.split("=", 1) for pair in pairs)
    try:
        cell = load_book().table(key).cell(column, **{name: _key(text) for name, text in wanted.items()})
    except LookupError as problem:
        raise CodeError(str(problem)) from None
    return _span(
        _shown(cell.value if isinstance(cell.value, str) else cell.number, cell.unit), TABLES + slug(key)
    )


def _key(text: str) -> str | float:
    return float(text) if re.fullmatch(r"-?\d+(\.\d+)?", text) else text


def _practice(key: str) -> str:
    text = load_words().find(f"guide.practice.{key}")
    if text is None:
        raise CodeError(f"guide.practice has no {key!r}")
    mark = escape(load_words()("guide.practice-mark"))
    return f'<span class="practice">{escape(text)} <small>({mark})</small></span>'


def _typed(code: str, lesson: Lesson) -> str:
    path, _, text = code.partition(" = ")
    if path not in lesson.plan.controls:
        raise CodeError(f"the figure has no control {path!r}")
    if isinstance(changed(lesson.file, {path: text}), Refused):
        raise CodeError(f"{text!r} cannot be typed as {path}")
    return f"<kbd>{escape(text)}</kbd>"


def _wanted(code: str, refused: Refused) -> str:
    verb, _, path = code.partition(" ")
    found = [problem for problem in refused.problems if problem.path == path]
    if verb not in ("said", "wanted") or not found:
        raise CodeError(f"{code!r}: of a refused design only «said» or «wanted» and a path can be told")
    return str(escape(getattr(found[0], verb).strip('"')))


OF_FINDING: Mapping[str, Callable[[Finding], str]] = {
    "margin": lambda finding: _pair(finding, "gap"),
    "actual": lambda finding: _pair(finding, "actual"),
    "limit": lambda finding: _pair(finding, "limit"),
    "verdict": _verdict,
    "says": lambda finding: str(escape(finding_says(finding, load_words()))),
}
OF_CURVES: Mapping[str, Callable[[str, Assessment], str]] = {"fault": fault_told, "day": day_told}
OF_TABLES: Mapping[str, Callable[[str], str]] = {"scalar": _scalar, "cell": _cell, "practice": _practice}
