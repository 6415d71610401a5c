"""One step of working as a reader sees it: symbol, formula, the same with numbers, result, and every number's origin.

Every number is a link in the list beneath the lines and not in them: what stands in a formula is read aloud as one
thing, so that a link in it is lost to whoever listens. A number is an ``mn`` (not ``mtext``: that counts as space, and a
sign between two of them would lose its own).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from markupsafe import Markup

from calc.model.assessment import Step, Value
from calc.model.formula import Binary, parse
from calc.render.anchors import href, parted, slug
from calc.render.catalogue import Words
from calc.render.notation import (
    Entry,
    Spelling,
    mathml_pieces,
    plain_pieces,
    symbol_mathml,
    symbol_plain,
    write_mathml,
    write_plain,
)
from calc.render.numbers import MINUS, in_words

__all__ = ["StepView", "ValueView", "plain_line", "slug", "step_lines"]

_EQUALS = '<mo form="infix">=</mo>'


@dataclass(frozen=True, slots=True)
class ValueView:
    """One value a step uses: symbol, meaning in words, number with unit, and the link to its origin.

    ``kind`` is ``given``, ``assumed``, ``table`` or ``step``, ``origin`` that in words, ``name`` what it points to.
    """

    symbol: Markup
    meaning: Markup
    number: Markup
    kind: str
    origin: Markup
    name: Markup
    href: str


@dataclass(frozen=True, slots=True)
class StepView:
    """A step in pieces of safe HTML, for the templates.

    ``formula`` reads *symbol = symbols*, ``numbers`` reads *= numbers*; both are empty for a look-up, which has a
    ``sentence`` instead. A comparison has no equals sign; its result is yes or no. ``anchor`` is the id of its place.
    """

    id: str
    anchor: str
    meaning: Markup
    symbol: Markup
    formula: Markup
    numbers: Markup
    result: Markup
    sentence: Markup
    values: tuple[ValueView, ...]
    cites: tuple[str, ...]


def step_lines(step: Step, words: Words, system: str = "us", methods_url: str = "") -> StepView:
    """Print one step for a page; ``methods_url`` is the way from there to the page on which the tables stand."""
    texts = {name: _text(words, value, system) for name, value in step.values.items()}
    links = {name: href(value.origin, methods_url) for name, value in step.values.items()}
    result = in_words(words, step.result, step.unit, system=system)
    formula, numbers = _lines(step, words, texts) if step.formula else ("", "")
    return StepView(
        id=step.id,
        anchor=f"step-{slug(step.id)}",
        meaning=_told(_meaning(words, step.symbol)),
        symbol=_symbol(step.symbol),
        formula=_safe(formula),
        numbers=_safe(numbers),
        result=_told(result),
        sentence=_told(_sentence(step, words, texts)),
        values=tuple(_value(words, name, step.values[name], texts[name], links[name]) for name in texts),
        cites=step.cites,
    )


def plain_line(step: Step, words: Words, system: str = "us") -> str:
    """Print one step as a line of text: ``symbol = symbols = numbers = result``, or the sentence of a look-up."""
    result = in_words(words, step.result, step.unit, system=system)
    texts = {name: _text(words, value, system) for name, value in step.values.items()}
    if not step.formula:
        return f"{symbol_plain(step.symbol)} = {result}: {_sentence(step, words, texts)}"
    pieces = plain_pieces(parse(step.formula).tree)
    symbols = {name: Entry(text, text) for name in step.values for text in (symbol_plain(name),)}
    numbers = _entries(step.values, texts, texts)
    spelling = _spelling(words)
    lines = (write_plain(pieces, symbols, spelling), write_plain(pieces, numbers, spelling), result)
    return " = ".join((symbol_plain(step.symbol), *lines))


def _lines(step: Step, words: Words, texts: Mapping[str, str]) -> tuple[str, str]:
    """The line of symbols and the line of numbers."""
    tree = parse(step.formula).tree
    pieces, spelling = mathml_pieces(tree), _spelling(words)
    symbols = {name: Entry(symbol_mathml(name), symbol_plain(name)) for name in texts}
    drawn = {name: f"<mn>{escape(text)}</mn>" for name, text in texts.items()}
    numbers = _entries(step.values, drawn, texts)
    if isinstance(tree, Binary) and tree.op == ">":
        return write_mathml(pieces, symbols, spelling), write_mathml(pieces, numbers, spelling)
    left = symbol_mathml(step.symbol) + _EQUALS
    return (
        write_mathml((left, *pieces), symbols, spelling),
        write_mathml((_EQUALS, *pieces), numbers, spelling),
    )


def _entries(
    values: Mapping[str, Value], markups: Mapping[str, str], texts: Mapping[str, str]
) -> dict[str, Entry]:
    return {
        name: Entry(markups[name], text, text.startswith(MINUS), values[name].unit)
        for name, text in texts.items()
    }


def _value(words: Words, name: str, value: Value, text: str, link: str) -> ValueView:
    kind, origin = parted(value.origin)
    return ValueView(
        symbol=_symbol(name),
        meaning=_told(_meaning(words, name)),
        number=_told(text),
        kind=kind,
        origin=_told(words(f"working.origin.{kind}")),
        name=_told(origin),
        href=link,
    )


def _sentence(step: Step, words: Words, texts: Mapping[str, str]) -> str:
    """The sentence that says how a look-up was found, with the step's own values set in where it names them."""
    if not step.method:
        return ""
    sentence = words(f"method.{step.method}")
    for name, text in texts.items():
        sentence = sentence.replace("{" + name + "}", text)
    return sentence


def _text(words: Words, value: Value, system: str) -> str:
    return in_words(words, value.value, value.unit, system=system)


def _meaning(words: Words, name: str) -> str:
    return words(f"symbol.{name.partition('__')[0]}")


def _spelling(words: Words) -> Spelling:
    return lambda function: words(f"working.function.{function}")


@lru_cache(maxsize=8192)
def _told(text: str) -> Markup:
    return _safe(escape(text))


@lru_cache(maxsize=1024)
def _symbol(name: str) -> Markup:
    return _safe(f"<math>{symbol_mathml(name)}</math>")


def _safe(html: str) -> Markup:
    return Markup(html)  # every text in it was escaped where it came in
