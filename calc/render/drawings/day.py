"""The day by layout: the light as a quiet ground, the power of each layout over it, and when each begins and ends.

Two days share one scale of hours, the shortest above the longest. The ground reaches the line of the label's power
where the light is that of a label, so that the gap between ground and curve is what heat and the controller take.
"""

from dataclasses import dataclass
from math import ceil, floor

from calc.model.day import DAYS, Course, DayReport, KeyDay, Layout, LayoutDay
from calc.render.catalogue import Words
from calc.render.day.figures import KILO, clock, dated, energy, hours, layout_name
from calc.render.drawings.svg import NOTE, WIDTH, Canvas, Figure, wide
from calc.render.numbers import show_text

NAME = "day-by-layout"
DRAWN = ("shortest", "longest")
LEFT, RIGHT = 6.0, 334.0
HEAD, PLOT, AXIS, ROW, APART = 24.0, 104.0, 20.0, 18.0, 20.0
STRONG = 1.12  # the plot's top, as a share of the label's light and power: a clear noon can pass the label
LABEL_LIGHT_WM2 = 1000.0
MOST = 4  # layouts drawn; the table has them all
TICKS = 4  # hours from one tick to the next
STYLES = ("d-wire-minus", "d-dots", "d-dash")  # after the design's own, which is a plain line in the accent
OWN = "d-room"
SAMPLE = (LEFT, 34.0)
LAYOUT, BEGINS, ENDS, BRINGS = 42.0, 204.0, 254.0, RIGHT
BESIDE, ABOVE = 5.0, 9.0  # from a line to the words that go with it


@dataclass(frozen=True, slots=True)
class _Plot:
    """Where hours and powers stand in one day's plot."""

    top: float
    first: int
    last: int
    label_W: float

    @property
    def floor(self) -> float:
        """The line of no light and no power."""
        return self.top + PLOT

    def x(self, hour: float) -> float:
        """Where an hour stands."""
        return LEFT + (RIGHT - LEFT) * (hour - self.first) / (self.last - self.first)

    def y(self, share: float) -> float:
        """Where a share of the label's light or power stands; beyond the top it is cut off there."""
        return self.floor - PLOT * min(share / STRONG, 1.0)


def day_drawing(report: DayReport, words: Words, system: str = "us") -> Figure | None:
    """Draw the shortest and the longest day by layout, with the table that says the same of all layouts.

    None where there is no day to draw.
    """
    if not report.layouts:
        return None
    canvas = Canvas()
    shown, first, last = drawn_layouts(report), *_hours(report)
    y = 0.0
    for day in report.days:
        if day.name in DRAWN:
            plot = _Plot(y + HEAD, first, last, report.power_stc_W or 1.0)
            canvas.text(LEFT, y + NOTE / 2 + 1, dated(day, words), "d-name")
            _ground(canvas, plot, day, report, words, system)
            _curves(canvas, plot, day, shown, words)
            _axis(canvas, plot)
            y = _rows(canvas, plot.floor + AXIS, day, shown, words, system) + APART
    svg = canvas.finish(
        y - APART + 4, name=NAME, title=words("drawing.day.title"), says=_says(report, shown, words, system)
    )
    return Figure(svg, _head(words), _table(report, words, system))


def drawn_layouts(report: DayReport) -> tuple[Layout, ...]:
    """The design's own layout first, then up to three others: all in parallel, all in series, and the next nearest."""
    own = next(layout for layout in report.layouts if layout.own)
    others = [layout for layout in report.layouts if not layout.own]
    ends = [others[place] for place in dict.fromkeys((0, len(others) - 1))] if others else []
    middle = sorted((one for one in others if one not in ends), key=lambda one: abs(one.series - own.series))
    chosen = (ends + middle)[: MOST - 1]
    return own, *sorted(chosen, key=lambda one: one.series)


def _hours(report: DayReport) -> tuple[int, int]:
    """The scale of hours: whole even ones around the longest of the days drawn."""
    up = [day for day in report.days if day.name in DRAWN and day.sunset_h > day.sunrise_h]
    earliest = min((day.sunrise_h for day in up), default=6.0)
    latest = max((day.sunset_h for day in up), default=18.0)
    return 2 * floor(earliest / 2), 2 * ceil(latest / 2)


def _ground(canvas: Canvas, plot: _Plot, day: KeyDay, report: DayReport, words: Words, system: str) -> None:
    """The light, and the line of the label's power."""
    if day.light_Wm2:
        course = [(plot.x(hour), plot.y(light / LABEL_LIGHT_WM2)) for hour, light in day.light_Wm2]
        canvas.area([(course[0][0], plot.floor), *course, (course[-1][0], plot.floor)], "d-cable")
    level = plot.y(1.0)
    canvas.line([(LEFT, level), (RIGHT, level)], "d-hair")
    power = show_text(report.power_stc_W, "W", system=system)
    canvas.text(RIGHT, level - ABOVE, words("drawing.day.power", power=power), "d-note", anchor="end")


def _curves(canvas: Canvas, plot: _Plot, day: KeyDay, shown: tuple[Layout, ...], words: Words) -> None:
    """Each layout's power, the design's own below the others so that dashes stay seen; and its beginning and end."""
    for place, layout in enumerate(shown):
        taken = _of(layout, day.name)
        for span in taken.course_W:
            canvas.line(_thinned(plot, span), _style(place))
    if not any(_of(layout, day.name).spans for layout in shown):
        said = words("drawing.day.nothing" if day.light_Wm2 else "drawing.day.dark")
        canvas.text((LEFT + RIGHT) / 2, plot.floor - ABOVE, said, "d-fails-text", anchor="middle")
    own = _of(shown[0], day.name)
    if own.begins_h is not None and own.ends_h is not None:
        _ends(canvas, plot, own.begins_h, own.ends_h, words)


def _ends(canvas: Canvas, plot: _Plot, begins: float, ends: float, words: Words) -> None:
    """The design's own beginning and end; their words stand outside where there is room, else inside under the top."""
    xs = plot.x(begins), plot.x(ends)
    said = tuple(
        words(f"drawing.day.{key}", hour=clock(hour)) for key, hour in (("begins", begins), ("ends", ends))
    )
    rooms = tuple(wide(text, NOTE, bold=True) + BESIDE for text in said)
    for x in xs:
        canvas.line([(x, plot.y(1.0)), (x, plot.floor)], "d-hair")
        canvas.circle(x, plot.floor, 2.6, "d-node")
    if xs[0] - rooms[0] >= LEFT and xs[1] + rooms[1] <= RIGHT:
        y, anchors, away = plot.floor - ABOVE, ("end", "start"), -BESIDE
    elif xs[1] - xs[0] >= sum(rooms) + BESIDE:
        y, anchors, away = plot.y(1.0) + ABOVE, ("start", "end"), BESIDE
    else:
        return
    for x, text, anchor, sign in zip(xs, said, anchors, (1, -1), strict=True):
        canvas.text(x + sign * away, y, text, "d-accent-text", anchor=anchor)


def _thinned(plot: _Plot, span: Course) -> list[tuple[float, float]]:
    return [(plot.x(hour), plot.y(power / plot.label_W)) for hour, power in span]


def _style(place: int) -> str:
    return OWN if place == 0 else STYLES[place - 1]


def _axis(canvas: Canvas, plot: _Plot) -> None:
    canvas.line([(LEFT, plot.floor), (RIGHT, plot.floor)], "d-line")
    for hour in range(plot.first, plot.last + 1):
        if hour % TICKS == 0:
            x = plot.x(hour)
            canvas.line([(x, plot.floor), (x, plot.floor + 4)], "d-line")
            said = clock(hour)
            half = wide(said, NOTE) / 2
            canvas.text(min(max(x, half), WIDTH - half), plot.floor + 12, said, "d-note", anchor="middle")


def _rows(
    canvas: Canvas, y: float, day: KeyDay, shown: tuple[Layout, ...], words: Words, system: str
) -> float:
    """A line of type for each layout: its stroke, its name, when it begins and ends, what it brings."""
    middle = y + ROW / 2
    for x, key in ((LAYOUT, "layout"), (BEGINS, "begins"), (ENDS, "ends"), (BRINGS, "brings")):
        anchor = "start" if key == "layout" else "end"
        canvas.text(x, middle, words(f"drawing.day.head.{key}"), "d-head", anchor=anchor)
    kilo = max(_of(layout, day.name).energy_Wh for layout in shown) >= KILO
    for place, layout in enumerate(shown):
        middle += ROW
        taken = _of(layout, day.name)
        canvas.line([(SAMPLE[0], middle), (SAMPLE[1], middle)], _style(place))
        css = "d-accent-text" if layout.own else "d-ink"
        canvas.text(LAYOUT, middle, layout_name(layout, words), css)
        if layout.verdict == "fails":
            name_ends = LAYOUT + wide(layout_name(layout, words), NOTE, bold=layout.own) + 6
            canvas.text(name_ends, middle, words("drawing.day.fails"), "d-fails-text")
        if taken.begins_h is None or taken.ends_h is None:
            canvas.text(BRINGS, middle, words("drawing.day.nothing"), "d-note", anchor="end")
            continue
        canvas.text(BEGINS, middle, clock(taken.begins_h), css, anchor="end")
        canvas.text(ENDS, middle, clock(taken.ends_h), css, anchor="end")
        brings = energy(taken.energy_Wh, system=system, kilo=kilo)
        canvas.text(BRINGS, middle, str(brings), css, anchor="end")
    return middle + ROW / 2


def _of(layout: Layout, day: str) -> LayoutDay:
    return next(one for one in layout.days if one.day == day)


def _says(report: DayReport, shown: tuple[Layout, ...], words: Words, system: str) -> str:
    """The drawing in sentences, for those who cannot see it."""
    said = []
    for day in report.days:
        if day.name not in DRAWN:
            continue
        if day.sunset_h <= day.sunrise_h:
            said.append(words("drawing.day.says.dark", day=dated(day, words)))
            continue
        up = {"rise": clock(day.sunrise_h), "set": clock(day.sunset_h)}
        said.append(words("drawing.day.says.day", day=dated(day, words), **up))
        for layout in shown:
            taken, name = _of(layout, day.name), layout_name(layout, words)
            if taken.begins_h is None or taken.ends_h is None:
                said.append(words("drawing.day.says.never", layout=name))
                continue
            hours = {"begins": clock(taken.begins_h), "ends": clock(taken.ends_h)}
            brings = energy(taken.energy_Wh, system=system)
            said.append(words("drawing.day.says.layout", layout=name, energy=brings, **hours))
    return " ".join(said)


def _head(words: Words) -> tuple[str, ...]:
    return (words("day.layouts.layout"), *(words(f"day.head.{name}") for name in DAYS))


def _table(report: DayReport, words: Words, system: str) -> tuple[tuple[str, ...], ...]:
    """Every layout with its hours and energy on each of the three days."""
    return tuple(
        (layout_name(layout, words), *(_span(taken, words, system) for taken in layout.days))
        for layout in report.layouts
    )


def _span(taken: LayoutDay, words: Words, system: str) -> str:
    if taken.begins_h is None or taken.ends_h is None:
        return words("day.layouts.not-at-all")
    return f"{hours(taken.begins_h, taken.ends_h)}, {energy(taken.energy_Wh, system=system)}"
