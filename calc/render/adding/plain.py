"""Adding to an array as canonical JSON: fixed key order, ten significant digits; same design, same bytes."""

import json

from calc.model.adding import Addition, AddReport, Reopened, Yield
from calc.model.assessment import Finding, Value
from calc.render.adding.view import name_of, remarks, ways
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words

SCHEMA = "arraybook/adding/1"

Plain = dict[str, object]


def as_adding_json(report: AddReport, words: Words | None = None) -> str:
    """Every way to add as one JSON text."""
    return json.dumps(as_adding_plain(report, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_adding_plain(report: AddReport, words: Words | None = None) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    said = ways(report, words)
    return {
        "schema": SCHEMA,
        "core": report.core,
        "rules": report.rules,
        "tables": report.rules_hash,
        "verdict": report.now.verdict.value,
        "brings": _yield(report.brings),
        "additions": [
            _addition(one, way.says, words) for one, way in zip(report.additions, said, strict=True)
        ],
        "needs": {"day": list(report.day_needs)},
        "remarks": list(remarks(report, words)),
        "design": {path: given.said for path, given in report.design.values.items()},
    }


def _addition(one: Addition, says: tuple[str, ...], words: Words) -> Plain:
    plain: Plain = {"adds": one.code, "name": name_of(one, words), "kind": one.kind, "modules": one.modules}
    if one.change:
        plain["change"] = dict(one.change)
    return plain | {
        "verdict": one.after.verdict.value,
        "brings": _yield(one.brings),
        "reopened": [_reopened(row) for row in one.reopened],
        "says": list(says),
    }


def _yield(brings: Yield) -> Plain:
    return {
        "power_W": _or_none(brings.power_W),
        "shortest_day_energy_Wh": _or_none(brings.energy_Wh),
        "shortest_day_begins_h": _or_none(brings.begins_h),
    }


def _reopened(row: Reopened) -> Plain:
    return {
        "id": row.finding.id,
        "part": row.finding.part,
        "before": _finding(row.before),
        "after": _finding(row.after),
    }


def _finding(finding: Finding | None) -> Plain | None:
    if finding is None:
        return None
    return {
        "verdict": finding.verdict.value,
        "actual": _value(finding.actual),
        "limit": _value(finding.limit),
        "unit": finding.unit,
        "sense": finding.sense,
    }


def _value(value: Value | None) -> object:
    return None if value is None else number(value.value)


def _or_none(value: float | None) -> object:
    return None if value is None else number(value)
