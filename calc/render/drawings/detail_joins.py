"""How a wiring drawing part by part joins its strings: every coupler on either pole, or every circuit of a combiner.

Leads of one pole lie beside each other, the topmost string's farthest out, so that none has to cross another.
"""

from calc.model.parts import PlanStage
from calc.render.drawings.array import MIDDLE, MINUS_X, PLUS_X
from calc.render.drawings.detail_rows import LEFT, RIGHT, Ends
from calc.render.drawings.detailed import Detail
from calc.render.drawings.svg import LABEL, LEAD, NOTE, Canvas, lines, wide

COUPLER_WIDE, COUPLER_TALL = 38.0, 18.0
SPACE = 5.0  # between leads side by side
RING = 3.5
LINE = NOTE * LEAD
DETAIL_LINES = 3  # at most, for one part's ratings
BOX_LEFT, BOX_RIGHT = LEFT, RIGHT
FUSE_WIDE, FUSE_TALL = 18.0, 9.0
SIDES = (("−", -1.0, MINUS_X, "d-wire-minus"), ("+", 1.0, PLUS_X, "d-wire"))


def coupled(canvas: Canvas, plan: Detail, ends: list[Ends], gap: float) -> float:
    """Draw the couplers of both poles; return the height at which the rails go on.

    A coupler whose last string is left out stands at ``gap``, where the words say so; dots stand for couplers left out.
    """
    places = {end.row.mark: end for end in ends}
    bottom = ends[-1].y
    for sign, side, rail, css in SIDES:
        above: float | None = None
        before = 0
        for stage in plan.stages:
            if above is not None and stage.number > before + 1:
                y = places[stage.takes[-1]].y - COUPLER_TALL / 2
                canvas.line([(rail, above), (rail, y)], "d-dots")
                above = None
            above = _stage(canvas, stage, (places, gap), above, (sign, side, rail, css))
            before = stage.number
        if not plan.stages:
            x = ends[0].minus if side < 0 else ends[0].plus
            canvas.line([(x, ends[0].y), (rail, ends[0].y), (rail, ends[0].y + 8)], css)
            bottom = ends[0].y + 8
        else:
            bottom = ends[-1].y + COUPLER_TALL / 2
    return bottom


def _stage(
    canvas: Canvas,
    stage: PlanStage,
    where: tuple[dict[str, Ends], float],
    above: float | None,
    look: tuple[str, float, float, str],
) -> float:
    """One coupler of one pole, in the row of the last string it takes, with all that comes into it."""
    sign, side, rail, css = look
    places, gap = where
    last = places.get(stage.takes[-1])
    before = [places[mark] for mark in stage.takes if mark in places and places[mark] is not last]
    y = gap if last is None else last.y
    entries = len(before) + (above is not None)
    step = min(SPACE, (COUPLER_WIDE - 8) / max(entries, 1))
    xs = [rail + side * step * ((entries - 1) / 2 - place) for place in range(entries)]
    top = y - COUPLER_TALL / 2
    if above is not None:
        canvas.line([(rail, above), (rail, above + 3), (xs[0], above + 3), (xs[0], top)], css)
    for x, end in zip(xs[entries - len(before) :], before, strict=True):
        canvas.line([(_reach(end, side), end.y), (x, end.y), (x, top)], css)
    name = f"C{stage.number}{sign}"
    box = max(COUPLER_WIDE, wide(name, NOTE, bold=True) + 6)
    edge = rail - side * box / 2
    if last is not None:
        canvas.line([(_reach(last, side), y), (edge, y)], css)
    canvas.rect(rail - box / 2, top, box, COUPLER_TALL, "d-terminal", 4)
    canvas.text(rail, y, name, "d-name", anchor="middle")
    return y + COUPLER_TALL / 2


def _reach(end: Ends, side: float) -> float:
    return end.minus if side < 0 else end.plus


def combined(canvas: Canvas, plan: Detail, ends: list[Ends], y: float) -> float:
    """Draw the combiner with a line for each circuit; return the height at which the rails go on."""
    if plan.combiner is None:
        raise ValueError("this design has no combiner")
    head = lines(plan.combiner.name, LABEL, BOX_RIGHT - BOX_LEFT - 16, bold=True)
    room = BOX_RIGHT - BOX_LEFT - 16
    details = [line for text in plan.combiner.details for line in lines(text, NOTE, room, DETAIL_LINES)]
    first = y + 10 + len(head) * LABEL * LEAD + len(details) * LINE + 4
    rows = _circuits(plan, ends)
    out = first + len(rows) * LINE + 8
    canvas.rect(BOX_LEFT, y, BOX_RIGHT - BOX_LEFT, out + 12 - y, "d-block", 5)
    at = y + 6
    for text in head:
        canvas.text(MIDDLE, at + LABEL * LEAD / 2, text, "d-name", size=LABEL, anchor="middle")
        at += LABEL * LEAD
    for text in details:
        canvas.text(MIDDLE, at + LINE / 2, text, "d-note", anchor="middle")
        at += LINE
    heights = {end.row.mark: 0.0 for end in ends}
    for place, (mark, text, _) in enumerate(rows):
        middle = first + (place + 0.5) * LINE
        canvas.text(MIDDLE, middle, text, "d-note", anchor="middle")
        if mark in heights:
            heights[mark] = middle
    _bring(canvas, plan, ends, heights)
    earth(canvas, BOX_LEFT + 20, first)
    _spares(canvas, [first + (place + 0.5) * LINE for place, row in enumerate(rows) if row[2]])
    for sign, side, rail, css in SIDES:
        edge = BOX_LEFT if side < 0 else BOX_RIGHT
        canvas.line([(edge, out), (rail, out), (rail, out + 14)], css)
        canvas.circle(edge, out, RING, "d-node")
        canvas.text(edge - side * 12, out, sign, "d-name", anchor="middle")
    return out + 14


def _circuits(plan: Detail, ends: list[Ends]) -> list[tuple[str, str, bool]]:
    """A line for each circuit, the lowest string's first: its mark, its words, whether it is spare."""
    rows = []
    for end in reversed(ends):
        number = end.row.mark[1:]
        rows.append(
            (end.row.mark, ", ".join((end.row.mark, f"F{number}") if plan.inside else (end.row.mark,)), False)
        )
    left_out = [row.says for row in plan.rows if not row.mark]
    if left_out:
        rows.insert(1, ("", left_out[0], False))
    spare = plan.circuits - plan.strings
    return rows + ([("", plan.spare_says, True)] if spare > 0 else [])


def _bring(canvas: Canvas, plan: Detail, ends: list[Ends], heights: dict[str, float]) -> None:
    """Every string's two leads around its own side to its circuit."""
    for place, end in enumerate(ends):
        outward = SPACE * (len(ends) - 1 - place)
        y = heights[end.row.mark]
        for _, side, _, css in SIDES:
            edge = BOX_LEFT if side < 0 else BOX_RIGHT
            x = edge + side * (7 + outward)
            canvas.line([(_reach(end, side), end.y), (x, end.y), (x, y), (edge, y)], css)
            canvas.circle(edge, y, RING, "d-node")
        if plan.inside:
            start = BOX_RIGHT - 10 - FUSE_WIDE
            canvas.line([(start - 6, y), (BOX_RIGHT, y)], "d-wire")
            canvas.rect(start, y - FUSE_TALL / 2, FUSE_WIDE, FUSE_TALL, "d-fuse")
            canvas.line([(start, y), (start + FUSE_WIDE, y)], "d-line")


def earth(canvas: Canvas, x: float, y: float) -> None:
    """The sign for ground."""
    for step, half in enumerate((7.0, 4.5, 2.0)):
        canvas.line([(x - half, y + 4 * step), (x + half, y + 4 * step)], "d-ground-mark")


def _spares(canvas: Canvas, heights: list[float]) -> None:
    """Terminals that stay open."""
    for y in heights:
        for edge in (BOX_LEFT, BOX_RIGHT):
            canvas.circle(edge, y, RING, "d-terminal")
