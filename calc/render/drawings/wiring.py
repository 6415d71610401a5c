"""The wiring, block by block: modules and strings, how they are joined, then every run and device down to the battery.

Two rails carry the drawing from top to bottom: the negative conductor on the left, dashed, the positive on the right,
solid. Words stand between the rails, so that nothing can lie across them.
"""

from calc.model.assessment import Assessment
from calc.render.catalogue import Words
from calc.render.drawings.array import MIDDLE, MINUS_X, PLUS_X, TALL, Array, css_of, draw_array
from calc.render.drawings.joined import Part, table, wiring_of
from calc.render.drawings.joins import (
    BLADE,
    EDGE,
    FUSE_TALL,
    combined,
    coupled,
    fuse,
    rails,
    switch,
    terminals,
)
from calc.render.drawings.svg import LABEL, LEAD, NOTE, WIDTH, Canvas, Figure, cut, lines

NAME = "wiring"
ROOM = 226.0  # for words between the rails
GROUND_X = 8.0
GAP = 12.0  # of bare rail above and below words


def wiring(assessment: Assessment, words: Words, system: str = "us") -> Figure:
    """Draw how a design is wired, with the table that says the same; what nobody gave is left out."""
    plan = wiring_of(assessment, words, system)
    canvas = Canvas()
    array = draw_array(canvas, plan)
    y = combined(canvas, plan, array) if plan.combiner else coupled(canvas, plan, array, words)
    boxes = [y - GAP - 26] if plan.combiner else []
    if plan.breaker:
        y = _switch(canvas, y, plan.breaker, poles=(PLUS_X,))
    for run in plan.runs:
        y = _run(canvas, y, run)
    if plan.disconnect:
        y = _switch(canvas, y, plan.disconnect, poles=(MINUS_X, PLUS_X))
    boxes.append(y + GAP + GAP + _tall(plan.controller) / 2)
    y = _box(canvas, y, plan.controller, below=True)
    for cable in plan.cables:
        y = _run(canvas, y, cable)
    if plan.device:
        y = _fuse(canvas, y, plan.device)
    y = _box(canvas, y, plan.battery, below=False)
    if plan.ground:
        y = _ground(canvas, y, plan.ground, array, boxes)
    parts = table(plan)
    svg = canvas.finish(
        y + 6,
        name=NAME,
        title=words("drawing.wiring.title"),
        says=words("drawing.wiring.says", parts=_listed(parts)),
        css="d-wiring",
    )
    return Figure(svg, tuple(words(f"drawing.wiring.table.{column}") for column in ("part", "what")), parts)


def _listed(parts: tuple[tuple[str, ...], ...]) -> str:
    return "; ".join(f"{name} ({what})" if what else name for name, what in parts)


def _words(canvas: Canvas, y: float, part: Part) -> None:
    """A part's name and details in the middle, from ``y`` down."""
    for line in lines(part.title, LABEL, ROOM, bold=True):
        canvas.text(MIDDLE, y + LABEL * LEAD / 2, line, css_of(part, "d-name"), size=LABEL, anchor="middle")
        y += LABEL * LEAD
    for detail in part.details:
        canvas.text(MIDDLE, y + NOTE * LEAD / 2, cut(detail, NOTE, ROOM), "d-note", anchor="middle")
        y += NOTE * LEAD


def _tall(part: Part) -> float:
    """Height of a part's words."""
    return len(lines(part.title, LABEL, ROOM, bold=True)) * LABEL * LEAD + len(part.details) * NOTE * LEAD


def _run(canvas: Canvas, y: float, part: Part) -> float:
    """A run: its words between its two conductors, which lie in a cable there."""
    end = y + GAP + _tall(part) + GAP
    for x in (MINUS_X, PLUS_X):
        canvas.rect(x - 5, y + GAP / 2, 10, end - y - GAP, "d-cable", 5)
    rails(canvas, y, end)
    _words(canvas, y + GAP, part)
    return end


def _switch(canvas: Canvas, y: float, part: Part, poles: tuple[float, ...]) -> float:
    """A switch or breaker: a blade on each pole it opens."""
    end = y + GAP + max(_tall(part), 2 * BLADE) + GAP
    middle = (y + end) / 2
    switch(canvas, y, end, poles)
    _words(canvas, middle - _tall(part) / 2, part)
    return end


def _fuse(canvas: Canvas, y: float, part: Part) -> float:
    """A fuse in the positive conductor."""
    end = y + GAP + max(_tall(part), FUSE_TALL) + GAP
    middle = (y + end) / 2
    rails(canvas, y, end)
    fuse(canvas, PLUS_X, middle - FUSE_TALL / 2)
    _words(canvas, middle - _tall(part) / 2, part)
    return end


def _box(canvas: Canvas, y: float, part: Part, *, below: bool) -> float:
    """A box with a marked terminal for each pole above, and below where the conductors go on."""
    top = y + GAP
    end = top + GAP + _tall(part) + GAP
    rails(canvas, y, top)
    canvas.rect(EDGE, top, WIDTH - 2 * EDGE, end - top, "d-block", 5)
    _words(canvas, top + GAP, part)
    terminals(canvas, top)
    if not below:
        return end
    rails(canvas, end, end + GAP)
    terminals(canvas, end)
    return end + GAP


def _ground(canvas: Canvas, y: float, part: Part, array: Array, boxes: list[float]) -> float:
    """The equipment ground: dotted, from the modules' frames and the boxes down to earth."""
    end = y + 20
    first = array.drawn[0]
    frames = array.bottom - TALL / 2
    canvas.line([(first.x - array.wide / 2, frames), (GROUND_X, frames), (GROUND_X, end)], "d-ground")
    for box in boxes:
        canvas.line([(EDGE, box), (GROUND_X, box)], "d-ground")
    for step, half in enumerate((7.0, 4.5, 2.0)):
        mark = end + 4 * step
        canvas.line([(GROUND_X - half, mark), (GROUND_X + half, mark)], "d-ground-mark")
    text = cut(part.title, NOTE, WIDTH - 40, bold=part.fails)
    canvas.text(GROUND_X + 16, end + 2, text, css_of(part, "d-note"))
    return end + 10
