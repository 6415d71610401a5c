"""The closed grammar in which every formula is written: one string gives value, symbols and printed numbers.

Allowed: ``+ - * /``, whole-number powers, ``sqrt min max floor ceil``, the numbers 0, 1 and 2, names, brackets, and
one comparison at the top (``a > b``), which answers yes or no. Everything else is refused when the module is imported.
"""

import ast
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from calc.model.units import rounded

Env = Mapping[str, float]
Evaluator = Callable[[Env], float]

ALLOWED_NUMBERS = (0, 1, 2)
OPERATORS: dict[type[ast.AST], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}
FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "min": lambda *values: min(values),
    "max": lambda *values: max(values),
    "floor": lambda x: float(math.floor(x)),
    "ceil": lambda x: float(math.ceil(x)),
}


class FormulaError(ValueError):
    """A formula string leaves the closed grammar; raised at import, so it is a fault of ours, never of a reader."""


@dataclass(frozen=True, slots=True)
class Number:
    """A literal: 0, 1 or 2."""

    value: int


@dataclass(frozen=True, slots=True)
class Name:
    """A symbol; ``index`` tells alike symbols apart (``isc_string__2`` is the second string's)."""

    text: str
    symbol: str
    index: str


@dataclass(frozen=True, slots=True)
class Binary:
    """``left op right`` with op one of ``+ - * / >``."""

    op: str
    left: "Node"
    right: "Node"


@dataclass(frozen=True, slots=True)
class Power:
    """A base to a small whole number."""

    base: "Node"
    exponent: int


@dataclass(frozen=True, slots=True)
class Call:
    """One of the allowed functions."""

    function: str
    arguments: tuple["Node", ...]


Node = Number | Name | Binary | Power | Call


@dataclass(frozen=True, slots=True)
class Formula:
    """A parsed formula: its text, tree, the names it uses in order of first use, and its evaluator."""

    text: str
    tree: Node
    names: tuple[str, ...]
    evaluate: Evaluator


@lru_cache(maxsize=4096)
def parse(text: str) -> Formula:
    """Parse a formula string; refuses (FormulaError) anything outside the closed grammar."""
    try:
        body = ast.parse(text, mode="eval").body
    except SyntaxError as error:
        raise FormulaError(f"formula {text!r} does not parse: {error.msg}") from error
    tree = _comparison(body, text)
    names: dict[str, None] = {}
    _collect(tree, names)
    return Formula(text, tree, tuple(names), _compile(tree))


def _comparison(node: ast.expr, text: str) -> Node:
    if isinstance(node, ast.Compare):
        if len(node.ops) != 1 or not isinstance(node.ops[0], ast.Gt):
            raise FormulaError(f"formula {text!r}: the only comparison is one '>' at the top")
        return Binary(">", _node(node.left, text), _node(node.comparators[0], text))
    return _node(node, text)


def _node(node: ast.expr, text: str) -> Node:
    match node:
        case ast.Constant(value=int(value)) if value in ALLOWED_NUMBERS and not isinstance(value, bool):
            return Number(value)
        case ast.Name(id=name):
            symbol, _, index = name.partition("__")
            return Name(name, symbol, index)
        case ast.BinOp(op=ast.Pow(), left=base, right=ast.Constant(value=int(exponent))) if exponent > 0:
            return Power(_node(base, text), exponent)
        case ast.BinOp(op=op, left=left, right=right) if type(op) in OPERATORS:
            return Binary(OPERATORS[type(op)], _node(left, text), _node(right, text))
        case ast.Call(func=ast.Name(id=function), args=arguments, keywords=[]) if (
            function in FUNCTIONS and arguments
        ):
            return Call(function, tuple(_node(argument, text) for argument in arguments))
    raise FormulaError(f"formula {text!r}: {ast.unparse(node)!r} is outside the grammar")


def _collect(node: Node, names: dict[str, None]) -> None:
    match node:
        case Name(text=text):
            names[text] = None
        case Binary(left=left, right=right):
            _collect(left, names)
            _collect(right, names)
        case Power(base=base):
            _collect(base, names)
        case Call(arguments=arguments):
            for argument in arguments:
                _collect(argument, names)


def _compile(node: Node) -> Evaluator:
    match node:
        case Number(value=value):
            constant = float(value)
            return lambda _: constant
        case Name(text=text):
            return lambda env: env[text]
        case Power(base=base, exponent=exponent):
            return _repeated(_compile(base), exponent)
        case Call(function=function, arguments=arguments):
            return _called(FUNCTIONS[function], tuple(_compile(argument) for argument in arguments))
        case Binary(op=op, left=left, right=right):
            return _binary(op, _compile(left), _compile(right))


def _binary(op: str, left: Evaluator, right: Evaluator) -> Evaluator:
    match op:
        case "+":
            return lambda env: left(env) + right(env)
        case "-":
            return lambda env: left(env) - right(env)
        case "*":
            return lambda env: left(env) * right(env)
        case "/":
            return lambda env: left(env) / right(env)
        case _:
            return lambda env: float(rounded(left(env)) > rounded(right(env)))


def _called(function: Callable[..., float], arguments: tuple[Evaluator, ...]) -> Evaluator:
    return lambda env: function(*(argument(env) for argument in arguments))


def _repeated(base: Evaluator, exponent: int) -> Evaluator:
    """Whole powers as repeated multiplication: ``pow`` is not bit-equal on every platform, multiplication is."""

    def power(env: Env) -> float:
        value = base(env)
        result = value
        for _ in range(exponent - 1):
            result *= value
        return result

    return power
