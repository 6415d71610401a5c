"""The whole check of a design again after a change, with only those parts worked out anew that the change reaches.

The parts of the working and the rules are run once, and note is kept of what each read and wrote. After a change a part
is run again only if something that it read is another one now; else what it wrote before stands. So the findings are
those of the whole check, in a fraction of its time.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from calc.assess import CORE
from calc.derive import stages
from calc.derive.parts import string_groups
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Assumption, Finding, Step, worst
from calc.model.design import Design, Given
from calc.plan.watching import EVERY, Done, Part, Watch, Written
from calc.rules import RULES
from calc.tables import RuleBook


class Again:
    """Checks one design again and again, each time with a few of its inputs changed."""

    def __init__(self, design: Design, book: RuleBook, like: "tuple[Again, set[str]] | None" = None) -> None:
        """Run the whole check of ``design`` under ``book`` once; of one ``like`` another, only where values are other ones."""
        self.design = design
        self.book = book
        self._done = tuple(self._watch() if like is None else self._watch_moved(*like))
        self._begun: dict[int, _Begun] = {}
        self._others: dict[tuple[tuple[str, Given], ...], Again] = {}
        self.now = self.after({})
        """The assessment of the design as it is."""

    @cached_property
    def _by_value(self) -> Mapping[str, int]:
        return _readers(done.values for done in self._done)

    @cached_property
    def _by_step(self) -> Mapping[str, int]:
        return _readers(done.steps for done in self._done)

    def _watch(self) -> Iterator[Done]:
        """Run every part, watched."""
        watch = Watch(self.design, self.book)
        yield from map(watch.run, _parts(self.design))

    def _watch_moved(self, like: "Again", other: set[str]) -> Iterator[Done]:
        """Run, watched, the parts of a check that values which are other ones reach; the rest is as it was."""
        watch, moved = Watch(self.design, self.book), set[str]()
        for done in like._done:  # noqa: SLF001 - one of its own kind
            if done.untouched(other, moved):
                watch.steps.update(done.wrote)
                yield done
            else:
                again = watch.run(done.part)
                moved.update(_moved(done.wrote, again.wrote))
                yield again

    def after(self, change: Mapping[str, Given]) -> Assessment:
        """The assessment with ``change``; its clauses and what was not checked are left to ``calc.assess``."""
        return self._after(self.design.changed(change), self._moved_by(change))

    def _moved_by(self, change: Mapping[str, Given]) -> set[str]:
        """The values that are other ones with a change."""
        moved = {path for path, given in change.items() if self.design.values.get(path) != given}
        if not change.keys() <= self.design.values.keys():
            moved.add(EVERY)
        return moved

    def other(self, change: Mapping[str, Given]) -> "Again":
        """The check of the design with a change that several ask about, as another layout: begun once, and kept."""
        key = tuple(sorted(change.items(), key=lambda item: item[0]))
        if key not in self._others:
            like = self, self._moved_by(change)
            self._others[key] = Again(self.design.changed(change), self.book, like)
        return self._others[key]

    def of(self, design: Design) -> Assessment | None:
        """The same of another design, which may also say less; None where it has other parts, and nothing is saved."""
        if (design.runs, design.strings, design.couplers) != self._repeated:
            return None
        before, now = self.design.values, design.values
        other = {path for path, given in now.items() if before.get(path) != given}
        if before.keys() != now.keys():
            other |= (before.keys() - now.keys()) | {EVERY}
        return self._after(design, other)

    @property
    def _repeated(self) -> tuple[object, ...]:
        return self.design.runs, self.design.strings, self.design.couplers

    def _after(self, design: Design, other: set[str]) -> Assessment:
        """The assessment of a design in which these values are other ones."""
        touched = _any(self._by_value, other) if other else 0
        first = _lowest(touched) if touched else len(self._done)
        begun = self._up_to(first)
        trace = Trace(design, self.book)
        trace.steps = steps = Written()
        steps.update(begun.steps)
        assumptions, findings = begun.assumptions.copy(), begun.findings.copy()
        groups = string_groups(design)
        assumed: Mapping[str, Assumption]
        for place in range(first, len(self._done)):
            done = self._done[place]
            if touched >> place & 1:
                steps.new = {}
                assumed = trace.assumptions = {}
                found = done.part(trace, groups)
                findings += found if isinstance(found, tuple) else ()
                touched |= _any(self._by_step, _moved(done.wrote, steps.new))
            else:
                if done.wrote:
                    steps.update(done.wrote)
                findings += done.found
                assumed = done.assumed
            if assumed:
                for path, one in assumed.items():
                    assumptions.setdefault(path, one)
        return Assessment(
            core=CORE,
            rules=self.book.id,
            rules_hash=self.book.hash,
            verdict=worst(tuple(findings)),
            design=design,
            steps=MappingProxyType(steps),
            findings=tuple(findings),
            assumptions=tuple(assumptions.values()),
            not_checked=(),
        )

    def _up_to(self, place: int) -> "_Begun":
        """What the parts before one come to where none is touched; kept, since the same inputs are changed often."""
        if place not in self._begun:
            begun = _Begun({}, {}, [])
            for done in self._done[:place]:
                begun.steps.update(done.wrote)
                begun.assumptions.update({**done.assumed, **begun.assumptions})
                begun.findings.extend(done.found)
            self._begun[place] = begun
        return self._begun[place]


@dataclass(frozen=True, slots=True)
class _Begun:
    """Steps, assumptions and findings of the first parts of a check."""

    steps: dict[str, Step]
    assumptions: dict[str, Assumption]
    findings: list[Finding]


def _readers(read: Iterable[Iterable[str]]) -> dict[str, int]:
    """Which parts read a name: a number with the bit of each part's place set."""
    readers: dict[str, int] = {}
    for place, names in enumerate(read):
        for name in names:
            readers[name] = readers.get(name, 0) | 1 << place
    return readers


def _any(readers: Mapping[str, int], names: Iterable[str]) -> int:
    """The parts that read any of these names."""
    found = 0
    for name in names:
        found |= readers.get(name, 0)
    return found


def _lowest(bits: int) -> int:
    """The place of the first bit that is set."""
    return (bits & -bits).bit_length() - 1


_LAST = 4
_begun: list[Again] = []
"""The checks that were asked for last: fixes, sections and layouts of one design ask one after the other."""


def again_on(design: Design, book: RuleBook) -> Again:
    """The check of a design that is to be run again: one of the last few, or a new one."""
    found = next((one for one in _begun if one.book is book and one.design == design), None)
    if found is None:
        found = Again(design, book)
        _begun.insert(0, found)
        del _begun[_LAST:]
    return found


def _parts(design: Design) -> Iterator[Part]:
    yield from stages(design)
    for rule in RULES:
        yield _of_rule(rule)


def _of_rule(rule: Callable[[Trace], tuple[Finding, ...]]) -> Part:
    return lambda trace, _: rule(trace)


def _moved(before: Mapping[str, Step], now: Mapping[str, Step]) -> list[str]:
    """The steps that are other ones now, or came, or went."""
    if before.keys() == now.keys():
        return [name for name, step in now.items() if _other(before[name], step)]
    return [EVERY, *(name for name in {**before, **now} if _other(before.get(name), now.get(name)))]


def _other(before: Step | None, now: Step | None) -> bool:
    if before is None or now is None or before is now:
        return before is not now
    return before.result != now.result or before != now  # mostly the result tells, and the rest is long
