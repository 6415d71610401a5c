"""The labels of a design, with its own figures."""

import math
from collections.abc import Mapping
from types import MappingProxyType

from calc.derive.parts import run_part, runs_carrying
from calc.make.look import Look
from calc.model.assessment import Remark, Value
from calc.model.parts import POLES, Label
from calc.model.units import convert

LAID_IN = ("conduit", "roof conduit")
FINE = 9
"""Decimals kept before a count is rounded up, so that 100 ft at 10 ft is ten gaps and not eleven."""


def labels_of(look: Look) -> tuple[Label, ...]:
    """Which labels does a design want, and what stands on them?

    Decides by its parts: one for the switch, one for the combiner, one at each end of each string, one every so far
    along a raceway. Figures are the working's own: the string's voltage on the coldest morning, 1.25 times Isc.

    Cites:
        690.7(D), 690.13(B), 690.15, 690.31, 690.33 (from memory)
    """
    return tuple(
        label
        for label in (
            _switch(look),
            _label(look, "both-sides", 1, _lines("shock", "both-sides")),
            _combiner(look),
            _fuses(look),
            _label(look, "string", len(look.strings) * len(POLES), _lines("string")),
            _label(look, "connectors", _connectors(look), _lines("not-under-load")),
            _conductors(look),
            _battery(look),
        )
        if label is not None
    )


def _label(
    look: Look,
    code: str,
    count: int | None,
    lines: tuple[Remark, ...],
    values: Mapping[str, Value] = MappingProxyType({}),
) -> Label:
    table = look.book.table("label_rules")
    clause = table.cell("clause", label=code).value
    said = (str(clause), table.edition, table.standing) if clause else ("", "", "our own choice")
    return Label(code, count, lines, *said, values=values)


def _lines(*codes: str) -> tuple[Remark, ...]:
    return tuple(Remark(code) for code in codes)


def _with(look: Look, **steps: tuple[str, str]) -> tuple[Remark, ...]:
    """A line for each figure that is known: by code, the name of its value and the step or input it comes from."""
    lines = []
    for code, (name, source) in steps.items():
        value = look.step(source) or look.given(source)
        if value is not None:
            lines.append(Remark(code.replace("_", "-"), {name: value}))
    return tuple(lines)


def _switch(look: Look) -> Label:
    figures = _with(
        look,
        max_voltage=("voltage", "voc_cold_string_V"),
        max_current=("current", "current_max_array_A"),
        charger_current=("current", "controller.rated_output_current"),
    )
    return _label(look, "switch", 1, (*_lines("switch"), *figures))


def _combiner(look: Look) -> Label | None:
    if not look.combined:
        return None
    strings = Remark("strings", {"count": Value(float(len(look.strings)), "", "step string_count")})
    figures = _with(
        look,
        max_voltage=("voltage", "voc_cold_string_V"),
        max_current=("current", "current_max_array_A"),
        fuse_size=("size", "string_fuse_A"),
    )
    return _label(look, "combiner", 1, (*_lines("combiner"), strings, *figures, *_lines("live-in-light")))


def _fuses(look: Look) -> Label | None:
    if not look.fuse_fitted:
        return None
    figures = _with(look, fuse_size=("size", "string_fuse_A"))
    count = len(look.strings) if look.fuse_inline else 1
    return _label(look, "fuses", count, (*_lines("not-under-load"), *figures))


def _connectors(look: Look) -> int:
    """One label for each coupler; where there is none, one at the array."""
    return max(len(POLES) * len(look.stages), 1)


def _conductors(look: Look) -> Label | None:
    """Labels along every run of the array that lies in a raceway; None where none does."""
    spacing = look.book.scalar("wiring_label_spacing")
    most = convert(spacing.number, spacing.unit, "m")
    count, known, laid = 0, True, False
    for name in (*runs_carrying(look.design, "string"), *runs_carrying(look.design, "array")):
        routing = look.design.text(run_part(name) + "routing")
        if routing is not None and routing not in LAID_IN:
            continue
        laid = True
        length = look.design.number(run_part(name) + "length")
        known = known and length is not None
        count += math.ceil(round((length or 0.0) / most, FINE)) + 1
    if not laid:
        return None
    values = {"spacing": Value(spacing.number, spacing.unit, spacing.origin)}
    return _label(look, "conductors", count if known else None, _lines("solar-circuit"), values)


def _battery(look: Look) -> Label | None:
    figures = _with(
        look,
        nominal=("voltage", "battery.nominal"),
        highest_charge=("voltage", "absorption_V"),
        device=("size", "battery.device"),
    )
    return _label(look, "battery", 1, (*_lines("battery"), *figures)) if figures else None
