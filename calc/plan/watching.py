"""Parts of a check run while note is kept of what each reads, writes, assumes and finds."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from calc.derive.parts import Strings, string_groups
from calc.derive.trace import Trace
from calc.model.assessment import Assumption, Finding, Step
from calc.model.design import Design, Given
from calc.tables import RuleBook

EVERY = "*"
"""Stands for all names: who looked through them depends on which there are."""

Part = Callable[[Trace, tuple[Strings, ...]], object]
"""A part of the check: a stage of the working, or a rule, which gives findings."""


class _Watched(Mapping[str, Given]):
    """A design's values, with note kept of the paths that were asked for, found or not."""

    def __init__(self, kept: Mapping[str, Given]) -> None:
        self.kept = kept
        self.asked: set[str] = set()

    def __getitem__(self, name: str) -> Given:
        self.asked.add(name)
        return self.kept[name]

    def get(self, name: str, otherwise: Any = None) -> Any:
        """The value at a path; written out, because it is asked for more often than anything else."""
        self.asked.add(name)
        return self.kept.get(name, otherwise)

    def __contains__(self, name: object) -> bool:
        self.asked.add(str(name))
        return name in self.kept

    def __iter__(self) -> Iterator[str]:
        self.asked.add(EVERY)
        return iter(self.kept)

    def __len__(self) -> int:
        self.asked.add(EVERY)
        return len(self.kept)


class Written(dict[str, Step]):
    """Steps, with those apart that were written since the part that is being run began."""

    def __init__(self) -> None:
        super().__init__()
        self.new: dict[str, Step] = {}

    def __setitem__(self, name: str, step: Step) -> None:
        self.new[name] = step
        super().__setitem__(name, step)


class _WatchedSteps(Written):
    """The same, and notes which steps of earlier parts were asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str] = set()

    def __getitem__(self, name: str) -> Step:
        if name not in self.new:
            self.asked.add(name)
        return super().__getitem__(name)

    def get(self, name: str, otherwise: Step | None = None) -> Step | None:  # type: ignore[override]
        """The step of this name."""
        if name not in self.new:
            self.asked.add(name)
        return super().get(name, otherwise)

    def __contains__(self, name: object) -> bool:
        if name not in self.new:
            self.asked.add(str(name))
        return super().__contains__(name)

    def __iter__(self) -> Iterator[str]:
        self.asked.add(EVERY)
        return super().__iter__()


@dataclass(frozen=True, slots=True)
class Done:
    """What one part did: what it read, and what it wrote, assumed and found."""

    part: Part
    values: frozenset[str]
    steps: frozenset[str]
    wrote: Mapping[str, Step]
    assumed: Mapping[str, Assumption]
    found: tuple[Finding, ...]

    def untouched(self, values: set[str], steps: set[str]) -> bool:
        """Whether it read none of the values and steps that are other ones now."""
        return self.values.isdisjoint(values) and self.steps.isdisjoint(steps)


class Watch:
    """Runs the parts of one check one after the other, and notes what each reads and does."""

    def __init__(self, design: Design, book: RuleBook) -> None:
        self._values, self.steps = _Watched(design.values), _WatchedSteps()
        self._trace = Trace(replace(design, values=self._values), book)
        self._trace.steps = self.steps
        self._groups = string_groups(self._trace.design)

    def run(self, part: Part) -> Done:
        """Run the next part."""
        values, steps, trace = self._values, self.steps, self._trace
        values.asked, steps.asked, steps.new, trace.assumptions = set(), set(), {}, {}
        found = part(trace, self._groups)
        return Done(
            part,
            frozenset(values.asked),
            frozenset(steps.asked),
            steps.new,
            trace.assumptions,
            found if isinstance(found, tuple) else (),
        )
