"""The meter sheet as text for a terminal 80 columns wide, with blanks to write readings into when it is printed."""

import textwrap
from collections.abc import Iterator

from calc.model.meter import Diagnosis, MeterSheet
from calc.render.catalogue import Words, load_words
from calc.render.meter.view import CauseRow, Found, MeterView, SheetRow, meter_view
from calc.render.numbers import NO_BREAK, ascii_text

WIDTH = 80
NAME, QUANTITY, VALUE, BAND = 7, 23, 10, 20
BLANK = "________ "
SPELLED = 10
"""Room for signs that are longer when they are spelled in ASCII."""


def as_meter_text(
    sheet: MeterSheet,
    name: str = "",
    *,
    diagnosis: Diagnosis | None = None,
    system: str = "us",
    words: Words | None = None,
    ascii_only: bool = False,
) -> str:
    """What a meter should read, before and after joining; with readings, what they come to and the likely causes.

    Args:
        sheet: as made by ``calc.meter.expected.meter_sheet``.
        name: what to call the design when its file has no title.
        diagnosis: what readings come to, where there are any.
        system: ``us`` or ``metric``.
        words: the word catalogue; English when left out.
        ascii_only: spell everything in ASCII, for a terminal that knows no more.
    """
    words = words or load_words()
    view = meter_view(sheet, words, system, diagnosis)
    title = f"{sheet.design.text('title') or name}: {words('meter.title')}".removeprefix(": ")
    blocks = [[*_wrap(title), "=" * min(len(title), WIDTH)], _wrap(words("meter.caution"), "! ", "  ")]
    if view.missing:
        blocks.append(_wrap(view.missing))
    else:
        blocks += _result(view.found, words) if view.found else []
        blocks += _sheet(view, words)
    edition = words("text.edition", rules=sheet.rules, core=sheet.core, tables=sheet.rules_hash)
    blocks += [_wrap(edition), _wrap(words("text.caution"))]
    text = "\n\n".join("\n".join(block) for block in blocks if block).replace(NO_BREAK, " ") + "\n"
    return _folded(ascii_text(text)) if ascii_only else text


def _folded(text: str) -> str:
    return "\n".join(
        piece for line in text.split("\n") for piece in (_wrap(line) if len(line) > WIDTH else [line])
    )


def _sheet(view: MeterView, words: Words) -> list[list[str]]:
    blank = [*_wrap(view.conditions), *_wrap(words("meter.intro"))]
    lines = [f"{name}: {BLANK}" for name in view.blanks]
    return [
        blank,
        [line for one in view.notes for line in _wrap(one)],
        _section(words("meter.printable"), [line.rstrip() for line in lines]) if view.found is None else [],
        _section(words("meter.before"), [*_wrap(words("meter.before-why")), "", *_rows(view.before, words)]),
        _section(words("meter.after"), [*_wrap(words("meter.after-why")), "", *_rows(view.after, words)]),
        _wrap(view.alike),
        _section(words("meter.from-head"), [*_wrap(words("meter.from-intro")), *_origins(view)]),
    ]


def _rows(rows: tuple[SheetRow, ...], words: Words) -> Iterator[str]:
    heads = (words("meter.string-head"), words("meter.measure-head"), words("meter.expected-head"))
    yield _line(*heads, words("meter.band-head"), words("meter.your-reading"))
    for row in rows:
        for number, cell in enumerate(row.cells):
            name = "" if number else row.name
            yield _line(name, cell.name, cell.value, cell.band, BLANK.strip())


def _line(name: str, quantity: str, value: str, band: str, blank: str) -> str:
    return f"{name:<{NAME}} {quantity:<{QUANTITY}} {value:>{VALUE}}  {band:<{BAND}} {blank}".rstrip()


def _origins(view: MeterView) -> Iterator[str]:
    for one in view.origins:
        parts = [f"{name} {share}" for name, share in one.parts]
        said = f"{one.name}: {', '.join([*parts, one.practice] if one.practice else parts)}"
        yield from _wrap(said, "- ", "  ", WIDTH - SPELLED)


def _result(found: Found, words: Words) -> list[list[str]]:
    blocks = [_wrap(found.verdict)]
    blocks += [_wrap(one, "! ", "  ") for one in found.stops]
    for number, group in enumerate(found.rounds):
        title = words("meter.causes-more" if number else "meter.causes-title")
        more = _wrap(words("meter.causes-more-intro")) if number else []
        blocks.append(_section(title, [*more, *(line for one in group for line in _cause(one, words))]))
    blocks.append(_section(words("meter.readings-title"), list(_read(found))))
    blocks.append(_section(words("meter.apart-title"), _list(found.apart)))
    blocks.append(_section(words("meter.notes-title"), _list(found.notes)))
    return blocks


def _read(found: Found) -> Iterator[str]:
    width = max((len(f"{one.place} {one.name}") for one in found.judged), default=0)
    for one in found.judged:
        name = f"{one.place} {one.name}"
        yield from _wrap(
            f"{name:<{width}}  {one.measured:>9}  ({one.expected})".replace(" ", NO_BREAK) + f"  {one.result}"
        )


def _list(lines: tuple[str, ...]) -> list[str]:
    return [piece for line in lines for piece in _wrap(line, "- ", "  ")]


def _cause(one: CauseRow, words: Words) -> Iterator[str]:
    place = f" ({one.place})" if one.place else ""
    stop = f" {words('meter.stop-title').upper()}." if one.stop else ""
    yield from _wrap(f"{one.name}{place}.{stop}", f"{one.rank}. ", "   ")
    yield from _wrap(one.why, "   ", "   ")
    yield from _wrap(f"{words('meter.next')}: {one.next}", "   ", "   ")


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, "-" * len(title), *lines] if lines else []


def _wrap(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> list[str]:
    plain = text.replace(NO_BREAK, "\0")
    lines = textwrap.wrap(plain, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return [line.replace("\0", NO_BREAK) for line in lines] or [first.rstrip()]
