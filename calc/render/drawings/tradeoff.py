"""Layouts against each other on two axes the reader picks: one mark a layout, its shape saying what the check says.

Marks may lie on each other where layouts are alike; their names never do. A name for which there is no room is left
out, since the table beside the drawing has them all.
"""

from collections.abc import Iterator

from calc.model.layouts import LayoutReport, Tried
from calc.render.catalogue import Words
from calc.render.drawings.svg import NOTE, WIDTH, Canvas, Figure, wide
from calc.render.drawings.tradeoff_axes import MORE_IS_BETTER, Axis, axis, pick, text_of, value_of
from calc.render.drawings.tradeoff_marks import BESIDE, MARK, OWN, REASON, Point, hint, legend, mark
from calc.render.layouts.figures import layout_name
from calc.render.layouts.sentences import state

NAME = "layout-tradeoff"
RIGHT, TOP, PLOT = 328.0, 30.0, 190.0
AXIS = 40.0
TALL = NOTE * 1.15
DISTANCES = (1.0, 2.0, 3.2)

Box = tuple[float, float, float, float]


def tradeoff_drawing(
    report: LayoutReport, words: Words, system: str = "us", *, across: str = "", up: str = ""
) -> Figure | None:
    """Draw every layout whose two values are known; the table has all of them.

    Args:
        report: layouts as ranked by ``calc.plan.layouts.layouts_of``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
        across, up: axes, of ``AXES``; picked by what differs when left out. Others are refused (KeyError).

    None where fewer than two layouts can be drawn.
    """
    picked = pick(report)
    axes = (across or picked[0], up or picked[1])
    known = [(one, [value_of(one, code) for code in axes]) for one in report.layouts]
    drawn = [(one, [value for value in pair if value is not None]) for one, pair in known if None not in pair]
    if len(drawn) < 2:  # noqa: PLR2004  # nothing to compare
        return None
    upward = axis(axes[1], [pair[1] for _, pair in drawn], TOP + PLOT, TOP)
    left = max(wide(text, NOTE) for _, text in upward.ticks()) + 2 * BESIDE
    onward = axis(axes[0], [pair[0] for _, pair in drawn], left, RIGHT)
    canvas = Canvas()
    _frame(canvas, onward, upward, words)
    places = [(one, (onward.at(pair[0]), upward.at(pair[1]))) for one, pair in drawn]
    _names(canvas, places, (left, TOP, RIGHT, TOP + PLOT), words)
    bottom = legend(canvas, TOP + PLOT + AXIS, [one for one, _ in places], words)
    hint(canvas, bottom, words)
    for one, place in places:
        mark(canvas, one, place, bottom, words)
    missing = [one for one, pair in known if None in pair]
    says = _says(([one for one, _ in drawn], missing), axes, words, system)
    title = words("drawing.tradeoff.title")
    svg = canvas.finish(bottom + REASON, name=NAME, title=title, says=says, role="group")
    return Figure(svg, _head(axes, words), _rows(report, axes, words, system))


def _frame(canvas: Canvas, onward: Axis, upward: Axis, words: Words) -> None:
    """The two axes with their ticks and titles."""
    left, bottom = onward.start, upward.start
    for value, text in upward.ticks():
        y = upward.at(value)
        canvas.line([(left, y), (RIGHT, y)], "d-hair")
        canvas.text(left - BESIDE, y, text, "d-note", anchor="end")
    last = -1.0
    for value, text in onward.ticks():
        x, half = onward.at(value), wide(text, NOTE) / 2
        canvas.line([(x, bottom), (x, bottom + 4)], "d-line")
        place = min(max(x, half), WIDTH - half)
        if place - half > last:
            canvas.text(place, bottom + 12, text, "d-note", anchor="middle")
            last = place + half + BESIDE
    canvas.line([(left, TOP), (left, bottom), (RIGHT, bottom)], "d-line")
    canvas.text(0, TALL / 2, _better(upward, words), "d-head")
    canvas.text(RIGHT, bottom + 12 + TALL, _better(onward, words), "d-head", anchor="end")


def _better(axis: Axis, words: Words) -> str:
    """An axis's title, and which end of it is the better one."""
    way = words(f"drawing.tradeoff.{'more' if axis.code in MORE_IS_BETTER else 'less'}")
    return f"{axis.title(words)} ({way})"


def _names(canvas: Canvas, places: list[tuple[Tried, Point]], frame: Box, words: Words) -> None:
    """The layouts' names beside their marks, the design's own and then the best first, none over anything else."""
    taken = [_around(point, MARK + 2.0) for _, point in places]
    for layout, point in sorted(places, key=lambda one: not one[0].own):
        name = layout_name(layout, words)
        width = wide(name, NOTE, bold=True)
        found = next((box for box in _beside(point, width) if _free(box, taken, frame)), None)
        if found is None:
            continue
        taken.append(found)
        css = "d-accent-text" if layout.own else "d-fails-text" if state(layout) == "fails" else "d-ink"
        canvas.rect(found[0], found[1], width, TALL, "d-gap")
        canvas.text(found[0], found[1] + TALL / 2, name, css)


def _around(point: Point, far: float) -> Box:
    return point[0] - far, point[1] - far, point[0] + far, point[1] + far


def _beside(point: Point, width: float) -> Iterator[Box]:
    """Boxes for a name, nearest first: right, left, above, below, and the corners."""
    x, y = point
    for times in DISTANCES:
        off = (OWN + 2.0) * times
        for right, down in ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (1, 1), (-1, -1), (-1, 1)):
            left = x - width / 2 + right * (width / 2 + off)
            top = y - TALL / 2 + down * (TALL / 2 + off)
            yield left, top, left + width, top + TALL


def _free(box: Box, taken: list[Box], frame: Box) -> bool:
    inside = box[0] >= frame[0] and box[1] >= frame[1] and box[2] <= WIDTH and box[3] <= frame[3]
    return inside and not any(
        box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
    )


def _says(layouts: tuple[list[Tried], list[Tried]], axes: tuple[str, str], words: Words, system: str) -> str:
    """The drawing in sentences, for those who cannot see it."""
    drawn, missing = layouts
    titles = [words(f"drawing.tradeoff.axis.{code}") for code in axes]
    said = [words("drawing.tradeoff.says", across=titles[0], up=titles[1])]
    for layout in drawn:
        across, up = (text_of(layout, code, words, system) for code in axes)
        what = words(f"drawing.tradeoff.state.{state(layout)}")
        name = layout_name(layout, words)
        said.append(words("drawing.tradeoff.point", layout=name, across=across, up=up, state=what))
    if missing:
        names = ", ".join(layout_name(one, words) for one in missing)
        said.append(words("drawing.tradeoff.missing", names=names))
    return " ".join(said)


def _head(axes: tuple[str, str], words: Words) -> tuple[str, ...]:
    titles = (words(f"drawing.tradeoff.axis.{code}") for code in axes)
    return (words("layouts.head.layout"), *titles, words("layouts.head.check"))


def _rows(
    report: LayoutReport, axes: tuple[str, str], words: Words, system: str
) -> tuple[tuple[str, ...], ...]:
    """Every layout, drawn or not, with both values and what the check says."""
    return tuple(
        (
            layout_name(one, words),
            *(text_of(one, code, words, system) for code in axes),
            words(f"drawing.tradeoff.state.{state(one)}"),
        )
        for one in report.layouts
    )
