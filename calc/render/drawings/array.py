"""The upper part of a wiring drawing: what the modules are, and the modules in their strings."""

from dataclasses import dataclass

from calc.render.drawings.joined import Part, Wiring
from calc.render.drawings.svg import LABEL, LEAD, NOTE, WIDTH, Canvas, cut

MINUS_X, PLUS_X = 40.0, 300.0  # the rails
MIDDLE = WIDTH / 2
MOST, KEPT = (
    6,
    4,
)  # more strings than MOST are drawn as KEPT with a gap before the last; so with modules in series
SPARES = 2  # spare circuits drawn; the words count them all
PITCH, ACROSS = 46.0, 212.0  # from string to string, and all of them at most
WIDE, TALL, STEP = 30.0, 22.0, 30.0  # a module, and from one module to the next
BESIDE = 7.0  # from a module to the conductor that passes it
ROOM = 300.0


@dataclass(frozen=True, slots=True)
class Column:
    """One string as it is drawn: where, its modules, its place among all strings (-1: a gap for those left out)."""

    x: float
    series: int
    string: int

    @property
    def rows(self) -> int:
        """Modules that are drawn."""
        return self.series if self.series <= MOST else KEPT


@dataclass(frozen=True, slots=True)
class Array:
    """The strings as they stand: columns, their spacing, a module's width, top and bottom of the tallest."""

    columns: tuple[Column, ...]
    pitch: float
    wide: float
    top: float
    bottom: float

    @property
    def drawn(self) -> list[Column]:
        """The columns that are no gap."""
        return [column for column in self.columns if column.string >= 0]

    def top_of(self, column: Column) -> float:
        """The upper edge of a string's first module."""
        return self.bottom - column.rows * STEP + (STEP - TALL)


def draw_array(canvas: Canvas, plan: Wiring) -> Array:
    """Write what the strings are and draw them; the conductors that join them come after."""
    y = _heading(canvas, plan)
    columns, pitch = _columns(plan)
    top = y + 26
    rows = max(column.rows for column in columns)
    wide = min(WIDE, pitch - 2 * BESIDE - 3)
    array = Array(columns, pitch, wide, top, top + rows * STEP - (STEP - TALL))
    for column in columns:
        _string(canvas, column, array)
    return array


def _heading(canvas: Canvas, plan: Wiring) -> float:
    y = 0.0
    for group in plan.strings:
        y = _line(canvas, y, group.part.title, "d-name", LABEL)
        for detail in group.part.details:
            y = _line(canvas, y, detail, "d-note", NOTE)
    for lead in plan.leads:
        y = _line(canvas, y, ": ".join((lead.title, *lead.details)), css_of(lead, "d-note"), NOTE)
    return y


def _line(canvas: Canvas, y: float, text: str, css: str, size: float) -> float:
    text = cut(text, size, ROOM, bold=css != "d-note")
    canvas.text(MIDDLE, y + size * LEAD / 2, text, css, size=size, anchor="middle")
    return y + size * LEAD


def css_of(part: Part, otherwise: str) -> str:
    """The class of a part's name: a failing one stands out, and its words say so too."""
    return "d-fails-text" if part.fails else otherwise


def _columns(plan: Wiring) -> tuple[tuple[Column, ...], float]:
    """The strings that are drawn, evenly spaced about the middle, with room for spare circuits; and their spacing."""
    series = [group.series for group in plan.strings for _ in range(group.parallel)]
    spare = spares(plan)
    shown = list(range(len(series)))
    if len(series) > MOST - spare:
        shown = [*shown[: KEPT - 1 - spare // 2], -1, shown[-1]]
    total = len(shown) + spare
    pitch = min(PITCH, ACROSS / max(total - 1, 1))
    start = MIDDLE - pitch * (total - 1) / 2
    places = enumerate(shown)
    return tuple(Column(start + pitch * n, series[s] if s >= 0 else 0, s) for n, s in places), pitch


def spares(plan: Wiring) -> int:
    """How many spare circuits are drawn."""
    return min(plan.spare, SPARES) if plan.combiner else 0


def _string(canvas: Canvas, column: Column, array: Array) -> None:
    """One string, its last module at the bottom; dots stand for the modules or strings left out."""
    bottom = array.bottom
    if column.string < 0:
        canvas.text(column.x, bottom - TALL / 2, "…", "d-name", size=LABEL, anchor="middle")
        return
    x = column.x - array.wide / 2
    left_out = 1 if column.rows < column.series else None  # the second from below stands for many
    for row in range(column.rows):
        y = bottom - TALL - row * STEP
        if row == left_out:
            canvas.line([(column.x, y - (STEP - TALL)), (column.x, bottom - TALL)], "d-dots")
            continue
        canvas.rect(x, y, array.wide, TALL, "d-module", 1.5)
        canvas.line([(x, y + TALL / 2), (x + array.wide, y + TALL / 2)], "d-hair")
        canvas.line([(column.x, y), (column.x, y + TALL)], "d-hair")
        if row and row - 1 != left_out:
            canvas.line([(column.x, y + TALL), (column.x, y + STEP)], "d-wire")
