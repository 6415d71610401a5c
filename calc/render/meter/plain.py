"""The meter sheet and what readings come to, as canonical JSON; same design, same bytes."""

import json

from calc.model.meter import Cause, Diagnosis, Expected, Judged, MeterSheet, Readings
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words
from calc.render.meter.view import stop_says, why_says

SCHEMA = "arraybook/meter/1"

Plain = dict[str, object]


def as_meter_json(sheet: MeterSheet, diagnosis: Diagnosis | None = None, words: Words | None = None) -> str:
    """The sheet, and with readings what they come to, as one JSON text."""
    plain = as_meter_plain(sheet, diagnosis, words)
    return json.dumps(plain, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_meter_plain(
    sheet: MeterSheet, diagnosis: Diagnosis | None = None, words: Words | None = None
) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    answer = "needs input" if sheet.needs else "does not apply" if sheet.reason else "answered"
    plain: Plain = {
        "schema": SCHEMA,
        "core": sheet.core,
        "rules": sheet.rules,
        "tables": sheet.rules_hash,
        "caution": words("meter.caution"),
        "verdict": answer,
        "needs": list(sheet.needs),
        "why": words(f"faults.reason-none.{sheet.reason}") if sheet.reason else "",
        "sun_Wm2": _known(sheet.sun_Wm2),
        "air_degC": _known(sheet.air_degC),
        "module_degC": _known(sheet.module_degC),
        "heat_from": sheet.heat,
        "cell_degC": [number(one) for one in sheet.cell_degC],
        "alike_within": number(sheet.alike),
        "strings": [
            {"name": row.name, "kind": row.kind}
            | {
                name: None if one is None else _expected(one)
                for name, one in (("voc", row.voc), ("isc", row.isc), ("current", row.current))
            }
            for row in sheet.rows
        ],
        "array": {one.quantity: _expected(one) for one in sheet.array},
        "held": sheet.way,
        "needs_at_work": list(sheet.needs_after),
        "assumptions": [
            {"path": one.path, "value": one.value, "why": one.why, "safe_side": one.safe_side}
            for one in sheet.assumptions
        ],
    }
    return plain if diagnosis is None else plain | {"readings": _diagnosis(diagnosis, words)}


def _known(value: float | None) -> object:
    return None if value is None else number(value)


def _expected(one: Expected) -> Plain:
    return {
        "value": number(one.value),
        "low": number(one.low),
        "high": number(one.high),
        "unit": one.unit,
        "band": {part.code: {"below": number(part.below), "above": number(part.above)} for part in one.bands},
        "common_practice": _known(one.practice),
    }


def _diagnosis(diagnosis: Diagnosis, words: Words) -> Plain:
    return {
        "verdict": diagnosis.verdict,
        "says": words(f"meter.verdict.{diagnosis.verdict}"),
        "state": diagnosis.readings.state,
        "stop": [
            {"code": code, "string": place, "says": stop_says(code, place, words)}
            for code, place in diagnosis.stops
        ],
        "read": _read(diagnosis.readings),
        "judged": [_judged(one) for one in diagnosis.judged],
        "apart": [
            {
                "quantity": one.quantity,
                "within": number(one.within),
                "strings": {name: number(share) for name, share in one.shares},
            }
            for one in diagnosis.apart
        ],
        "causes": [[_cause(one, words) for one in group] for group in diagnosis.rounds],
        "notes": [
            {"code": code, "about": place, "says": words(f"meter.note.{code}", place=place)}
            for code, place in diagnosis.notes
        ],
    }


def _read(readings: Readings) -> Plain:
    return {
        "sun_Wm2": _known(readings.sun),
        "air_degC": _known(readings.air),
        "module_degC": _known(readings.module),
        "battery_V": _known(readings.battery),
    }


def _judged(one: Judged) -> Plain:
    return {
        "string": one.place,
        "quantity": one.quantity,
        "measured": number(one.measured),
        "unit": one.unit,
        "expected": None if one.expected is None else number(one.expected.value),
        "low": None if one.expected is None else number(one.expected.low),
        "high": None if one.expected is None else number(one.expected.high),
        "verdict": one.verdict,
        "why": one.why,
    }


def _cause(one: Cause, words: Words) -> Plain:
    return {
        "cause": one.code,
        "string": one.place,
        "stop": one.stop,
        "unlikely": one.unlikely,
        "unexplained": number(round(one.left, 3)),
        "name": words(f"meter.cause.{one.code}"),
        "why": why_says(one, words),
        "next": words(f"meter.next-step.{one.code}"),
    }
