"""The page on which readings are entered: a design, what was typed, and a file that was opened, in; the page's parts out."""

from collections.abc import Mapping
from typing import Any

from calc.bridge.turn import Turn
from calc.meter.compare import diagnose
from calc.meter.expected import meter_sheet
from calc.meter.suns import sheets_by_sun
from calc.model.meter import CHARGING, FUSES_OUT, MeterSheet, Readings
from calc.model.problems import InputProblem, Refused
from calc.read.readings_form import (
    open_readings,
    read_readings_form,
    readings_document,
    unit_of,
    write_readings,
)
from calc.render.meter.entry import Entered
from calc.render.meter.page import entry_parts, refused_html, spoken
from calc.render.meter.section import as_meter_html
from calc.tables import RuleBook, load_book

Plain = dict[str, Any]
STATE = "array.state"
MOMENT = {"sun", "air", "module", "battery.voltage"}
"""What is said of the moment; it is no reading that could fit or not."""


def metered(asked: Mapping[str, Any]) -> Plain:
    """Answer what the meter page asks.

    Args:
        asked: ``base`` and ``set`` of a design as in any request, ``system``, ``language``, ``readings`` (the text of
            each path as it was typed), ``opened`` (the text of a readings file that was just chosen) and ``save``
            (give the text of a file, too).

    Returns:
        The ``fragments`` of the page, the sentence to be ``spoken``, the ``title`` of the design; after a file was
        opened its ``readings``; the ``file`` to save. What cannot be read is told in the fragment of problems.
    """
    turn = Turn({**asked, "parts": []})
    if turn.refused:
        return _refused(turn, turn.problems, "design")
    names = [row.name for row in meter_sheet(turn.design, _book(turn)).rows]
    texts = {STATE: FUSES_OUT} | _texts(asked.get("readings"))
    if isinstance(asked.get("opened"), str):
        opened = open_readings(asked["opened"], names, turn.words.language)
        if isinstance(opened, Refused):
            return _refused(turn, opened.problems, "readings")
        texts = {STATE: CHARGING} | opened
    readings, problems = _read(texts, names, turn)
    sheet = meter_sheet(turn.design, _book(turn), sun=readings.sun, air=readings.air, module=readings.module)
    typed = {path for path, text in texts.items() if text.strip()} - {STATE}
    diagnosis = diagnose(sheet, readings) if typed - MOMENT else None
    suns = () if readings.sun is not None else _suns(turn, readings)
    entered = Entered(texts, problems, turn.system, unit_of)
    answer: Plain = {
        "ok": not problems,
        "title": _title(turn),
        "readings": texts,
        "spoken": spoken(diagnosis, problems, turn.words),
        "fragments": {
            **entry_parts(sheet, entered, turn.words, diagnosis),
            "meter": as_meter_html(
                sheet if typed else suns[-1],  # before anything is typed the one for full sun, as in a report
                turn.system,
                diagnosis=diagnosis,
                suns=suns,
                language=turn.words.language,
            ),
        },
    }
    if asked.get("save"):
        answer["file"] = write_readings(readings_document(texts, names, turn.system))
    return answer


def _title(turn: Turn) -> str:
    """What the design is called, and whether it was changed since it was opened."""
    title = turn.design.text("title") or turn.words("meter-page.own")
    return turn.words("meter-page.changed", title=title) if turn.change else title


def _book(turn: Turn) -> RuleBook:
    return load_book(turn.design.text("site.rules") or "us-2023")


def _texts(typed: object) -> dict[str, str]:
    """What was typed, as texts by path; nothing in a request is trusted to have the right kind."""
    found = typed.items() if isinstance(typed, Mapping) else ()
    return {str(path): str(text) for path, text in found}


def _read(
    texts: Mapping[str, str], names: list[str], turn: Turn
) -> tuple[Readings, tuple[InputProblem, ...]]:
    """The readings that can be read, and what is wrong with the others."""
    found = read_readings_form(texts, names, turn.system, turn.words.language)
    if isinstance(found, Readings):
        return found, ()
    bad = {problem.path for problem in found.problems}
    good = {path: text for path, text in texts.items() if path not in bad}
    again = read_readings_form(good, names, turn.system, turn.words.language)
    return (again if isinstance(again, Readings) else Readings()), found.problems


def _suns(turn: Turn, readings: Readings) -> tuple[MeterSheet, ...]:
    return sheets_by_sun(turn.design, _book(turn), air=readings.air, module=readings.module)


def _refused(turn: Turn, problems: tuple[InputProblem, ...], what: str) -> Plain:
    """A design or a file of readings that cannot be used: only that is told, and the page stays as it is."""
    count = "one" if len(problems) == 1 else "more"
    return {
        "ok": False,
        "refused": what,
        "spoken": turn.words(f"form.spoken.problems.{count}", number=len(problems)),
        "fragments": {"problems": refused_html(problems, turn.words, what)},
    }
