"""The meter sheet as a page or a terminal needs it: plain records of words."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from calc.model.meter import Apart, Cause, Diagnosis, Expected, Judged, MeterSheet
from calc.render.catalogue import Words
from calc.render.faults.sentences import percent
from calc.render.fields import field_label
from calc.render.numbers import show, show_text

BEFORE, AFTER = ("voc", "isc"), ("current",)
UNITS = ("V", "A")
MANY = 4
"""Strings that are named one by one; of more, the first are named and the others counted."""


@dataclass(frozen=True, slots=True)
class SheetCell:
    """One expected reading: the quantity, its value, the band from low to high; ``known`` is false where none is."""

    name: str
    value: str
    band: str
    known: bool = True


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One string, or the array, with what it should read."""

    name: str
    cells: tuple[SheetCell, ...]


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the band of a quantity comes from, part by part."""

    name: str
    parts: tuple[tuple[str, str], ...]
    practice: str


@dataclass(frozen=True, slots=True)
class JudgedRow:
    """One reading beside what was expected."""

    place: str
    name: str
    measured: str
    expected: str
    result: str
    outside: bool


@dataclass(frozen=True, slots=True)
class CauseRow:
    """One likely cause: its rank, what and where it is, why, and what to measure next."""

    rank: int
    name: str
    place: str
    why: str
    next: str
    stop: bool
    unlikely: bool


@dataclass(frozen=True, slots=True)
class Found:
    """What readings come to."""

    verdict: str
    verdict_code: str
    stops: tuple[str, ...]
    judged: tuple[JudgedRow, ...]
    apart: tuple[str, ...]
    rounds: tuple[tuple[CauseRow, ...], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeterView:
    """Everything that is printed; ``missing`` says why there is nothing else, ``sun`` whether the sun is known."""

    missing: str
    sun: bool = False
    conditions: str = ""
    alike: str = ""
    before: tuple[SheetRow, ...] = ()
    after: tuple[SheetRow, ...] = ()
    origins: tuple[Origin, ...] = ()
    notes: tuple[str, ...] = ()
    found: Found | None = None
    blanks: tuple[str, ...] = field(default=())


def meter_view(
    sheet: MeterSheet, words: Words, system: str = "us", diagnosis: Diagnosis | None = None
) -> MeterView:
    """Gather what a meter sheet prints.

    Args:
        sheet: as made by ``calc.meter.expected.meter_sheet``.
        words: the word catalogue.
        system: ``us`` or ``metric``.
        diagnosis: what readings come to, where there are any.
    """
    missing = _missing(sheet, words)
    if missing:
        return MeterView(missing)
    after = [SheetRow(row.name, (_cell(row.current, "current", words),)) for row in sheet.rows]
    array = SheetRow(words("meter.array"), tuple(_cell(one, one.quantity, words) for one in sheet.array))
    return MeterView(
        missing="",
        sun=sheet.sun_Wm2 is not None,
        conditions=conditions(sheet, words, system),
        alike=words("meter.alike", share=percent(sheet.alike)),
        before=tuple(
            SheetRow(row.name, (_cell(row.voc, "voc", words), _cell(row.isc, "isc", words)))
            for row in sheet.rows
        ),
        after=(*after, array),
        origins=tuple(_origins(sheet, words)),
        notes=tuple(_notes(sheet, words)),
        found=None if diagnosis is None else _found(diagnosis, words),
        blanks=tuple(words(f"meter.line-{name}") for name in ("time", "sun", "air", "module", "battery")),
    )


def _missing(sheet: MeterSheet, words: Words) -> str:
    if sheet.reason:
        return words(f"faults.reason-none.{sheet.reason}")
    return words("meter.needs", needs=_labels(sheet.needs, words)) if sheet.needs else ""


def _labels(paths: tuple[str, ...], words: Words) -> str:
    return ", ".join(field_label(path, words) for path in paths)


def conditions(sheet: MeterSheet, words: Words, system: str = "us") -> str:
    """Sun, temperature and cells in one sentence."""

    def degrees(value: float | None) -> str:
        return "" if value is None else show_text(value, "degC", system=system, both=True)

    heat = words(f"meter.heat.{sheet.heat}", air=degrees(sheet.air_degC), module=degrees(sheet.module_degC))
    cells = degrees(max(sheet.cell_degC))
    if sheet.sun_Wm2 is None:
        return words("meter.conditions.unknown", heat=heat, cells=cells)
    return words("meter.conditions.known", sun=show_text(sheet.sun_Wm2, "W/m2"), heat=heat, cells=cells)


def _cell(one: Expected | None, quantity: str, words: Words) -> SheetCell:
    name = words(f"meter.short.{quantity}")
    if one is None:
        return SheetCell(name, "–", words("meter.no-band"), known=False)
    return SheetCell(name, show_text(one.value, one.unit), band(one, words))


def band(one: Expected, words: Words) -> str:
    """From low to high with the unit once."""
    low, high = show(one.low, one.unit), show(one.high, one.unit)
    return words("meter.to", low=low.number, high=str(high))


def _origins(sheet: MeterSheet, words: Words) -> Iterator[Origin]:
    row = sheet.rows[0]
    for one in (row.voc, row.isc, row.current, *sheet.array):
        if one is not None and one.bands:
            parts = tuple(
                (words(f"meter.band.{part.code}"), _share(part.below, part.above, words))
                for part in one.bands
            )
            practice = "" if one.practice is None else words("meter.practice", share=percent(one.practice))
            in_array = f"{words('meter.array')}: " if one in sheet.array else ""
            yield Origin(in_array + words(f"meter.short.{one.quantity}"), parts, practice)


def _share(below: float, above: float, words: Words) -> str:
    low, high = percent(max(below, 0.0)), percent(max(above, 0.0))
    return f"±\N{NO-BREAK SPACE}{low}" if low == high else words("meter.plus-minus", below=low, above=high)


def _notes(sheet: MeterSheet, words: Words) -> Iterator[str]:
    if sheet.sun_Wm2 is None:
        yield words("meter.no-current")
    if sheet.needs_after:
        yield words("meter.after-needs", needs=_labels(sheet.needs_after, words))
    elif sheet.way:
        yield words(f"meter.way.{sheet.way}")
    for code, name in sheet.left_out:
        yield words(f"faults.left-out.{code}", name=name)


def _found(diagnosis: Diagnosis, words: Words) -> Found:
    return Found(
        verdict=words(f"meter.verdict.{diagnosis.verdict}"),
        verdict_code=diagnosis.verdict,
        stops=tuple(stop_says(code, place, words) for code, place in diagnosis.stops),
        judged=tuple(_judged(one, words) for one in diagnosis.judged),
        apart=tuple(line for one in diagnosis.apart for line in _apart(one, words)),
        rounds=tuple(cause_rows(group, words) for group in diagnosis.rounds),
        notes=tuple(words(f"meter.note.{code}", place=place) for code, place in diagnosis.notes),
    )


def stop_says(code: str, place: str, words: Words) -> str:
    """A reason to stop, with the string it is about."""
    whole = not place and words.find(f"meter.stop.{code}-all") is not None
    return words(f"meter.stop.{code}{'-all' if whole else ''}", place=place)


def result_says(one: Judged, words: Words) -> str:
    """What came of one reading: within, outside and by how much, or why it is not judged."""
    result = words(f"meter.why-not.{one.why}") if one.why else words(f"meter.judged.{one.verdict}")
    if one.expected is not None and one.expected.value > 0.0 and one.verdict == "outside":
        off = one.measured / one.expected.value - 1.0
        if off < -1.0:
            return f"{result}: {words('meter.below-zero')}"
        result += f": {words('meter.off', share=_signed(off))}"
    return result


def _judged(one: Judged, words: Words) -> JudgedRow:
    return JudgedRow(
        one.place or words("meter.array"),
        words(f"meter.short.{one.quantity}"),
        show_text(one.measured, one.unit),
        words("meter.no-band") if one.expected is None else band(one.expected, words),
        result_says(one, words),
        one.verdict == "outside",
    )


def _signed(share: float) -> str:
    return f"{'+' if share > 0 else '−'}{percent(abs(share))}"


def _apart(one: Apart, words: Words) -> Iterator[str]:
    name = words(f"meter.short.{one.quantity}")
    if one.far:
        for place, share in one.far:
            yield f"{name}, {place}: {words('meter.below-zero') if share < -1.0 else _signed(share)}"
    else:
        yield f"{name}: {words('meter.nothing-alike', share=percent(one.within))}"


def cause_rows(causes: Iterable[Cause], words: Words) -> tuple[CauseRow, ...]:
    """The causes of one ranking, unlikely ones last; one that may be in several strings alike is told once, with all."""
    rows: list[CauseRow] = []
    places: list[list[str]] = []
    for cause in sorted(causes, key=lambda one: one.unlikely):
        row = _cause(len(rows) + 1, cause, words)
        if rows and row == replace(rows[-1], rank=row.rank, place=row.place):
            places[-1].append(row.place)
        else:
            rows.append(row)
            places.append([row.place])
    return tuple(replace(row, place=_places(which, words)) for row, which in zip(rows, places, strict=True))


def _places(places: Sequence[str], words: Words) -> str:
    if len(places) == 1:
        return places[0]
    if len(places) > MANY:
        named = places[: MANY - 1]
        return words("meter.many-places", some=", ".join(named), count=len(places) - len(named))
    return words("meter.or-place", some=", ".join(places[:-1]), last=places[-1])


def _cause(rank: int, cause: Cause, words: Words) -> CauseRow:
    return CauseRow(
        rank,
        words(f"meter.cause.{cause.code}"),
        cause.place,
        why_says(cause, words),
        words(f"meter.next-step.{cause.code}"),
        cause.stop,
        cause.unlikely,
    )


def why_says(cause: Cause, words: Words) -> str:
    """The reading that speaks most for a cause."""
    one = cause.telling
    if one is None:
        return words("meter.telling.none")
    place = one.place or words("meter.array")
    values = {
        name: show_text(round(value, 3) + 0.0, one.unit)
        for name, value in (
            ("measured", one.measured),
            ("predicted", one.predicted),
            ("healthy", one.healthy),
        )
    }
    return words("meter.telling.plain", what=f"{place} {words(f'meter.short.{one.quantity}')}", **values)
