"""When a lesson's design begins and ends to charge, for its text: hours of sun time and energies from the core."""

from functools import lru_cache

from coursebook import CodeError, design_of, file_of
from markupsafe import escape

from calc import Assessment, load_book
from calc.model.day import DAYS, DayReport
from calc.plan.day import day_of
from calc.render.day.figures import clock, energy

WANTED = ("begins", "ends", "full", "energy")


@lru_cache(maxsize=64)
def _report(file: str) -> DayReport:
    return day_of(design_of(file), load_book(), year=False)


def day_told(code: str, assessment: Assessment) -> str:
    """``longest begins``: a day, and what is told of it; ``full`` is when it begins with the battery nearly full."""
    name, _, what = code.partition(" ")
    if name not in DAYS or what not in WANTED:
        raise CodeError(
            f"no day is told as {code!r}; wanted one of {', '.join(DAYS)}, then one of {', '.join(WANTED)}"
        )
    report = _report(file_of(assessment))
    own = report.own
    if own is None:
        raise CodeError("this design has no day: it lacks the latitude, or more")
    here = own.days[DAYS.index(name)]
    hours = {
        "begins": here.begins_h,
        "ends": here.ends_h,
        "full": report.days[DAYS.index(name)].full_begins_h,
    }
    if what == "energy":
        return _number(str(energy(here.energy_Wh)))
    hour = hours[what]
    if hour is None:
        raise CodeError(f"on this day the design does not charge, so {what!r} has no hour")
    return _number(clock(hour))


def _number(text: str) -> str:
    return f'<span class="q">{escape(text)}</span>'
