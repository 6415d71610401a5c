"""The list of parts as canonical JSON and as CSV; same design, same bytes."""

import csv
import io
import json
from collections.abc import Iterable

from calc.model.assessment import Remark
from calc.model.parts import CouplerPlan, CouplerPlans, Joint, Length, PartLine, Parts
from calc.model.units import convert
from calc.render.as_json import number
from calc.render.catalogue import Words, load_words
from calc.render.make.couplers import couplers_say, halves_view
from calc.render.make.says import follows_say, name_of, rating_says, says, spans

SCHEMA = "arraybook/parts/1"
RISKY = ("=", "+", "-", "@", "\t")
"""A cell that begins so could be taken for a formula by a spreadsheet."""
COLUMNS = (
    "group",
    "count",
    "part",
    "called",
    "marks",
    "rating",
    "each_ft",
    "total_ft",
    "each_m",
    "total_m",
    "comes_from",
    "needs",
)

Plain = dict[str, object]


def as_parts_json(parts: Parts, words: Words | None = None) -> str:
    """The whole list as one JSON text."""
    return json.dumps(as_parts_plain(parts, words), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_parts_plain(parts: Parts, words: Words | None = None) -> Plain:
    """The same as plain dictionaries and lists, in order."""
    words = words or load_words()
    about = parts.about
    halves = halves_view(parts, words)
    return {
        "schema": SCHEMA,
        "core": about.core,
        "rules": about.rules,
        "tables": about.rules_hash,
        "verdict": about.verdict.value,
        "caution": words("make.beware"),
        "parts": [_line(line, words) for line in parts.lines],
        "connectors": {
            "plus_halves": halves.plus,
            "minus_halves": halves.minus,
            "by_housing": halves.housing,
            "by_contact": halves.contact,
            "why": halves.why,
            "on": [
                {"part": one.code, "plus": one.plus, "minus": one.minus, "to_crimp": one.loose}
                for one in parts.halves
            ],
        },
        "couplers": _plans(parts.plans, words),
        "wiring": {
            "parts": [
                {"mark": part.mark, "part": part.code, "ports": [port.name for port in part.ports]}
                for part in parts.net.parts.values()
            ],
            "joints": [_joint(joint) for joint in parts.net.joints],
        },
        "design": {path: given.said for path, given in about.design.values.items()},
    }


def _line(line: PartLine, words: Words) -> Plain:
    plain: Plain = {
        "group": line.group,
        "part": line.code,
        "name": name_of(line, words),
        "called": line.called,
        "count": line.count,
        "marks": list(line.marks),
        "ratings": [
            {
                "of": one.code,
                "value": number(one.value.value),
                "unit": one.value.unit,
                "at_least": one.least,
                "origin": one.value.origin,
            }
            for one in line.ratings
        ],
    }
    if line.length is not None:
        plain["length"] = _length(line.length)
    return plain | {
        "notes": [_note(note, words) for note in line.notes],
        "comes_from": list(line.follows),
        "needs": list(line.needs),
    }


def _note(note: Remark, words: Words) -> str:
    return says("make.note", note, words)


def _length(length: Length) -> Plain:
    return {
        f"{name}_{unit}": _in(value, unit)
        for name, value in (("each", length.each_m), ("total", length.total_m), ("buy", length.buy_m))
        for unit in ("ft", "m")
    }


def _in(value: float | None, unit: str) -> float | None:
    return None if value is None else float(number(convert(value, "m", unit)))


def _joint(joint: Joint) -> list[str]:
    return [" ".join(joint.one), " ".join(joint.other)]


def _plans(plans: CouplerPlans, words: Words) -> Plain:
    return {
        "strings": plans.strings,
        "ways": [_plan(plan) for plan in plans.plans],
        "says": couplers_say(plans, words),
    }


def _plan(plan: CouplerPlan) -> Plain:
    return {
        "inlets": plan.inlets,
        "own": plan.own,
        "holds": plan.holds,
        "couplers": plan.couplers,
        "caps": plan.caps,
        "gives_way": plan.gives_way,
        "stages": [
            {
                "number": stage.number,
                "inlets": stage.inlets,
                "takes": list(stage.takes),
                "joined": stage.joined,
                "current_A": number(stage.current_A),
                "rating_A": number(stage.rating_A),
                "least_rating_on_sale_A": stage.least_class_A,
                "holds": stage.holds,
            }
            for stage in plan.stages
        ],
    }


def as_parts_csv(parts: Parts, words: Words | None = None) -> str:
    """The list as CSV with a heading, one part a line; lengths in feet and in metres."""
    words = words or load_words()
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in parts.lines:
        writer.writerow([_safe(cell) for cell in _cells(line, words)])
    return text.getvalue()


def _cells(line: PartLine, words: Words) -> Iterable[str]:
    length = line.length or Length(None, None)
    yield words(f"make.group.{line.group}")
    yield "" if line.count is None else str(line.count)
    yield name_of(line, words)
    yield line.called
    yield spans(line.marks, words).replace("\N{NO-BREAK SPACE}", " ")
    yield "; ".join(rating_says(one, words) for one in line.ratings).replace("\N{NO-BREAK SPACE}", " ")
    for unit in ("ft", "m"):
        for value in (length.each_m, length.total_m):
            yield "" if value is None else f"{convert(value, 'm', unit):.1f}"
    yield follows_say(line, words)
    yield ", ".join(line.needs)


def _safe(cell: str) -> str:
    """The cell as text: one that a spreadsheet could take for a formula gets an apostrophe in front."""
    return f"'{cell}" if cell.startswith(RISKY) else cell
