"""A design's day as canonical JSON: fixed key order, ten significant digits; same design, same bytes."""

import json

from calc.model.assessment import Step, Value
from calc.model.day import DayReport, Layout, LayoutDay
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words
from calc.render.day.sentences import compared, missing, remarks, summary
from calc.render.day.view import sources

SCHEMA = "arraybook/day/1"

Plain = dict[str, object]


def as_day_json(report: DayReport, words: Words | None = None) -> str:
    """The whole day as one JSON text."""
    return json.dumps(as_day_plain(report, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_day_plain(report: DayReport, words: Words | None = None) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    plain: Plain = {"schema": SCHEMA, "core": report.core, "rules": report.rules, "tables": report.rules_hash}
    if report.needs or report.reason:
        return plain | {"needs": list(report.needs), "why": missing(report, words)}
    return plain | {
        "caution": words("day.caution"),
        "says": [*summary(report, words), *compared(report, words)],
        "quantities": {key: _quantity(step) for key, step in report.steps.items()},
        "layouts": [_layout(layout) for layout in report.layouts],
        "months": [
            {
                "month": month.month,
                "days": month.days,
                "insolation_Whm2": number(month.insolation_Whm2),
                "energy_Wh": number(month.energy_Wh),
            }
            for month in report.months
        ],
        "steps": {key: _step(step) for key, step in report.steps.items()},
        "methods": {
            code: words(f"day.method.{code}")
            for code in dict.fromkeys(step.method for step in report.steps.values())
        },
        "sources": list(sources(report, words)),
        "remarks": list(remarks(report, words)),
        "assumptions": [
            {"path": one.path, "value": one.value, "why": one.why, "safe_side": one.safe_side}
            for one in report.assumptions
        ],
        "design": {path: given.said for path, given in report.design.values.items()},
    }


def _quantity(step: Step) -> Plain:
    return {"value": number(step.result), "unit": step.unit, "step": step.id}


def _step(step: Step) -> Plain:
    return {
        "method": step.method,
        "values": {name: _value(value) for name, value in step.values.items()},
        "result": number(step.result),
        "unit": step.unit,
        "cites": list(step.cites),
    }


def _value(value: Value) -> Plain:
    return {"value": number(value.value), "unit": value.unit, "origin": value.origin}


def _layout(layout: Layout) -> Plain:
    plain: Plain = {}
    if layout.series:
        plain["change"] = {
            "array.modules_in_series": layout.series,
            "array.strings_in_parallel": layout.parallel,
        }
    plain |= {"own": layout.own, "verdict": layout.verdict.value}
    if layout.because[0]:
        plain["because"] = {"id": layout.because[0], "part": layout.because[1]}
    return plain | {"days": {taken.day: _day(taken) for taken in layout.days}}


def _day(taken: LayoutDay) -> Plain:
    return {
        "begins_h": taken.begins_h,
        "ends_h": taken.ends_h,
        "charging_h": [list(span) for span in taken.spans],
        "energy_Wh": taken.energy_Wh,
        "clipped_Wh": taken.clipped_Wh,
        "best_Wh": taken.best_Wh,
    }
