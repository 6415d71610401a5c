"""An array's curves as its controller sees them: current above, power below, over one scale of volts.

Words stand outside the plots: what bounds the controller's window above them, what each line is below them. The marks
are where a controller works (filled) and where a tracker may stay instead (open).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from calc.model.curves import CurveReport, Rest, Sweep
from calc.render.catalogue import Words
from calc.render.drawings.plot import LEFT, RIGHT, Plot, ceiling, watts
from calc.render.drawings.svg import LEAD, NOTE, WIDTH, Canvas, Figure, lines, wide
from calc.render.numbers import show_text

HEAD, TALL, BETWEEN, FOOT = 30.0, 118.0, 36.0, 26.0
NEAR = 1.3  # a limit up to this many times the highest voltage stands on the scale
STYLES = ("d-room", "d-dash")  # the curve that matters most, and the other one
SAMPLE, SAID = (4.0, 34.0), 44.0
MARK, RING = 3.6, 4.2


@dataclass(frozen=True, slots=True)
class Drawn:
    """One curve of a drawing, with its line and its words."""

    sweep: Sweep
    css: str
    says: str


def iv_drawing(report: CurveReport, words: Words, system: str = "us") -> Figure | None:
    """Draw current and power over voltage, cold and hot, with the controller's window and where it works.

    None where there is no curve to draw.
    """
    if "hot" not in report.sweeps:
        return None
    drawn = [
        Drawn(sweep, css, _says(sweep, words, system))
        for sweep, css in zip((report.sweeps["hot"], report.sweeps["cold"]), STYLES, strict=True)
    ]
    return Figure(
        two_plots(report, drawn, words, system, name="iv"),
        *curve_table({"hot": report.sweeps["hot"], "cold": report.sweeps["cold"]}, words, system),
    )


def two_plots(report: CurveReport, drawn: list[Drawn], words: Words, system: str, *, name: str) -> str:
    """Draw curves in two plots below each other, the last one uppermost, and say what each is."""
    canvas = Canvas()
    highest = max(one.sweep.open_V for one in drawn)
    limit_V = report.limit_V if report.limit_V is not None and report.limit_V <= NEAR * highest else None
    across = ceiling([highest, limit_V or 0.0])
    start = _bounds(canvas, report, limit_V, across, words, system)
    above = Plot(start + HEAD, TALL, across, ceiling([one.sweep.short_A for one in drawn]))
    peaks = [v * i for one in drawn for v, i in one.sweep.peaks]
    below = Plot(above.floor + BETWEEN, TALL, across, ceiling(peaks))
    for plot in (above, below):
        _window(canvas, plot, report.least_V, limit_V)
        plot.frame(canvas, "A" if plot is above else "W")
    below.numbers(canvas, "V")
    for one in reversed(drawn):
        points = one.sweep.points
        above.curve(canvas, points, one.css)
        below.curve(canvas, [(v, v * i) for v, i in points], one.css)
    marks = _marks(canvas, (above, below), drawn)
    y = _legend(canvas, below.floor + FOOT, drawn, marks, words)
    says = " ".join(one.says for one in drawn)
    return canvas.finish(
        y, name=f"curves-{name}", title=words(f"curves.{name}.title"), says=says, css="d-curves"
    )


def _bounds(
    canvas: Canvas, report: CurveReport, limit_V: float | None, across: float, words: Words, system: str
) -> float:
    """Write what bounds the window above the plots, each near its line; returns where they end."""
    scale = Plot(0.0, 1.0, across, 1.0)
    free, y = 0.0, NOTE / 2 + 1
    said = [
        (value, words(f"curves.{key}", volts=show_text(value, "V", system=system)))
        for key, value in (("least", report.least_V), ("limit", limit_V))
        if value is not None
    ]
    for place, (value, text) in enumerate(said):
        room = wide(text, NOTE)
        left = min(max(scale.x(value) - room / 2, 2.0), WIDTH - 2.0 - room)
        if place and left < free:
            y += NOTE * LEAD
        canvas.text(left, y, text, "d-note")
        free = left + room + NOTE
    if report.limit_V is not None and limit_V is None:
        text = words("curves.limit-far", volts=show_text(report.limit_V, "V", system=system))
        room = wide(text, NOTE)
        if WIDTH - 2.0 - room < free:
            y += NOTE * LEAD
        canvas.text(WIDTH - 2.0, y, text, "d-note", anchor="end")
    return y


def _window(canvas: Canvas, plot: Plot, least_V: float | None, limit_V: float | None) -> None:
    """Hatch what lies outside the controller's window, and draw its edges."""
    if least_V is not None:
        edge = plot.x(least_V)
        canvas.hatch((LEFT, plot.top, edge - LEFT, plot.tall), "d-hatch")
        canvas.line([(edge, plot.top), (edge, plot.floor)], "d-hair")
    if limit_V is not None:
        edge = plot.x(limit_V)
        canvas.hatch((edge, plot.top, RIGHT - edge, plot.tall), "d-hatch")
        canvas.line([(edge, plot.top), (edge, plot.floor)], "d-heavy")


def _marks(canvas: Canvas, plots: tuple[Plot, Plot], drawn: list[Drawn]) -> list[str]:
    """Mark where the controller works and where a tracker may stay; returns which marks there are."""
    found: dict[str, None] = {}
    for one in drawn:
        for kind, rest in (("first", one.sweep.first), ("rest", one.sweep.rest)):
            if rest is None:
                continue
            found[kind] = None
            _mark(canvas, plots, rest, kind)
    return sorted(found, reverse=True)


def _mark(canvas: Canvas, plots: tuple[Plot, Plot], rest: Rest, kind: str) -> None:
    css, radius = ("d-node", MARK) if kind == "rest" else ("d-terminal", RING)
    for plot, value in zip(plots, (rest.current_A, rest.voltage_V * rest.current_A), strict=True):
        canvas.circle(plot.x(rest.voltage_V), plot.y(value), radius, css)


def _legend(canvas: Canvas, y: float, drawn: list[Drawn], marks: list[str], words: Words) -> float:
    """What each line and each mark is, row by row; returns the lower end."""
    for one in drawn:
        middle = y + NOTE * LEAD / 2
        canvas.line([(SAMPLE[0], middle), (SAMPLE[1], middle)], one.css)
        y = _told(canvas, y, one.says)
    for kind in marks:
        css, radius = ("d-node", MARK) if kind == "rest" else ("d-terminal", RING)
        canvas.circle(sum(SAMPLE) / 2, y + NOTE * LEAD / 2, radius, css)
        y = _told(canvas, y, words(f"curves.mark.{kind}"))
    return y


def _told(canvas: Canvas, y: float, says: str) -> float:
    for line in lines(says, NOTE, WIDTH - SAID - 2.0, 3):
        canvas.text(SAID, y + NOTE * LEAD / 2, line, "d-note")
        y += NOTE * LEAD
    return y + 3.0


def _says(sweep: Sweep, words: Words, system: str) -> str:
    cell = show_text(round(sweep.cell_degC), "degC", system=system)
    return words(f"curves.iv.{sweep.name}", cell=cell, **peak_words(sweep, system))


def best_peak(sweep: Sweep) -> tuple[float, float]:
    """Voltage and current where a sweep has most power; both 0 in the dark."""
    return max(sweep.peaks, key=lambda peak: peak[0] * peak[1], default=(0.0, 0.0))


def peak_words(sweep: Sweep, system: str) -> dict[str, str]:
    """A sweep's best peak and its ends, printed."""
    best = best_peak(sweep)
    return {
        "power": watts(best[0] * best[1]),
        "volts": show_text(best[0], "V", system=system),
        "open": show_text(sweep.open_V, "V", system=system),
    }


ROWS = ("cells", "open", "short", "peak", "at", "works", "takes", "stays")


def curve_table(
    sweeps: Mapping[str, Sweep], words: Words, system: str
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Head and rows of the table beside curves: each quantity by curve; rows that say nothing are left out."""
    head = (words("curves.table.quantity"), *(words(f"curves.table.{name}") for name in sweeps))
    columns = [_column(sweep, words, system) for sweep in sweeps.values()]
    rows = [(words(f"curves.table.{row}"), *(column[row] for column in columns)) for row in ROWS]
    return head, tuple(row for row in rows if any(row[1:]))


def _column(sweep: Sweep, words: Words, system: str) -> dict[str, str]:
    shown = peak_words(sweep, system)

    def at(rest: Rest | None) -> str:
        return "" if rest is None else show_text(rest.voltage_V, "V", system=system)

    works = at(sweep.rest) or words("curves.table.not-at-all")
    return {
        "cells": show_text(sweep.cell_degC, "degC", system=system),
        "open": shown["open"],
        "short": show_text(sweep.short_A, "A", system=system),
        "peak": shown["power"],
        "at": shown["volts"],
        "works": works,
        "takes": "" if sweep.rest is None else watts(sweep.rest.power_W),
        "stays": "" if sweep.first is None else f"{watts(sweep.first.power_W)}, {at(sweep.first)}",
    }
