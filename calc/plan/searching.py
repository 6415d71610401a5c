"""How the planner searches: which findings fail, and the last value of a row that still passes."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from math import floor

from calc.model.assessment import Assessment, Finding, Verdict
from calc.model.design import Given
from calc.model.layouts import Key

NOISE = 1e-6
"""Of a step: what the arithmetic may be off where room ends exactly at one."""
HARM_ORDER = ("damage", "code", "energy")

Shape = tuple[int, int]
"""Modules in series and strings in parallel; (0, 0) is a design whose strings are unlike, as it is."""


def key_of(finding: Finding) -> Key:
    """A finding by its id and its part."""
    return finding.id, finding.part


def failing(assessment: Assessment) -> tuple[Key, ...]:
    """The findings that fail, the most harmful first, in the order of the rules among equals."""
    found = [one for one in assessment.findings if one.verdict is Verdict.FAILS]
    return tuple(key_of(one) for one in sorted(found, key=lambda one: HARM_ORDER.index(one.harm)))


def last_passing(passes: Callable[[int], bool], first: int, last: int, near: int | None = None) -> int:
    """The last number from ``first`` to ``last`` that passes, where all up to some number pass and none beyond.

    ``first`` must pass. Halves the rest again and again, so that 10,000 numbers take 14 trials. Where it should be
    ``near`` a number, that one is tried first, then those around it, farther off each time.
    """
    low, high, by = first, last + 1, 1
    step = (low + high) // 2 if near is None else near
    while high - low > 1:
        step = min(max(step, low + 1), high - 1)
        if passes(step):
            low = step
        else:
            high = step
        if near is None or first < low < high <= last:
            step = (low + high) // 2
        else:
            step, by = (low + by if low > first else high - by), 2 * by
    return low


def joined(shape: Shape) -> dict[str, Given]:
    """The change that joins the modules in this shape; none for (0, 0), the design as it is."""
    counts = zip(("array.modules_in_series", "array.strings_in_parallel"), shape, strict=True)
    return {path: Given(count, "", str(count)) for path, count in counts} if all(shape) else {}


@dataclass(frozen=True, slots=True)
class Sight:
    """What is seen at one step: whether it passes, and how much room every limit that counts has there."""

    passes: bool
    rooms: Mapping[Key, float]


def sight(assessment: Assessment, broken: Collection[Key], counts: Callable[[Key], bool]) -> Sight:
    """What a check says about one step: it passes where nothing is broken."""
    rooms: dict[Key, float] = {}
    for one in assessment.findings:
        key = key_of(one)
        if one.margin is not None and counts(key):
            rooms[key] = min(one.margin, rooms.get(key, one.margin))
    return Sight(not broken, rooms)


def last_by_room(
    look: Callable[[int], Sight], first: int, last: int, near: int | None = None, *, costly: bool = False
) -> int:
    """The same as ``last_passing``, with far fewer trials where room shrinks about evenly: it is aimed for where room ends.

    Args:
        look: what is seen at a step.
        first: a step that passes.
        last: the last step that may be tried.
        near: a step worth trying first; ``last`` when left out.
        costly: steps far off take long to look at, so that they are not tried before nearer ones.
    """
    aim = _Aim(first, look(first), last, costly)
    step = aim.next() if near is None else min(max(near, first + 1), last)
    while aim.low < min(last, aim.high - 1):
        aim.learn(step, look(step))
        step = aim.next()
    return aim.low


@dataclass(slots=True)
class _Aim:
    """Two steps between which the last one that passes lies: ``low`` passes; ``high`` does not, or is not known yet."""

    low: int
    at_low: Sight
    last: int
    costly: bool
    high: int = 0
    at_high: Sight | None = None
    before: tuple[int, Sight] | None = None
    stride: int = 1
    slow: int = 0

    def __post_init__(self) -> None:
        self.high = self.last + 1

    def learn(self, step: int, seen: Sight) -> None:
        """Take in what was seen at a step between the two."""
        gap = self.high - self.low
        if seen.passes:
            self.stride = 2 * self.stride if step - self.low <= self.stride else 1
            self.before, self.low, self.at_low = (self.low, self.at_low), step, seen
        else:
            self.high, self.at_high = step, seen
        self.slow = self.slow + 1 if 2 * (self.high - self.low) > gap else 0

    def next(self) -> int:
        """The step to try next: where room should end, or the one after; halfway where aiming gets nowhere."""
        if self.at_high is None:
            return min(max(self._beyond(), self.low + self.stride), self.last)
        between = self._between()
        if between is None or self.slow > 2:  # noqa: PLR2004  # twice may be chance
            return (self.low + self.high) // 2
        return min(max(between, self.low + 1), self.high - 1)

    def _between(self) -> int | None:
        """Where the first room ends between a step that passes and one that does not; None where that cannot be told."""
        if self.at_high is None:
            return None
        places = []
        for key, there in self.at_high.rooms.items():
            here = self.at_low.rooms.get(key, -1.0)
            if there < 0.0 <= here:
                places.append(self.low + (self.high - self.low) * here / (here - there))
        return floor(min(places) + NOISE) if places else None

    def _beyond(self) -> int:
        """Where the first room should end beyond the last step that passes, from how it shrank so far."""
        unseen = self.low if self.costly else self.last
        if self.before is None:
            return unseen
        step, seen = self.before
        places = []
        for key, here in self.at_low.rooms.items():
            shrunk = seen.rooms.get(key, here) - here
            if shrunk > 0.0 and here >= 0.0:
                places.append(self.low + (self.low - step) * here / shrunk)
        return floor(min(*places, self.last) + NOISE) if places else unseen
