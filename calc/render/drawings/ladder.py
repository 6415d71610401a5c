"""The voltage ladder: from the hottest afternoon to the coldest morning, against the window the equipment allows.

Limits stand left of the rails, the string's voltages right of them. A bound far off the rest lies beyond a break in the
rails, so that near ones keep a scale on which their distance can be seen.
"""

from calc.model.assessment import Assessment
from calc.render.catalogue import Words
from calc.render.drawings.ladder_labels import ARROW, LEFT, RIGHT, write_labels
from calc.render.drawings.rungs import Room, Window, head, rows, says, window
from calc.render.drawings.scale import HEAD, Scale, choose
from calc.render.drawings.svg import Canvas, Figure

SHORT = 15.0  # an arrow shorter than this has no room for heads
REACH = 13.0  # how far the lines of a bound stand out beyond the rails
NAME = "voltage-ladder"


def ladder(assessment: Assessment, words: Words, system: str = "us") -> Figure:
    """Draw the voltage ladder of an assessment, with the table that says the same.

    It shows how close the coldest morning comes to the lowest limit and the hottest afternoon to what charging needs.
    A voltage or limit that is not known is left out.
    """
    shown = window(assessment, words, system)
    scale = choose(shown)
    canvas = Canvas()
    _zones(canvas, shown, scale)
    _rails(canvas, shown, scale)
    for room in (shown.above, shown.below):
        if room is not None:
            _arrow(canvas, room, scale)
    height = write_labels(canvas, shown, scale, words)
    svg = canvas.finish(
        height,
        name=NAME,
        title=words("drawing.ladder.title"),
        says=says(shown, words),
        css="d-ladder",
    )
    return Figure(svg, head(words), rows(shown, words, system))


def _edges(shown: Window) -> tuple[float | None, float | None]:
    """The bounds that close the window above and below."""
    lower = shown.lowers[-1].volts if shown.lowers else None
    return (
        shown.uppers[0].volts if shown.uppers else None,
        shown.below.limit if shown.below is not None else lower,
    )


def _zones(canvas: Canvas, shown: Window, scale: Scale) -> None:
    """The string's range, what lies out of bounds, and the part of the range that does."""
    across = RIGHT - LEFT
    low, high = (scale.y(rung.volts) for rung in (shown.rungs[0], shown.rungs[-1]))
    canvas.rect(LEFT, high, across, low - high, "d-range")
    upper, lower = _edges(shown)
    if upper is not None:
        canvas.hatch((LEFT, HEAD - 8, across, scale.y(upper) - HEAD + 8), "d-hatch")
    if lower is not None:
        canvas.hatch((LEFT, scale.y(lower), across, scale.end - scale.y(lower)), "d-hatch")
    for room in (shown.above, shown.below):
        if room is not None and room.passed:
            first, last = sorted((scale.y(room.actual), scale.y(room.limit)))
            canvas.hatch((LEFT, first, across, last - first), "d-fails", 4)


def _rails(canvas: Canvas, shown: Window, scale: Scale) -> None:
    """Rails, rungs and bounds; the breaks lie over the rails."""
    for x in (LEFT, RIGHT):
        canvas.line([(x, HEAD - 8), (x, scale.end)], "d-line")
    for middle in scale.breaks:
        left, right = LEFT - 9, RIGHT + 9
        canvas.area([(left, middle), (right, middle - 9), (right, middle), (left, middle + 9)], "d-gap")
        canvas.line([(left, middle), (right, middle - 9)], "d-line")
        canvas.line([(left, middle + 9), (right, middle)], "d-line")
    ends = (shown.rungs[0].volts, shown.rungs[-1].volts)
    passed = [room.actual for room in (shown.above, shown.below) if room is not None and room.passed]
    for rung in shown.rungs:
        y = scale.y(rung.volts)
        css = "d-end" if rung.volts in ends else "d-rung"
        canvas.line([(LEFT, y), (RIGHT, y)], css + "-fails" if rung.volts in passed else css)
    edges = _edges(shown)
    for bound in (*shown.uppers, *shown.lowers):
        if scale.shows(bound):
            y, css = scale.y(bound.volts), "d-heavy" if bound.volts in edges else "d-dash"
            canvas.line([(LEFT - REACH, y), (RIGHT + REACH - 5, y)], css)


def _arrow(canvas: Canvas, room: Room, scale: Scale) -> None:
    """The room on one side as a measured distance left of the rails."""
    css = "d-room-fails" if room.passed else "d-room"
    rung = scale.y(room.actual)
    first, last = sorted((rung, scale.y(room.limit)))
    canvas.line([(ARROW - 5, rung), (LEFT, rung)], "d-hair")
    canvas.line([(ARROW, first), (ARROW, last)], css)
    for tip, inward in ((first, 1), (last, -1)):
        if last - first >= SHORT:
            foot = tip + inward * 6.5
            canvas.line([(ARROW - 3.5, foot), (ARROW, tip + inward), (ARROW + 3.5, foot)], css)
        else:
            canvas.line([(ARROW - 4, tip), (ARROW + 4, tip)], css)
