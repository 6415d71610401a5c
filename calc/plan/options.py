"""A design's layouts, and after them those with each other value that its file asks for, tried bit by bit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from calc.model.design import Design
from calc.model.layouts import LayoutReport
from calc.plan.layouts import NOTHING_KNOWN, Known, Trial
from calc.tables import RuleBook


@dataclass(frozen=True, slots=True)
class Trials:
    """Tries the layouts of one design, then those of each option, for whoever shows them as they come, or stops.

    ``others`` are the options' own trials, each by what is changed (``run.home run.size = 6 AWG``).
    """

    own: Trial
    others: tuple[tuple[str, Trial], ...]

    @property
    def every(self) -> tuple[Trial, ...]:
        """All trials, the design's own first."""
        return (self.own, *(trial for _, trial in self.others))

    def in_turn(self) -> Iterator[int]:
        """Work, and tell after each bit how many are done."""
        for trial in self.every:
            for _ in trial.in_turn():
                yield self.done

    @property
    def done(self) -> int:
        """Bits of work that are done."""
        return sum(trial.done for trial in self.every)

    @property
    def whole(self) -> int:
        """All bits, as far as it is known how many: an option that was not begun is taken to be as long as the design's own."""
        return sum(trial.whole or self.own.whole for trial in self.every)

    @property
    def so_far(self) -> tuple[int, int] | None:
        """How many bits are done, and all of them; None when all are done."""
        return None if all(trial.finished for trial in self.every) else (self.done, self.whole)

    def report(self) -> LayoutReport:
        """The design's layouts as far as they were tried, counted in all the work; at least one must have been."""
        report = self.own.report()
        return replace(report, unfinished=self.so_far) if report.unfinished else report

    def options(self) -> tuple[tuple[str, LayoutReport], ...]:
        """The layouts of each option that was tried to its end, by what is changed."""
        return tuple((said, trial.report()) for said, trial in self.others if trial.finished)


def trials_of(design: Design, book: RuleBook, known: Known = NOTHING_KNOWN) -> Trials:
    """Which is the best way to join these modules, and which would be with each other value that the file asks for?

    Each trial is that of ``calc.plan.layouts.layouts_of``, with what the file says of prices and of modules left out.

    Cites:
        calc.plan.layouts

    Args:
        design: as read, with its options.
        book: tables and assumptions.
        known: what else was worked out of the design already.

    Refuses nothing.
    """
    others = tuple((said, Trial(one, book)) for said, one in design.options)
    return Trials(Trial(design, book, known=known), others)
