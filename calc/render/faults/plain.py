"""What shade and single faults leave, as canonical JSON: fixed key order, ten significant digits, no dates."""

import json

from calc.model.assessment import Remark
from calc.model.faults import FaultCase, FaultLayout, FaultReport, Resting, Reverse
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words
from calc.render.faults.sentences import case_name, missing, not_counted, saying_says, says

SCHEMA = "arraybook/faults/1"

Plain = dict[str, object]


def as_faults_json(report: FaultReport, words: Words | None = None) -> str:
    """The whole report as one JSON text."""
    return json.dumps(as_faults_plain(report, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_faults_plain(report: FaultReport, words: Words | None = None) -> Plain:
    """The same as plain dictionaries and lists, in order.

    Where nothing can be said, ``verdict`` is "needs input" with the paths in ``needs``, or "does not apply" with the
    reason in ``why``; the lists are empty then.
    """
    words = words or load_words()
    own = report.own
    answer = "needs input" if report.needs else "does not apply" if report.reason else "answered"
    return {
        "schema": SCHEMA,
        "core": report.core,
        "rules": report.rules,
        "tables": report.rules_hash,
        "verdict": answer,
        "needs": list(report.needs),
        "why": missing(report, words),
        "controller": "mppt" if report.mppt else "pwm",
        "conditions": {name: number(value) for name, value in report.values.items()},
        "layouts": [_layout(layout, words) for layout in report.layouts],
        "sayings": [
            {
                "id": saying.code,
                "true": list(saying.true),
                "false": list(saying.false),
                "says": " ".join(saying_says(saying, own, words)),
            }
            for saying in report.sayings
            if own is not None
        ],
        "assumptions": [
            {"path": one.path, "value": one.value, "why": one.why, "safe_side": one.safe_side}
            for one in report.assumptions
        ],
        "not_counted": list(not_counted(report, words)) if own is not None else [],
    }


def _layout(layout: FaultLayout, words: Words) -> Plain:
    return {
        "modules_in_series": layout.series or None,
        "strings_in_parallel": layout.parallel or None,
        "own": layout.own,
        "healthy": _resting(layout.healthy),
        "remarks": [_remark("remark", one, words) for one in layout.remarks],
        "cautions": [_remark("danger", one, words) for one in layout.cautions],
        "cases": [_case(case, words) for case in layout.cases],
    }


def _case(case: FaultCase, words: Words) -> Plain:
    plain: Plain = {"id": case.id, "kind": case.kind, "name": case_name(case, words)}
    if case.string:
        plain["string"] = case.string
    if case.light_lost is not None:
        plain["light_lost"] = number(case.light_lost)
    return plain | {
        "left": _resting(case.left),
        "first_peak": None if case.stays is None else _resting(case.stays),
        "why": _remark("reason", case.reason, words),
        "remarks": [_remark("remark", one, words) for one in case.remarks],
        "cautions": [_remark("danger", one, words) for one in case.cautions],
        "reverse": None if case.reverse is None else _reverse(case.reverse),
    }


def _resting(resting: Resting) -> Plain:
    return {
        "power_W": number(resting.power_W),
        "share": None if resting.share is None else number(resting.share),
        "voltage_V": number(resting.voltage_V),
        "current_A": number(resting.current_A),
        "held": resting.way,
    }


def _remark(kind: str, remark: Remark, words: Words) -> Plain:
    return {"code": remark.code, "says": says(kind, remark, words)}


def _reverse(reverse: Reverse) -> Plain:
    values = {
        "curve_A": reverse.curve_A,
        "rule_A": reverse.rule_A,
        "module_limit_A": reverse.limit_A,
        "fuse_A": reverse.fuse_A,
        "fuse_opens_A": reverse.opens_A,
    }
    return {name: None if value is None else number(value) for name, value in values.items()}
