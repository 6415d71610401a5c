"""The parts of a design that can be repeated: groups of alike strings, and runs, each with its paths and its prefix."""

from calc.model.design import Design
from calc.model.record import record


@record(frozen=True, slots=True)
class Strings:
    """One group of alike strings: its number, the prefix of its steps, and where its inputs stand.

    ``part`` is the prefix of step ids, empty when all strings are alike.
    """

    number: int
    part: str
    series: str
    parallel: str
    design: Design

    def module(self, field: str) -> str:
        """Path of a value of this group's module."""
        return self.design.module_path(self.number, field)

    @property
    def count(self) -> int:
        """How many strings of this kind there are; one when a kind's own number was left out."""
        given = self.design.number(self.parallel)
        return 1 if given is None else int(given)


def string_groups(design: Design) -> tuple[Strings, ...]:
    """Every group of alike strings in file order; one group when the design has no ``[[string]]``."""
    if not design.strings:
        return (Strings(1, "", "array.modules_in_series", "array.strings_in_parallel", design),)
    alone = design.strings == 1
    return tuple(
        Strings(
            number,
            "" if alone else f"string.{number}.",
            f"string.{number}.modules_in_series",
            f"string.{number}.strings_in_parallel",
            design,
        )
        for number in range(1, design.strings + 1)
    )


def string_count(design: Design) -> int:
    """How many strings are joined in all."""
    return sum(group.count for group in string_groups(design))


def run_part(name: str) -> str:
    """Prefix of the steps and inputs of the run called ``name``."""
    return f"run.{name}."


def runs_carrying(design: Design, what: str) -> tuple[str, ...]:
    """Names of the runs that carry ``string``, ``array`` or ``battery`` current; unsaid means the array's."""
    return tuple(name for name in design.runs if (design.text(run_part(name) + "carries") or "array") == what)
