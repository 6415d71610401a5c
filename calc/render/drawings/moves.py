"""Which input moves the verdict first: a bar an input, as long as the usual doubts it takes until a limit fails."""

from calc.model.layouts import Move, MoveReport
from calc.render.catalogue import Words
from calc.render.drawings.svg import NOTE, WIDTH, Canvas, Figure, cut, wide
from calc.render.layouts.figures import move_now, reach_text, shift_text
from calc.render.layouts.sentences import finding_name
from calc.render.numbers import show_text

NAME = "verdict-moves"
HEAD, ROW, BAR, TRACK = 22.0, 36.0, 9.0, 290.0
LEAST = 2.0


def moves_drawing(report: MoveReport, words: Words, system: str = "us") -> Figure | None:
    """Draw how far each input may move, nearest first, with the table that says what fails then.

    A bar that reaches the end of its track and is dashed stands for an input that breaks nothing as far as it was
    moved. None where nothing could be moved.
    """
    if not report.moves:
        return None
    canvas = Canvas()
    one = TRACK / report.widest
    height = HEAD + ROW * len(report.moves)
    canvas.text(one, HEAD / 2 - 2, words("drawing.moves.doubt"), "d-note", anchor="middle")
    for place, move in enumerate(report.moves):
        _row(canvas, HEAD + ROW * place, move, (report.widest, one), words, system)
    svg = canvas.finish(
        height, name=NAME, title=words("drawing.moves.title"), says=_says(report, words, system)
    )
    return Figure(svg, _head(words), tuple(_cells(move, report, words, system) for move in report.moves))


def _row(canvas: Canvas, y: float, move: Move, scale: tuple[float, float], words: Words, system: str) -> None:
    """The input's name, and below it the bar with how many usual doubts it is."""
    widest, one = scale
    name = move_name(move, words)
    canvas.text(0, y + NOTE / 2, cut(name, NOTE, WIDTH), "d-ink")
    middle = y + NOTE + BAR
    canvas.line([(one, middle - BAR), (one, middle + BAR)], "d-hair")
    if move.reach is None:
        canvas.line([(0, middle), (TRACK, middle)], "d-ground")
        canvas.text(WIDTH, middle, f">{reach_text(widest, system)}", "d-note", anchor="end")
        return
    long = max(move.reach * one, LEAST)
    near = move.reach <= 1.0
    canvas.rect(0, middle - BAR / 2, long, BAR, "d-bar")
    said = reach_text(move.reach, system)
    room = wide(said, NOTE, bold=True)
    start = long + 6
    if start < one + 2 and start + room > one:
        start = one + 6
    canvas.text(min(start, WIDTH - room), middle, said, "d-fails-text" if near else "d-ink")


def move_name(move: Move, words: Words) -> str:
    """What was moved."""
    return words(f"moves.name.{move.code}", part=move.part)


def _says(report: MoveReport, words: Words, system: str) -> str:
    said = []
    for move in report.moves:
        name = move_name(move, words)
        if move.reach is None:
            widest = reach_text(report.widest, system)
            said.append(words("drawing.moves.says-beyond", name=name, widest=widest))
            continue
        values = {"reach": reach_text(move.reach, system), "finding": finding_name(move.because, words)}
        said.append(words("drawing.moves.says", name=name, **values))
    return " ".join(said)


def _head(words: Words) -> tuple[str, ...]:
    return tuple(words(f"moves.{key}") for key in ("what", "doubt", "shift", "because"))


def _cells(move: Move, report: MoveReport, words: Words, system: str) -> tuple[str, ...]:
    now = move_now(move, move.now, system)
    name = f"{move_name(move, words)} ({words('moves.now')} {now})" if now else move_name(move, words)
    doubt = show_text(move.doubt, move.unit, system=system)
    if move.reach is None:
        widest = reach_text(report.widest, system)
        return name, doubt, words("moves.not-within", widest=widest), ""
    there = move_now(move, move.fails_at, system)
    shift = shift_text(move, words, system)
    at = f"{shift}, {words('moves.at')} {there}" if there else shift
    return name, doubt, at, finding_name(move.because, words)
