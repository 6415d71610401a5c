"""The marks of layouts set against each other: their shapes, what those mean, and why each layout stands as it does."""

from html import escape

from calc.model.layouts import Tried
from calc.render.catalogue import Words
from calc.render.drawings.svg import LEAD, NOTE, WIDTH, Canvas, lines, wide
from calc.render.layouts.figures import layout_name
from calc.render.layouts.sentences import check_says, state

ROW, APART = 20.0, 6.0
MARK, OWN, BESIDE = 5.0, 8.5, 4.0
TOUCH = 14.5
"""Half the size of what a finger must hit: 24 pixels on a small phone."""
STATES = ("holds", "tight", "wire", "fails", "asks")
LINES = 3
REASON = LINES * NOTE * LEAD + 4.0
"""Room for what is said of one mark."""

Point = tuple[float, float]


def mark(canvas: Canvas, layout: Tried, place: Point, below: float, words: Words) -> None:
    """A mark that can be pointed at, tapped or reached with the keyboard, and then says why, ``below`` the drawing.

    The design's own has a ring around it.
    """
    first = len(canvas.parts)
    x, y = place
    canvas.circle(x, y, TOUCH, "d-touch")
    if layout.own:
        canvas.circle(x, y, OWN, "d-room")
    _shape(canvas, state(layout), x, y)
    drawn = "".join(canvas.parts[first:])
    reason = f"{layout_name(layout, words)}: {check_says(layout, words)}"
    why = Canvas()
    why.rect(0, below, WIDTH, REASON, "d-over")
    _set(why, below, reason, "d-ink")
    canvas.parts[first:] = [
        f'<g class="d-point" tabindex="0" role="img"><title>{escape(reason, quote=False)}</title>',
        drawn,
        '<g class="d-why" aria-hidden="true">',
        *why.parts,
        "</g></g>",
    ]


def hint(canvas: Canvas, below: float, words: Words) -> None:
    """What to do with the marks, where the reasons stand."""
    canvas.parts.append('<g class="d-hint" aria-hidden="true">')
    _set(canvas, below, words("drawing.tradeoff.hint"), "d-note")
    canvas.parts.append("</g>")


def _set(canvas: Canvas, top: float, said: str, css: str) -> None:
    for row, line in enumerate(lines(said, NOTE, WIDTH, LINES)):
        canvas.text(0, top + 2.0 + (row + 0.5) * NOTE * LEAD, line, css)


def _shape(canvas: Canvas, what: str, x: float, y: float) -> None:
    """A shape for each answer, so that none is told apart by colour."""
    if what == "fails":
        canvas.rect(x - MARK, y - MARK, 2 * MARK, 2 * MARK, "d-terminal")
        canvas.line([(x - MARK, y - MARK), (x + MARK, y + MARK)], "d-fails")
        canvas.line([(x - MARK, y + MARK), (x + MARK, y - MARK)], "d-fails")
    elif what == "wire":
        corners = [(x, y - MARK - 1), (x + MARK + 1, y + MARK), (x - MARK - 1, y + MARK)]
        canvas.area(corners, "d-terminal")
    elif what == "tight":
        far = MARK + 1.5
        canvas.area([(x, y - far), (x + far, y), (x, y + far), (x - far, y)], "d-terminal")
        canvas.area([(x, y - far), (x + far, y), (x, y + far)], "d-node")
    elif what == "asks":
        canvas.circle(x, y, MARK, "d-track-unknown")
    else:
        canvas.circle(x, y, MARK, "d-node")


def legend(canvas: Canvas, y: float, layouts: list[Tried], words: Words) -> float:
    """What the shapes mean, of those that are there."""
    x = 0.0
    seen = {state(layout) for layout in layouts}
    entries = [(what, words(f"drawing.tradeoff.state.{what}")) for what in STATES if what in seen]
    entries += [("own", words("drawing.tradeoff.own"))] if any(one.own for one in layouts) else []
    y += ROW / 2
    for what, said in entries:
        width = 2 * OWN + BESIDE + wide(said, NOTE) + 2 * APART
        if x and x + width > WIDTH:
            x, y = 0.0, y + ROW
        if what == "own":
            canvas.circle(x + OWN, y, OWN - 1.0, "d-room")
        else:
            _shape(canvas, what, x + OWN, y)
        canvas.text(x + 2 * OWN + BESIDE, y, said, "d-note")
        x += width
    return y + ROW / 2 + 2
