"""The form and the list of problems as HTML, from the same environment of templates as the report."""

from dataclasses import dataclass

from calc.model.assessment import Assessment
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.as_html import environment
from calc.render.catalogue import Words, load_words
from calc.render.fields import field_label
from calc.render.form import Typed, make_form, typed_of


@dataclass(frozen=True, slots=True)
class ProblemView:
    """One problem with the way to its field."""

    label: str
    target: str
    said: str
    wanted: str
    example: str


def as_form(assessment: Assessment, system: str = "us", *, language: str = "en") -> str:
    """The form of a design as it was read."""
    return form_html(typed_of(assessment), assessment, load_words(language), system)


def form_html(typed: Typed, assessment: Assessment | None, words: Words, system: str) -> str:
    """The form with what was typed, right or wrong."""
    form = make_form(typed, assessment, words, system)
    return environment().get_template("form.html").render(form=form, w=words)


def problems_html(problems: tuple[InputProblem, ...], words: Words) -> str:
    """The list of everything that is wrong, each line with a link to its field; an empty hidden place when nothing is."""
    views = [
        ProblemView(
            field_label(one.path, words) if one.path else "",
            f"in-{slug(one.path)}",
            one.said,
            one.wanted,
            one.example,
        )
        for one in problems
    ]
    return environment().get_template("problems.html").render(problems=views, w=words)
