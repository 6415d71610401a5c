"""Likely causes of readings, ranked: how much of the readings each leaves unexplained, and how common it is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf, isclose
from statistics import median_high

from calc.meter.cases import FITS, FULL, HEAT, RANGE, STOPS, SUN, SWAPPED
from calc.meter.expected import SHAPES, Moment
from calc.meter.guesses import TYPICAL, Guess, Guesses
from calc.meter.inputs import Setup
from calc.meter.judged import ARRAY, Item
from calc.meter.slips import Shown, ranges, swapped
from calc.model.meter import Cause, MeterSheet, Readings, Telling

VOLTAGES = ("voc", "array-open", "array-voltage")
SHORTED, AT_WORK = ("isc",), ("current", "array-current")
MOST_ROUNDS = 3
TOLD = 6
"""Causes that are told in a round; more where the last is one cause that may be in several strings alike."""
_FREE = 2.0
"""How wide a quantity may float that a cause lets float, or that nobody measured."""
_FULL_MARK = 4.0
"""How much a battery at its highest voltage speaks for one that is full, and a lower one against it."""
_FARTHEST = 1.5
"""So many widths may all readings of a kind be off together: one bad reading must not move the others' measure."""
_SPEAKS = 4.0
"""By how much a cause must explain the readings better than nothing being wrong does, to be told."""
_WORST = 1e6
_NEARLY = 0.985
_HOTTEST = 0.2
"""Share by which heat can shift the voltage: some 60 degrees."""
_LITTLE, _ALL = 0.04, 0.98
"""Of the current that a full battery keeps from flowing."""
_DARKEST, _BRIGHTEST = 10.0, 1500.0


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
        self.marks = {
            str(cause): float(mark or 0.0)
            for cause, mark in zip(table.column("cause"), table.column("mark"), strict=True)
        }
        self.sun = self._sun()
        self.guesses = tuple(Guesses(self.moment, self.sun, self.items).all())

    def _sun(self) -> float:
        """The sun in which to predict: as the currents have it, within what the sun's reading allows, W/m2."""
        likely = self.moment.likely_sun
        healthy = self.moment.reads(likely)
        shares: dict[str, float] = {}
        for quantity in ("isc", "current"):
            found = []
            for item in self.items:
                if item.quantity == quantity:
                    expected: float | None = getattr(healthy.others[self.setup.kinds[item.place]], quantity)
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
            yield tuple(self._cause(one, healthy) for one in told[: _even(told)])
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
            changed = swapped(shown)
            if changed:
                yield self._mark(guess, changed)
        elif guess.case.code == RANGE:
            for changed in ranges(shown):
                yield self._mark(guess, changed)
        else:
            yield self._mark(guess, shown)

    def _mark(self, guess: Guess, shown: Sequence[Shown]) -> Marked:
        """What a guess leaves unexplained when volts and amperes may each be off by one share."""
        free = guess.case.free
        off: dict[str, float] = {}
        left = 0.0
        for quantities, (middle, width) in self._groups(free):
            mine = [one for one in shown if one[0].quantity in quantities]
            misfit, share = self._floated(mine, middle, width)
            left += misfit
            off |= dict.fromkeys(quantities, share)
        score = left + self.marks.get(guess.case.code, 0.0)
        if free == FULL:
            score += self._battery()
        if not self._possible(free, off["voc"], off["current"]):
            left = score = inf
        values = tuple(value * (1.0 + off[item.quantity]) for item, value, _ in shown)
        return Marked(guess, left, score, tuple(item for item, _, _ in shown), values, off["voc"])

    def _groups(self, free: str) -> Iterator[tuple[tuple[str, ...], tuple[float, float]]]:
        """Quantities that are off by the same share, and middle and width of that share.

        A full battery lets the currents at work float, and not those of shorted strings.
        """
        yield VOLTAGES, self._volts_off(free)
        if free == FULL:
            yield SHORTED, self._current_off("")
            yield AT_WORK, self._current_off(free)
        else:
            yield (*SHORTED, *AT_WORK), self._current_off(free)

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
        return 0.0, TYPICAL * hypot(bands["heat"], bands["made"], 0.0 if known else bands["sun"])

    def _current_off(self, free: str) -> tuple[float, float]:
        """The same for all currents."""
        if self.sheet.sun_Wm2 is None or free in (SUN, FULL):
            return 0.0, _FREE
        middle = self.sheet.sun_Wm2 / self.sun - 1.0
        return middle, TYPICAL * hypot(self.setup.unsure("sun"), self.setup.unsure("current_made"))

    @staticmethod
    def _floated(shown: Sequence[Shown], middle: float, width: float) -> tuple[float, float]:
        """The least misfit when all predictions may be off by one share, and that share."""
        if not shown:
            return 0.0, 0.0
        pull = sum(p * (item.measured - p) / s**2 for item, p, s in shown) + middle / width**2
        share = pull / (sum((p / s) ** 2 for _, p, s in shown) + 1.0 / width**2)
        share = min(max(share, middle - _FARTHEST * width), middle + _FARTHEST * width)
        left = sum(((item.measured - p * (1.0 + share)) / s) ** 2 for item, p, s in shown)
        return left + ((share - middle) / width) ** 2, share

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
        """The reading that speaks most for a cause and against nothing being wrong.

        It is told beside what the sheet has for it, and beside the cause's own prediction; only where the cause is
        that something floats is that prediction the floated one.
        """
        best, found = 0.0, None
        at = {(item.place, item.quantity): n for n, item in enumerate(self.items)}
        read = {(item.place, item.quantity): item.measured for item in healthy.items}
        for item, mine, its in zip(one.items, one.predicted, healthy.predicted, strict=True):
            key = (item.place, item.quantity)
            off = healthy.guess.within[at[key]]
            gain = _square(read[key] - its, off) - _square(item.measured - mine, off)
            if gain > best:
                best = gain
                name = "" if item.place == ARRAY else self.sheet.rows[item.place].name
                told = mine if one.guess.case.free else one.guess.values[at[key]]
                expected = healthy.guess.values[at[key]]
                found = Telling(name, item.quantity, SHAPES[item.quantity], read[key], expected, told)
        return found


def _square(off: float, within: float) -> float:
    """A difference as a share of what it may be, squared; beyond a thousand times one is as bad as another."""
    return min((off / within) ** 2, _WORST)


def _even(told: Sequence[Marked]) -> int:
    """How many are told: no string is left out in which the last cause is just as likely."""
    last = told[min(TOLD, len(told)) - 1]
    alike = (
        number
        for number, one in enumerate(told, 1)
        if one.guess.case.code == last.guess.case.code and isclose(one.score, last.score)
    )
    return max(TOLD, *alike)
