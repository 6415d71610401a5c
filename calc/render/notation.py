"""A formula tree as MathML and as plain text, once with symbols and once with numbers; brackets come from the tree.

The tree is walked once into pieces and kept: text that never changes, places where a name stands, and points where a
long line may part. A place knows whether a negative number or a unit there needs brackets of its own.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from calc.model.formula import Binary, Call, Name, Node, Number, Power
from calc.model.record import record
from calc.model.symbols import SYMBOLS
from calc.render.numbers import MINUS

FIRST, AFTER, BASE, BELOW = range(
    4
)  # where a name stands: first, after an operator, raised to a power, under a slash
BREAK_AFTER = 16  # a line may part once this many letters stand since the last part


@dataclass(frozen=True, slots=True)
class Place:
    """Where a name stands, and in what company."""

    name: str
    company: int


@dataclass(frozen=True, slots=True)
class Word:
    """A function's name, which the word catalogue spells."""

    function: str


@record(frozen=True, slots=True)
class Entry:
    """What stands at a place: the markup, the text a reader sees, and whether it is negative or has a unit."""

    markup: str
    text: str
    negative: bool = False
    unit: str = ""


Piece = str | Place | Word | None  # None: here a long line may part
Pieces = tuple[Piece, ...]
Spelling = Callable[[str], str]

MATH = '<math displaystyle="true">'  # fractions as large as the rest of the line, to be read on a phone
_LEVEL = {">": 0, "+": 1, "-": 1, "*": 2, "/": 2}
_POWER_LEVEL, _ATOM_LEVEL = 3, 4
_SIGN = {"+": "+", "-": MINUS, "*": "×", "/": "/", ">": ">"}
_INFIX = {op: f'<mo form="infix">{"&gt;" if op == ">" else sign}</mo>' for op, sign in _SIGN.items()}
_OPEN, _CLOSE = '<mo form="prefix" stretchy="false">(</mo>', '<mo form="postfix" stretchy="false">)</mo>'
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


@lru_cache(maxsize=1024)
def symbol_mathml(name: str) -> str:
    """A symbol's letter with its roman subscript; the index of ``name__2`` is one more subscript."""
    letter, below = _letters(name)
    drawn = f"<mi>{letter[-1]}</mi>"
    if letter[:-1]:  # a difference: its delta stands upright before the letter
        drawn = f'<mrow><mi mathvariant="normal">{letter[:-1]}</mi>{drawn}</mrow>'
    return f"<msub>{drawn}<mtext>{below}</mtext></msub>" if below else drawn


@lru_cache(maxsize=1024)
def symbol_plain(name: str) -> str:
    """A symbol as plain text: ``V_oc,cold``."""
    letter, below = _letters(name)
    return f"{letter}_{below.replace(', ', ',').replace(' ', '-')}" if below else letter


def _letters(name: str) -> tuple[str, str]:
    known, _, index = name.partition("__")
    symbol = SYMBOLS[known]
    return symbol.letter, ", ".join(filter(None, (symbol.subscript, index)))


@lru_cache(maxsize=2048)
def mathml_pieces(tree: Node) -> Pieces:
    """The pieces of a formula as MathML: fractions and roots drawn, brackets only where the tree needs them."""
    return tuple(_joined(_mathml(tree, FIRST, flat=True)))


@lru_cache(maxsize=2048)
def plain_pieces(tree: Node) -> Pieces:
    """The pieces of a formula as plain text, which parses back to the same tree."""
    return tuple(_joined(_plain(tree, FIRST)))


def _joined(pieces: list[Piece]) -> list[Piece]:
    """Neighbouring texts as one."""
    together: list[Piece] = []
    for piece in pieces:
        if isinstance(piece, str) and together and isinstance(together[-1], str):
            together[-1] += piece
        else:
            together.append(piece)
    return together


def _level(node: Node) -> int:
    if isinstance(node, Binary):
        return _LEVEL[node.op]
    return _POWER_LEVEL if isinstance(node, Power) else _ATOM_LEVEL


def _right_level(op: str) -> int:
    """What the right side must bind at least; one more than the left, so that the tree is read back as it is."""
    return _LEVEL[op] + 1


def _plain(node: Node, company: int) -> list[Piece]:
    match node:
        case Number(value=value):
            return [str(value)]
        case Name(text=name):
            return [Place(name, company)]
        case Power(base=base, exponent=exponent):
            return [*_plain_in(base, _ATOM_LEVEL, BASE), str(exponent).translate(_RAISED)]
        case Call(function=function, arguments=arguments):
            inside: list[Piece] = []
            for argument in arguments:
                inside += [", " if inside else "", *_plain(argument, FIRST)]
            return [Word(function), "(", *inside, ")"]
        case Binary(op=op, left=left, right=right):
            beside = BELOW if op == "/" else AFTER
            return [
                *_plain_in(left, _LEVEL[op], company),
                f" {_SIGN[op]} ",
                *_plain_in(right, _right_level(op), beside),
            ]


def _plain_in(node: Node, least: int, company: int) -> list[Piece]:
    if _level(node) >= least:
        return _plain(node, company)
    return ["(", *_plain(node, FIRST), ")"]


def _mathml(node: Node, company: int, *, flat: bool) -> list[Piece]:
    """``flat``: this node lies on the line itself, not in a fraction or root, so the line may part in it."""
    match node:
        case Number(value=value):
            return [f"<mn>{value}</mn>"]
        case Name(text=name):
            return [Place(name, company)]
        case Power(base=base, exponent=exponent):
            raised = _mathml_in(base, _ATOM_LEVEL, BASE, flat=False)
            return ["<msup><mrow>", *raised, f"</mrow><mn>{exponent}</mn></msup>"]
        case Call():
            return _mathml_call(node)
        case Binary(op="/", left=left, right=right):
            above, below = (_mathml(side, FIRST, flat=False) for side in (left, right))
            return ["<mfrac><mrow>", *above, "</mrow><mrow>", *below, "</mrow></mfrac>"]
        case Binary(op=op, left=left, right=right):
            before = _mathml_in(left, _LEVEL[op], company, flat=flat)
            after = _mathml_in(right, _right_level(op), AFTER, flat=flat)
            return [*before, *([None] if flat else []), _INFIX[op], *after]


def _mathml_call(node: Call) -> list[Piece]:
    if node.function == "sqrt":
        return ["<msqrt>", *_mathml(node.arguments[0], FIRST, flat=False), "</msqrt>"]
    inside: list[Piece] = []
    for argument in node.arguments:
        inside += ["<mo>,</mo>" if inside else "", *_mathml(argument, FIRST, flat=False)]
    return [
        "<mi>",
        Word(node.function),
        "</mi><mo>&#x2061;</mo><mrow><mo>(</mo>",
        *inside,
        "<mo>)</mo></mrow>",
    ]


def _mathml_in(node: Node, least: int, company: int, *, flat: bool) -> list[Piece]:
    fraction = isinstance(node, Binary) and node.op == "/"
    if _level(node) >= least or (fraction and company != BASE):
        return _mathml(node, company, flat=flat)
    if flat and not _tall(node):
        return [_OPEN, *_mathml(node, FIRST, flat=True), _CLOSE]
    return ["<mrow><mo>(</mo>", *_mathml(node, FIRST, flat=False), "<mo>)</mo></mrow>"]


def _tall(node: Node) -> bool:
    """Whether a node is higher than one line, so that its brackets must grow with it."""
    match node:
        case Binary(op=op, left=left, right=right):
            return op == "/" or _tall(left) or _tall(right)
        case Call(function=function, arguments=arguments):
            return function == "sqrt" or any(_tall(argument) for argument in arguments)
        case Power(base=base):
            return _tall(base)
    return False


def write_plain(pieces: Pieces, entries: Mapping[str, Entry], spelling: Spelling) -> str:
    """Fill the pieces of a plain formula."""
    out = []
    for piece in pieces:
        if isinstance(piece, str):
            out.append(piece)
        elif isinstance(piece, Place):
            entry = entries[piece.name]
            out.append(f"({entry.text})" if _bracketed(entry, piece.company) else entry.text)
        elif isinstance(piece, Word):
            out.append(spelling(piece.function))
    return "".join(out)


def write_mathml(pieces: Sequence[Piece], entries: Mapping[str, Entry], spelling: Spelling) -> str:
    """Fill the pieces of a MathML line; a long line becomes several ``math`` elements, between which it may wrap."""
    out, length = [MATH], 0
    for piece in pieces:
        if isinstance(piece, str):
            out.append(piece)
        elif isinstance(piece, Place):
            entry = entries[piece.name]
            length += len(entry.text)
            if _bracketed(entry, piece.company):
                out += ["<mo>(</mo>", entry.markup, "<mo>)</mo>"]
            else:
                out.append(entry.markup)
        elif isinstance(piece, Word):
            out.append(spelling(piece.function))
        elif length >= BREAK_AFTER:
            out.append(f"</math><wbr>{MATH}")
            length = 0
    out.append("</math>")
    return "".join(out)


def _bracketed(entry: Entry, company: int) -> bool:
    if company == FIRST:
        return False
    if company == BASE:
        return entry.negative or bool(entry.unit)
    return entry.negative or (company == BELOW and "/" in entry.unit)
