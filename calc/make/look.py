"""Looks things up in one assessment: strings by mark, what was given, what was worked out, what a finding says."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.derive.joining import Stage, joining, stages
from calc.derive.parts import Strings, string_groups
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Value
from calc.model.parts import About, Rating
from calc.tables import RuleBook


@dataclass(frozen=True, slots=True)
class OneString:
    """One string: its mark on the drawing, its number, its group, and how many modules it has."""

    mark: str
    number: int
    group: Strings
    series: int


class Look:
    """One design with its assessment and rule book, asked by everything that is made from it."""

    def __init__(self, assessment: Assessment, book: RuleBook) -> None:
        """Number the strings in file order and settle how they are joined."""
        self.assessment, self.book = assessment, book
        self.design, self.steps = assessment.design, assessment.steps
        trace = Trace(self.design, book)
        self.groups = string_groups(self.design)
        self.combined = joining(trace) == "combiner"
        self.strings = tuple(_strings(self.groups))
        self.stages: tuple[Stage, ...] = () if self.combined else stages(trace)

    @property
    def about(self) -> About:
        """Whose list or order it is."""
        one = self.assessment
        return About(one.core, one.rules, one.rules_hash, one.verdict, one.design)

    def step(self, key: str) -> Value | None:
        """The result of a step; None when it could not be worked out."""
        found = self.steps.get(key)
        return None if found is None else Value(found.result, found.unit, f"step {key}")

    def number(self, key: str) -> float | None:
        """The number a step found, or None."""
        found = self.step(key)
        return None if found is None else found.number

    def given(self, path: str) -> Value | None:
        """What the author gave; None when nobody did."""
        found = self.design.values.get(path)
        return None if found is None else Value(found.value, found.unit, f"given {path}")

    def rating(self, code: str, path: str, least: str) -> tuple[Rating, ...]:
        """What the author gave at ``path``, else what it has to be at least by step ``least``; nothing when neither."""
        given = self.given(path)
        if given is not None:
            return (Rating(code, given),)
        needed = self.step(least)
        return () if needed is None else (Rating(code, needed, least=True),)

    def known(self, code: str, path: str) -> tuple[Rating, ...]:
        """What the author gave at ``path``, or nothing."""
        given = self.given(path)
        return () if given is None else (Rating(code, given),)

    def missing(self, *paths: str) -> tuple[str, ...]:
        """Those of ``paths`` that nobody gave."""
        return tuple(path for path in paths if path not in self.design.values)

    def follows(self, *ids: str) -> tuple[str, ...]:
        """Those of some findings and steps that this assessment has: ``finding <id> <part>`` and ``step <id>``."""
        parts: dict[str, str] = {}
        for finding in self.assessment.findings:
            parts.setdefault(finding.id, finding.part)
        return tuple(
            [f"finding {one} {parts[one]}" for one in ids if one in parts]
            + [f"step {one}" for one in ids if one in self.steps]
        )

    def inlets(self, coupler: int) -> int:
        """Inlets of the couplers described as number ``coupler``; assumed where nobody said."""
        given = self.design.number(f"coupler.{coupler}.inputs")
        return int(given if given is not None else self._assumed("coupler.inputs"))

    def coupler_rating(self, coupler: int) -> float:
        """What the couplers described as number ``coupler`` may carry, A; assumed where nobody said."""
        given = self.design.number(f"coupler.{coupler}.rating")
        return given if given is not None else self._assumed("coupler.rating")

    def _assumed(self, path: str) -> float:
        default = self.book.assumptions[path].given
        if default is None:
            raise ValueError(f"the assumption for {path} is no value")
        return float(default.value)

    @property
    def fuse_fitted(self) -> bool:
        """Whether every string has a fuse, given or chosen."""
        fitted = self.step("string_fuse_fitted")
        return fitted is not None and bool(fitted.value)

    @property
    def fuse_inline(self) -> bool:
        """Whether the fuses sit in holders of their own, in the plus leads."""
        return self.fuse_fitted and not self.combined

    @property
    def breaker(self) -> bool:
        """Whether the design has an array breaker."""
        return self.design.number("combiner.breaker") is not None

    @property
    def disconnect(self) -> bool:
        """Whether a disconnect stands before the controller: one is given, or no breaker could serve as one."""
        return self.design.number("disconnect.rating") is not None or not self.breaker

    def joined_in_order(self) -> Iterable[OneString]:
        """The strings in the order in which couplers take them: largest current first, as the working counts them."""
        largest = {
            group.number: self.number(group.part + "current_max_string_A") or 0.0 for group in self.groups
        }
        return sorted(self.strings, key=lambda one: -largest[one.group.number])


def _strings(groups: tuple[Strings, ...]) -> Iterable[OneString]:
    number = 0
    for group in groups:
        series = int(group.design.number(group.series) or 1)
        for _ in range(group.count):
            number += 1
            yield OneString(f"S{number}", number, group, series)
