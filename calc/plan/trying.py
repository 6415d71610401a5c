"""One way to join the modules, put through every check, with the wire and the parts it needs."""

from collections.abc import Mapping
from types import MappingProxyType

from calc.derive.parts import run_part, runs_carrying, string_count
from calc.derive.sizes import area_mm2
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.layouts import WITH_WIRE, Tried, WireNeed
from calc.model.units import rounded
from calc.plan.again import Again, again_on
from calc.plan.ranking import Standing, least_room
from calc.plan.searching import Shape, failing, joined
from calc.plan.shapes import own_shape
from calc.plan.sizing import Sizing
from calc.tables import RuleBook

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
NO_PRICES: Prices = MappingProxyType({})
LEAVE_OUT, WIRE_PRICES = "layouts.leave_out", "layouts.wire_prices"
"""What a design file may wish of layouts."""
LATER: Mapping[str, float | None] = dict.fromkeys(("begins", "energy", "fault"))
"""Columns that are filled from the day and the faults."""


def tried(
    design: Design,
    book: RuleBook,
    shape: Shape,
    modules: int = 0,
    prices: Prices = NO_PRICES,
    known: Again | None = None,
) -> Tried:
    """One shape put through every check; what the day and faults bring is not in it yet.

    Args:
        design: as read.
        book: tables and assumptions.
        shape: modules in series and strings; (0, 0) is the design as it is.
        modules: how many the design has, to say how many are left out.
        prices: as for ``layouts_of``.
        known: the check of the design as it is.
    """
    own = shape == own_shape(design)
    again = known or again_on(design, book)
    again = again if own else again.other(joined(shape))
    other = again.design
    stands, sizing = again.now, Sizing(again)
    sizes = sizing.every()
    wired = sizing.with_sizes({name: size or sizing.largest(name) for name, size in sizes.items()})
    wires = tuple(_wire(other, book, name, size, prices) for name, size in sizes.items())
    columns = Standing(stands, wired).columns()
    fails = failing(wired if (columns["harm"] or 0) > WITH_WIRE else stands)
    nearest, room = least_room(stands)
    figures = {key: _result(stands, key) for key in FIGURES}
    return Tried(
        series=shape[0],
        parallel=shape[1],
        own=own,
        left_out=max(modules - shape[0] * shape[1], 0) if all(shape) else 0,
        verdict=stands.verdict,
        with_wire=wired.verdict,
        gives_way=fails[0] if fails else nearest,
        room=None if fails or room is None else rounded(room),
        failing=failing(stands),
        figures=MappingProxyType({key: value for key, value in figures.items() if value is not None}),
        fuses=_answer(stands, "string_fuse_needed"),
        fuse_A=_result(stands, "string_fuse_A"),
        wires=wires,
        charges=None,
        worst_fault="",
        shade_left=None,
        columns={**columns, **_of_wire(wires, wired), **LATER, "parts": float(_parts(other, stands))},
    )


def prices_of(design: Design) -> Prices:
    """The prices of wire that the design file gives; none where it gives none."""
    said = design.text(WIRE_PRICES)
    priced = (one.rpartition(" ") for one in said.split(", ")) if said else ()
    return MappingProxyType({size: float(price) for size, _, price in priced})


def left_out_by(design: Design) -> int | None:
    """How many modules may be left out, as the design file says; None where it does not say."""
    given = design.number(LEAVE_OUT)
    return None if given is None else int(given)


def _of_wire(wires: tuple[WireNeed, ...], wired: Assessment) -> dict[str, float | None]:
    """The columns that follow from the wire that is needed; empty where no size does."""
    does = all(one.size is not None for one in wires)
    return {
        "cost": _sum([one.cost for one in wires]),
        "copper": _sum([one.copper for one in wires]),
        "loss": _result(wired, "loss_W") if does else None,
    }


def _result(assessment: Assessment, step: str) -> float | None:
    found = assessment.steps.get(step)
    return None if found is None else rounded(float(found.result))


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
