"""The wiring, part by part: every module with its poles, every coupler or circuit, and all that follows to the battery.

It is drawn by the same hand as the wiring block by block: minus dashed on the left, plus solid on the right, words
between the rails.
"""

from calc.model.parts import Parts
from calc.render.catalogue import Words
from calc.render.drawings.array import MIDDLE, MINUS_X, PLUS_X
from calc.render.drawings.detail_joins import combined, coupled, earth
from calc.render.drawings.detail_rows import GROUND_X, bond_to, draw_fuse, draw_rows
from calc.render.drawings.detailed import BOX, CABLE, FUSE, SWITCH, TERMINALS, Block, Detail, detail_of
from calc.render.drawings.joins import BLADE, EDGE, FUSE_TALL, TERMINAL, fuse, rails, switch, terminals
from calc.render.drawings.svg import LABEL, LEAD, NOTE, WIDTH, Canvas, Figure, cut, lines

NAME = "detail"
ROOM = 226.0  # for words between the rails
GAP = 9.0  # of bare rail above and below words
TOP = 6.0
LINE = NOTE * LEAD
DETAIL_LINES = 3  # at most, for one part's ratings


def detail(parts: Parts, words: Words, system: str = "us") -> Figure:
    """Draw how a design is wired part by part, with the table that says the same."""
    plan = detail_of(parts, words, system)
    canvas = Canvas()
    drawn = draw_rows(canvas, plan, TOP)
    ends = drawn.ends
    if plan.fused:
        ends = [draw_fuse(canvas, end) for end in ends]
    y = combined(canvas, plan, ends, drawn.below) if plan.combiner else coupled(canvas, plan, ends, drawn.gap)
    y = _notes(canvas, y, plan)
    for block in plan.blocks:
        y = _DRAW.get(block.look, _plain)(canvas, y, block)
    end = y + 16
    bond_to(canvas, drawn.bond, TOP, end)
    earth(canvas, GROUND_X, end)
    canvas.text(GROUND_X + 16, end + 2, cut(plan.ground, NOTE, WIDTH - 40), "d-note")
    svg = canvas.finish(
        end + 16,
        name=NAME,
        title=words("make.detail.title"),
        says=words("make.detail.says", parts="; ".join(" ".join(row) for row in plan.table)),
        css="d-detail",
    )
    return Figure(svg, tuple(words(f"make.detail.{column}") for column in ("part", "what")), plan.table)


def _notes(canvas: Canvas, y: float, plan: Detail) -> float:
    """What is said of the strings and their couplers, between the rails."""
    said = [line for note in plan.notes for line in lines(note, NOTE, ROOM, DETAIL_LINES)]
    end = y + 6 + len(said) * LINE + 2
    rails(canvas, y, end)
    for place, text in enumerate(said):
        canvas.text(MIDDLE, y + 6 + (place + 0.5) * LINE, text, "d-note", anchor="middle")
    return end


def _set(block: Block) -> list[tuple[str, str, float]]:
    """A block's words, line by line: text, class, size."""
    rows = [(text, "d-name", LABEL) for text in lines(block.name, LABEL, ROOM, bold=True)]
    for said in block.details:
        rows += [(text, "d-note", NOTE) for text in lines(said, NOTE, ROOM, DETAIL_LINES)]
    return rows


def _tall(block: Block) -> float:
    return sum(size * LEAD for _, _, size in _set(block))


def _words(canvas: Canvas, y: float, block: Block) -> None:
    for text, css, size in _set(block):
        canvas.text(MIDDLE, y + size * LEAD / 2, text, css, size=size, anchor="middle")
        y += size * LEAD


def _plain(canvas: Canvas, y: float, block: Block) -> float:
    """A pair of wires with their words between them."""
    end = y + GAP + _tall(block) + GAP
    rails(canvas, y, end)
    _words(canvas, y + GAP, block)
    return end


def _cable(canvas: Canvas, y: float, block: Block) -> float:
    """A run: its two conductors lie in a cable."""
    end = y + GAP + _tall(block) + GAP
    for x in (MINUS_X, PLUS_X):
        canvas.rect(x - 5, y + GAP / 2, 10, end - y - GAP, "d-cable", 5)
    return _plain(canvas, y, block)


def _terminals(canvas: Canvas, y: float, block: Block) -> float:
    """A box in which both conductors pass a terminal."""
    end = _plain(canvas, y, block)
    canvas.rect(EDGE, y + GAP / 2, WIDTH - 2 * EDGE, end - y - GAP, "d-hair", 5)
    terminals(canvas, (y + end) / 2)
    return end


def _switch(canvas: Canvas, y: float, block: Block) -> float:
    """A switch or breaker: a blade on each pole that it opens."""
    end = y + GAP + max(_tall(block), 2 * BLADE) + GAP
    middle = (y + end) / 2
    switch(canvas, y, end, (MINUS_X, PLUS_X) if block.both else (PLUS_X,))
    _words(canvas, middle - _tall(block) / 2, block)
    return end


def _fuse(canvas: Canvas, y: float, block: Block) -> float:
    """A fuse in the plus conductor."""
    end = y + GAP + max(_tall(block), FUSE_TALL) + GAP
    middle = (y + end) / 2
    rails(canvas, y, end)
    fuse(canvas, PLUS_X, middle - FUSE_TALL / 2)
    _words(canvas, middle - _tall(block) / 2, block)
    return end


def _box(canvas: Canvas, y: float, block: Block) -> float:
    """A box with a marked terminal for each pole above, and below where the conductors go on."""
    top = y + GAP
    end = top + GAP + max(_tall(block), 2 * TERMINAL + 14) + GAP
    rails(canvas, y, top)
    canvas.rect(EDGE, top, WIDTH - 2 * EDGE, end - top, "d-block", 5)
    _words(canvas, (top + end - _tall(block)) / 2, block)
    earth(canvas, MINUS_X, (top + end) / 2 - 4)
    terminals(canvas, top)
    if not block.both:
        return end
    rails(canvas, end, end + GAP)
    terminals(canvas, end)
    return end + GAP


_DRAW = {CABLE: _cable, SWITCH: _switch, BOX: _box, FUSE: _fuse, TERMINALS: _terminals}
