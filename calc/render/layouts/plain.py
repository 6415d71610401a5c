"""Layouts, limits and moves as canonical JSON: fixed key order, ten significant digits; same design, same bytes."""

import json
from collections.abc import Sequence

from calc.model.layouts import COLUMNS, Key, LayoutReport, Limit, LimitReport, Move, MoveReport, Tried
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words
from calc.render.layouts.options import option_name, option_says
from calc.render.layouts.sentences import limit_notes, moves_say, notes, state, summary

SCHEMA = "arraybook/layouts/1"

OF_AN_OPTION = ("says", "layouts", "fails_everywhere")

Plain = dict[str, object]


def as_layouts_json(
    report: LayoutReport,
    limits: LimitReport | None = None,
    moves: MoveReport | None = None,
    words: Words | None = None,
    *,
    options: Sequence[tuple[str, LayoutReport]] = (),
) -> str:
    """Layouts, with limits and moves where they are given, as one JSON text."""
    words = words or load_words()
    plain = as_layouts_plain(report, limits, moves, words)
    if options:
        plain["options"] = [
            {
                "with": option_name(said, words),
                **{key: as_layouts_plain(one, words=words)[key] for key in OF_AN_OPTION},
                "changes": list(option_says(one, report, words)),
            }
            for said, one in options
        ]
    return json.dumps(plain, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_layouts_plain(
    report: LayoutReport,
    limits: LimitReport | None = None,
    moves: MoveReport | None = None,
    words: Words | None = None,
) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    plain: Plain = {"schema": SCHEMA, "core": report.core, "rules": report.rules, "tables": report.rules_hash}
    plain |= {
        "modules": report.modules,
        "says": list(summary(report, words)),
        "order": [{"column": one.code, "unit": one.unit, "first": one.better} for one in COLUMNS],
        "layouts": [_layout(one) for one in report.layouts],
    }
    if report.reason:
        plain["reason"] = {"by": report.reason.by, "second_is_better_in": list(report.reason.better)}
    plain |= {
        "fails_everywhere": [_key(key) for key in report.everywhere],
        "not_tried": report.left_off,
        "needs": {"day": list(report.day_needs), "faults": list(report.fault_needs)},
        "remarks": list(notes(words)),
    }
    if limits:
        plain["limits"] = [_limit(one) for one in limits.limits]
        plain["limit_remarks"] = list(limit_notes(limits, words))
    if moves:
        plain["moves"] = [_move(one) for one in moves.moves]
        plain["moves_say"] = list(moves_say(moves, words))
    return plain | {
        "caution": words("text.caution"),
        "design": {path: given.said for path, given in report.design.values.items()},
    }


def _key(key: Key) -> Plain:
    return {"id": key[0], "part": key[1]}


def _layout(layout: Tried) -> Plain:
    plain: Plain = {}
    if layout.series:
        plain["change"] = {
            "array.modules_in_series": layout.series,
            "array.strings_in_parallel": layout.parallel,
        }
    plain |= {
        "own": layout.own,
        "left_out": layout.left_out,
        "state": state(layout),
        "verdict": layout.verdict.value,
        "verdict_with_wire_needed": layout.with_wire.value,
        "gives_way_first": _key(layout.gives_way) if layout.gives_way[0] else None,
        "room": _or_none(layout.room),
        "failing": [_key(key) for key in layout.failing],
        "quantities": {key: number(value) for key, value in layout.figures.items()},
        "string_fuse_needed": layout.fuses,
        "string_fuse_A": _or_none(layout.fuse_A),
        "wire": [
            {
                "run": one.run,
                "given": one.given,
                "least": one.size,
                "metres": _or_none(one.metres),
                "metal_m_mm2": _or_none(one.copper),
                "cost": _or_none(one.cost),
            }
            for one in layout.wires
        ],
        "charges": layout.charges,
        "worst_fault": layout.worst_fault,
        "half_shaded_left": _or_none(layout.shade_left),
        "columns": {code: _or_none(value) for code, value in layout.columns.items()},
    }
    return plain


def _or_none(value: float | None) -> float | str | bool | None:
    return None if value is None else number(value)


def _limit(limit: Limit) -> Plain:
    plain: Plain = {
        "limit": limit.code,
        "part": limit.part,
        "path": limit.path,
        "unit": limit.unit,
        "sense": "at most" if limit.most else "at least",
        "outcome": limit.outcome,
        "now": limit.now,
        "value": limit.value,
        "fails_at": limit.fails_at,
    }
    if limit.because[0]:
        plain["because"] = _key(limit.because)
    return plain | {"fails_anyway": [_key(key) for key in limit.open], "needs": list(limit.needs)}


def _move(move: Move) -> Plain:
    plain: Plain = {
        "move": move.code,
        "part": move.part,
        "doubt": move.doubt,
        "unit": move.unit,
        "now": _or_none(move.now),
        "now_unit": move.now_unit,
        "reach": _or_none(move.reach),
        "shift": _or_none(move.shift),
        "fails_at": _or_none(move.fails_at),
    }
    if move.because[0]:
        plain["because"] = _key(move.because)
    return plain
