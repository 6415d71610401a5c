"""Solved limits: how far each input may go with all others as they are, found by running the whole check."""

from dataclasses import dataclass, field, replace
from math import ceil, floor
from typing import Any

from calc.assess import CORE
from calc.derive.parts import run_part
from calc.model.assessment import Assessment, Verdict
from calc.model.design import Design
from calc.model.layouts import ALWAYS, ASKS, NEVER, SOLVED, Key, Limit, LimitReport
from calc.plan.again import Again, again_on
from calc.plan.quests import (
    COLDEST,
    HOTTEST,
    STEPS_IN,
    STRINGS,
    Quest,
    field_at,
    quests,
    stepped,
    value_at,
)
from calc.plan.searching import Sight, failing, key_of, last_by_room, sight
from calc.plan.sizing import Sizing
from calc.tables import RuleBook


def limits_of(design: Design, book: RuleBook, again: Again | None = None) -> LimitReport:
    """How far does each input stretch before another limit is passed?

    Each is moved step by step, all others as they are, and the whole check is run at every step tried: found are the
    last value at which nothing fails that the input's easiest value would mend, and the next, which fails. The largest
    value is so rounded down to a step, and the least one up.

    Cites:
        calc.assess

    Args:
        design: as read. With unlike strings no counts are solved for.
        book: tables and assumptions.
        again: where the design is checked again and again by others too.

    Refuses nothing: a limit that lacks input says which.
    """
    solver = Solver(design, again or again_on(design, book))
    found = [solver.solve(quest) for quest in quests(design, solver.now)]
    sizing = Sizing(solver.again)
    found += [_least_size(sizing, name) for name in design.runs]
    return LimitReport(CORE, book.id, book.hash, design, tuple(found), unlike=bool(design.strings))


@dataclass(slots=True)
class Solver:
    """Solves for limits of one design; remembers what was assessed."""

    design: Design
    again: Again
    _known: dict[tuple[str, int], Assessment] = field(default_factory=dict)
    _easiest: dict[Quest, frozenset[Key]] = field(default_factory=dict)

    @property
    def now(self) -> Assessment:
        """The assessment of the design as it is."""
        return self.again.now

    def at(self, path: str, step: int) -> Assessment:
        """The whole assessment with the input at ``path`` at so many steps."""
        if (path, step) not in self._known:
            given, own = stepped(path, step), self.design.values.get(path)
            same = own is not None and (own.value, own.unit) == (given.value, given.unit)
            self._known[path, step] = self.now if same else self.again.after({path: given})
        return self._known[path, step]

    def bounds(self, quest: Quest) -> tuple[int, int]:
        """The easiest and the hardest step that a file may say; the temperatures of a site stay in their order."""
        one = field_at(quest.path)
        low, high = one.low or 0.0, one.high or 0.0
        if quest.path == COLDEST:
            high = min(high, self._effective("hottest", high))
        if quest.path == HOTTEST:
            low = max(low, self._effective("coldest", low))
        steps = STEPS_IN[one.unit]
        first, last = round(low * steps) + one.above_low, round(high * steps)
        return (first, last) if quest.most else (last, first)

    def solve(self, quest: Quest) -> Limit:
        """The limit of one input, with the neighbour that fails."""
        easy, hard = self.bounds(quest)
        sign = 1 if quest.most else -1
        easiest = self.at(quest.path, easy)
        needs, answered = self._asked(quest, easiest)
        if needs and not answered:
            return self._limit(quest, ASKS, needs=needs)
        hopeless = self._hopeless(quest, easiest, (easy + sign, hard) if easy != hard else ())
        if hopeless:
            return self._limit(quest, NEVER, because=hopeless[0], fails_at=value_at(quest.path, easy))
        near = self._near(quest)
        away = last_by_room(
            lambda by: self._sight(quest, easy + sign * by),
            0,
            abs(hard - easy),
            None if near is None else sign * (near - easy),
            costly=quest.path == STRINGS,
        )
        place = easy + sign * away
        there = self.at(quest.path, place)
        needs, _ = self._asked(quest, there)
        found = self._limit(
            quest, ALWAYS, value=value_at(quest.path, place), open=failing(there), needs=needs
        )
        if place == hard:
            return found
        because = self.broken(quest, place + sign)[0]
        beyond = value_at(quest.path, place + sign)
        return replace(found, outcome=SOLVED, fails_at=beyond, because=because)

    def _hopeless(self, quest: Quest, easiest: Assessment, others: tuple[int, ...]) -> list[Key]:
        """Own findings that fail even at the easiest value, but for those that the input does not move at all.

        Most are moved by the very next step; only for the rest is it worth looking at the other end.
        """
        stuck = {
            key_of(one): (one.actual, one.limit)
            for one in easiest.findings
            if quest.owns(one) and one.verdict is Verdict.FAILS
        }
        moved: dict[Key, None] = {}
        for step in others:
            if moved.keys() == stuck.keys():
                break
            there = {key_of(one): (one.actual, one.limit) for one in self.at(quest.path, step).findings}
            moved |= {key: None for key, values in stuck.items() if there.get(key) != values}
        return [key for key in stuck if key in moved]

    def _near(self, quest: Quest) -> int | None:
        """The step at or next to the design's own value, where the limit is looked for first."""
        now = self._now(quest)
        if not isinstance(now, (int, float)):
            return None
        steps = now * STEPS_IN[field_at(quest.path).unit]
        return floor(steps) if quest.most else ceil(steps)

    def _sight(self, quest: Quest, step: int) -> Sight:
        """What is seen at a step, of the limits that the easiest one would keep."""
        easiest = self._fails_at_easiest(quest)
        return sight(
            self.at(quest.path, step),
            self.broken(quest, step),
            lambda key: key not in easiest and (not quest.alone or key[0] in quest.own),
        )

    def broken(self, quest: Quest, step: int) -> list[Key]:
        """What fails at a step that the easiest one would mend."""
        easiest = self._fails_at_easiest(quest)
        found = [key for key in failing(self.at(quest.path, step)) if key not in easiest]
        return [key for key in found if key[0] in quest.own] if quest.alone else found

    def _fails_at_easiest(self, quest: Quest) -> frozenset[Key]:
        """What fails even at the easiest step."""
        if quest not in self._easiest:
            self._easiest[quest] = frozenset(failing(self.at(quest.path, self.bounds(quest)[0])))
        return self._easiest[quest]

    def _asked(self, quest: Quest, assessment: Assessment) -> tuple[tuple[str, ...], bool]:
        """Inputs that findings which may set the limit lack, and whether any of these findings is answered."""
        heard = [one for one in assessment.findings if quest.hears(one)]
        needs = dict.fromkeys(path for one in heard for path in one.needs if path != quest.path)
        answers = (Verdict.HOLDS, Verdict.TIGHT, Verdict.FAILS)
        return tuple(needs), any(one.verdict in answers for one in heard)

    def _effective(self, name: str, otherwise: float) -> float:
        """A temperature of the site as the check took it: given, by its zone, or assumed."""
        values = (step.values[name].number for step in self.now.steps.values() if name in step.values)
        return next(values, otherwise)

    def _limit(self, quest: Quest, outcome: str, **more: Any) -> Limit:
        unit, now = field_at(quest.path).unit, self._now(quest)
        return Limit(quest.code, quest.run, quest.path, unit, quest.most, outcome, now=now, **more)

    def _now(self, quest: Quest) -> float | None:
        """The input's value as the check took it; None where it has none."""
        temperature = {COLDEST: "coldest", HOTTEST: "hottest"}.get(quest.path)
        return self._effective(temperature, 0.0) if temperature else self.design.number(quest.path)


def _least_size(sizing: Sizing, name: str) -> Limit:
    """The least size of one run, with the next smaller, which fails."""
    path = run_part(name) + "size"
    found = sizing.least(name)
    place = found.size or sizing.largest(name)
    there = sizing.with_sizes({name: place})
    heard = [one for one in there.findings if one.part.startswith(name) and one.id.startswith("run-")]
    needs = tuple(dict.fromkeys(path for one in heard for path in one.needs))
    limit = Limit(
        code="least-size",
        part=name,
        path=path,
        unit="size",
        most=False,
        outcome=SOLVED if found.smaller else ALWAYS,
        now=sizing.again.design.text(path),
        value=found.size,
        fails_at=found.smaller,
        because=found.because,
        open=failing(there),
        needs=needs,
    )
    if found.size is None:
        return replace(limit, outcome=NEVER, fails_at=place, open=())
    if heard and all(one.verdict is Verdict.NEEDS_INPUT for one in heard):
        return replace(limit, outcome=ASKS, value=None, fails_at=None, because=("", ""), open=())
    return limit
