"""One request read and worked out, each part of it when it is first asked for; the last few designs are remembered.

A reader's changes arrive in several requests (verdicts first, drawings and fixes after), all about the same design.
"""

from collections.abc import Iterable, Mapping
from functools import cached_property, lru_cache
from typing import Any

from calc.assess import assess, completed
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.layouts import AXES
from calc.model.problems import InputProblem, Refused
from calc.model.sections import NAMES as SECTIONS
from calc.plan.again import Again
from calc.plan.fixes import Mending
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.read.words import Mistake, put
from calc.render.as_html import FRAGMENTS
from calc.render.as_lesson import plan_of
from calc.render.catalogue import load_words
from calc.tables import RuleBook, load_book

Changes = tuple[tuple[str, str], ...]
"""What was changed, as texts by path, in a form that can be remembered."""
LIVE_PARTS = ("form", "state", "problems", "compare", "answers")
START = "start"
"""In place of an answer's number: the page stands as it was built."""
LANGUAGES = frozenset({"en"})
MOMENT_S = 0.02
"""How long a search goes on, in seconds, before a newer question may come first."""


class Turn:
    """What one request asks; nothing in it is trusted to have the right kind."""

    def __init__(self, asked: Mapping[str, Any]) -> None:
        """Note the request."""
        self._asked = asked
        language = _text(asked.get("language"))
        self.words = load_words(language if language in LANGUAGES else "en")
        self.system = "metric" if asked.get("system") == "metric" else "us"
        self.home = _text(asked.get("home"))
        self.plan = plan_of(asked.get("lesson"))
        self.change = {str(path): str(text) for path, text in _table(asked.get("set")).items()}
        self._base = _text(asked.get("base"))
        self._changes: Changes = tuple(self.change.items())
        have = asked.get("have")
        self.have = have if isinstance(have, int) or have == START else 0
        known = (*FRAGMENTS, *SECTIONS, *LIVE_PARTS)
        self.axes = _axes(asked.get("axes"))
        bits = asked.get("bits")
        self.bits = bits if isinstance(bits, int) else None
        wanted = asked.get("parts")
        self.parts = (
            [part for part in known if part in wanted]
            if isinstance(wanted, list)
            else [*FRAGMENTS, *LIVE_PARTS]
        )

    def wants(self, extra: str) -> bool:
        """Whether the request asks for something beyond the parts."""
        return bool(self._asked.get(extra))

    @property
    def _read(self) -> Design | Refused:
        return _design(self._base, self._changes, self.words.language)

    @cached_property
    def document(self) -> Mapping[str, Any]:
        """The design file's tables with the changes in them; empty when the file cannot be read at all."""
        return _document(self._base, self._changes)

    @property
    def repeated(self) -> tuple[tuple[str, ...], int, int]:
        """Names of the runs, and how many strings and couplers there are, also of a design that cannot be read."""
        runs, strings, couplers = (_listed(self.document.get(name)) for name in ("run", "string", "coupler"))
        names = (str(run.get("name") or f"run {place}") for place, run in enumerate(runs, 1))
        return tuple(dict.fromkeys(names)), len(strings), len(couplers)

    @property
    def refused(self) -> bool:
        """Whether the changed design cannot be read."""
        return isinstance(self._read, Refused)

    @property
    def problems(self) -> tuple[InputProblem, ...]:
        """Everything that keeps the changed design from being read."""
        return self._read.problems if isinstance(self._read, Refused) else ()

    @property
    def design(self) -> Design:
        """The changed design; a fault of ours (TypeError) when it was refused."""
        return _readable(self._read)

    @cached_property
    def begun(self) -> Design | None:
        """The design that the page began with, or None when even that cannot be read."""
        design = _design(self._base, (), self.words.language)
        return design if isinstance(design, Design) else None

    @cached_property
    def origin(self) -> Design | None:
        """The design against which a link is told: the page's own, also when another file was opened since."""
        text = _text(self._asked.get("origin"))
        design = _design(text, (), self.words.language) if text else self.begun
        return design if isinstance(design, Design) else None

    @property
    def assessed(self) -> Assessment:
        """The changed design, assessed."""
        return _assessed(self._base, self._changes, self.words.language)

    @property
    def checked(self) -> Assessment:
        """The changed design, assessed, with fixes for what fails."""
        return self._mending.whole()

    @property
    def _mending(self) -> Mending:
        return _mending(self._base, self._changes, self.words.language)

    def searching(self) -> bool:
        """Whether fixes are wanted briefly and the search, gone on with for a moment, has not come to its end."""
        return self.wants("briefly") and "fixes" in self.parts and not self._mending.further(MOMENT_S)

    @property
    def start_assessed(self) -> Assessment | None:
        """The design that the page began with, assessed."""
        return None if self.begun is None else _assessed(self._base, (), self.words.language)

    @property
    def start(self) -> Assessment | None:
        """The same, but only when the design has been changed since."""
        same = not self.refused and self.begun is not None and self.begun.values == self.design.values
        return None if same else self.start_assessed

    def as_begun(self, parts: Iterable[str]) -> "Turn":
        """The request that a page as it was built would be the answer to."""
        kept = {key: self._asked.get(key) for key in ("home", "language", "lesson")}
        return Turn({**kept, "base": self._base, "parts": list(parts)})

    @cached_property
    def pinned(self) -> "Turn | None":
        """The layout to compare with."""
        pinned = self._asked.get("pinned")
        return Turn(pinned) if isinstance(pinned, Mapping) else None


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def _table(value: object) -> Mapping[Any, Any]:
    return value if isinstance(value, Mapping) else {}


def _axes(value: object) -> tuple[str, str]:
    """Two axes for the drawing of layouts; one that is no axis is chosen by itself."""
    asked = value if isinstance(value, list) else []
    across, up, *_ = [one if one in AXES else "" for one in asked] + ["", ""]
    return across, up


def _listed(value: object) -> list[Mapping[Any, Any]]:
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, list) else []


@lru_cache(maxsize=16)
def _tables(text: str) -> Mapping[str, Any] | Mistake:
    return read_toml(text)


@lru_cache(maxsize=16)
def _document(base: str, changes: Changes) -> Mapping[str, Any]:
    document = _tables(base)
    return {} if isinstance(document, Mistake) else changed_document(document, dict(changes))


@lru_cache(maxsize=16)
def _design(base: str, changes: Changes, language: str) -> Design | Refused:
    document = _tables(base)
    if isinstance(document, Mistake):
        return Refused((put(document, language),))
    return read_document(_document(base, changes), language)


@lru_cache(maxsize=16)
def _assessed(base: str, changes: Changes, language: str) -> Assessment:
    design = _readable(_design(base, changes, language))
    book, begun = _book(design), _begun(base, language)
    again = begun.of(design) if begun is not None and begun.book is book else None
    return assess(design, book) if again is None else completed(again, book)


@lru_cache(maxsize=4)
def _begun(base: str, language: str) -> Again | None:
    """The check of the design that a page began with, of which a change has only a part done again."""
    design = _design(base, (), language)
    return Again(design, _book(design)) if isinstance(design, Design) else None


@lru_cache(maxsize=16)
def _mending(base: str, changes: Changes, language: str) -> Mending:
    assessment = _assessed(base, changes, language)
    return Mending(assessment, _book(assessment.design))


def _readable(design: Design | Refused) -> Design:
    if isinstance(design, Refused):
        raise TypeError("a refused design has no values and no verdict")
    return design


def _book(design: Design) -> RuleBook:
    return load_book(design.text("site.rules") or "us-2023")
