"""A margin bar: how much of a limit is used, small enough to stand in a line of text or a table."""

from functools import lru_cache
from html import escape

from calc.model.assessment import Finding, Verdict
from calc.render.catalogue import Words
from calc.render.drawings.svg import NOTE, Canvas
from calc.render.numbers import MINUS, NO_BREAK, show_pair

WIDE, TALL = 200.0, 20.0
TRACK = 130.0  # the rest is for the words
TOP, BAR = 5.0, 10.0
AT_MOST, AT_LEAST = 0.75, 0.4  # where on the track the limit stands
LEAST = 1.5  # a bar so short that it can just be seen
GAP = 3.6  # from one stroke of hatching to the next
HUNDRED, TENFOLD = 100.0, 10.0


def margin_bar(finding: Finding, words: Words, system: str = "us") -> str:
    """Draw a finding's value against its limit, with the zone that counts as tight and the share of the limit in words.

    What lies past the limit, or is missing from it, is hatched. A bar that would leave its track ends in an arrow.
    Empty when the question does not arise, has a plain yes or no, or a limit of which no share can be taken.
    """
    if finding.verdict is Verdict.NEEDS_INPUT:
        return _unknown(words)
    if finding.actual is None or finding.limit is None or not finding.unit or finding.margin is None:
        return ""
    actual, limit = finding.actual.number, finding.limit.number
    if limit <= 0 or actual < 0:
        return ""
    upper = finding.sense == "at most"
    stands = TRACK * (AT_MOST if upper else AT_LEAST)
    canvas = Canvas()
    canvas.parts += _track(stands, stands * min((finding.tight_below or 0.0) / limit, 1.0), upper=upper)
    _bar(canvas, stands, stands * actual / limit, fails=finding.margin < 0)
    canvas.line([(stands, TOP - 4), (stands, TOP + BAR + 4)], "d-limit")
    css = "d-fails-text" if finding.verdict is Verdict.FAILS else "d-note"
    canvas.text(WIDE, TALL / 2, _share(actual, limit), css, anchor="end")
    return _svg(canvas, _says(finding, actual, limit, words, system))


@lru_cache(maxsize=1024)
def _track(stands: float, wide: float, *, upper: bool) -> tuple[str, ...]:
    """The track, and on its inner side of the limit the zone that counts as tight; a change seldom moves either."""
    canvas = Canvas()
    canvas.rect(0, TOP, TRACK, BAR, "d-track")
    zone = min(wide, TRACK - stands) if not upper else wide
    canvas.hatch((stands - zone if upper else stands, TOP, zone, BAR), "d-hatch", GAP)
    return tuple(canvas.parts)


def _bar(canvas: Canvas, stands: float, end: float, *, fails: bool) -> None:
    """The value; where it fails, what lies between it and the limit is hatched."""
    shown = min(max(end, LEAST), TRACK)
    inner, outer = sorted((min(shown, TRACK), stands))
    canvas.rect(0, TOP + 2, inner if fails else shown, BAR - 4, "d-bar")
    if fails:
        canvas.hatch((inner, TOP, outer - inner, BAR), "d-fails", GAP)
        canvas.rect(inner, TOP, outer - inner, BAR, "d-fails-edge")
    if end > TRACK:
        tip = TOP + BAR / 2
        canvas.line([(TRACK - 5, tip - 6), (TRACK + 2, tip), (TRACK - 5, tip + 6)], "d-line")


def _share(actual: float, limit: float) -> str:
    """The share of the limit in percent, or as a multiple; never rounded across the limit."""
    share = actual / limit
    if share >= TENFOLD:
        return f"{int(share)}{NO_BREAK}×" if share < HUNDRED else f">{NO_BREAK}99{NO_BREAK}×"
    pair = show_pair(share * HUNDRED, HUNDRED, "at most", "W")
    return f"{pair.actual.number}{NO_BREAK}%"


def _says(finding: Finding, actual: float, limit: float, words: Words, system: str) -> str:
    pair = show_pair(
        actual, limit, finding.sense, finding.unit, system=system, tight_below=finding.tight_below
    )
    side = "passed" if pair.margin.number.startswith(MINUS) else "room"
    sense = finding.sense.replace(" ", "-")
    return words(f"drawing.bar.{sense}-{side}", actual=pair.actual, limit=pair.limit, gap=pair.gap)


def _unknown(words: Words) -> str:
    """An empty, dashed track with a question mark."""
    canvas = Canvas()
    canvas.rect(0, TOP, TRACK, BAR, "d-track-unknown")
    canvas.text(WIDE, TALL / 2, "?", "d-name", size=NOTE, anchor="end")
    return _svg(canvas, words("drawing.bar.unknown"))


def _svg(canvas: Canvas, says: str) -> str:
    return (
        f'<svg class="d d-margin" viewBox="0 0 {WIDE:g} {TALL:g}" role="img" aria-label="{escape(says)}">'
        f"{''.join(canvas.parts)}</svg>"
    )
