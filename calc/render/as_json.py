"""The assessment as canonical JSON: fixed key order, ten significant digits, no dates; same design, same bytes."""

import json
from collections.abc import Mapping

from calc.model.assessment import Assessment, Finding, Fix, Step, Value
from calc.render.catalogue import Words, load_words
from calc.render.changes import change_says
from calc.render.sentences import remark_says

SCHEMA = "arraybook/assessment/1"
DIGITS = 10

Plain = dict[str, object]


def as_json(assessment: Assessment, words: Words | None = None) -> str:
    """The whole assessment as one JSON text, as ``interface.md`` fixes it."""
    return json.dumps(as_plain(assessment, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_plain(assessment: Assessment, words: Words | None = None) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    return {
        "schema": SCHEMA,
        "core": assessment.core,
        "rules": assessment.rules,
        "tables": assessment.rules_hash,
        "verdict": assessment.verdict.value,
        "quantities": {key: _quantity(step) for key, step in assessment.steps.items()},
        "findings": [_finding(finding, words) for finding in assessment.findings],
        "steps": {key: _step(step) for key, step in assessment.steps.items()},
        "assumptions": [
            {"path": one.path, "value": one.value, "why": one.why, "safe_side": one.safe_side}
            for one in assessment.assumptions
        ],
        "not_checked": [{"clause": one.clause, "why": one.why} for one in assessment.not_checked],
        "citations": {
            key: {
                "clause": one.clause,
                "edition": one.edition,
                "title": one.title,
                "standing": one.standing,
                "url": one.url,
            }
            for key, one in assessment.citations.items()
        },
        "design": {path: given.said for path, given in assessment.design.values.items()},
        "notes": [{"path": path, "code": code} for path, code in assessment.design.notes],
    }


def number(value: float | str | bool) -> float | str | bool:
    """A value at the digits that are the same on every platform; words and answers as they are."""
    if isinstance(value, (bool, str)):
        return value
    return float(f"{value:.{DIGITS}g}") + 0.0


def _quantity(step: Step) -> Plain:
    return {"value": number(step.result), "unit": step.unit, "step": step.id}


def _value(value: Value) -> Plain:
    return {"value": number(value.value), "unit": value.unit, "origin": value.origin}


def _step(step: Step) -> Plain:
    return {
        "symbol": step.symbol,
        "formula": step.formula,
        "method": step.method,
        "values": {name: _value(value) for name, value in step.values.items()},
        "result": number(step.result),
        "unit": step.unit,
        "cites": list(step.cites),
    }


def _finding(finding: Finding, words: Words) -> Plain:
    plain: Plain = {
        "id": finding.id,
        "part": finding.part,
        "verdict": finding.verdict.value,
        "harm": finding.harm,
    }
    if finding.actual is not None and finding.limit is not None and finding.margin is not None:
        plain |= {
            "actual": number(finding.actual.value),
            "limit": number(finding.limit.value),
            "unit": finding.unit,
            "sense": finding.sense,
            "margin": number(finding.margin),
        }
    plain |= {"steps": list(finding.steps), "cites": list(finding.cites)}
    if finding.needs:
        plain["needs"] = list(finding.needs)
    if finding.reason:
        plain["why"] = words(f"reason.{finding.reason}")
    if finding.remarks:
        plain["remarks"] = [remark_says(remark, words) for remark in finding.remarks]
    plain["fixes"] = [_fix(fix, words) for fix in finding.fixes]
    return plain


def _fix(fix: Fix, words: Words) -> Plain:
    change: Mapping[str, str | int | bool] = fix.change
    return {"change": dict(change), "says": change_says(change, words), "verdict": fix.verdict.value}
