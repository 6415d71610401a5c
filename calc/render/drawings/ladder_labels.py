"""The words beside a voltage ladder, set so that no two overlap, with a thin leader to the line each belongs to."""

from dataclasses import dataclass

from calc.render.catalogue import Words
from calc.render.drawings.rungs import Bound, Room, Rung, Window
from calc.render.drawings.scale import HEAD, Scale
from calc.render.drawings.svg import LEAD, NOTE, VALUE, WIDTH, Canvas, Piece, cut, lines, spread
from calc.render.numbers import NO_BREAK, show_text

LEFT, RIGHT = 138.0, 178.0  # the rails
ARROW = 125.0
NAMES_END, NAMES_ROOM = 104.0, 102.0  # the limits' words, set to the right
WORDS_START = 196.0  # the string's words
HEADINGS = 11.0  # the line on which the two headings stand
LEAVE = 3.0  # between two labels


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of words, each in pieces, and the height they belong to."""

    y: float
    texts: tuple[tuple[Piece, ...], ...]

    @property
    def height(self) -> float:
        """Room the lines take, with what is left free between labels."""
        return sum(line[0][2] * LEAD for line in self.texts) + LEAVE


def write_labels(canvas: Canvas, shown: Window, scale: Scale, words: Words) -> float:
    """Write headings, limits, rooms, rungs and what is not known; returns the height of the whole drawing."""
    canvas.text(NAMES_END, HEADINGS, words("drawing.ladder.limits"), "d-head", anchor="end")
    canvas.text(WORDS_START, HEADINGS, words("drawing.ladder.string"), "d-head")
    limits = [
        _bound(bound, shown.printed[bound.volts], scale, words)
        for bound in (*shown.uppers, *shown.lowers)
        if scale.shows(bound)
    ]
    for room, side in ((shown.above, "above"), (shown.below, "below")):
        if room is not None:
            limits.append(_room(room, side, scale, words))
    rungs = [_rung(rung, shown.printed[rung.volts], scale, words) for rung in shown.rungs]
    low = max(
        _column(canvas, limits, scale, right=False), _column(canvas, rungs, scale, right=True), scale.end
    )
    if shown.missing:
        said = words("drawing.ladder.missing", names=", ".join(shown.missing))
        for line in lines(said, NOTE, WIDTH - 8):
            low += NOTE * LEAD
            canvas.text(4, low, line, "d-note")
        low += NOTE * LEAD / 2
    return low + 4


def _bound(bound: Bound, value: str, scale: Scale, words: Words) -> Label:
    more = len(bound.names) - 1
    name = words("drawing.more", name=bound.names[0], count=more) if more else bound.names[0]
    name = cut(name, NOTE, NAMES_ROOM)
    return Label(scale.y(bound.volts), (((value, "d-value", VALUE),), ((name, "d-note", NOTE),)))


def _room(room: Room, side: str, scale: Scale, words: Words) -> Label:
    kind, css = ("passed", "d-fails-text") if room.passed else ("room", "d-accent-text")
    text = words(f"drawing.ladder.{kind}.{side}", gap=room.pair.gap)
    middle = (scale.y(room.actual) + scale.y(room.limit)) / 2
    return Label(middle, tuple(((line, css, NOTE),) for line in lines(text, NOTE, NAMES_ROOM, bold=True)))


def _rung(rung: Rung, volts: str, scale: Scale, words: Words) -> Label:
    value: tuple[Piece, ...] = ((volts, "d-value", VALUE),)
    if rung.celsius is not None:
        at = words("drawing.ladder.at", temperature=show_text(round(rung.celsius), "degC"))
        value += ((at.replace(" ", NO_BREAK), "d-note", NOTE),)
    return Label(scale.y(rung.volts), (value, ((rung.name, "d-note", NOTE),)))


def _column(canvas: Canvas, labels: list[Label], scale: Scale, *, right: bool) -> float:
    """Set one column beside its lines; returns its lower end."""
    labels = sorted(labels, key=lambda label: label.y)
    heights = [label.height for label in labels]
    low = HEAD
    for label, middle in zip(
        labels, spread([label.y for label in labels], heights, HEAD - 14, scale.end + 4), strict=True
    ):
        _leader(canvas, label.y, middle, right=right)
        y = middle - (label.height - LEAVE) / 2
        for line in label.texts:
            deep = line[0][2] * LEAD
            if right:
                canvas.spans(WORDS_START, y + deep / 2, line)
            else:
                canvas.spans(NAMES_END, y + deep / 2, line, anchor="end")
            y += deep
        low = max(low, y)
    return low


def _leader(canvas: Canvas, line: float, label: float, *, right: bool) -> None:
    """A thin line from a rail to its words, with a bend where the words had to give way."""
    if right:
        xs = (RIGHT + 3, RIGHT + 6, WORDS_START - 6, WORDS_START - 3)
    else:
        xs = (LEFT - 14, NAMES_END + 11, NAMES_END + 6, NAMES_END + 3)
    canvas.line(list(zip(xs, (line, line, label, label), strict=True)), "d-hair")
