"""The strings of a wiring drawing part by part: each a row of modules with their poles, minus left and plus right."""

from dataclasses import dataclass

from calc.render.drawings.detailed import KEPT, MOST, Detail, Row
from calc.render.drawings.svg import NOTE, Canvas, cut

LEFT, RIGHT = 64.0, 276.0  # modules stand between
FUSE_ROOM = 28.0  # kept free at the right for inline fuses
PITCH = 36.0
GAP, NARROW_GAP, NARROW = 4.0, 2.0, 30.0  # between modules; where a module has little room
TALL = 31.0
NUMBER, SIGNS = 9.5, 23.0  # rows of type in a module
INSET_MINUS, INSET_PLUS = 5.6, 4.8  # a module's leads, from its sides
LINK, LEAD = 6.0, 12.0  # how deep leads hang below a module
WORDS = 16.0
ROW = WORDS + TALL + LEAD + 8.0
DOT = 2.0
GROUND_X = 8.0
FUSE_WIDE, FUSE_TALL = 20.0, 9.0


@dataclass(frozen=True, slots=True)
class Ends:
    """Where a drawn string ends: its row, the height of its leads, and how far they reach to either side."""

    row: Row
    y: float
    minus: float
    plus: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """The strings as they stand: their ends, the height below, where frames are bonded, and where some are left out."""

    ends: list[Ends]
    below: float
    bond: float
    gap: float


def draw_rows(canvas: Canvas, plan: Detail, top: float) -> Drawn:
    """Draw every string that is shown."""
    right = RIGHT - (FUSE_ROOM if plan.fused else 0.0)
    columns = max(_places(row.series) for row in plan.rows)
    pitch = min(PITCH, (right - LEFT) / columns)
    bond = LEFT + _wide(pitch) / 2
    ends: list[Ends] = []
    y, gap, last = top, 0.0, None
    for row in plan.rows:
        if not row.mark:
            canvas.text(bond + 8, y + WORDS / 2, row.says, "d-note")
            gap = y + WORDS / 2
            y += WORDS + LEAD
            continue
        start = top - 3 if last is None else last
        canvas.line([(bond, start), (bond, y + WORDS)], "d-ground")
        said = cut(row.says, NOTE, RIGHT - bond - 8)
        canvas.text(bond + 8, y + WORDS / 2 - 1, said, "d-note")
        ends.append(_modules(canvas, row, y + WORDS, pitch))
        last = y + WORDS + TALL
        y += ROW
    return Drawn(ends, y, bond, gap)


def _wide(pitch: float) -> float:
    """How wide a module is drawn."""
    return pitch - (GAP if pitch >= NARROW else NARROW_GAP)


def _places(series: int) -> int:
    """How many places a string takes in its row."""
    return series if series <= MOST else KEPT + 2


def _modules(canvas: Canvas, row: Row, y: float, pitch: float) -> Ends:
    """One string's modules from left to right, plus of each joined to minus of the next."""
    wide, bottom = _wide(pitch), y + TALL
    shown = list(range(row.series)) if row.series <= MOST else [*range(KEPT), -1, row.series - 1]
    for place, module in enumerate(shown):
        x = LEFT + place * pitch
        if module < 0:
            canvas.line([(x + INSET_MINUS, y + TALL / 2), (x + wide - INSET_PLUS, y + TALL / 2)], "d-dots")
        else:
            canvas.rect(x, y, wide, TALL, "d-module", 1.5)
            canvas.text(x + wide / 2, y + NUMBER, str(module + 1), "d-note", anchor="middle")
            canvas.text(x + INSET_MINUS, y + SIGNS, "−", "d-name", anchor="middle")
            canvas.text(x + wide - INSET_PLUS, y + SIGNS, "+", "d-name", anchor="middle")
        if place:
            _link(canvas, x - (pitch - wide) - INSET_PLUS, x + INSET_MINUS, bottom)
    last = LEFT + (len(shown) - 1) * pitch + wide - INSET_PLUS
    lead = bottom + LEAD
    canvas.line([(LEFT + INSET_MINUS, bottom), (LEFT + INSET_MINUS, lead)], "d-wire-minus")
    canvas.line([(last, bottom), (last, lead)], "d-wire")
    return Ends(row, lead, LEFT + INSET_MINUS, last)


def _link(canvas: Canvas, start: float, end: float, bottom: float) -> None:
    """Plus of one module to minus of the next: two leads and the joint between their connectors."""
    canvas.line([(start, bottom), (start, bottom + LINK), (end, bottom + LINK), (end, bottom)], "d-line")
    canvas.circle((start + end) / 2, bottom + LINK, DOT, "d-node")


def draw_fuse(canvas: Canvas, end: Ends) -> Ends:
    """An inline fuse in a string's plus lead, with its name; the lead goes on from it."""
    start = RIGHT - FUSE_WIDE - 2
    middle = start + FUSE_WIDE / 2
    canvas.line([(end.plus, end.y), (start, end.y)], "d-wire")
    canvas.rect(start, end.y - FUSE_TALL / 2, FUSE_WIDE, FUSE_TALL, "d-fuse")
    canvas.line([(start, end.y), (start + FUSE_WIDE, end.y)], "d-line")
    name = f"F{end.row.mark[1:]}"
    canvas.text(middle, end.y - FUSE_TALL / 2 - NOTE / 2 - 4, name, "d-note", anchor="middle")
    return Ends(end.row, end.y, end.minus, start + FUSE_WIDE)


def bond_to(canvas: Canvas, bond: float, top: float, end: float) -> None:
    """The grounding conductor, from the first frame around the array and down to earth."""
    canvas.line([(bond, top - 3), (GROUND_X, top - 3), (GROUND_X, end)], "d-ground")
