"""Which input moves the verdict first: each is moved until another limit fails, told in how far it is commonly off."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from calc.assess import CORE
from calc.derive.parts import run_part
from calc.model.assessment import Assessment, Value
from calc.model.design import Design, Given
from calc.model.layouts import Key, Move, MoveReport
from calc.model.units import convert, rounded
from calc.plan.again import Again, again_on
from calc.plan.searching import Sight, failing, last_by_room, sight
from calc.tables import Cell, RuleBook

STEPS = 20
"""Steps in one usual doubt."""
SHARE = "%"
MODULE_FIELDS = {
    "module_voltage": ("voc", "vmp", "pmax"),
    "module_current": ("isc", "imp", "pmax"),
    "ageing": ("vmp", "pmax"),
    "voc_coefficient": ("voc_coefficient",),
    "vmp_coefficient": ("vmp_coefficient",),
    "rear_gain": ("rear_gain",),
}
BATTERY = ("battery.absorption", "battery.equalise", "battery.lowest")
TOGETHER = ("module_voltage", "module_current", "ageing", "battery")
ONE_WAY = {"ageing": (-1,), "voc_coefficient": (1,), "vmp_coefficient": (1,), "rear_gain": (1,)}
"""Moves that are only tried in one direction: the other one is no worse, or does not happen."""


@dataclass(frozen=True, slots=True)
class Mover:
    """One input, or several that move together.

    ``paths`` are moved by a difference in ``unit``, or by a share of their value where the unit is % and ``by_share``.
    """

    code: str
    part: str
    values: dict[str, Value]
    doubt: float
    unit: str
    by_share: bool

    @property
    def alone(self) -> bool:
        """Whether it is one input, whose value can be told."""
        return len(self.values) == 1 and self.code not in TOGETHER

    def moved(self, steps: int) -> dict[str, Given]:
        """The change that moves the input by so many steps, signed."""
        return {path: self._one(value, self.shift(steps)) for path, value in self.values.items()}

    def shift(self, steps: int) -> float:
        """How far so many steps are, in the unit of the doubt."""
        return rounded(self.doubt * steps / STEPS)

    def _one(self, value: Value, shift: float) -> Given:
        number = value.number * (1 + convert(shift, SHARE, "")) if self.by_share else value.number + shift
        number = rounded(number)
        return Given(number, value.unit, f"{number:.10g} {value.unit}".strip())


def sensitivity_of(design: Design, book: RuleBook, again: Again | None = None) -> MoveReport:
    """Which input, if it is not as stated, makes another limit fail first?

    Each input that was given (and the site's temperatures in any case) is moved in small steps, up or down as far as
    the table ``widest_move`` says, with the whole check run at each step tried. How far it must go is told in usual
    doubts (table ``usual_doubt``), so that unlike inputs can be set side by side.

    Cites:
        usual_doubt, widest_move

    Args:
        design: as read.
        book: tables and assumptions.
        again: where the design is checked again and again by others too.

    Refuses nothing: what was not given is not moved.
    """
    again = again or again_on(design, book)
    now = again.now
    search = Search(again, failing(now), int(book.scalar("widest_move").number * STEPS))
    moves = [search.move(mover) for mover in _movers(design, book, now)]
    return MoveReport(
        core=CORE,
        rules=book.id,
        rules_hash=book.hash,
        design=design,
        verdict=now.verdict,
        moves=tuple(sorted(moves, key=lambda move: (move.reach is None, move.reach or 0.0))),
        widest=book.scalar("widest_move").number,
        failing=search.already,
    )


@dataclass(frozen=True, slots=True)
class Search:
    """Moves the inputs of one design; ``already`` fails before any move, ``last`` is the widest move in steps."""

    again: Again
    already: tuple[Key, ...]
    last: int
    known: dict[tuple[str, str, int], Assessment] = field(default_factory=dict)

    def at(self, mover: Mover, steps: int) -> Assessment:
        """The whole assessment after a move."""
        if not steps:
            return self.again.now
        key = (mover.code, mover.part, steps)
        if key not in self.known:
            self.known[key] = self.again.after(mover.moved(steps))
        return self.known[key]

    def broken(self, mover: Mover, steps: int) -> list[Key]:
        """What fails after a move that did not before."""
        return [one for one in failing(self.at(mover, steps)) if one not in self.already]

    def _first(self, mover: Mover, sign: int) -> int:
        """The least number of steps in one direction that breaks something; one more than the widest where none does."""

        def look(by: int) -> Sight:
            after, broken = self.at(mover, sign * by), self.broken(mover, sign * by)
            return sight(after, broken, lambda key: key not in self.already)

        return 1 + last_by_room(look, 0, self.last)

    def move(self, mover: Mover) -> Move:
        """The nearest move, up or down, after which another limit fails."""
        tried = [(self._first(mover, sign), sign) for sign in ONE_WAY.get(mover.code, (1, -1))]
        first = [(steps, sign) for steps, sign in tried if steps <= self.last]
        alone = next(iter(mover.values.values())) if mover.alone else None
        still = Move(
            code=mover.code,
            part=mover.part,
            unit=mover.unit,
            doubt=mover.doubt,
            now=alone.number if alone else None,
            now_unit=alone.unit if alone else "",
        )
        if not first:
            return still
        steps, sign = min(first)
        there = next(iter(mover.moved(sign * steps).values()))
        return replace(
            still,
            reach=steps / STEPS,
            shift=mover.shift(sign * steps),
            fails_at=float(there.value) if alone else None,
            because=self.broken(mover, sign * steps)[0],
        )


def _movers(design: Design, book: RuleBook, now: Assessment) -> Iterator[Mover]:
    """Every input that can be moved: those that were given, and the temperatures that the check took."""
    table = book.table("usual_doubt")

    def mover(
        code: str, values: dict[str, Value], *, part: str = "", by_share: bool = True
    ) -> Iterator[Mover]:
        cell: Cell = table.cell("doubt", input=code)
        tolerance = design.number("module.tolerance") if code.startswith("module_") else None
        if values:
            yield Mover(code, part, values, tolerance or cell.number, cell.unit, by_share)

    for name in ("coldest", "hottest"):
        taken = next((step.values[name] for step in now.steps.values() if name in step.values), None)
        yield from mover(name, {} if taken is None else {f"site.{name}": taken}, by_share=False)
    for code, names in MODULE_FIELDS.items():
        yield from mover(code, _given(design, _module_paths(design, names)), by_share=code != "rear_gain")
    for name in design.runs:
        yield from mover("length", _given(design, [run_part(name) + "length"]), part=name)
    yield from mover("battery", _given(design, BATTERY))


def _module_paths(design: Design, names: tuple[str, ...]) -> list[str]:
    """Where these values of modules stand, of every kind of string."""
    ends = tuple(f"module.{name}" for name in names)
    return [path for path in design.values if path.endswith(ends) and path.startswith(("module.", "string."))]


def _given(design: Design, paths: Iterable[str]) -> dict[str, Value]:
    found = {path: design.values[path] for path in paths if path in design.values}
    return {path: Value(one.value, one.unit, f"given {path}") for path, one in found.items()}
