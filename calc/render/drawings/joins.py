"""How a wiring drawing joins its strings: by couplers on each pole, or in a combiner; both end at the two rails."""

from collections.abc import Collection

from calc.render.catalogue import Words
from calc.render.drawings.array import BESIDE, MIDDLE, MINUS_X, PLUS_X, Array, css_of, spares
from calc.render.drawings.joined import Stage, Wiring
from calc.render.drawings.svg import LABEL, LEAD, NOTE, WIDTH, Canvas, cut

NODE, TERMINAL, RING = 8.5, 8.5, 3.5
LISTED = 4  # more stages than this are listed as the first two and the last
BLADE = 12.0  # half a switch
FUSE_WIDE, FUSE_TALL = 10.0, 20.0
EDGE = 18.0  # boxes reach this far from the sides
LINE = NOTE * LEAD


def rails(canvas: Canvas, top: float, bottom: float) -> None:
    """The two conductors between two heights."""
    canvas.line([(MINUS_X, top), (MINUS_X, bottom)], "d-wire-minus")
    canvas.line([(PLUS_X, top), (PLUS_X, bottom)], "d-wire")


def switch(canvas: Canvas, top: float, bottom: float, poles: Collection[float]) -> None:
    """A switch or breaker in the two conductors between two heights: a blade on each pole that it opens."""
    middle = (top + bottom) / 2
    for x, css in ((MINUS_X, "d-wire-minus"), (PLUS_X, "d-wire")):
        if x not in poles:
            canvas.line([(x, top), (x, bottom)], css)
            continue
        canvas.line([(x, top), (x, middle - BLADE)], css)
        canvas.line([(x, middle + BLADE), (x, bottom)], css)
        canvas.line([(x, middle + BLADE), (x + (11 if x < MIDDLE else -11), middle - BLADE + 1)], "d-line")
        for at in (middle - BLADE, middle + BLADE):
            canvas.circle(x, at, 2.6, "d-node")


def terminals(canvas: Canvas, y: float) -> None:
    """A marked terminal on each rail."""
    for x, sign in ((MINUS_X, "−"), (PLUS_X, "+")):
        canvas.circle(x, y, TERMINAL, "d-terminal")
        canvas.text(x, y, sign, "d-name", anchor="middle")


def fuse(canvas: Canvas, x: float, y: float) -> None:
    """A fuse in a conductor, from ``y`` down."""
    canvas.rect(x - FUSE_WIDE / 2, y, FUSE_WIDE, FUSE_TALL, "d-fuse")
    canvas.line([(x, y), (x, y + FUSE_TALL)], "d-line")


def coupled(canvas: Canvas, plan: Wiring, array: Array, words: Words) -> float:
    """Strings joined by couplers: the negative along the top to its rail, the positive along the bottom to its own."""
    drawn = array.drawn
    minus = array.top - 16
    plus = array.bottom + 16 + (FUSE_TALL + 8 if plan.fuse else 0)
    canvas.line([(drawn[-1].x, minus), (MINUS_X, minus), (MINUS_X, plus + 12)], "d-wire-minus")
    canvas.line([(drawn[0].x, plus), (PLUS_X, plus), (PLUS_X, plus + 12)], "d-wire")
    for column in drawn:
        canvas.line([(column.x, array.top_of(column)), (column.x, minus)], "d-wire-minus")
        canvas.line([(column.x, array.bottom), (column.x, plus)], "d-wire")
        if plan.fuse:
            fuse(canvas, column.x, array.bottom + 10)
    canvas.text(MINUS_X - 14, minus, "−", "d-name", size=LABEL, anchor="middle")
    canvas.text(PLUS_X + 14, plus, "+", "d-name", size=LABEL, anchor="middle")
    for stage in plan.stages:
        _node(canvas, array, plan.count - stage.joined, minus, stage.number)
        _node(canvas, array, stage.joined - 1, plus, stage.number)
    return _write(canvas, _stage_words(plan, words), plus + 12)


def _node(canvas: Canvas, array: Array, string: int, y: float, number: int) -> None:
    """A coupler where it has joined its number of strings; the two poles run in opposite directions."""
    for column in array.columns:
        if column.string == string:
            canvas.circle(column.x, y, NODE, "d-node")
            canvas.text(column.x, y, str(number), "d-node-text", anchor="middle")


def _stage_words(plan: Wiring, words: Words) -> list[tuple[str, str]]:
    rows = [(words("drawing.wiring.couplers"), "d-name")] if plan.stages else []
    stages: list[Stage | None] = list(plan.stages)
    if len(stages) > LISTED:
        stages = [*stages[:2], None, stages[-1]]
    for stage in stages:
        if stage is None:
            rows.append(("…", "d-note"))
        else:
            rows.append((stage.part.title, css_of(stage.part, "d-note")))
    if plan.fuse:
        rows.append((plan.fuse.title, css_of(plan.fuse, "d-note")))
    return rows


def _write(canvas: Canvas, rows: list[tuple[str, str]], y: float) -> float:
    """Lines of words between the rails."""
    end = y + len(rows) * LINE
    rails(canvas, y, end)
    for place, (text, css) in enumerate(rows):
        said = cut(text, NOTE, PLUS_X - MINUS_X - 16, bold=css != "d-note")
        canvas.text(MIDDLE, y + (place + 0.5) * LINE, said, css, anchor="middle")
    return end


def combined(canvas: Canvas, plan: Wiring, array: Array) -> float:
    """Strings brought into a combiner: a pair of terminals for each, spare pairs open, and what the box holds."""
    box = array.bottom + 22
    aside = array.wide / 2 + BESIDE
    for column in array.drawn:
        top, minus = array.top_of(column), column.x - aside
        canvas.line([(column.x, top), (column.x, top - 9), (minus, top - 9), (minus, box)], "d-wire-minus")
        canvas.line([(column.x, array.bottom), (column.x, box)], "d-wire")
    rows = _combiner_words(plan)
    inside = box + 24 + (FUSE_TALL + 8 if plan.fuse else 0)
    end = inside + len(rows) * LINE + 11
    canvas.rect(EDGE, box, WIDTH - 2 * EDGE, end - box, "d-block", 5)
    for place in range(len(array.columns) + spares(plan)):
        x = array.columns[0].x + array.pitch * place
        spare = place >= len(array.columns)
        if spare or array.columns[place].string >= 0:
            _circuit(
                canvas,
                x,
                x - aside,
                box,
                fused=plan.fuse is not None and not spare,
                css="d-terminal" if spare else "d-node",
            )
    for place, (text, css) in enumerate(rows):
        canvas.text(MIDDLE, inside + (place + 0.5) * LINE, cut(text, NOTE, WIDTH - 56), css, anchor="middle")
    rails(canvas, end, end + 14)
    terminals(canvas, end)
    return end + 14


def _combiner_words(plan: Wiring) -> list[tuple[str, str]]:
    parts = [part for part in (plan.combiner, plan.fuse) if part is not None]
    rows = []
    for part in parts:
        rows.append((part.title, css_of(part, "d-name" if part is plan.combiner else "d-note")))
        rows += [(detail, "d-note") for detail in part.details]
    return rows


def _circuit(canvas: Canvas, plus: float, minus: float, box: float, *, fused: bool, css: str) -> None:
    """One circuit's terminals at the top of the combiner, with its fuse; a spare one has open rings."""
    for x, sign in ((minus, "−"), (plus, "+")):
        canvas.circle(x, box, RING, css)
        canvas.text(x, box + 13, sign, "d-name", anchor="middle")
    if fused:
        canvas.line([(plus, box + 20), (plus, box + 24 + FUSE_TALL + 5)], "d-wire")
        fuse(canvas, plus, box + 25)
