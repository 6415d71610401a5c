"""The working voltage on a hot afternoon, step by step from the label to the controller.

What takes volts stands on the left, row by row; the stair on the right goes down by as much as each takes.
"""

from calc.model.curves import Along, Drop
from calc.render.catalogue import Words
from calc.render.drawings.svg import LEAD, NOTE, VALUE, WIDTH, Canvas, Figure, lines
from calc.render.numbers import show_text

WORDS, ROOM = 4.0, 176.0
LEFT, RIGHT = 196.0, WIDTH - 14.0
TOP, GAP, PAD = 6.0, 9.0, 0.12
FLAT = 0.05  # a stair that hardly falls gets a scale of this share of its voltage
NAME = "voltage-along"

Row = tuple[str, str, float]
"""Words, value, and the voltage after it."""


def along_drawing(along: Along | None, words: Words, system: str = "us") -> Figure | None:
    """Draw how the voltage falls from the modules' label to the controller, with the table that says the same.

    None where a run is not known.
    """
    if along is None:
        return None
    rows = _rows(along, words, system)
    canvas = Canvas()
    levels = [volts for _, _, volts in rows] + ([] if along.needed_V is None else [along.needed_V])
    low, high = min(levels), max(levels)
    span = max(high - low, FLAT * abs(high))
    low, high = low - PAD * span, high + PAD * span

    def x(volts: float) -> float:
        return LEFT + (RIGHT - LEFT) * (volts - low) / (high - low)

    y, corners = TOP, []
    for name, value, volts in rows:
        start = y
        y = _row(canvas, y, name, value)
        corners += [(x(volts), start), (x(volts), y)]
    if along.needed_V is not None:
        _needed(canvas, x(along.needed_V), y)
    canvas.line(corners, "d-room")
    canvas.circle(*corners[-1], 3.6, "d-node")
    y = _needs(canvas, y, along, words, system)
    svg = canvas.finish(
        y, name=NAME, title=words("curves.along.title"), says=_says(along, rows, words, system)
    )
    head = (words("curves.along.step"), words("curves.along.takes"), words("curves.along.leaves"))
    return Figure(svg, head, _table(along, rows, words, system))


def _rows(along: Along, words: Words, system: str) -> list[Row]:
    volts = along.label_V
    rows = [(words("curves.along.label"), show_text(volts, "V", system=system), volts)]
    for drop in along.drops:
        volts -= drop.taken_V
        rows.append((_name(drop, words, system), show_text(-drop.taken_V, "V", system=system), volts))
    arrives = show_text(along.arrives_V, "V", system=system)
    return [*rows, (words("curves.along.arrives"), arrives, along.arrives_V)]


def _name(drop: Drop, words: Words, system: str) -> str:
    if drop.what == "heat":
        return words("curves.along.heat")
    if drop.length_m is None:
        return drop.name
    return words("curves.along.run", name=drop.name, length=show_text(drop.length_m, "m", system=system))


def _row(canvas: Canvas, y: float, name: str, value: str) -> float:
    """One row of words; returns its lower end."""
    y += GAP / 2
    canvas.text(WORDS, y + VALUE * LEAD / 2, value, "d-value", size=VALUE)
    y += VALUE * LEAD
    for line in lines(name, NOTE, ROOM):
        canvas.text(WORDS, y + NOTE * LEAD / 2, line, "d-note")
        y += NOTE * LEAD
    return y + GAP / 2


def _needed(canvas: Canvas, edge: float, low: float) -> None:
    """Hatch what charging cannot use."""
    canvas.hatch((LEFT, TOP, edge - LEFT, low - TOP), "d-hatch")
    canvas.line([(edge, TOP), (edge, low)], "d-dash")


def _needs(canvas: Canvas, y: float, along: Along, words: Words, system: str) -> float:
    if along.needed_V is None:
        return y
    canvas.line([(LEFT, y + NOTE * LEAD / 2 + GAP / 2), (LEFT + 30, y + NOTE * LEAD / 2 + GAP / 2)], "d-dash")
    said = words("curves.along.needs", volts=show_text(along.needed_V, "V", system=system))
    for line in lines(said, NOTE, ROOM + 4):
        canvas.text(WORDS, y + NOTE * LEAD / 2 + GAP / 2, line, "d-note")
        y += NOTE * LEAD
    return y + GAP


def _says(along: Along, rows: list[Row], words: Words, system: str) -> str:
    said = "; ".join(f"{name}: {value}" for name, value, _ in rows)
    if along.needed_V is None:
        return f"{said}."
    return f"{said}. {words('curves.along.needs', volts=show_text(along.needed_V, 'V', system=system))}."


def _table(along: Along, rows: list[Row], words: Words, system: str) -> tuple[tuple[str, ...], ...]:
    first, *drops, _ = rows
    found = [(first[0], "", first[1])]
    found += [(name, value.lstrip("−"), show_text(volts, "V", system=system)) for name, value, volts in drops]
    if along.needed_V is not None:
        found.append((words("curves.along.needs-short"), "", show_text(along.needed_V, "V", system=system)))
    return tuple(found)
