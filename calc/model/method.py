"""A formula with its name: the symbol it gives, the string that says how, and the clauses it rests on."""

from dataclasses import dataclass, field

from calc.model.formula import Formula, parse
from calc.model.symbols import SYMBOLS, Symbol


@dataclass(frozen=True, slots=True)
class Method:
    """How one quantity is worked out: ``symbol = formula``; names are checked against the register when it is made.

    A method without a formula is a look-up or an iteration; ``how`` is then the catalogue code of its sentence.
    """

    symbol: str
    formula: str = ""
    how: str = ""
    cites: tuple[str, ...] = ()
    parsed: Formula | None = field(init=False)
    target: Symbol = field(init=False)

    def __post_init__(self) -> None:
        """Refuse a name that is not in the symbol register (KeyError), so that a slip stops the import."""
        parsed = parse(self.formula) if self.formula else None
        if parsed is None and not self.how:
            raise ValueError(f"{self.symbol}: a method needs a formula or a sentence that says how")
        for name in parsed.names if parsed else ():
            if name.partition("__")[0] not in SYMBOLS:
                raise KeyError(f"{self.symbol} = {self.formula}: {name!r} is not in the symbol register")
        object.__setattr__(self, "parsed", parsed)
        object.__setattr__(self, "target", SYMBOLS[self.symbol])
