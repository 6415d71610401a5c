"""The working of a day: each result as a step that names its method, its inputs and its sources."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from calc.model.assessment import Step, Value
from calc.model.day import DayReport, KeyDay, LayoutDay, Month, Year

SUN = "sun-position"
SKY = "clear-sky"
CURVE = "single-diode"
HEAT = "cell-temperature"
TABLES = "tables"
PLACE = ("latitude", "tilt", "azimuth", "elevation", "ground_albedo", "sunlight_beyond")
AIR = ("coldest", "hottest")
CONTROL = ("battery_lowest", "absorption", "start_margin", "run_margin", "own_drop", "rated_output")
EVERYTHING = (*PLACE, *AIR, *CONTROL)
ALL_SOURCES = (SUN, SKY, HEAT, CURVE, TABLES)


@dataclass(frozen=True, slots=True)
class _How:
    """How a result was found: the symbol, its unit, the code of the sentence, the inputs' names, and the sources."""

    symbol: str
    unit: str
    method: str
    takes: tuple[str, ...] = EVERYTHING
    cites: tuple[str, ...] = ALL_SOURCES


SUNRISE = _How("sunrise", "h", "sun-up", ("latitude",), (SUN,))
SUNSET = _How("sunset", "h", "sun-up", ("latitude",), (SUN,))
LIGHT = _How("insolation", "Wh/m2", "day-light", PLACE, (SUN, SKY, TABLES))
BEGINS = _How("begins", "h", "day-begins")
BEGINS_FULL = _How("begins_full", "h", "day-begins-full")
ENDS = _How("ends", "h", "day-ends")
ENERGY = _How("energy", "Wh", "day-energy")
CLIPPED = _How("clipped", "Wh", "day-clipped")
MONTH_LIGHT = replace(LIGHT, method="month-sum")
MONTH_ENERGY = replace(ENERGY, method="month-sum")
YEAR_LIGHT = replace(LIGHT, method="year-sum")
YEAR_ENERGY = replace(ENERGY, method="year-sum")
YEAR_CLIPPED = replace(CLIPPED, method="year-clipped")
YEAR_BEST = _How("best", "Wh", "year-best", (*PLACE, *AIR))
GIVEN_AWAY = _How("given_away", "Wh", "year-given-away")
RUN_LOSS = _How("loss_year", "Wh", "year-run-loss")
OTHER_SKY = _How("other_sky", "%", "other-sky", PLACE, (SUN, SKY, TABLES))
HUNDRED = 100.0


def notes(report: DayReport, values: Mapping[str, Value]) -> DayReport:
    """The same report with a step for each result of the design's own layout, from ``values`` by name."""
    steps: dict[str, Step] = {}
    for key, how, result in _results(report):
        known = {name: values[name] for name in how.takes if name in values}
        steps[key] = Step(key, how.symbol, "", how.method, known, result, how.unit, how.cites)
    return replace(report, steps=MappingProxyType(steps))


def _results(report: DayReport) -> Iterator[tuple[str, _How, float]]:
    own = report.own
    for day, taken in zip(report.days, own.days if own else (), strict=True):
        yield from _day(day, taken)
    for month in report.months:
        yield from _month(month)
    if report.year is not None:
        yield from _year(report.year, mppt=report.mppt)


def _day(day: KeyDay, taken: LayoutDay) -> Iterator[tuple[str, _How, float]]:
    start = f"day.{day.name}."
    yield f"{start}sunrise_h", SUNRISE, day.sunrise_h
    yield f"{start}sunset_h", SUNSET, day.sunset_h
    yield f"{start}insolation_Whm2", LIGHT, day.insolation_Whm2
    if taken.begins_h is not None and taken.ends_h is not None:
        yield f"{start}begins_h", BEGINS, taken.begins_h
        yield f"{start}ends_h", ENDS, taken.ends_h
    if day.full_begins_h is not None:
        yield f"{start}begins_full_h", BEGINS_FULL, day.full_begins_h
    yield f"{start}energy_Wh", ENERGY, taken.energy_Wh
    yield f"{start}clipped_Wh", CLIPPED, taken.clipped_Wh


def _month(month: Month) -> Iterator[tuple[str, _How, float]]:
    yield f"month.{month.month}.insolation_Whm2", MONTH_LIGHT, month.insolation_Whm2
    yield f"month.{month.month}.energy_Wh", MONTH_ENERGY, month.energy_Wh


def _year(year: Year, *, mppt: bool) -> Iterator[tuple[str, _How, float]]:
    yield "year.insolation_Whm2", YEAR_LIGHT, year.insolation_Whm2
    yield "year.energy_Wh", YEAR_ENERGY, year.energy_Wh
    yield "year.best_Wh", YEAR_BEST, year.best_Wh
    yield "year.clipped_Wh", YEAR_CLIPPED, year.clipped_Wh
    if not mppt:
        yield "year.given_away_Wh", GIVEN_AWAY, year.given_away_Wh
    for name, loss_Wh in year.run_loss_Wh.items():
        yield f"run.{name}.loss_year_Wh", RUN_LOSS, loss_Wh
    yield "year.other_sky_percent", OTHER_SKY, year.other_sky_share * HUNDRED
