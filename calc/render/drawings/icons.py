"""The smallest drawings: how a layout's modules are joined, and the project's mark."""

from html import escape

from calc.render.catalogue import Words
from calc.render.drawings.svg import Canvas

SIDE = 48.0
MOST = 4  # modules drawn along each side; more are drawn as this many with a gap
TALL = 0.62  # height of a module over its width


def layout_icon(series: int, parallel: int, words: Words) -> str:
    """Draw how ``series`` modules make a string and ``parallel`` strings stand side by side, as a small pictogram.

    More than four either way are drawn as four, of which the last but one is open.
    """
    rows, columns = min(series, MOST), min(parallel, MOST)
    pitch = min(SIDE / columns, SIDE / (rows * (TALL + 0.34)), 18.0)
    wide, step = pitch * 0.72, pitch * (TALL * 0.72 + 0.24)
    tall = wide * TALL
    left = (SIDE - pitch * (columns - 1)) / 2
    top = (SIDE - step * (rows - 1)) / 2
    canvas = Canvas()
    ends = (top - step / 2 - 1, top + step * (rows - 1) + step / 2 + 1)
    for column in range(columns):
        x = left + pitch * column
        canvas.line([(x, ends[0]), (x, ends[1])], "d-line")
        for row in range(rows):
            y = top + step * row
            left_out = (columns < parallel and column == MOST - 2) or (rows < series and row == MOST - 2)
            css = "d-icon-open" if left_out else "d-icon"
            canvas.rect(x - wide / 2, y - tall / 2, wide, tall, css, 0.8)
    if columns > 1:
        for y in ends:
            canvas.line([(left, y), (left + pitch * (columns - 1), y)], "d-line")
    says = escape(words("drawing.icon", series=series, parallel=parallel))
    return (
        f'<svg class="d d-layout" viewBox="0 0 {SIDE:g} {SIDE:g}" role="img" aria-label="{says}">'
        f"{''.join(canvas.parts)}</svg>"
    )


# An open book: on the left page an array of six modules, on the right page lines of working, the last one short.
_PAGE = "".join(
    f"M{x:g} {y + (x - 1) * 0.28:.4g}l4.6 1.29v4.4l-4.6-1.29z" for y in (3.2, 9.1, 15.0) for x in (1.0, 6.6)
)
_LINES = "M13.6 7.4L23 4.77M13.6 12L23 9.37M13.6 16.6L23 13.97M13.6 21.2L18.6 19.8"
_STYLE = (
    "<style>svg{color:#211c16;--accent:#0b5d57}"
    "@media(prefers-color-scheme:dark){svg{color:#ece5d8;--accent:#86cdbf}}</style>"
)


def mark(*, alone: bool = False) -> str:
    """Draw the project's mark: an array on one page of an open book, its working on the other.

    On a page it takes the page's colours and is hidden from screen readers, because the name stands beside it;
    ``alone`` makes a file of its own (the icon of a window) that brings colours for light and dark along.
    """
    head = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24"'
    head += f">{_STYLE}" if alone else ' class="d-mark" aria-hidden="true" focusable="false">'
    return (
        f'{head}<path fill="var(--accent)" d="{_PAGE}"/>'
        f'<path fill="none" stroke="currentColor" stroke-width="1.9" d="{_LINES}"/></svg>'
    )
