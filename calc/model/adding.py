"""Records of what happens when modules are added to an array that stands."""

from collections.abc import Mapping
from dataclasses import dataclass

from calc.model.assessment import Assessment, Finding, Verdict
from calc.model.design import Design

STRING, LONGER, ONE_LONGER, OTHER = "string", "longer", "one-longer", "other"
"""One string more of the same kind; one module more in every string; in one string only; a string of other modules."""


@dataclass(frozen=True, slots=True)
class Reopened:
    """One question that comes out otherwise after the addition: its finding before and after, None where not asked."""

    before: Finding | None
    after: Finding | None

    @property
    def finding(self) -> Finding:
        """The finding that names the question."""
        found = self.after or self.before
        if found is None:
            raise ValueError("a question that was never asked cannot be opened again")
        return found

    @property
    def turned(self) -> bool:
        """Whether the verdict is another one, not the values alone."""
        return self.before is None or self.after is None or self.before.verdict is not self.after.verdict


@dataclass(frozen=True, slots=True)
class Yield:
    """What an array brings: its rated power, and on the shortest day when charging begins and the energy.

    ``begins_h`` is None where it does not charge, ``energy_Wh`` where the day is not known.
    """

    power_W: float | None
    energy_Wh: float | None
    begins_h: float | None


@dataclass(frozen=True, slots=True)
class Addition:
    """One way to add, put through every check.

    ``kind`` numbers the kind of string that is added to, 0 where all are alike. ``modules`` are added in all, and
    ``series`` stand in the string that is added or made longer. ``label`` is the module's. ``change`` has the new values
    by path where nothing but counts change.
    """

    code: str
    kind: int
    modules: int
    series: int
    label: str
    after: Assessment
    reopened: tuple[Reopened, ...]
    brings: Yield
    change: Mapping[str, int]

    @property
    def passed(self) -> tuple[Finding, ...]:
        """Limits that are passed now and were not before."""
        return tuple(
            one.after
            for one in self.reopened
            if one.turned and one.after is not None and one.after.verdict is Verdict.FAILS
        )


@dataclass(frozen=True, slots=True)
class AddReport:
    """Every way to add that was tried; ``day_needs`` are the inputs without which there are no hours and no energy."""

    core: str
    rules: str
    rules_hash: str
    design: Design
    now: Assessment
    brings: Yield
    additions: tuple[Addition, ...]
    day_needs: tuple[str, ...] = ()
    no_curve: bool = False
