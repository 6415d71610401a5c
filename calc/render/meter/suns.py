"""The readings for several suns side by side, as a printed sheet shows them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.model.meter import Expected, MeterSheet, StringRow
from calc.render.catalogue import Words
from calc.render.numbers import show_text


@dataclass(frozen=True, slots=True)
class SunTable:
    """A column for each sun, and a line for each reading: whose it is, its name, and its value in each sun."""

    suns: tuple[str, ...]
    rows: tuple[tuple[str, str, tuple[str, ...]], ...]


def sun_table(sheets: Sequence[MeterSheet], words: Words) -> SunTable | None:
    """The expected readings of sheets that differ only in their sun; None where there is nothing to say.

    Args:
        sheets: as made by ``calc.meter.suns.sheets_by_sun``.
        words: the word catalogue.
    """
    if not sheets or not all(sheet.rows for sheet in sheets):
        return None
    heads = tuple(show_text(sheet.sun_Wm2, "W/m2") for sheet in sheets if sheet.sun_Wm2 is not None)
    return SunTable(heads, tuple(_rows(sheets, words)))


def _rows(sheets: Sequence[MeterSheet], words: Words) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    for kind in dict.fromkeys(row.kind for row in sheets[0].rows):
        alike = [place for place, row in enumerate(sheets[0].rows) if row.kind == kind]
        name = _names([sheets[0].rows[place].name for place in alike], words)
        for quantity in ("voc", "isc", "current"):
            found = [_of(sheet.rows[alike[0]], quantity) for sheet in sheets]
            if any(one is not None for one in found):
                yield name, words(f"meter.short.{quantity}"), _values(found)
    for quantity in dict.fromkeys(one.quantity for sheet in sheets for one in sheet.array):
        found = [next((one for one in sheet.array if one.quantity == quantity), None) for sheet in sheets]
        yield words("meter.array"), words(f"meter.short.{quantity}"), _values(found)


def _of(row: StringRow, quantity: str) -> Expected | None:
    return {"voc": row.voc, "isc": row.isc, "current": row.current}[quantity]


def _values(found: Sequence[Expected | None]) -> tuple[str, ...]:
    return tuple("–" if one is None else show_text(one.value, one.unit) for one in found)


def _names(names: Sequence[str], words: Words) -> str:
    """Alike strings stand one after the other, so the first and the last name tell them all."""
    return names[0] if len(names) == 1 else words("meter.from-to", first=names[0], last=names[-1])
