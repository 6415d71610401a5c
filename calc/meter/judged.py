"""Readings held against the meter sheet and against each other, one by one."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from calc.meter.expected import SHAPES, VOLTAGE
from calc.meter.inputs import Setup
from calc.model.meter import (
    BREAKER_OPEN,
    CHARGING,
    FUSES_OUT,
    NOT_JUDGED,
    OUTSIDE,
    WITHIN,
    Apart,
    Expected,
    Judged,
    MeterSheet,
    Readings,
    StringReading,
)

ARRAY = -1
"""The place of a reading of the whole array."""


@dataclass(frozen=True, slots=True)
class Item:
    """One reading: the place of its string (-1 for the array), the quantity on the sheet, and what was read."""

    place: int
    quantity: str
    measured: float

    @property
    def volts(self) -> bool:
        """Whether it is a voltage."""
        return SHAPES[self.quantity] == VOLTAGE


def placed(sheet: MeterSheet, readings: Readings) -> tuple[dict[int, StringReading], tuple[str, ...]]:
    """The readings of strings by the string's place in the design, and the names that belong to none.

    A reading goes to the string of its name, or, where it has another one or none, to the place at which it stands.
    """
    names = {row.name.casefold(): place for place, row in enumerate(sheet.rows)}
    found: dict[int, StringReading] = {}
    left: list[str] = []
    for number, one in enumerate(readings.strings):
        place = names.get(one.name.casefold(), number)
        if place < len(sheet.rows) and place not in found:
            found[place] = one
        else:
            left.append(one.name or str(number + 1))
    return found, tuple(left)


def items(sheet: MeterSheet, readings: Readings) -> tuple[Item, ...]:
    """Every reading that a cause has to explain; currents at work only where the array is charging."""
    return tuple(_items(sheet, readings))


def _items(sheet: MeterSheet, readings: Readings) -> Iterator[Item]:
    charging = readings.state == CHARGING
    for place, one in sorted(placed(sheet, readings)[0].items()):
        for quantity in ("voc", "isc", "current"):
            value = getattr(one, quantity)
            if value is not None and (charging or quantity != "current"):
                yield Item(place, quantity, value)
    if readings.voltage is not None and readings.state != FUSES_OUT:
        yield Item(ARRAY, "array-voltage" if charging else "array-open", readings.voltage)
    if readings.current is not None and charging:
        yield Item(ARRAY, "array-current", readings.current)


def judged(sheet: MeterSheet, readings: Readings) -> tuple[Judged, ...]:
    """Is each reading within the band of the sheet? Not judged where the sheet has no band for it."""
    found = [_judge(sheet, item) for item in items(sheet, readings)]
    return (*found, *_dead(sheet, readings))


def _judge(sheet: MeterSheet, item: Item) -> Judged:
    if item.place == ARRAY:
        name, array = "", {one.quantity: one for one in sheet.array}
        expected = array.get(item.quantity)
    else:
        row = sheet.rows[item.place]
        name, expected = row.name, {"voc": row.voc, "isc": row.isc, "current": row.current}[item.quantity]
    unit = SHAPES[item.quantity]
    if expected is None:
        why = "sun" if sheet.sun_Wm2 is None else "battery"
        return Judged(name, item.quantity, unit, item.measured, None, NOT_JUDGED, why)
    inside = expected.low <= item.measured <= expected.high
    return Judged(name, item.quantity, unit, item.measured, expected, WITHIN if inside else OUTSIDE)


def _dead(sheet: MeterSheet, readings: Readings) -> Iterator[Judged]:
    """Places where a meter should read nothing: behind an open breaker, and where strings join with the fuses out."""
    most = nothing(sheet)
    for quantity, value, state in (
        ("bar", readings.voltage, FUSES_OUT),
        ("beyond", readings.beyond, BREAKER_OPEN),
        ("beyond", readings.beyond, FUSES_OUT),
    ):
        if value is not None and readings.state == state:
            expected = Expected(quantity, VOLTAGE, 0.0, -most, most, ())
            verdict = WITHIN if abs(value) <= most else OUTSIDE
            yield Judged("", quantity, VOLTAGE, value, expected, verdict)


def nothing(sheet: MeterSheet, what: str = "voltage") -> float:
    """What still counts as nothing, V or A."""
    if not isinstance(sheet.setup, Setup):
        raise TypeError("a sheet with rows has what its readings are judged with")
    return sheet.setup.book.table("meter_zero").cell(what).number


def apart(sheet: MeterSheet, readings: Readings) -> tuple[Apart, ...]:
    """How far are alike strings from each other? From the middle of their readings, quantity by quantity."""
    return tuple(_apart(sheet, items(sheet, readings)))


def _apart(sheet: MeterSheet, found: Sequence[Item]) -> Iterator[Apart]:
    for quantity in ("voc", "isc", "current"):
        for kind in dict.fromkeys(row.kind for row in sheet.rows):
            alike = [
                one
                for one in found
                if one.quantity == quantity and sheet.rows[max(one.place, 0)].kind == kind
            ]
            middle = _middle([one.measured for one in alike]) if alike else 0.0
            if len(alike) > 1 and middle > nothing(sheet, "voltage" if alike[0].volts else "current"):
                shares = tuple((sheet.rows[one.place].name, one.measured / middle - 1.0) for one in alike)
                yield Apart(quantity, shares, sheet.alike)


def _middle(values: Sequence[float]) -> float:
    """The middle one of the values in their order; of two in the middle the higher."""
    return sorted(values)[len(values) // 2]


def stops(sheet: MeterSheet, readings: Readings) -> tuple[tuple[str, str], ...]:
    """Which readings say that the work stops before anything else is done? Codes, each with the string it is about."""
    return tuple(dict.fromkeys(_stops(sheet, readings)))


def _stops(sheet: MeterSheet, readings: Readings) -> Iterable[tuple[str, str]]:
    volts, amperes = nothing(sheet), nothing(sheet, "current")
    for item in items(sheet, readings):
        name = "" if item.place == ARRAY else sheet.rows[item.place].name
        if item.volts and item.measured < -volts:
            yield "backwards", name
        if item.quantity == "current" and item.measured < -amperes:
            yield "takes", name
    for one in _dead(sheet, readings):
        if one.verdict == OUTSIDE:
            yield one.quantity, ""
    limit = sheet.design.number("controller.max_voltage")
    read = [item for item in items(sheet, readings) if item.volts]
    if limit is not None and any(abs(item.measured) > limit for item in read):
        yield "above-controller", ""
