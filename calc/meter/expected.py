"""The meter sheet: what a meter should read now, string by string and joined, and how far it may be off."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from calc.assess import CORE
from calc.meter.inputs import Setup, setup
from calc.meter.predict import Reads, reads
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.meter import Band, Expected, MeterSheet, StringRow
from calc.model.units import convert, rounded, settled
from calc.physics.curve import FitError
from calc.plan.fault_inputs import assumed, left_out, working_of
from calc.tables import RuleBook

AIR, MODULE, ASSUMED = "air", "module", "assumed"
VOLTAGE, CURRENT = "V", "A"
SHAPES = {
    "voc": VOLTAGE,
    "isc": CURRENT,
    "current": CURRENT,
    "array-open": VOLTAGE,
    "array-voltage": VOLTAGE,
    "array-current": CURRENT,
}
"""Every quantity on the sheet with its unit."""

Of = Callable[[Reads], float | None]


def meter_sheet(
    design: Design,
    book: RuleBook,
    assessment: Assessment | None = None,
    *,
    sun: float | None = None,
    air: float | None = None,
    module: float | None = None,
) -> MeterSheet:
    """What should a meter read at this array now, before and after joining, and how far may it be off?

    Open-circuit voltage follows the module's curve at the sun and the cells' temperature, short-circuit current is
    proportional to the sun, and current and voltage at work are where the controller holds the joined array. Each band
    adds up what sun, heat, the modules as made and the meter can do at their worst.

    Cites:
        Single-diode model (calc.physics)
        Common practice (how far readings may differ)

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already; its working is used again.
        sun: in the plane of the modules, W/m2; None where it is not known.
        air: the air's temperature, degC; None where it is not known.
        module: the temperature of a module's back, degC, which then counts instead of the air's.

    Refuses nothing: what is missing stands in the sheet's ``needs`` and ``needs_after``, a module that no curve fits in
    its ``reason``. Where neither temperature is known, the middle of the site's coldest and hottest air is taken, with
    a band that reaches to both.
    """
    about = {"core": CORE, "rules": book.id, "rules_hash": book.hash, "design": design}
    trace = working_of(design, book, assessment)
    try:
        found = setup(trace)
    except FitError as error:
        return MeterSheet(**about, reason=error.reason)  # type: ignore[arg-type]
    moment = _Sheet(found, sun, air, module)
    return MeterSheet(
        **about,  # type: ignore[arg-type]
        sun_Wm2=sun,
        air_degC=air,
        module_degC=module,
        heat=moment.heat,
        cell_degC=tuple(rounded(cell) for cell in moment.cells()),
        rows=tuple(moment.rows()),
        array=tuple(moment.array()),
        way=moment.middle.way,
        alike=convert(book.scalar("alike_strings_within").number, "%", ""),
        needs_after=found.needs,
        assumptions=tuple(assumed(trace)),
        left_out=tuple(left_out(trace)),
        setup=found,
    )


@dataclass(frozen=True)
class Moment:
    """A design in the sun and heat of the moment, as far as they are known."""

    setup: Setup
    sun: float | None
    air: float | None
    module: float | None

    @property
    def heat(self) -> str:
        """What the cells' temperature is taken from."""
        return MODULE if self.module is not None else AIR if self.air is not None else ASSUMED

    @property
    def likely_sun(self) -> float:
        """The sun as read, else the middle of the range in which arrays are read, W/m2."""
        return sum(self._suns()) / 2.0 if self.sun is None else self.sun

    def _suns(self) -> tuple[float, float]:
        """The least and the most sun that it may be, W/m2."""
        if self.sun is None:
            table = self.setup.book.table("meter_sun_range")
            return table.cell("least").number, table.cell("most").number
        off = self.setup.unsure("sun")
        return self.sun * (1.0 - off), self.sun * (1.0 + off)

    @property
    def unsure_K(self) -> float:  # noqa: N802 - K is the unit
        """By how much the cells may be colder or hotter, K."""
        if self.heat == ASSUMED:
            coldest, hottest = self.setup.air_degC
            return (hottest - coldest) / 2.0 + self.setup.unsure(AIR)
        return self.setup.unsure(self.heat)

    def cells(self, sun: float | None = None, more_K: float = 0.0) -> tuple[float, ...]:
        """Temperature of the cells of each kind, degC."""
        if self.module is not None:
            return tuple(self.module + more_K for _ in self.setup.rises_K)
        air = sum(self.setup.air_degC) / 2.0 if self.air is None else self.air
        return self.setup.cells(self.likely_sun if sun is None else sun, air + more_K)

    def reads(self, sun: float, more_K: float = 0.0) -> Reads:
        """What the healthy array reads."""
        return reads(self.setup, self.setup.at(sun, self.cells(more_K=more_K)))[0]


class _Sheet(Moment):
    """The rows of a sheet, each from the reading expected and those at the ends of what sun and heat may be."""

    def __init__(self, found: Setup, sun: float | None, air: float | None, module: float | None) -> None:
        super().__init__(found, sun, air, module)
        low, high = self._suns()
        middle = self.reads(self.likely_sun)
        ends = {
            "sun": (self.reads(low), self.reads(high)),
            "heat": (self.reads(self.likely_sun, self.unsure_K), self.reads(self.likely_sun, -self.unsure_K)),
        }
        object.__setattr__(self, "middle", middle)
        object.__setattr__(self, "ends", ends)

    middle: Reads
    ends: dict[str, tuple[Reads, Reads]]

    def rows(self) -> Iterator[StringRow]:
        """One row for each string."""
        made = {
            place: tuple(self._expected(name, _of_string(place, name)) for name in ("voc", "isc", "current"))
            for place in range(len(self.setup.stand.kinds))
        }
        for name, place in zip(self.setup.names, self.setup.kinds, strict=True):
            voc, isc, current = made[place]
            if voc is None:
                raise TypeError("an open-circuit voltage is known in any sun")
            yield StringRow(name, self.setup.stand.kinds[place].number, voc, isc, current)

    def array(self) -> Iterator[Expected]:
        """The joined array, as far as it can be said."""
        of: dict[str, Of] = {
            "array-open": lambda one: one.open_V,
            "array-voltage": lambda one: one.voltage,
            "array-current": lambda one: one.current,
        }
        for name, take in of.items():
            expected = self._expected(name, take)
            if expected is not None:
                yield expected

    def _expected(self, name: str, of: Of) -> Expected | None:
        unit = SHAPES[name]
        value = of(self.middle)
        if value is None or (self.sun is None and unit == CURRENT):
            return None
        bands = tuple(self._bands(name, of, value)) if value > 0.0 else ()
        nothing = self.setup.book.table("meter_zero").cell("voltage" if unit == VOLTAGE else "current").number
        below = value * sum(band.below for band in bands) if bands else nothing
        above = value * sum(band.above for band in bands) if bands else nothing
        practice = "voc" if name in ("voc", "array-open") else "isc" if name == "isc" else ""
        within = (
            self.setup.book.table("meter_practice").cell("within", quantity=practice) if practice else None
        )
        return Expected(
            name,
            unit,
            rounded(value),
            # A band wider than the value ends at nothing: a healthy string never reads the other way round.
            rounded(max(value - below, 0.0) if bands else value - below),
            rounded(value + above),
            bands,
            None if within is None else convert(within.number, within.unit, ""),
        )

    def _bands(self, name: str, of: Of, value: float) -> Iterator[Band]:
        for code, ends in self.ends.items():
            found = [value if at is None else at for at in map(of, ends)]
            below, above = 1.0 - min(*found, value) / value, max(*found, value) / value - 1.0
            yield Band(code, rounded(settled(below)), rounded(settled(above)))
        kind = "voltage" if SHAPES[name] == VOLTAGE else "current"
        for code in ("made", "meter"):
            share = self.setup.unsure(f"{kind}_{code}")
            yield Band(code, share, share)


def _of_string(place: int, name: str) -> Of:
    def take(one: Reads) -> float | None:
        string = one.others[place]
        return {"voc": string.voc, "isc": string.isc, "current": string.current}[name]

    return take
