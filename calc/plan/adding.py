"""What happens when a module or a string is added to an array that stands, alike or unlike: every check is run again."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calc.assess import CORE, assess
from calc.derive.parts import Strings, string_groups
from calc.model.adding import LONGER, ONE_LONGER, OTHER, STRING, Addition, AddReport, Reopened, Yield
from calc.model.assessment import WORST_FIRST, Assessment, Finding, worst
from calc.model.design import Design, Given
from calc.model.units import rounded
from calc.plan.candidates import possible
from calc.plan.outcomes import Days, shortest_day
from calc.plan.shapes import COUNTS
from calc.tables import RuleBook

SERIES, PARALLEL = COUNTS
AS_IT_IS = (0, 0)
MODULE = "module."


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to add: what it is, to which kind of string, and the design after it."""

    code: str
    kind: int
    modules: int
    series: int
    after: Design
    change: Mapping[str, int]


def adding_of(
    design: Design, book: RuleBook, assessment: Assessment | None = None, *, other: Design | None = None
) -> AddReport:
    """What is opened again when modules are added to this array, and what does it gain?

    Tried are a string more of the same kind, one module more in every string, one more in a single string, and a string
    of the modules of another design. Each is the whole design after the change, put through every check; wires, couplers,
    fuses and controller stay as they are, so that what no longer fits is seen.

    Cites:
        calc.assess, calc.plan.outcomes

    Args:
        design: the array that stands.
        book: tables and assumptions.
        assessment: the design's own, where it is known already.
        other: a design whose module may be added; of its string as many as come nearest to the voltage that is there.

    Refuses nothing: ways that a design file could not say are left out, and so is the day where input is lacking.
    """
    now = assessment or assess(design, book)
    days = shortest_day(design, book, [AS_IT_IS])
    ways = [*_alike(design), *_one_longer(design), *_of_other(design, other)]
    return AddReport(
        core=CORE,
        rules=book.id,
        rules_hash=book.hash,
        design=design,
        now=now,
        brings=_yield(now, days),
        additions=tuple(_addition(way, now, book, days) for way in ways),
        day_needs=days.needs,
        no_curve=days.no_curve,
    )


def _addition(way: _Way, now: Assessment, book: RuleBook, days: Days) -> Addition:
    after = assess(way.after, book)
    known = days.needs or days.no_curve
    return Addition(
        code=way.code,
        kind=way.kind,
        modules=way.modules,
        series=way.series,
        label=_label(way),
        after=after,
        reopened=tuple(_reopened(now, after)),
        brings=_yield(after, days if known else shortest_day(way.after, book, [AS_IT_IS])),
        change=way.change,
    )


def _label(way: _Way) -> str:
    groups = string_groups(way.after)
    last = groups[-1] if way.code in (OTHER, ONE_LONGER) else groups[max(way.kind, 1) - 1]
    return way.after.text(last.module("label")) or ""


def _yield(assessment: Assessment, days: Days) -> Yield:
    power = assessment.steps.get("power_stc_W")
    brings = days.by_shape.get(AS_IT_IS)
    return Yield(
        power_W=None if power is None else rounded(float(power.result)),
        energy_Wh=None if brings is None else brings.energy_Wh,
        begins_h=None if brings is None else brings.begins_h,
    )


def _reopened(now: Assessment, after: Assessment) -> Iterator[Reopened]:
    """Questions whose verdict or values are others, those first that come out worst."""
    then, there = _by_place(now.findings), _by_place(after.findings)
    changed = [
        Reopened(then.get(place), there.get(place))
        for place in dict.fromkeys((*then, *there))
        if _other(then.get(place), there.get(place))
    ]
    split = _split_alike(changed)
    changed = [one for one in changed if one.finding.id not in split or (one.before and one.after)]
    yield from sorted(changed, key=lambda one: (not one.turned, WORST_FIRST.index(one.finding.verdict)))


def _split_alike(changed: list[Reopened]) -> set[str]:
    """Questions that are only asked of each string apart now, and come out as before: by the finding's id."""
    gone = {one.before.id: one.before.verdict for one in changed if one.before and not one.after}
    return {
        key
        for key, verdict in gone.items()
        if (new := [one.after for one in changed if one.after and not one.before and one.after.id == key])
        and worst(tuple(new)) is verdict
    }


def _by_place(findings: tuple[Finding, ...]) -> dict[tuple[str, str, int], Finding]:
    """Findings by id, part and how often both were there before."""
    found: dict[tuple[str, str, int], Finding] = {}
    for one in findings:
        number = 0
        while (one.id, one.part, number) in found:
            number += 1
        found[one.id, one.part, number] = one
    return found


def _other(before: Finding | None, after: Finding | None) -> bool:
    if before is None or after is None:
        return True
    return (before.verdict, _number(before, "actual"), _number(before, "limit")) != (
        after.verdict,
        _number(after, "actual"),
        _number(after, "limit"),
    )


def _number(finding: Finding, name: str) -> float | str | bool | None:
    value = finding.actual if name == "actual" else finding.limit
    return None if value is None else rounded(value.value) if isinstance(value.value, float) else value.value


def _alike(design: Design) -> Iterator[_Way]:
    """A string more of each kind, and a module more in every string."""
    groups = string_groups(design)
    for group in groups:
        kind = group.number if len(groups) > 1 else 0
        series = _series(design, group)
        yield from _counted(design, STRING, kind, series, series, {group.parallel: group.count + 1})
    strings = sum(group.count for group in groups)
    longer = {group.series: _series(design, group) + 1 for group in groups}
    series = longer[groups[0].series] if len(groups) == 1 else 0
    yield from _counted(design, LONGER, 0, strings, series, longer)


def _counted(
    design: Design, code: str, kind: int, modules: int, series: int, counts: dict[str, int]
) -> Iterator[_Way]:
    """A way that changes counts alone; none where a design file may not count so far."""
    change = {path: Given(count, "", str(count)) for path, count in counts.items()}
    if possible(change):
        yield _Way(code, kind, modules, series, design.changed(change), MappingProxyType(counts))


def _one_longer(design: Design) -> Iterator[_Way]:
    """One module more in one of several strings, which is then unlike the others."""
    (group, *others) = string_groups(design)
    if others or group.count == 1:
        return
    series = _series(design, group)
    rest = {"modules_in_series": series, "strings_in_parallel": group.count - 1}
    one = {"modules_in_series": series + 1, "strings_in_parallel": 1}
    after = _with_strings(design, [(rest, {}), (one, {})])
    if possible({SERIES: Given(series + 1, "", str(series + 1))}):
        yield _Way(ONE_LONGER, 0, 1, series + 1, after, MappingProxyType({}))


def _vmp(design: Design, group: Strings) -> float:
    """The module's Vmp, which every design file says."""
    return float(design.values[group.module("vmp")].value)


def _of_other(design: Design, other: Design | None) -> Iterator[_Way]:
    """A string of another design's modules, of as many as come nearest to the voltage of the strings that are there."""
    groups = string_groups(design)
    here, there = groups[0], string_groups(other)[0] if other else None
    if other is None or there is None:
        return
    if {name: one.value for name, one in _module(design, here).items()} == {
        name: one.value for name, one in _module(other, there).items()
    }:
        return
    volts, each = _vmp(design, here), _vmp(other, there)
    series = max(1, round(_series(design, here) * volts / each))
    start = there.module("")
    module = {
        path.removeprefix(start): given for path, given in other.values.items() if path.startswith(start)
    }
    kept = [
        (
            {"modules_in_series": _series(design, group), "strings_in_parallel": group.count},
            _own(design, group),
        )
        for group in groups
    ]
    one = {"modules_in_series": series, "strings_in_parallel": 1}
    after = _with_strings(design, [*kept, (one, module)])
    yield _Way(OTHER, 0, series, series, after, MappingProxyType({}))


def _own(design: Design, group: Strings) -> dict[str, Given]:
    """The module values of a group that has a module of its own; none where it is the common one."""
    return {} if group.module("") == MODULE else _module(design, group)


def _module(design: Design, group: Strings) -> dict[str, Given]:
    """The values of a group's module by name."""
    start = group.module("")
    return {
        path.removeprefix(start): given for path, given in design.values.items() if path.startswith(start)
    }


def _with_strings(design: Design, strings: list[tuple[dict[str, int], dict[str, Given]]]) -> Design:
    """The design with these strings in place of its own: counts, and a module of its own where there is one."""
    values = {
        path: given
        for path, given in design.values.items()
        if path not in COUNTS and not path.startswith("string.")
    }
    for number, (counts, module) in enumerate(strings, 1):
        values |= {f"string.{number}.{name}": Given(count, "", str(count)) for name, count in counts.items()}
        values |= {f"string.{number}.{MODULE}{name}": given for name, given in module.items()}
    return Design(
        MappingProxyType(values),
        design.runs,
        strings=len(strings),
        couplers=design.couplers,
        notes=design.notes,
    )


def _series(design: Design, group: Strings) -> int:
    return int(design.number(group.series) or 1)
