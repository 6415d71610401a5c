"""Evaluates formulas and keeps the working: every quantity becomes a Step, every default an Assumption."""

from collections.abc import Iterable, Mapping
from functools import cache

from calc.model.assessment import Assumption, Quantity, Step, Unknown, Value
from calc.model.design import Design, Given
from calc.model.formula import parse
from calc.model.method import Method
from calc.model.symbols import SYMBOLS
from calc.model.units import UNITS, convert
from calc.tables import Cell, RuleBook

ANSWER = ">"
NOTHING: Mapping[str, Quantity] = {}


class Trace:
    """The working of one design: steps by id, and the assumptions made on the way, in order.

    A quantity whose inputs are missing is an ``Unknown`` that names the paths to give; it passes through every later
    step, so that no branch has to ask whether something is there.
    """

    def __init__(self, design: Design, book: RuleBook) -> None:
        """Start the working of ``design`` under the rules and tables of ``book``."""
        self.design = design
        self.book = book
        self.steps: dict[str, Step] = {}
        self.assumptions: dict[str, Assumption] = {}

    def given(self, path: str) -> Quantity:
        """The value the author gave at ``path``; Unknown when nobody did."""
        given = self.design.values.get(path)
        return Unknown((path,)) if given is None else Value(given.value, given.unit, f"given {path}")

    def value(self, path: str, *, general: str = "") -> Value:
        """The value at ``path``, else the default of ``general`` (the path without parts), noted as assumed."""
        given = self.design.values.get(path)
        if given is not None:
            return Value(given.value, given.unit, f"given {path}")
        default = self.book.assumptions[general or path]
        if default.given is None:
            raise ValueError(f"the assumption for {path} is no value; it has to be looked up")
        return self.assume(path, default.given, default.why, safe_side=default.safe_side)

    def assume(self, path: str, given: Given, why: str, *, safe_side: bool) -> Value:
        """Note that ``given`` stands at ``path`` because nobody gave it, and return it as a value."""
        self.assumptions.setdefault(path, Assumption(path, given.said, why, safe_side))
        return Value(given.value, given.unit, f"assumed {path}")

    def scalar(self, key: str) -> Value:
        """A number of the rule book."""
        return self.cell(self.book.scalar(key))

    def cell(self, cell: Cell, blank: float | None = None) -> Value:
        """A table cell as a value; a blank cell counts as ``blank`` and is a fault of ours without one (ValueError)."""
        value = blank if cell.value is None else cell.value
        if value is None:
            raise ValueError(f"{cell.origin} is blank")
        return Value(value, cell.unit, cell.origin)

    def find(self, step: str) -> Quantity:
        """The result of an earlier step; Unknown (no paths) when it could not be worked out."""
        found = self.steps.get(step)
        return Unknown(()) if found is None else Value(found.result, found.unit, f"step {step}")

    def step(
        self,
        method: Method,
        values: Mapping[str, Quantity] = NOTHING,
        *,
        part: str = "",
        text: str = "",
        **more: Quantity,
    ) -> Quantity:
        """Work out ``method`` from ``values`` (by name in the formula) and keep it as a step.

        Args:
            method: the formula and its symbol.
            part: prefix of the step's id where a part repeats (``run.home run.``).
            text: the formula with indices, where its length depends on the design; else the method's own.
            values, more: one quantity a name, in any unit of the right kind.
        """
        known: dict[str, Value] = {}
        environment: dict[str, float] = {}
        for name, value in ({**values, **more} if values else more).items():
            if isinstance(value, Unknown):
                return _missing((*values.values(), *more.values()))
            unit, factor = _taken(name)
            if value.unit != unit or type(value.value) is not float:
                value = Value(convert(value.number, value.unit, unit), unit, value.origin)  # noqa: PLW2901
            known[name] = value
            environment[name] = value.value * factor  # type: ignore[operator]
        formula = parse(text) if text else method.parsed
        if formula is None:
            raise ValueError(f"{method.symbol} has no formula; use note()")
        result: float | bool = formula.evaluate(environment) / UNITS[method.target.unit].factor
        if ANSWER in formula.text:
            result = bool(result)
        return self._keep(method, part, formula.text, known, result)

    def note(
        self,
        method: Method,
        result: float | str | bool,
        values: Mapping[str, Quantity] = NOTHING,
        *,
        part: str = "",
        **more: Quantity,
    ) -> Quantity:
        """Keep a step that is a look-up or an iteration: ``result`` found in the way ``method.how`` says.

        Args:
            method: the symbol, and the catalogue code of how it was found.
            result: what was found, in the symbol's unit.
            part: prefix of the step's id where a part repeats.
            values, more: what it was found from, one quantity a name.
        """
        known: dict[str, Value] = {}
        for name, value in ({**values, **more} if values else more).items():
            if isinstance(value, Unknown):
                return _missing((*values.values(), *more.values()))
            known[name] = value
        return self._keep(method, part, "", known, result)

    def _keep(
        self, method: Method, part: str, formula: str, values: Mapping[str, Value], result: float | str | bool
    ) -> Value:
        target = method.target
        key = part + target.key
        self.steps[key] = Step(
            id=key,
            symbol=target.name,
            formula=formula,
            method=method.how,
            values=values,
            result=result,
            unit=target.unit,
            cites=method.cites,
        )
        return Value(result, target.unit, f"step {key}")


@cache
def _taken(name: str) -> tuple[str, float]:
    """The unit in which a formula takes a quantity by this name, and what makes it coherent."""
    unit = SYMBOLS[name.partition("__")[0]].unit
    return unit, UNITS[unit].factor


def _missing(values: Iterable[Quantity]) -> Unknown:
    paths = dict.fromkeys(path for value in values if isinstance(value, Unknown) for path in value.paths)
    return Unknown(tuple(paths))
