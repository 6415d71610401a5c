"""Every method of the core as lines to print: symbol, formula, what each name in it means."""

from collections.abc import Mapping
from dataclasses import dataclass

from sheets import unit_label

from calc.derive import METHODS
from calc.model.formula import Binary
from calc.model.method import Method
from calc.model.symbols import SYMBOLS
from calc.render.anchors import slug
from calc.render.catalogue import Words
from calc.render.groups import OTHER, STEP_GROUPS, symbol_group
from calc.render.notation import Entry, mathml_pieces, symbol_mathml, symbol_plain, write_mathml

EQUALS = '<mo form="infix">=</mo>'


@dataclass(frozen=True, slots=True)
class Term:
    """One name in a formula; ``symbol`` is MathML."""

    symbol: str
    meaning: str
    unit: str
    anchor: str


@dataclass(frozen=True, slots=True)
class Line:
    """One method: its formula in MathML and as held, or the sentence that says how it is looked up or found."""

    symbol: str
    name: str
    meaning: str
    unit: str
    formula: str
    text: str
    sentence: str
    terms: tuple[Term, ...]
    cites: tuple[tuple[str, str], ...]


def chapters(words: Words) -> Mapping[str, list[Line]]:
    """All methods by chapter, in the order in which they are used; the same formula stands once."""
    found: dict[str, list[Line]] = {key: [] for key in (*STEP_GROUPS, OTHER)}
    for method in dict.fromkeys(METHODS):
        found[symbol_group(method.symbol)].append(_line(method, words))
    return {key: lines for key, lines in found.items() if lines}


def _line(method: Method, words: Words) -> Line:
    names = method.parsed.names if method.parsed else ()
    return Line(
        symbol=f"<math>{symbol_mathml(method.symbol)}</math>",
        name=method.symbol,
        meaning=words(f"symbol.{method.symbol}"),
        unit=unit_label(method.target.unit),
        formula=_formula(method, words),
        text=f"{method.symbol} = {method.formula}" if method.formula else "",
        sentence=words(f"method.{method.how}").replace("{", "").replace("}", "") if method.how else "",
        terms=tuple(_term(name, words) for name in names),
        cites=tuple((cite, f"clause-{slug(cite)}") for cite in method.cites),
    )


def _formula(method: Method, words: Words) -> str:
    if method.parsed is None:
        return ""
    tree = method.parsed.tree
    entries = {name: Entry(symbol_mathml(name), symbol_plain(name)) for name in method.parsed.names}
    left = () if isinstance(tree, Binary) and tree.op == ">" else (symbol_mathml(method.symbol) + EQUALS,)
    return write_mathml(
        (*left, *mathml_pieces(tree)), entries, lambda function: words(f"working.function.{function}")
    )


def _term(name: str, words: Words) -> Term:
    symbol = SYMBOLS[name.partition("__")[0]]
    return Term(
        f"<math>{symbol_mathml(name)}</math>",
        words(f"symbol.{symbol.name}"),
        unit_label(symbol.unit),
        f"symbol-{slug(symbol.name)}",
    )
