"""Every cause at every string, with what it predicts for each reading."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from calc.meter.cases import FULL, IDLE, RANGE, SWAPPED, Case, predicted
from calc.meter.expected import Moment
from calc.meter.judged import ARRAY, Item
from calc.meter.predict import Reads, StringReads

TYPICAL = 0.7
"""What a reading is off by as a rule, as a share of the worst."""
_OF_ZERO = 1.0 / 3.0


@dataclass(frozen=True, slots=True)
class Guess:
    """A case at one place, with what it predicts for every reading: value and how far a reading may be from it."""

    case: Case
    place: int
    values: tuple[float, ...]
    within: tuple[float, ...]


@dataclass(frozen=True)
class Guesses:
    """What every cause predicts for the readings ``items`` of an array in a sun, W/m2."""

    moment: Moment
    sun: float
    items: tuple[Item, ...]

    def all(self) -> Iterator[Guess]:
        """Every case at every place where it can be, and the slips of the meter."""
        stand = self.moment.setup.at(self.sun, self.moment.cells(self.sun))
        healthy: tuple[Reads, ...] = ()
        for case, found in predicted(self.moment.setup, stand):
            healthy = healthy or found
            places = (
                [place for place, kind in enumerate(self.moment.setup.kinds) if kind == case.kind]
                if case.kind >= 0
                else [ARRAY]
            )
            for place in places:
                if place == ARRAY or any(item.place == place for item in self.items) or self._joined():
                    for one in found:
                        yield self._guess(case, place, one)
        for one in healthy:
            yield self._guess(Case(RANGE), ARRAY, one)
            yield self._guess(Case(SWAPPED), ARRAY, one)

    def _joined(self) -> bool:
        return any(item.place == ARRAY for item in self.items)

    def _guess(self, case: Case, place: int, one: Reads) -> Guess:
        pairs = [self._predict(case, place, one, item) for item in self.items]
        return Guess(case, place, tuple(p for p, _ in pairs), tuple(s for _, s in pairs))

    def _predict(self, case: Case, place: int, one: Reads, item: Item) -> tuple[float, float]:
        """What a case predicts for a reading, and how far the reading may be from it."""
        if item.place == ARRAY:
            value = self._array(case, one, item)
            steep = 0.0 if item.volts else self._steep(one)
        else:
            value, steep = self._string(case, place, one, item)
        return value, self._within(item, value, steep)

    def _string(self, case: Case, place: int, one: Reads, item: Item) -> tuple[float, float]:
        kind = self.moment.setup.kinds[item.place]
        reads: StringReads = one.own if one.own is not None and item.place == place else one.others[kind]
        if item.quantity != "current":
            value = float(getattr(reads, item.quantity))
            return (abs(value) if item.quantity == "isc" else value), 0.0
        if case.free == IDLE or reads.current is None or self._cut(case, place, item.place):
            return 0.0, 0.0
        return reads.current, reads.steep

    def _cut(self, case: Case, place: int, at: int) -> bool:
        """Whether a string is cut off behind its meter's place: this one, or the first that hang on a coupler."""
        out = case.trouble.out
        if not out:
            return False
        if place != ARRAY:
            return at == place
        kind = self.moment.setup.kinds[at]
        return at - self.moment.setup.kinds.index(kind) < out[kind]

    def _array(self, case: Case, one: Reads, item: Item) -> float:
        if item.quantity == "array-current":
            return 0.0 if case.free == IDLE or one.current is None else one.current
        if item.quantity == "array-open" or case.free == IDLE or one.voltage is None:
            return one.open_V
        if case.free == FULL:
            low, high = sorted((one.voltage, one.open_V))
            return min(max(item.measured, low), high)
        return one.voltage

    def _steep(self, one: Reads) -> float:
        return (sum(string.steep for string in one.others) + (one.own.steep if one.own else 0.0)) / 2.0

    def _within(self, item: Item, value: float, steep: float) -> float:
        name = "voltage" if item.volts else "current"
        share = TYPICAL * hypot(
            self.moment.setup.unsure(f"{name}_made") / 2.0, self.moment.setup.unsure(f"{name}_meter")
        )
        nothing = self.moment.setup.book.table("meter_zero").cell(name).number * _OF_ZERO
        return hypot(share * abs(value), nothing, steep)
