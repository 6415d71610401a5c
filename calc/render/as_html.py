"""An assessment as HTML fragments, by name: the same templates at build time and in the browser.

Each fragment is one element with a fixed id (``report-findings``), complete in itself, so that a page can put it in
place of the one that stands there. The same assessment gives the same bytes everywhere.
"""

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import BytecodeCache, Environment, FileSystemLoader, StrictUndefined, Template
from jinja2.bccache import Bucket
from markupsafe import Markup

from calc.model.assessment import Assessment
from calc.render.catalogue import Words, load_words
from calc.render.kept import Kept
from calc.render.printed import Pieces, Printed, place_of
from calc.render.quick import QuickEnvironment
from calc.render.report import Report
from calc.render.view import FindingView

TEMPLATES = Path(__file__).parent / "templates"
FRAGMENTS: Mapping[str, str] = {
    "verdict": "verdict.html",
    "fixes": "fixes.html",
    "findings": "findings.html",
    "ladder": "drawing.html",
    "wiring": "drawing.html",
    "derivations": "derivations.html",
    "given": "given.html",
    "assumptions": "assumptions.html",
    "not_checked": "not_checked.html",
    "edition": "edition.html",
    "cautions": "cautions.html",
}
_PIECES: Kept[Printed] = Kept()
_FRAMES: Kept[str] = Kept()


def as_html(
    assessment: Assessment,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
    parts: Iterable[str] = FRAGMENTS,
    start: Assessment | None = None,
) -> dict[str, str]:
    """Print an assessment as HTML fragments, in the order of a report.

    Args:
        assessment: what was worked out.
        system: ``us`` or ``metric``.
        language: folder of the word catalogue.
        home: the way from the page to the start of the site (``../../``); empty when there is no site around it.
        parts: the fragments wanted; all of them when left out.
        start: what the design was at the start, when it has been changed since; what differs is then marked in words.
    """
    printed = in_pieces(assessment, system, language=language, home=home, parts=parts, start=start)
    return {name: fragment.text for name, fragment in printed.items()}


def in_pieces(
    assessment: Assessment,
    system: str = "us",
    *,
    language: str = "en",
    home: str = "",
    parts: Iterable[str] = FRAGMENTS,
    start: Assessment | None = None,
) -> dict[str, Printed]:
    """The same, with what can be sent alone kept apart; arguments as for ``as_html``."""
    words = load_words(language)
    wanted = frozenset(parts)
    report = Report(assessment, words, system, start)
    return {name: _render(name, assessment, report, words, home) for name in FRAGMENTS if name in wanted}


def _render(name: str, assessment: Assessment, report: Report, words: Words, home: str) -> Printed:
    pieces = Pieces()

    def piece(file: str, one: Any) -> Markup:
        """One element that can be sent alone, printed again only when it changed."""
        return pieces.place(one.anchor, _piece(file, one, words))

    skeleton = _template(FRAGMENTS[name]).render(
        name=name,
        report=report,
        assessment=assessment,
        w=words,
        home=home,
        drawing=report.drawing(name),
        piece=piece,
    )
    return Printed(skeleton, pieces.made)


def _piece(file: str, one: Any, words: Words) -> Printed:
    """One element, and those in it that can be sent alone as well; each is printed again only when it changed."""
    kept = (file, words.language, one.anchor)

    def made() -> Printed:
        if not isinstance(one, FindingView):
            return Printed(_macro(file)(one, words))
        frame = _FRAMES.get(kept, one.frame, lambda: _macro(file)(one, words))
        return Printed(frame, {view.anchor: _piece(inner, view, words) for inner, view in one.inside})

    return _PIECES.get(kept, one, made)


class Compiled(BytecodeCache):
    """Templates compiled already, where that was done beside them (for browsers, by the script that packs the core).

    What does not come of the very text of its template is passed over, and nothing is ever written.
    """

    ENDING = ".code"

    def get_cache_key(self, name: str, filename: str | None = None) -> str:  # noqa: ARG002
        """The template's name, wherever the templates lie."""
        return name

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take over what lies beside the template."""
        with suppress(FileNotFoundError), (TEMPLATES / (bucket.key + self.ENDING)).open("rb") as file:
            bucket.load_bytecode(file)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep nothing: only the packing script writes."""


@cache
def environment() -> Environment:
    """The templates' environment: all is escaped but what was made safe on purpose, and a missing name is a fault."""
    made = QuickEnvironment(
        loader=FileSystemLoader(TEMPLATES, encoding="utf-8"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        keep_trailing_newline=False,
        bytecode_cache=Compiled(),
    )
    made.globals["place_of"] = place_of
    return made


@cache
def _template(file: str) -> Template:
    return environment().get_template(file)


@cache
def _macro(file: str) -> Callable[[Any, Words], Markup]:
    """The macro ``piece`` of a template, which prints one finding or step."""
    macro: Callable[[Any, Words], Markup] = getattr(_template(file).module, "piece")  # noqa: B009 - made by the template
    return macro
