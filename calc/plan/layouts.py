"""Every rectangular way to join a design's modules, each put through every check, and ranked by stated columns."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from calc.assess import CORE, assess
from calc.derive.parts import run_part, runs_carrying, string_count, string_groups
from calc.derive.sizes import area_mm2
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.fields import ARRAY
from calc.model.layouts import NOTHING_FAILS, WITH_WIRE, Key, LayoutReport, Tried, WireNeed
from calc.model.units import rounded
from calc.plan.outcomes import Brings, Days, Faults, shortest_day, what_faults_leave
from calc.plan.ranking import Standing, least_room, ranked, reason
from calc.plan.searching import Shape, failing, joined
from calc.plan.sizing import Sizing
from calc.tables import RuleBook

COUNTS = ("array.modules_in_series", "array.strings_in_parallel")
MOST_OF_A_KIND = int(min(field.high for field in ARRAY if field.path in COUNTS and field.high is not None))
"""Modules in series, and strings, that a design file may have."""
MOST_LAYOUTS = 64
MOST_LEFT_OUT = 3
"""Modules that are left out, one after the other, where no layout of all of them holds and nobody said how many."""
FIGURES = (
    "voc_cold_string_V",
    "vmp_hot_string_V",
    "vmp_hot_at_controller_V",
    "isc_array_A",
    "imp_array_A",
    "current_max_array_A",
    "charge_current_A",
    "power_stc_W",
    "drop_percent",
    "loss_W",
)

Prices = Mapping[str, float]
"""What one metre of a single wire costs, by its size (``6 AWG``), in any currency."""
NO_PRICES: Prices = {}


def layouts_of(
    design: Design, book: RuleBook, *, leave_out: int | None = None, prices: Prices = NO_PRICES
) -> LayoutReport:
    """Which is the best way to join these modules, and why?

    Every rectangle of as many modules in series times as many strings is checked as a whole, as the file stands and
    with the least wire that passes its checks. Copper and loss are those of that wire; the hour, the energy and what
    faults leave are those of the file's own wire. ``calc.model.layouts.COLUMNS`` is the order.

    Cites:
        calc.assess, calc.plan.day_inputs, calc.plan.faults

    Args:
        design: as read. With unlike strings its own layout is the only one.
        book: tables and assumptions.
        leave_out: the most modules that may be left out; by itself none, and up to three where nothing else holds.
        prices: by wire size, for one metre of a single wire; without them copper counts instead of cost.

    Refuses nothing: columns that lack input are empty, and the report names the inputs.
    """
    modules = _modules(design)
    found: dict[Shape, Tried] = {}
    off = 0
    for out in range((MOST_LEFT_OUT if leave_out is None else leave_out) + 1):
        shapes = [shape for shape in _shapes(design, modules - out) if shape not in found]
        kept = shapes[: MOST_LAYOUTS - len(found)]
        off += len(shapes) - len(kept)
        found |= {shape: tried(design, book, shape, modules, prices) for shape in kept}
        if leave_out is None and any((one.columns["harm"] or 0) <= WITH_WIRE for one in found.values()):
            break
    days = shortest_day(design, book, found)
    faults = what_faults_leave(design, book, () if days.no_curve else found)
    layouts = ranked(_told(one, shape, days, faults) for shape, one in found.items())
    return LayoutReport(
        core=CORE,
        rules=book.id,
        rules_hash=book.hash,
        design=design,
        modules=modules,
        layouts=layouts,
        reason=reason(layouts),
        everywhere=_everywhere(layouts),
        left_out=max(one.left_out for one in layouts),
        asked=leave_out is not None,
        left_off=off,
        day_needs=days.needs,
        fault_needs=faults.needs,
        no_curve=days.no_curve,
    )


def _modules(design: Design) -> int:
    return sum(int(design.number(group.series) or 0) * group.count for group in string_groups(design))


def _shapes(design: Design, modules: int) -> list[Shape]:
    """Every rectangle of so many modules, the design's own first; (0, 0) stands for a design with unlike strings."""
    own = _own(design)
    if not all(own):
        return [own]
    every = [
        (series, modules // series)
        for series in range(1, min(modules, MOST_OF_A_KIND) + 1)
        if modules % series == 0 and modules // series <= MOST_OF_A_KIND
    ]
    return sorted(every, key=lambda shape: (shape != own, shape))


def _own(design: Design) -> Shape:
    if design.strings:
        return 0, 0
    series, parallel = (int(design.number(path) or 0) for path in COUNTS)
    return series, parallel


def tried(
    design: Design, book: RuleBook, shape: Shape, modules: int = 0, prices: Prices = NO_PRICES
) -> Tried:
    """One shape put through every check; what the day and faults bring is not in it yet.

    Args:
        design: as read.
        book: tables and assumptions.
        shape: modules in series and strings; (0, 0) is the design as it is.
        modules: how many the design has, to say how many are left out.
        prices: as for ``layouts_of``.
    """
    other = design.changed(joined(shape))
    stands = assess(other, book)
    sizing = Sizing(other, book)
    sizes = sizing.every()
    wired = sizing.with_sizes({name: size or sizing.largest(name) for name, size in sizes.items()})
    standing = Standing(stands, wired)
    columns = standing.columns()
    wires = tuple(_wire(other, book, name, size, prices) for name, size in sizes.items())
    counted = standing.counted if (columns["harm"] or 0) > WITH_WIRE else stands
    fails = failing(counted)
    nearest, room = least_room(stands)
    return Tried(
        series=shape[0],
        parallel=shape[1],
        own=shape == _own(design),
        left_out=max(modules - shape[0] * shape[1], 0) if all(shape) else 0,
        verdict=stands.verdict,
        with_wire=wired.verdict,
        gives_way=fails[0] if fails else nearest,
        room=None if fails or room is None else rounded(room),
        failing=failing(stands),
        figures=MappingProxyType({key: _result(stands, key) for key in FIGURES if key in stands.steps}),
        fuses=_answer(stands, "string_fuse_needed"),
        fuse_A=_result(stands, "string_fuse_A") if "string_fuse_A" in stands.steps else None,
        wires=wires,
        charges=None,
        worst_fault="",
        shade_left=None,
        columns=columns
        | {
            "cost": _sum([one.cost for one in wires]),
            "copper": _sum([one.copper for one in wires]),
            "loss": _result(wired, "loss_W")
            if "loss_W" in wired.steps and None not in sizes.values()
            else None,
            "begins": None,
            "energy": None,
            "fault": None,
            "parts": float(_parts(other, stands)),
        },
    )


def _result(assessment: Assessment, step: str) -> float:
    return rounded(float(assessment.steps[step].result))


def _answer(assessment: Assessment, step: str) -> bool | None:
    found = assessment.steps.get(step)
    return None if found is None else bool(found.result)


def _wire(design: Design, book: RuleBook, name: str, size: str | None, prices: Prices) -> WireNeed:
    """The wire of one run: out and back, and for each string where it is a string's."""
    length = design.number(run_part(name) + "length")
    times = string_count(design) if name in runs_carrying(design, "string") else 1
    metres = None if length is None else rounded(2 * length * times)
    known = metres is not None and size is not None
    return WireNeed(
        run=name,
        given=design.text(run_part(name) + "size"),
        size=size,
        metres=metres,
        copper=rounded(metres * area_mm2(book, size)) if known else None,  # type: ignore[operator,arg-type]
        cost=rounded(metres * prices[size]) if known and size in prices else None,  # type: ignore[operator,index]
    )


def _sum(values: list[float | None]) -> float | None:
    """The sum; None where any is not known, or there is nothing to add."""
    known = [value for value in values if value is not None]
    return rounded(sum(known)) if known and len(known) == len(values) else None


def _parts(design: Design, assessment: Assessment) -> int:
    """Parts that layouts need more or fewer of: string fuses, couplers (one for each pole), wires of string runs."""
    strings = string_count(design)
    fused = _answer(assessment, "string_fuse_fitted") or _answer(assessment, "string_fuse_needed")
    stages = sum(
        1 for step in assessment.steps if step.startswith("coupler.") and step.endswith(".current_A")
    )
    return strings * bool(fused) + 2 * stages + 2 * strings * len(runs_carrying(design, "string"))


def _told(layout: Tried, shape: Shape, days: Days, faults: Faults) -> Tried:
    """The same with what its day brings and what faults leave."""
    brings: Brings | None = days.by_shape.get(shape)
    leaves = faults.by_shape.get(shape)
    columns = {
        "begins": None if brings is None else brings.begins_h,
        "energy": None if brings is None else brings.energy_Wh,
        "fault": None if leaves is None else leaves.fault,
    }
    return replace(
        layout,
        charges=None if brings is None else brings.begins_h is not None,
        worst_fault="" if leaves is None else leaves.case,
        shade_left=None if leaves is None else leaves.shade,
        columns=MappingProxyType({**layout.columns, **columns}),
    )


def _everywhere(layouts: tuple[Tried, ...]) -> tuple[Key, ...]:
    """What fails in every layout, with any wire."""
    common = [key for key in layouts[0].failing if all(key in one.failing for one in layouts)]
    return tuple(common) if all((one.columns["harm"] or NOTHING_FAILS) > WITH_WIRE for one in layouts) else ()


def in_turn(design: Design, book: RuleBook) -> Iterator[Tried]:
    """The layouts of all modules one by one, the design's own first: for whoever shows rows as they come."""
    modules = _modules(design)
    for shape in _shapes(design, modules):
        yield tried(design, book, shape, modules)
