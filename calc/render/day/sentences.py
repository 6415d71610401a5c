"""What a day comes to, in sentences of the word catalogue, for every renderer alike."""

from collections.abc import Iterator
from functools import reduce

from calc.model.assessment import Verdict
from calc.model.day import DAYS, DayReport, KeyDay, Layout, LayoutDay, Year
from calc.render.catalogue import Words
from calc.render.day.figures import clock, energy, layout_name, share, whole_percent, zone
from calc.render.fields import field_label
from calc.render.numbers import show_text

MINUTE = 1.0 / 60.0
HOURS_IN_ZONE_DEG = 15.0
SHORTEST, EQUINOX, LONGEST = DAYS


def missing(report: DayReport, words: Words) -> str:
    """Why there is no day: what is needed, or what does not fit; empty where there is one."""
    if report.needs:
        needs = ", ".join(field_label(path, words) for path in report.needs)
        return words("day.needs", needs=needs)
    return words(f"day.reason.{report.reason}") if report.reason else ""


def summary(report: DayReport, words: Words, system: str = "us") -> tuple[str, ...]:
    """The design's own layout on the shortest and on the longest day and in a year of clear days, and if it fails."""
    own = report.own
    if own is None:
        return ()
    said = [
        _charges(day, taken, words, system)
        for day, taken in zip(report.days, own.days, strict=True)
        if day.name != EQUINOX
    ]
    if report.year is not None:
        said.append(words("day.says.year", energy=energy(report.year.energy_Wh, system=system)))
    if own.verdict is Verdict.FAILS:
        said.append(words("day.says.fails", name=words(f"finding.{own.because[0]}.name")))
    return tuple(said)


def _charges(day: KeyDay, taken: LayoutDay, words: Words, system: str) -> str:
    name = words(f"day.name.{day.name}")
    if taken.begins_h is None or taken.ends_h is None:
        said = words("day.says.never" if day.light_Wm2 else "day.says.dark", day=name)
    else:
        said = words(
            "day.says.charges" if len(taken.spans) == 1 else "day.says.stops",
            begins=clock(taken.begins_h),
            ends=clock(taken.ends_h),
            day=name,
            energy=energy(taken.energy_Wh, system=system),
        )
    return said


def compared(report: DayReport, words: Words) -> tuple[str, ...]:
    """What the layouts side by side show: which begins earlier, and which never reaches the controller's voltage."""
    if len(report.layouts) < 2:  # noqa: PLR2004  # nothing to compare
        return ()
    said = []
    for layout in report.layouts:
        lit = [place for place, day in enumerate(report.days) if day.light_Wm2]
        never = [place for place in lit if not layout.days[place].spans]
        days = [words(f"day.name.{report.days[place].name}") for place in never]
        if days:
            key, name = "always" if never == lit else "some", layout_name(layout, words)
            together = reduce(lambda one, other: words("day.and", one=one, other=other), days)
            said.append(words(f"day.layouts.{key}-never", layout=name, days=together))
    said.append(_earlier(report, words))
    return tuple(filter(None, said))


def _earlier(report: DayReport, words: Words) -> str:
    """The day on which it makes the most difference how many modules are in series."""
    found: list[tuple[float, int, Layout, Layout]] = []
    for place in range(len(report.days)):
        begin = [one for one in report.layouts if one.days[place].spans]
        if len(begin) > 1:
            early = min(begin, key=lambda one: _begin(one, place))
            late = max(begin, key=lambda one: _begin(one, place))
            found.append((_begin(late, place) - _begin(early, place), place, early, late))
    if not found:
        return ""
    apart, place, early, late = max(found, key=lambda one: one[0])
    if apart < MINUTE:
        return words("day.layouts.alike")
    return words(
        "day.layouts.earlier",
        day=words(f"day.name.{report.days[place].name}"),
        early=layout_name(early, words),
        late=layout_name(late, words),
        earlier=clock(_begin(early, place)),
        later=clock(_begin(late, place)),
    )


def _begin(layout: Layout, place: int) -> float:
    """When a layout that charges on a day begins."""
    return layout.days[place].spans[0][0]


def remarks(report: DayReport, words: Words, system: str = "us") -> tuple[str, ...]:
    """What was taken as given, what is cut off, given away and turned into heat, and what is not counted."""
    if report.own is None:
        return ()
    return (
        _hours(report, words),
        *_taken(report, words, system),
        *(_of_year(report, report.year, words, system) if report.year is not None else ()),
        *(words(f"day.left-out.{code}", part=part) for code, part in report.left_out),
        words("day.more.first-light"),
        words("day.more.uncounted"),
    )


def _hours(report: DayReport, words: Words) -> str:
    day = report.days[0]
    longitude = report.design.number("site.longitude")
    if day.clock_at_noon_h is None or longitude is None:
        return words("day.more.sun-time")
    return words(
        "day.more.clock",
        zone=zone(round(longitude / HOURS_IN_ZONE_DEG)),
        clock=clock(day.clock_at_noon_h),
        day=words(f"day.name.{day.name}"),
    )


def _taken(report: DayReport, words: Words, system: str) -> Iterator[str]:
    """The battery through the day, and what the controller needs."""
    values = next(iter(report.steps[key] for key in report.steps if key.endswith("energy_Wh"))).values
    said = {name: show_text(value.number, value.unit, system=system) for name, value in values.items()}
    yield words("day.more.battery", lowest=said["battery_lowest"], absorption=said["absorption"])
    if report.mppt:
        yield words("day.more.margins", start=said["start_margin"], run=said["run_margin"])
    else:
        yield words("day.more.joined", drop=said["own_drop"])
    day = report.days[0]
    if day.light_Wm2:
        known = {"absorption": said["absorption"], "day": words(f"day.name.{day.name}")}
        if day.full_begins_h is None:
            yield words("day.more.full-never", **known)
        else:
            yield words("day.more.full", begins=clock(day.full_begins_h), **known)


def _of_year(report: DayReport, year: Year, words: Words, system: str) -> Iterator[str]:
    """The year's losses, each as an energy and a share."""
    if "rated_output" in report.steps["year.clipped_Wh"].values:
        lost = {
            "clipped": energy(year.clipped_Wh, system=system),
            "share": share(year.clipped_Wh, year.best_Wh),
        }
        yield words("day.more.clipped", **lost) if year.clipped_Wh else words("day.more.clipped-none")
    if not report.mppt:
        given = energy(year.given_away_Wh, system=system)
        yield words("day.more.given-away", given=given, share=share(year.given_away_Wh, year.best_Wh))
    for name, loss_Wh in year.run_loss_Wh.items():
        loss = energy(loss_Wh, system=system)
        yield words("day.more.run", run=name, loss=loss, share=share(loss_Wh, year.energy_Wh))
    more = "more" if year.other_sky_share >= 0.0 else "less"
    yield words(f"day.more.other-sky-{more}", share=whole_percent(year.other_sky_share))
