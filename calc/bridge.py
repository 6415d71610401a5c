"""The browser door: JSON text in, JSON text out. The only module the page's worker calls.

A request is ``{"base": "<design file>", "set": {"<path>": "<text>"}, "system": "us", "parts": ["verdict", …]}``: the design
file a page began with, and what the reader changed. The answer has the fragments to put in place, the spoken verdict, and
what differs from the beginning; or the problems, with the form as it was typed.
"""

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from calc.assess import CORE, assess
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.problems import Refused
from calc.plan.fixes import check
from calc.read.change import changed_document
from calc.read.scenario import read_document
from calc.read.text import read_toml
from calc.read.words import Mistake, put
from calc.read.write import write_document
from calc.render.as_form import form_html, problems_html
from calc.render.as_html import FRAGMENTS, as_html
from calc.render.as_json import as_plain
from calc.render.catalogue import Words, load_words
from calc.render.form import Typed
from calc.render.sentences import finding_says
from calc.render.view import closest
from calc.tables import load_book

FIRST = ("verdict", "findings")
"""Fragments that need no fixes and are repainted first."""

Plain = dict[str, Any]


def start() -> str:
    """Load tables, words and templates, so that the first answer is quick; tells the core's version."""
    load_words()
    return json.dumps({"core": CORE, "tables": load_book().hash})


def answer(request: str) -> str:
    """Answer one request; whatever is wrong with the reader's input comes back as problems."""
    asked = json.loads(request)
    words = load_words(str(asked.get("language", "en")))
    system = "metric" if asked.get("system") == "metric" else "us"
    change = {str(path): str(text) for path, text in dict(asked.get("set") or {}).items()}
    base = read_toml(str(asked.get("base", "")))
    if isinstance(base, Mistake):
        return _said(_refused(Refused((put(base, words.language),)), {}, change, words, system))
    document = changed_document(base, change)
    design = read_document(document, words.language)
    if isinstance(design, Refused):
        return _said(_refused(design, base, change, words, system))
    return _said(_answered(asked, design, base, document, words, system))


def _said(answered: Plain) -> str:
    return json.dumps(answered, ensure_ascii=False, allow_nan=False)


def _answered(
    asked: Mapping[str, Any], design: Design, base: Mapping[str, Any], document: Mapping[str, Any], words: Words, system: str
) -> Plain:
    parts = [part for part in asked.get("parts") or (*FRAGMENTS, "form") if part in FRAGMENTS or part == "form"]
    book = load_book(design.text("site.rules") or "us-2023")
    quick = set(parts) <= set(FIRST)
    assessment = assess(design, book) if quick else check(design, book)
    began = _start(json.dumps(base, sort_keys=True))
    fragments = as_html(assessment, system, language=words.language, home=str(asked.get("home", "")), parts=parts)
    typed = _typed(design, began)
    if "form" in parts:
        fragments["form"] = form_html(typed, assessment, words, system)
    if not quick:
        fragments["problems"] = problems_html((), words)
    answered: Plain = {
        "ok": True,
        "verdict": assessment.verdict.value,
        "spoken": _spoken(assessment, words, system),
        "fragments": fragments,
        "differs": {path: typed.texts.get(path, "") for path in _differing(typed)},
    }
    if asked.get("file"):
        answered["file"] = write_document(document)
    if asked.get("json"):
        answered["assessment"] = as_plain(assessment, words)
    return answered


def _refused(refused: Refused, base: Mapping[str, Any], change: Mapping[str, str], words: Words, system: str) -> Plain:
    began = _start(json.dumps(base, sort_keys=True)) if base else None
    texts = {path: given.said for path, given in began.values.items()} if began else {}
    typed = Typed(
        {**texts, **change},
        texts,
        began.runs if began else (),
        began.strings if began else 0,
        began.couplers if began else 0,
        refused.problems,
    )
    return {
        "ok": False,
        "problems": [
            {"path": one.path, "said": one.said, "wanted": one.wanted, "example": one.example} for one in refused.problems
        ],
        "spoken": words("form.spoken.problems", number=len(refused.problems)),
        "fragments": {
            "form": form_html(typed, None, words, system),
            "problems": problems_html(refused.problems, words),
        },
        "differs": dict(change),
    }


@lru_cache(maxsize=8)
def _start(base: str) -> Design | None:
    """The design a page began with, or None when even that cannot be read."""
    design = read_document(json.loads(base))
    return design if isinstance(design, Design) else None


def _typed(design: Design, began: Design | None) -> Typed:
    texts = {path: given.said for path, given in design.values.items()}
    start_texts = {path: given.said for path, given in began.values.items()} if began else {}
    return Typed(texts, start_texts, design.runs, design.strings, design.couplers)


def _differing(typed: Typed) -> list[str]:
    paths = dict.fromkeys((*typed.start, *typed.texts))
    return [path for path in paths if typed.start.get(path, "") != typed.texts.get(path, "")]


def _spoken(assessment: Assessment, words: Words, system: str) -> str:
    verdict = words(f"verdict.{assessment.verdict}")
    return words("form.spoken.verdict", verdict=verdict, says=finding_says(closest(assessment), words, system))
