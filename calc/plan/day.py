"""A whole design's day: when charging begins and ends, each month's energy, and every layout side by side."""

from collections.abc import Iterator
from datetime import date as calendar_date
from types import MappingProxyType

from calc.assess import CORE, assess
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Assumption, Finding, Unknown, Verdict
from calc.model.day import DAYS, DayReport, KeyDay, Layout, LayoutDay, Month, Year
from calc.model.design import Design
from calc.model.units import rounded
from calc.physics.curve import FitError
from calc.physics.day import Array, Battery, Charging, charging, charging_spans
from calc.physics.daylight import Daylight
from calc.plan.again import again_on
from calc.plan.day_inputs import MONTHS, Inputs, inputs
from calc.plan.day_notes import notes
from calc.plan.searching import joined
from calc.plan.shapes import nearest_shapes
from calc.tables import RuleBook

MOST_LAYOUTS = 8
HARM_ORDER = ("damage", "code", "energy")
STANDS_ON = ("site.", "module.", "string.", "array.mounting", "controller.", "battery.", "run.")
LEAVES_OUT = ("site.building", "site.rules", "controller.clipping_accepted", "controller.blocks_reverse")
OF_A_RUN = ("resistance", "conductor_temperature", "material")
OF_A_MODULE = ("noct", "voc_coefficient", "isc_coefficient", "rear_gain")


def day_of(
    design: Design, book: RuleBook, assessment: Assessment | None = None, *, year: bool = True
) -> DayReport:
    """What does a design do through the day, under a clear sky?

    Each layout of the same modules (as many in series times as many in parallel) is followed through the shortest day,
    an equinox and the longest day; the design's own also through one day that stands for each month. A layout is
    checked as a whole, so that none is shown without saying whether it may be built.

    Cites:
        calc.physics.day, calc.physics.daylight, calc.physics.sky, calc.physics.sun, calc.physics.curve

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already; worked out when left out.
        year: whether the months and the year are wanted; without them it takes half as long.

    Refuses nothing: what is missing stands in the report's ``needs``, a module that no curve fits in its ``reason``.
    """
    about = (CORE, book.id, book.hash, design)
    try:
        trace, found = inputs(design, book, assessment)
    except FitError:
        return DayReport(*about, reason="no-curve")
    if isinstance(found, Unknown):
        return DayReport(*about, needs=found.paths)
    array = found.array()
    suns = {name: found.day(*found.key_date(name)) for name in DAYS}
    own = {name: charging(suns[name], array, found.controller, found.battery) for name in DAYS}
    months = _months(found, array) if year else []
    report = DayReport(
        *about,
        mppt=found.controller.mppt,
        power_stc_W=float(trace.steps["power_stc_W"].result),
        days=tuple(_key_day(name, suns[name], found, array) for name in DAYS),
        layouts=tuple(_layouts(design, book, found, suns, own, assessment)),
        months=tuple(_month(book, number, *of_day) for number, of_day in enumerate(months, 1)),
        year=_year(found, months) if year else None,
        assumptions=tuple(_assumed(trace)),
        left_out=found.left_out,
    )
    return notes(report, found.values)


def _key_day(name: str, sun: Daylight, found: Inputs, array: Array) -> KeyDay:
    month, date = found.key_date(name)
    absorbing = Battery(found.battery.noon_V, found.battery.noon_V)
    full = charging_spans(sun, array, found.controller, absorbing)
    return KeyDay(
        name=name,
        month=month,
        date=date,
        sunrise_h=rounded(sun.sunrise),
        sunset_h=rounded(sun.sunset),
        clock_at_noon_h=None if found.longitude_deg is None else rounded(sun.clock_at_noon_h),
        insolation_Whm2=rounded(sun.insolation()),
        light_Wm2=tuple((rounded(one.hour), rounded(one.irradiance_Wm2)) for one in sun.moments),
        full_begins_h=rounded(full[0][0]) if full else None,
    )


def _layouts(
    design: Design,
    book: RuleBook,
    found: Inputs,
    suns: dict[str, Daylight],
    own: dict[str, Charging],
    assessment: Assessment | None,
) -> Iterator[Layout]:
    """The design's own layout and every other rectangle of as many modules, fewest in series first."""
    kind = found.kinds[0]
    series, parallel = (kind.series, kind.parallel) if len(found.kinds) == 1 else (0, 0)
    shapes = [(series, parallel)] if design.strings else nearest_shapes(series, parallel, MOST_LAYOUTS)
    for shape in shapes:
        is_own = shape == (series, parallel)
        if is_own:
            taken, checked = own, assessment or assess(design, book)
        else:
            array = found.array(*shape)
            taken = {name: charging(suns[name], array, found.controller, found.battery) for name in DAYS}
            checked = again_on(design, book).other(joined(shape)).now
        days = tuple(_layout_day(name, taken[name]) for name in DAYS)
        yield Layout(*shape, is_own, checked.verdict, _because(checked), days)


def _because(assessment: Assessment) -> tuple[str, str]:
    """The failing finding that costs most, by id and part; empty where none fails."""
    failing: list[Finding] = [one for one in assessment.findings if one.verdict is Verdict.FAILS]
    worst = min(failing, key=lambda one: HARM_ORDER.index(one.harm), default=None)
    return ("", "") if worst is None else (worst.id, worst.part)


def _layout_day(name: str, taken: Charging) -> LayoutDay:
    return LayoutDay(
        day=name,
        spans=tuple((rounded(begin), rounded(end)) for begin, end in taken.spans),
        energy_Wh=rounded(taken.energy_Wh),
        clipped_Wh=rounded(taken.clipped_Wh),
        best_Wh=rounded(taken.best_Wh),
        course_W=tuple(
            tuple((rounded(one.hour), rounded(one.power_W)) for one in span) for span in taken.course
        ),
    )


def _months(found: Inputs, array: Array) -> list[tuple[Daylight, Charging]]:
    """The day that stands for each month, and what the design's own layout takes on it."""
    table = found.book.table("day_months")
    suns = [
        found.day(month, int(table.cell("day", month=float(month)).number)) for month in range(1, MONTHS + 1)
    ]
    return [(sun, charging(sun, array, found.controller, found.battery)) for sun in suns]


def _days_in(book: RuleBook, month: int) -> int:
    year = int(book.scalar("day_year").number)
    following = calendar_date(year + month // MONTHS, month % MONTHS + 1, 1)
    return (following - calendar_date(year, month, 1)).days


def _month(book: RuleBook, number: int, sun: Daylight, taken: Charging) -> Month:
    days = _days_in(book, number)
    return Month(number, days, rounded(sun.insolation() * days), rounded(taken.energy_Wh * days))


def _year(found: Inputs, months: list[tuple[Daylight, Charging]]) -> Year:
    """The year's sums: each month's day as often as the month has days."""
    counts = [_days_in(found.book, month) for month in range(1, MONTHS + 1)]
    suns, taken = [sun for sun, _ in months], [one for _, one in months]

    def total(values: Iterator[float]) -> float:
        return sum(count * value for count, value in zip(counts, values, strict=True))

    energy, clipped = total(one.energy_Wh for one in taken), total(one.clipped_Wh for one in taken)
    best = total(one.best_Wh for one in taken)
    strings = sum(kind.parallel for kind in found.kinds)
    squared = total(one.squared_A2h for one in taken)
    share = {
        "array": squared,
        "string": squared / strings,
        "battery": total(one.charge_squared_A2h for one in taken),
    }
    level = [sun.second_opinion() for sun in suns]
    ours, other = (total(pair[place] for pair in level) for place in (0, 1))
    return Year(
        energy_Wh=rounded(energy),
        clipped_Wh=rounded(clipped),
        best_Wh=rounded(best),
        given_away_Wh=rounded(max(best - energy - clipped, 0.0)),
        run_loss_Wh=MappingProxyType({run.name: rounded(share[run.carries] * run.ohm) for run in found.runs}),
        insolation_Whm2=rounded(total(sun.insolation() for sun in suns)),
        other_sky_share=rounded(other / ours - 1.0) if ours else 0.0,
    )


def _assumed(trace: Trace) -> Iterator[Assumption]:
    """The assumptions that the day stands on."""
    for path, one in trace.assumptions.items():
        section, last = path.partition(".")[0], path.rpartition(".")[2]
        if not path.startswith(STANDS_ON) or path in LEAVES_OUT:
            continue
        if section == "run" and last not in OF_A_RUN:
            continue
        if ("module." in path or section == "module") and last not in OF_A_MODULE:
            continue
        yield one
