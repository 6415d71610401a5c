"""The live part of a page as HTML: the form, what is wrong, the state of the design, and the bench they stand in."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from calc.model.assessment import Assessment
from calc.model.problems import InputProblem
from calc.render.anchors import slug
from calc.render.as_html import environment
from calc.render.catalogue import Words, load_words
from calc.render.fields import field_label
from calc.render.form import Change, Control, Typed, make_form, typed_of
from calc.render.form_parts import Offer
from calc.render.kept import Kept
from calc.render.printed import Pieces, Printed
from calc.render.sentences import finding_says
from calc.render.view import MARKS, closest

LIVE = "live."
"""What the page's own code says stands in the catalogue below this key."""

_CONTROLS: Kept[Printed] = Kept()


@dataclass(frozen=True, slots=True)
class ProblemView:
    """One problem with the way to its field; ``target`` is empty where no field of the form is to blame."""

    label: str
    target: str
    said: str
    wanted: str
    example: str


@dataclass(frozen=True, slots=True)
class Bench:
    """What a page with a form begins with.

    Its name and design file; the designs it can begin from instead (name, title, file); and what the layout that is
    pinned beside it changes.
    """

    name: str
    file: str
    home: str
    bases: tuple[tuple[str, str, str], ...] = ()
    pinned: Mapping[str, str] | None = None

    @property
    def pins(self) -> bool:
        """Whether layouts can be pinned here."""
        return self.pinned is not None


def as_form(assessment: Assessment, system: str = "us", *, language: str = "en") -> str:
    """The form of a design as it was read."""
    return form_html(typed_of(assessment.design), assessment, load_words(language), system).text


def as_bench(assessment: Assessment, bench: Bench, *, language: str = "en") -> str:
    """The part of a page in which its design can be changed: tools, form, and what the page's code needs to know."""
    words = load_words(language)
    return (
        environment()
        .get_template("bench.html")
        .render(
            w=words,
            bench=bench,
            data=bench_data(bench, words),
            form=as_form(assessment, language=language),
            problems=problems_html((), words),
        )
    )


def as_state(assessment: Assessment, *, language: str = "en") -> str:
    """The line at the foot of the window: verdict, number of changes, and the way back."""
    words = load_words(language)
    return (
        environment().get_template("bar.html").render(w=words, state=state_html(assessment, 0, words, "us"))
    )


def form_html(typed: Typed, assessment: Assessment | None, words: Words, system: str) -> Printed:
    """The form with what was typed, right or wrong; each control is a piece of its own."""
    pieces, form = Pieces(), make_form(typed, assessment, words, system)
    one_control = environment().get_template("control.html")

    def control(one: Control) -> Markup:
        """One control, printed again only when it changed."""
        return pieces.place(
            one.anchor,
            _CONTROLS.get(
                (words.language, one.anchor), one, lambda: Printed(one_control.render(one=one, w=words))
            ),
        )

    def changes(listed: tuple[Change, ...]) -> Markup:
        """The list of what was changed."""
        html = environment().get_template("changes.html").render(changes=listed, w=words)
        return pieces.place("form-changes", Printed(html))

    def offers(name: str, listed: tuple[Offer, ...]) -> Markup:
        """Buttons that add or leave out a part; what they do follows what was typed."""
        html = environment().get_template("offers.html").render(id=name, offers=listed)
        return pieces.place(name, Printed(html))

    skeleton = (
        environment()
        .get_template("form.html")
        .render(form=form, w=words, control=control, changes=changes, offers=offers)
    )
    return Printed(skeleton, pieces.made)


def state_html(assessment: Assessment, changes: int, words: Words, system: str) -> str:
    """The verdict in one line, and how many inputs differ from the start."""
    return (
        environment()
        .get_template("state.html")
        .render(
            w=words,
            mark=MARKS[assessment.verdict],
            verdict_word=words(f"verdict.{assessment.verdict}"),
            says=finding_says(closest(assessment), words, system),
            changes=changes,
        )
    )


def problems_html(
    problems: tuple[InputProblem, ...], words: Words, fields: Iterable[str] = (), *, opened: bool = False
) -> str:
    """The list of everything that is wrong; an empty hidden place when nothing is.

    Args:
        problems: what is wrong.
        words: the catalogue.
        fields: paths that have a field in the form, to which a problem's line leads.
        opened: whether these are the problems of a file that was not opened, rather than of what stands in the form.
    """
    known = frozenset(fields)
    views = [
        ProblemView(
            field_label(one.path, words) if one.path else "",
            f"in-{slug(one.path)}" if one.path in known else "",
            one.said,
            one.wanted,
            one.example,
        )
        for one in problems
    ]
    title = words("form.problems.opened") if opened else problems_title(len(views), words)
    return problems_list(views, words, title, words(f"form.problems.{'opened-kept' if opened else 'kept'}"))


def problems_title(number: int, words: Words) -> str:
    """What stands over a list of so many problems with what was typed."""
    return words("form.problems.one") if number == 1 else words("form.problems.more", number=number)


def problems_list(problems: Sequence[ProblemView], words: Words, title: str, kept: str) -> str:
    """A list of problems under its title, with what was kept in spite of them; an empty hidden place where there are none."""
    template = environment().get_template("problems.html")
    return template.render(problems=problems, w=words, title=title, kept=kept)


def bench_data(bench: Bench, words: Words, more: Mapping[str, object] | None = None) -> str:
    """What the page's code needs to know, as JSON that can stand in a script element; ``more`` is a lesson's."""
    says: Mapping[str, str] = {
        key.removeprefix(LIVE): text for key, text in words.entries.items() if key.startswith(LIVE)
    }
    data = {
        "name": bench.name,
        "file": bench.file,
        "home": bench.home,
        "bases": {name: file for name, _, file in bench.bases},
        "pinned": None if bench.pinned is None else {"name": bench.name, "set": dict(bench.pinned)},
        "words": says,
        **(more or {}),
    }
    return (
        json.dumps(data, ensure_ascii=False)
        .replace("<", "\\u003c")
        .replace("\u2028", "\\u2028")
        .replace("\u2029", "\\u2029")
    )
