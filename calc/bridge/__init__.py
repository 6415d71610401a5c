"""The browser door: JSON text in, JSON text out. The only module the page's worker calls.

A request is ``{"base": "<design file>", "set": {"<path>": "<text>"}, "system": "us", "parts": ["verdict", …]}``: the
design file a page began with, what the reader changed, and the parts of the page that are wanted now. The answer has
the spoken verdict, what differs from the beginning, and the parts to put in place; or the problems, with the form as it
was typed.

Further keys: ``origin`` (the design file that links are told against, when another one was opened since), ``home`` (the
way to the start of the site), ``pinned`` (``base`` and ``set`` of a layout to compare with), ``lesson`` (the few
controls, findings and quantities of a lesson's figure), ``opened`` (the base is a file that was just chosen), ``axes``
(those of the drawing of layouts), ``bits`` (how far to go in trying layouts; while some are left, ``tried`` counts
those done and all), ``adding`` and ``moves`` (that part is wanted whole), ``briefly`` (a long search for fixes is left
for the moment; ``more`` tells that the same question goes on with it), ``file`` and ``json`` (also give the design
file, the assessment), and ``have`` (the ``number`` of the answer that the page took over last, or ``start`` when it
stands as it was built). An answer brings only what is new to the page: whole ``fragments`` by name, and single
``pieces`` by their id. ``prove`` alone asks for a part of the self-check, ``meter`` alone for the page on which
readings are entered.
"""

import json
from collections.abc import Callable, Mapping
from typing import Any

from calc.assess import CORE
from calc.bridge.sent import Parts, Sent
from calc.bridge.turn import START, Turn
from calc.model.assessment import Assessment
from calc.model.sections import NAMES as SECTIONS
from calc.read.write import write_document
from calc.render.as_form import form_html, problems_html, state_html
from calc.render.as_html import in_pieces
from calc.render.as_json import as_plain
from calc.render.as_lesson import Plan, answers_html, few_html
from calc.render.catalogue import load_words
from calc.render.compare import as_compare, no_compare
from calc.render.form import Typed, form_paths, form_texts, typed_of
from calc.render.printed import Printed
from calc.render.sentences import finding_says
from calc.render.view import closest
from calc.tables import load_book

Plain = dict[str, Any]


def start() -> str:
    """Load tables, words and templates, so that the first answer is quick; tells the core's version."""
    load_words()
    return json.dumps({"core": CORE, "tables": load_book().hash})


def ahead() -> None:
    """Load what the first answers did not need, while nobody waits: the makers of the sections, and the reader of any unit."""
    import calc.bridge.later  # noqa: F401
    from calc.read.quantity import read_quantity

    read_quantity("1 in", "m")


def answer(request: str) -> str:
    """Answer one request; whatever is wrong with the reader's input comes back as problems."""
    asked = json.loads(request)
    if "prove" in asked:
        return json.dumps(_proved(asked["prove"]), ensure_ascii=False)
    if "meter" in asked:
        return json.dumps(_metered(asked["meter"]), ensure_ascii=False, allow_nan=False)
    turn = Turn(asked)
    answered, parts = _refused(turn) if turn.refused else _answered(turn)
    there = _built(turn, parts) if turn.have == START else _SENT.there(turn.have)
    return json.dumps({**answered, **_SENT.news(there, parts)}, ensure_ascii=False, allow_nan=False)


_SENT = Sent()


def _proved(asked: Plain) -> Plain:
    """The self-check, whose modules no report needs."""
    from calc.bridge.proved import proved

    return proved(asked)


def _metered(asked: Plain) -> Plain:
    """The page on which readings are entered."""
    from calc.bridge.metering import metered

    return metered(asked)


def _answered(turn: Turn) -> tuple[Plain, Parts]:
    design, words = turn.design, turn.words
    more = turn.searching()
    if more:
        turn.parts.remove("fixes")
    typed = typed_of(design, turn.begun)
    assessment = turn.checked if turn.wants("json") else turn.assessed
    answered: Plain = {
        "ok": True,
        "verdict": assessment.verdict.value,
        "title": design.text("title") or "",
        "story": design.text("story") or "",
        "spoken": words(
            "form.spoken.verdict",
            verdict=words(f"verdict.{assessment.verdict}"),
            says=finding_says(closest(assessment), words, turn.system),
        ),
        "differs": _differs(typed, turn),
    }
    if more:
        answered["more"] = True
    if turn.wants("file"):
        answered["file"] = write_document(turn.document)
    if turn.wants("json"):
        answered["assessment"] = as_plain(assessment, words)
    parts = _parts(turn, typed)
    if "layouts" in parts:
        answered["tried"] = _tried(turn)
    return answered, parts


def _parts(turn: Turn, typed: Typed) -> Parts:
    """The parts that were asked for, of the design as it stands."""
    words, assessment = turn.words, turn.checked if "fixes" in turn.parts else turn.assessed
    others: Mapping[str, Callable[[], Printed]] = {
        "form": lambda: _form(turn, typed, assessment),
        "state": lambda: Printed(state_html(assessment, len(typed.differing()), words, turn.system)),
        "problems": lambda: Printed(problems_html((), words)),
        "compare": lambda: Printed(_compared(turn)),
        "answers": lambda: Printed(
            answers_html(assessment, words, turn.system, turn.plan or Plan(), turn.start)
        ),
    }
    report = in_pieces(
        assessment, turn.system, language=words.language, home=turn.home, parts=turn.parts, start=turn.start
    )
    sections = {part: Printed(_section(turn, part)) for part in turn.parts if part in SECTIONS}
    return {**report, **sections, **{part: others[part]() for part in turn.parts if part in others}}


def _section(turn: Turn, name: str) -> str:
    """One of the slower sections, whose modules the first answers do not wait for."""
    from calc.bridge.later import section

    return section(turn, name)


def _tried(turn: Turn) -> list[int] | None:
    from calc.bridge.later import tried

    return tried(turn)


def _form(turn: Turn, typed: Typed, assessment: Assessment | None) -> Printed:
    if turn.plan is None:
        return form_html(typed, assessment, turn.words, turn.system)
    return Printed(few_html(typed, assessment, turn.words, turn.system, turn.plan))


def _built(turn: Turn, wanted: Parts) -> Parts:
    """The same parts as the build made them: of the design that the page began with, in the units it is built in.

    Not the sections: they are whole fragments, slow to make, and sent whenever they are asked for.
    """
    begun = turn.as_begun(part for part in wanted if part not in SECTIONS)
    parts = {} if begun.refused else _parts(begun, typed_of(begun.design))
    return {name: printed for name, printed in parts.items() if name != "compare"}


def _differs(typed: Typed, turn: Turn) -> dict[str, str]:
    """What a link has to tell: every text that is another one than in the design the link's page shows."""
    if turn.origin is not turn.begun and turn.origin is not None:
        typed = Typed(typed.texts, form_texts(turn.origin), (), 0, 0)
    return {path: typed.texts.get(path, "") for path in typed.differing()}


def _compared(turn: Turn) -> str:
    other = turn.pinned
    if other is None or other.refused:
        return no_compare(turn.words.language)
    return as_compare(other.assessed, turn.assessed, turn.system, language=turn.words.language)


def _refused(turn: Turn) -> tuple[Plain, Parts]:
    words, problems, begun = turn.words, turn.problems, turn.begun
    texts = form_texts(begun) if begun else {}
    typed = Typed({**texts, **turn.change}, texts, *turn.repeated, problems)
    count = "one" if len(problems) == 1 else "more"
    opened = turn.wants("opened")
    fields = form_paths(typed) if turn.plan is None else turn.plan.controls
    parts = {"problems": Printed(problems_html(problems, words, fields, opened=opened))}
    if begun is not None and not opened:
        parts["form"] = _form(turn, typed, turn.start_assessed)
    answered: Plain = {
        "ok": False,
        "problems": [
            {"path": one.path, "said": one.said, "wanted": one.wanted, "example": one.example}
            for one in problems
        ],
        "spoken": words(f"form.spoken.problems.{count}", number=len(problems)),
        "differs": dict(turn.change),
    }
    return answered, parts
