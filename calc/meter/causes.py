"""Likely causes of readings, ranked: how much of the readings each leaves unexplained, and how common it is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf, log10
from statistics import median_high

from calc.meter.cases import FITS, FULL, HEAT, IDLE, RANGE, STOPS, SUN, SWAPPED, Case, predicted
from calc.meter.judged import ARRAY, Item
from calc.meter.expected import SHAPES, Moment
from calc.meter.inputs import Setup
from calc.meter.predict import Reads, StringReads
from calc.model.meter import CHARGING, Cause, MeterSheet, Readings, Telling

MOST_ROUNDS = 3
TOLD = 6
"""Causes that are told in a round."""
_TYPICAL = 0.7
"""What a reading is off by as a rule, as a share of the worst."""
_FREE = 2.0
"""How wide a quantity may float that a cause lets float, or that nobody measured."""
_FULL_MARK = 4.0
"""How much a battery at its highest voltage speaks for one that is full, and a lower one against it."""
_FARTHEST = 1.5
"""So many widths may all readings of a kind be off together: no worse than the worst, so that one bad reading moves none."""
_SPEAKS = 4.0
"""By how much a cause must explain the readings better than nothing being wrong does, to be told."""
_NEARLY = 0.985
_HOTTEST = 0.2
"""Share by which heat can shift the voltage: some 60 degrees."""
_LITTLE, _ALL = 0.04, 0.98
"""Of the current that a full battery keeps from flowing."""
_POWERS = (-3, -2, -1, 1, 2, 3)
_RANGE_OFF = 0.08
_DARKEST, _BRIGHTEST = 10.0, 1500.0


@dataclass(frozen=True, slots=True)
class Guess:
    """A case at one place, with what it predicts for every reading: value and how far a reading may be from it."""

    case: Case
    place: int
    values: tuple[float, ...]
    within: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Marked:
    """A guess with what it leaves unexplained, with its mark added, and what the readings are then taken to be."""

    guess: Guess
    left: float
    score: float
    items: tuple[Item, ...]
    predicted: tuple[float, ...]
    volts_off: float


class Judge:
    """Ranks causes for one sheet and its readings."""

    def __init__(self, sheet: MeterSheet, readings: Readings, found: Sequence[Item]) -> None:
        """Work out what every cause predicts for the readings ``found``."""
        if not isinstance(sheet.setup, Setup):
            raise TypeError("a sheet with rows has what its readings are judged with")
        self.setup = sheet.setup
        self.sheet = sheet
        self.readings = readings
        self.items = tuple(
            replace(one, measured=abs(one.measured)) if one.quantity == "isc" else one for one in found
        )
        self.moment = Moment(self.setup, sheet.sun_Wm2, sheet.air_degC, sheet.module_degC)
        table = self.setup.book.table("meter_causes")
        self.marks = {str(cause): float(mark or 0.0) for cause, mark in zip(table.column("cause"), table.column("mark"), strict=True)}
        self.sun = self._sun()
        self.guesses = tuple(self._guesses())

    def _sun(self) -> float:
        """The sun in which to predict: as the currents have it, within what the sun's reading allows, W/m2."""
        likely = self.moment.likely_sun
        healthy = self.moment.reads(likely)
        shares = {}
        for quantity in ("isc", "current"):
            found = []
            for item in self.items:
                if item.quantity == quantity:
                    expected = getattr(healthy.others[self.setup.kinds[item.place]], quantity)
                    if expected:
                        found.append(item.measured / expected)
            if found:
                shares[quantity] = median_high(found)
        share = shares.get("isc", shares.get("current", 1.0))
        off = self.setup.unsure("sun")
        if self.sheet.sun_Wm2 is not None:
            return likely * min(max(share, 1.0 - off), 1.0 + off)
        return min(max(likely * share, _DARKEST), _BRIGHTEST) if share > 0.0 else likely

    def rounds(self, *, faulty: bool) -> Iterator[tuple[Cause, ...]]:
        """One ranking for each fault; a later one is about what is left when the string of the first is set aside."""
        aside: set[int] = set()
        for number in range(MOST_ROUNDS):
            ranked = self._ranked(aside)
            if not ranked or (ranked[0].guess.case.code == FITS and not (faulty and number == 0)):
                return
            healthy = next(one for one in ranked if one.guess.case.code == FITS)
            told = [one for one in ranked if one.left < healthy.left - _SPEAKS]
            if not told:
                return
            yield tuple(self._cause(one, healthy) for one in told[:TOLD])
            if told[0].guess.place == ARRAY:
                return
            aside |= {told[0].guess.place, ARRAY}

    def _ranked(self, aside: set[int]) -> list[Marked]:
        """Each cause once for each place, at its best, the likeliest first."""
        best: dict[tuple[str, int], Marked] = {}
        for guess in self.guesses:
            if guess.case.code == FITS or guess.place not in aside:
                for one in self._marked(guess, aside):
                    key = (guess.case.code, guess.place)
                    if key not in best or one.score < best[key].score:
                        best[key] = one
        return sorted(best.values(), key=lambda one: one.score)

    def _marked(self, guess: Guess, aside: set[int]) -> Iterator[Marked]:
        keep = [n for n, item in enumerate(self.items) if item.place not in aside]
        shown = [(self.items[n], guess.values[n], guess.within[n]) for n in keep]
        if not shown:
            return
        if guess.case.code == SWAPPED:
            changed = _swapped(shown)
            if changed:
                yield self._mark(guess, changed)
        elif guess.case.code == RANGE:
            for changed in _ranges(shown):
                yield self._mark(guess, changed)
        else:
            yield self._mark(guess, shown)

    def _mark(self, guess: Guess, shown: Sequence[tuple[Item, float, float]]) -> Marked:
        free = guess.case.free
        volts = self._floated([one for one in shown if one[0].volts], *self._volts_off(free))
        own = ("current", "array-current") if free == FULL else ("isc", "current", "array-current")
        short = self._floated([one for one in shown if one[0].quantity == "isc" and "isc" not in own], *self._current_off(""))
        amperes = self._floated([one for one in shown if one[0].quantity in own], *self._current_off(free))
        left = volts[0] + amperes[0] + short[0]
        score = left + self.marks.get(guess.case.code, 0.0)
        if free == FULL:
            score += self._battery()
        if not self._possible(free, volts[1], amperes[1]):
            left = score = inf
        off = {item.quantity: (volts if item.volts else amperes if item.quantity in own else short)[1] for item, _, _ in shown}
        values = tuple(p * (1.0 + off[item.quantity]) for item, p, _ in shown)
        return Marked(guess, left, score, tuple(item for item, _, _ in shown), values, volts[1])

    def _possible(self, free: str, volts: float, amperes: float) -> bool:
        """Whether what floats stays where the cause can have it."""
        if free == HEAT:
            return abs(volts) < _HOTTEST
        if free == SUN:
            return amperes < 0.0
        return free != FULL or -_ALL < amperes < -_LITTLE

    def _battery(self) -> float:
        """Whether the battery's voltage speaks for a full one."""
        read, full = self.readings.battery, self.setup.absorption_V
        if read is None or full is None:
            return 0.0
        return -_FULL_MARK if read >= full * _NEARLY else _FULL_MARK

    def _volts_off(self, free: str) -> tuple[float, float]:
        """Middle and width of what all voltages may be off by together, as shares."""
        if free == HEAT:
            return 0.0, _FREE / 4.0
        bands = {band.code: max(band.below, band.above) for band in self.sheet.rows[0].voc.bands}
        known = self.sheet.sun_Wm2 is not None or any(not item.volts for item in self.items)
        return 0.0, _TYPICAL * hypot(bands["heat"], bands["made"], 0.0 if known else bands["sun"])

    def _current_off(self, free: str) -> tuple[float, float]:
        """The same for all currents."""
        if self.sheet.sun_Wm2 is None or free in (SUN, FULL):
            return 0.0, _FREE
        middle = self.sheet.sun_Wm2 / self.sun - 1.0
        return middle, _TYPICAL * hypot(self.setup.unsure("sun"), self.setup.unsure("current_made"))

    @staticmethod
    def _floated(shown: Sequence[tuple[Item, float, float]], middle: float, width: float) -> tuple[float, float]:
        """The least misfit when all predictions may be off by one share, and that share."""
        if not shown:
            return 0.0, 0.0
        pull = sum(p * (item.measured - p) / s**2 for item, p, s in shown) + middle / width**2
        share = pull / (sum((p / s) ** 2 for _, p, s in shown) + 1.0 / width**2)
        share = min(max(share, middle - _FARTHEST * width), middle + _FARTHEST * width)
        left = sum(((item.measured - p * (1.0 + share)) / s) ** 2 for item, p, s in shown)
        return left + ((share - middle) / width) ** 2, share

    def _guesses(self) -> Iterator[Guess]:
        stand = self.setup.at(self.sun, self.moment.cells(self.sun))
        healthy: tuple[Reads, ...] = ()
        for case, found in predicted(self.setup, stand):
            healthy = healthy or found
            places = (
                [place for place, kind in enumerate(self.setup.kinds) if kind == case.kind]
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
        kind = self.setup.kinds[item.place]
        reads: StringReads = one.own if one.own is not None and item.place == place else one.others[kind]
        if item.quantity != "current":
            value = float(getattr(reads, item.quantity))
            return (abs(value) if item.quantity == "isc" else value), 0.0
        if case.free == IDLE or reads.current is None or self._cut(case, place, item.place):
            return 0.0, 0.0
        return reads.current, reads.steep

    def _cut(self, case: Case, place: int, at: int) -> bool:
        """Whether a string is cut off behind the place where it is metered: this one, or the first that hang on a coupler."""
        out = case.trouble.out
        if not out:
            return False
        if place != ARRAY:
            return at == place
        kind = self.setup.kinds[at]
        return at - self.setup.kinds.index(kind) < out[kind]

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
        share = _TYPICAL * hypot(self.setup.unsure(f"{name}_made") / 2.0, self.setup.unsure(f"{name}_meter"))
        nothing = self.setup.book.table("meter_zero").cell(name).number / 3.0
        return hypot(share * abs(value), nothing, steep)

    def _cause(self, one: Marked, healthy: Marked) -> Cause:
        case, place = one.guess.case, one.guess.place
        if case.free == HEAT:
            case = replace(case, code="cold" if one.volts_off > 0.0 else "hot")
        return Cause(
            code=case.code,
            place="" if place == ARRAY else self.sheet.rows[place].name,
            left=one.left,
            score=one.score,
            telling=self._telling(one, healthy),
            stop=case.code in STOPS,
        )

    def _telling(self, one: Marked, healthy: Marked) -> Telling | None:
        """The reading that speaks most for a cause and against nothing being wrong."""
        best, found = 0.0, None
        within = dict(zip(((i.place, i.quantity) for i in self.items), healthy.guess.within, strict=True))
        for item, mine, its in zip(one.items, one.predicted, healthy.predicted, strict=True):
            off = within[item.place, item.quantity]
            read = next(i for i in healthy.items if (i.place, i.quantity) == (item.place, item.quantity)).measured
            gain = min(((read - its) / off) ** 2, 1e6) - min(((item.measured - mine) / off) ** 2, 1e6)
            if gain > best:
                name = "" if item.place == ARRAY else self.sheet.rows[item.place].name
                best = gain
                found = Telling(name, item.quantity, SHAPES[item.quantity], read, its, mine)
        return found


def _ranges(shown: Sequence[tuple[Item, float, float]]) -> Iterator[list[tuple[Item, float, float]]]:
    """The readings with one of them, or all of a kind, taken as read on the wrong range."""
    for at, (item, value, _) in enumerate(shown):
        factor = _power(item.measured, value)
        if factor:
            yield [_times(one, factor) if n == at else one for n, one in enumerate(shown)]
    for volts in (True, False):
        mine = [(item, value) for item, value, _ in shown if item.volts == volts and abs(item.measured) > 0.0]
        factors = {_power(item.measured, value) for item, value in mine}
        factor = factors.pop() if len(factors) == 1 else 0.0
        if factor:
            yield [_times(one, factor) if one[0].volts == volts else one for one in shown]


def _swapped(shown: Sequence[tuple[Item, float, float]]) -> list[tuple[Item, float, float]]:
    """The readings as they are with the meter's leads the other way round; nothing where no voltage is below zero."""
    volts = [item.measured < 0.0 < value for item, value, _ in shown if item.volts]
    return [_times(one, -1.0) if one[0].volts else one for one in shown] if volts and all(volts) else []


def _times(one: tuple[Item, float, float], factor: float) -> tuple[Item, float, float]:
    item, value, within = one
    return replace(item, measured=item.measured * factor), value, within


def _power(measured: float, value: float) -> float:
    """By which power of ten a reading would have to be multiplied; 0 where by none."""
    if measured <= 0.0 or value <= 0.0:
        return 0.0
    needed = log10(value / measured)
    near = round(needed)
    return 10.0**near if near in _POWERS and abs(needed - near) < _RANGE_OFF else 0.0
