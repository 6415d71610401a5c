"""Cases, reasons, remarks and cautions in sentences of the word catalogue, for every renderer alike."""

from collections.abc import Iterable, Mapping

from calc.model.assessment import Remark, Value
from calc.model.faults import KINDS, FaultCase, FaultLayout, FaultReport, Resting, Reverse, Saying
from calc.render.catalogue import Words
from calc.render.drawings.plot import watts
from calc.render.fields import field_label
from calc.render.numbers import NO_BREAK, show_text

_HUNDRED = 100.0
LEAST = 0.001
"""A share below this is said to be less, so that it does not look like none."""

NOTHING_BEFORE = "nothing-before"
"""The reason of every case of a layout that gives nothing even when nothing is wrong."""

NOTED = ("even", "diode", "hot-spot")
"""What no design has counted, whatever it gives."""


def percent(share: float | None) -> str:
    """A share in percent with one decimal: 98.2 %, 50.0 %; nothing where there is no whole."""
    if share is None:
        return ""
    if 0.0 < share < LEAST:
        return f"<{NO_BREAK}{_HUNDRED * LEAST:.1f}{NO_BREAK}%"
    return f"{_HUNDRED * share:.1f}{NO_BREAK}%"


def case_name(case: FaultCase, words: Words, *, short: bool = False) -> str:
    """What befalls the array, with the kind of string where kinds differ; ``short`` for the head of a column."""
    name = words(f"faults.{'short' if short else 'case'}.{case.kind}", number=_number(case), count=case.count)
    return words("faults.string", number=case.string, name=name) if case.string else name


def all_cases(layouts: Iterable[FaultLayout], words: Words) -> dict[str, str]:
    """The short name of every case that any of the layouts has, by its id, in one order for all."""
    found = {case.id: case for layout in layouts for case in layout.cases}
    order = sorted(found.values(), key=_order)
    return {case.id: case_name(case, words, short=True) for case in order}


def _order(case: FaultCase) -> tuple[bool, int, int, int, float]:
    """What befalls one kind of string after the other, then what befalls several at once."""
    place = KINDS.index(case.kind)
    return case.kind == KINDS[-1], case.string, place, case.count, case.number or 0.0


def _number(case: FaultCase) -> str:
    if case.number is None:
        return ""
    return show_text(case.number, "%") if case.kind.startswith("shade") else f"{case.number:.0f}"


def layout_name(layout: FaultLayout, words: Words) -> str:
    """How the modules are joined: 2 in series, 2 in parallel."""
    if not layout.series:
        return words("faults.unlike")
    return words("faults.layout", series=layout.series, parallel=layout.parallel)


def layout_sign(layout: FaultLayout, words: Words) -> str:
    """The same for the head of a column: 2 × 2."""
    return (
        f"{layout.series}{NO_BREAK}×{NO_BREAK}{layout.parallel}"
        if layout.series
        else words("faults.unlike-sign")
    )


def reason_for_all(layout: FaultLayout, words: Words, system: str = "us") -> str:
    """Why nothing is left in any case, where a layout gives nothing even when nothing is wrong; said once for all."""
    reasons = [case.reason for case in layout.cases if case.reason.code == NOTHING_BEFORE]
    return says("reason", reasons[0], words, system) if reasons else ""


def own_reason(case: FaultCase, words: Words, system: str = "us") -> str:
    """Why a case leaves what it leaves; nothing where the reason was said for all cases."""
    return "" if case.reason.code == NOTHING_BEFORE else says("reason", case.reason, words, system)


def says(kind: str, remark: Remark, words: Words, system: str = "us") -> str:
    """A reason, remark or danger in words, with its numbers set in; ``kind`` is the table of the catalogue."""
    values = {name: _printed(name, value, words, system) for name, value in remark.values.items()}
    return words(f"faults.{kind}.{remark.code}", **values)


def _printed(name: str, value: Value, words: Words, system: str) -> str:
    if isinstance(value.value, str):
        return words(f"faults.{name}.{value.value}") if value.value else ""
    if name == "others":
        number = round(value.number)
        return words(f"faults.others.{'one' if number == 1 else 'more'}", number=number)
    return watts(value.number) if value.unit == "W" else show_text(value.number, value.unit, system=system)


def left(resting: Resting) -> str:
    """Power and its share: 325 W, 94.9 %."""
    share = percent(resting.share)
    return f"{watts(resting.power_W)}, {share}" if share else watts(resting.power_W)


def reverse_says(reverse: Reverse, words: Words, system: str = "us") -> str:
    """What flows back, beside the rule's sum and what the module bears."""
    shown = {
        name: show_text(value, "A", system=system)
        for name, value in (
            ("current", reverse.curve_A),
            ("rule", reverse.rule_A),
            ("limit", reverse.limit_A),
        )
        if value is not None
    }
    kind = "plain" if "rule" not in shown else "limit" if "limit" in shown else "rule"
    return words(f"faults.reverse-says.{kind}", **shown)


def missing(report: FaultReport, words: Words) -> str:
    """Why there is nothing to show: inputs that are missing, or a module that no curve fits; else empty."""
    if report.reason:
        return words(f"faults.reason-none.{report.reason}")
    if report.needs:
        return words("faults.needs", needs=", ".join(field_label(path, words) for path in report.needs))
    return ""


def conditions(report: FaultReport, words: Words, system: str = "us") -> str:
    """Sun, heat and diodes, and what charging needs."""
    values: Mapping[str, float] = report.values
    groups = round(values["groups"])
    said = words(
        "faults.conditions",
        light=show_text(values["light_Wm2"], "W/m2", system=system),
        cell=show_text(values["cell_degC"], "degC", system=system, both=True),
        diodes=words(f"faults.diodes.{'one' if groups == 1 else 'more'}", number=groups),
        drop=show_text(values["bypass_V"], "V", system=system),
    )
    if not values["least_V"]:
        return said
    return f"{said} {words('faults.charging', least=show_text(values['least_V'], 'V', system=system))}"


def not_counted(report: FaultReport, words: Words) -> tuple[str, ...]:
    """What was left out, by this design and by every one."""
    found = [words(f"faults.left-out.{code}", name=name) for code, name in report.left_out]
    return (*found, *(words(f"faults.left-out.{code}") for code in NOTED))


def saying_says(saying: Saying, layout: FaultLayout, words: Words) -> tuple[str, str]:
    """A rule of thumb, and where it is true and where not in this design."""
    names = {case.id: case_name(case, words, short=True) for case in layout.cases}
    title = words(f"faults.saying.{saying.code}")
    if not saying.true:
        return title, words("faults.nowhere")
    if not saying.false:
        return title, words("faults.everywhere")
    listed = (
        words(f"faults.{answer}", cases="; ".join(names[one] for one in ids))
        for answer, ids in (("true", saying.true), ("false", saying.false))
    )
    return title, " ".join(listed)
