"""The meter sheet as text for a terminal 80 columns wide, with blanks to write readings into when it is printed."""

from collections.abc import Iterator

from calc.model.meter import Diagnosis, MeterSheet
from calc.render.catalogue import Words, load_words
from calc.render.columns import WIDTH, finished, foot, heading, listed, section, wrap
from calc.render.meter.view import CauseRow, Found, MeterView, SheetRow, meter_view
from calc.render.numbers import NO_BREAK

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
    blocks = [heading(title), wrap(words("meter.caution"), "! ", "  ")]
    if view.missing:
        blocks.append(wrap(view.missing))
    else:
        blocks += _result(view.found, words) if view.found else []
        blocks += _sheet(view, words)
    blocks += foot(words, sheet.rules, sheet.core, sheet.rules_hash)
    return finished(blocks, ascii_only=ascii_only)


def _sheet(view: MeterView, words: Words) -> list[list[str]]:
    blank = [*wrap(view.conditions), *wrap(words("meter.intro"))]
    lines = [f"{name}: {BLANK}" for name in view.blanks]
    return [
        blank,
        [line for one in view.notes for line in wrap(one)],
        section(words("meter.printable"), [line.rstrip() for line in lines]) if view.found is None else [],
        section(words("meter.before"), [*wrap(words("meter.before-why")), "", *_rows(view.before, words)]),
        section(words("meter.after"), [*wrap(words("meter.after-why")), "", *_rows(view.after, words)]),
        wrap(view.alike),
        section(words("meter.from-head"), [*wrap(words("meter.from-intro")), *_origins(view)]),
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
        yield from wrap(said, "- ", "  ", WIDTH - SPELLED)


def _result(found: Found, words: Words) -> list[list[str]]:
    blocks = [wrap(found.verdict)]
    blocks += [wrap(one, "! ", "  ") for one in found.stops]
    for number, group in enumerate(found.rounds):
        title = words("meter.causes-more" if number else "meter.causes-title")
        more = wrap(words("meter.causes-more-intro")) if number else []
        blocks.append(section(title, [*more, *_causes(group, words)]))
    blocks.append(section(words("meter.readings-title"), list(_read(found))))
    blocks.append(section(words("meter.apart-title"), listed(found.apart)))
    blocks.append(section(words("meter.notes-title"), listed(found.notes)))
    return blocks


def _read(found: Found) -> Iterator[str]:
    width = max((len(f"{one.place} {one.name}") for one in found.judged), default=0)
    for one in found.judged:
        name = f"{one.place} {one.name}"
        yield from wrap(
            f"{name:<{width}}  {one.measured:>9}  ({one.expected})".replace(" ", NO_BREAK) + f"  {one.result}"
        )


def _causes(group: tuple[CauseRow, ...], words: Words) -> Iterator[str]:
    told = False
    for one in group:
        if one.unlikely and not told:
            told = True
            yield ""
            yield from wrap(f"{words('meter.unlikely')}. {words('meter.unlikely-why')}")
        yield from _cause(one, words)


def _cause(one: CauseRow, words: Words) -> Iterator[str]:
    place = f" ({one.place})" if one.place else ""
    stop = f" {words('meter.stop-title').upper()}." if one.stop else ""
    yield from wrap(f"{one.name}{place}.{stop}", f"{one.rank}. ", "   ")
    yield from wrap(one.why, "   ", "   ")
    yield from wrap(f"{words('meter.next')}: {one.next}", "   ", "   ")
