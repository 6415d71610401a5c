"""One value of a design file: the author's text or number as its field wants it, or why it cannot be taken."""

import math
import re
from collections.abc import Callable, Mapping
from difflib import get_close_matches

from calc.model.design import Given
from calc.read.fields import Field
from calc.read.quantity import read_quantity
from calc.read.size import read_size
from calc.read.words import LARGE, Wrong

TEXT_LIMITS = {"title": 200, "story": 2000, "label": 100, "name": 60}
LONGEST_WORD = 60
LONGEST_PRICES = 400
LONGEST_OPTIONS, MOST_OPTIONS = 400, 4
NEAR = 0.6
NONE = "none"
FLAGS = {"true": True, "yes": True, "false": False, "no": False}
SPELLINGS = {"aluminum": "aluminium"}
COUNT = re.compile(r"\s*[0-9]{1,9}\s*")
PRICE = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,4})?")
ZONE = re.compile(r"(?:zone )?((?:[1-9]|1[0-3])[ab])")
BETWEEN_WORDS = re.compile(r"[-_\s]+")
# Control characters, marks that turn the direction of writing, and halves of characters: none belongs in a title.
CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")


def read_value(field: Field, raw: object) -> Given | Wrong:
    """``raw``, as TOML or a form gives it, in the fixed unit of its field; refuses (Wrong) what the field cannot be."""
    return READERS[field.kind](field, raw)


def unusual(field: Field, value: float) -> bool:
    """Whether ``value``, in the field's own unit, is possible but unlikely."""
    return field.usual is not None and not field.usual[0] <= value <= field.usual[1]


def outside(field: Field, value: float) -> Wrong | None:
    """Why ``value``, in the field's own unit, is impossible there, or None."""
    if field.low is None or field.high is None:
        return None
    if field.low <= value <= field.high and not (field.above_low and value == field.low):
        return None
    bounds = {"low": bound(field, field.low), "high": bound(field, field.high)}
    return Wrong("value.range-above" if field.above_low else "value.range", bounds)


def bound(field: Field, value: float) -> str:
    """A bound of a field as text with its unit."""
    return f"{value:g} {field.unit.replace('/K', '/degC')}".strip()


def _spaced(raw: str) -> str:
    return " ".join(raw.split())


def _text(field: Field, raw: object) -> Given | Wrong:
    if not isinstance(raw, str):
        return Wrong("value.not-text")
    limit = TEXT_LIMITS[field.path.rpartition(".")[2]]
    if len(raw) > limit:
        return Wrong("value.long", {"limit": str(limit)})
    words = _spaced(raw)
    if not words:
        return Wrong("value.empty-text")
    return Wrong("value.control") if CONTROL.search(words) else Given(words, "", words)


def _count(field: Field, raw: object) -> Given | Wrong:
    if isinstance(raw, str) and COUNT.fullmatch(raw):
        raw = int(raw)  # a form gives every value as text
    if isinstance(raw, bool) or not isinstance(raw, int):
        return Wrong("value.not-count")
    return outside(field, raw) or Given(raw, "", str(raw))


def _number(field: Field, raw: object, unit: str) -> float | Wrong:
    """The quantity in ``raw`` in ``unit``; a number that stands alone lacks its unit."""
    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        return Wrong("value.not-text")
    if isinstance(raw, int) and abs(raw) >= LARGE:
        return Wrong("value.bare")
    if isinstance(raw, float) and not math.isfinite(raw):
        return Wrong("value.not-finite")
    value = read_quantity(raw, unit) if isinstance(raw, str) else Wrong("value.bare")
    if isinstance(value, Wrong) and value.code == "value.bare":
        return Wrong(value.code, better=f"{raw} {field.example.partition(' ')[2]}")
    return value


def _quantity(field: Field, raw: object) -> Given | Wrong:
    value = _number(field, raw, field.unit)
    if isinstance(value, Wrong):
        return value
    return outside(field, value) or Given(value, field.unit, _spaced(str(raw)))


def _temperature(field: Field, raw: object) -> Given | Wrong:
    value = _number(field, raw, field.unit)
    if isinstance(value, float) and field.choices and f"{value:g}" not in field.choices:
        return Wrong(
            "value.not-degrees", {"choices": ", ".join(f"{choice} degC" for choice in field.choices)}
        )
    return _quantity(field, raw)


def _coefficient(field: Field, raw: object) -> Given | Wrong:
    """A change for each degree, relative or absolute; an absolute one is held against its base value later."""
    unit = field.unit
    value = _number(field, raw, unit)
    if isinstance(value, Wrong) and value.code == "value.other-kind":
        unit = field.absolute
        value = _number(field, raw, unit)
    if isinstance(value, Wrong):
        return value
    said = _spaced(str(raw))
    if field.high == 0 and value > 0:
        return Wrong("value.falls", better=f"-{said.lstrip('+')}")
    if field.low == 0 and value < 0:
        return Wrong("value.rises", better=said.lstrip("-−–"))
    wrong = outside(field, value) if unit == field.unit else None
    return wrong or Given(value, unit, said)


def _device(field: Field, raw: object) -> Given | Wrong:
    if isinstance(raw, str) and raw.strip().casefold() == NONE:
        return Given(NONE, "", NONE)
    return _quantity(field, raw)


def _size(_field: Field, raw: object) -> Given | Wrong:
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        return Wrong("size.bare")
    if not isinstance(raw, str):
        return Wrong("value.not-text")
    size = read_size(raw)
    return size if isinstance(size, Wrong) else Given(size, "", _spaced(raw))


def _prices(_field: Field, raw: object) -> Given | Wrong:
    """What a metre of each size of wire costs, as ``6 AWG 2.40``, with commas between."""
    if not isinstance(raw, str):
        return Wrong("value.not-text")
    if len(raw) > LONGEST_PRICES:
        return Wrong("value.long", {"limit": str(LONGEST_PRICES)})
    found: dict[str, float] = {}
    for item in raw.split(","):
        said, _, price = _spaced(item.replace("=", " ")).rpartition(" ")
        size = read_size(said)
        if isinstance(size, Wrong) or not PRICE.fullmatch(price):
            return Wrong("value.not-prices")
        found[size] = float(price)
    return Given(", ".join(f"{size} {price:.10g}" for size, price in found.items()), "", _spaced(raw))


def _options(field: Field, raw: object) -> Given | Wrong:
    """Other values, as ``path = value`` with semicolons between; whether each can be read is seen once all else is."""
    if not isinstance(raw, str):
        return Wrong("value.not-text")
    if len(raw) > LONGEST_OPTIONS:
        return Wrong("value.long", {"limit": str(LONGEST_OPTIONS)})
    said = [tuple(part.strip() for part in item.partition("=")) for item in _spaced(raw).split(";")]
    if len(said) > MOST_OPTIONS or not all(path and sign and path != field.path for path, sign, _ in said):
        return Wrong("value.not-options", {"most": str(MOST_OPTIONS)})
    return Given("; ".join(f"{path} = {value}".strip() for path, _, value in said), "", _spaced(raw))


def _choice(field: Field, raw: object) -> Given | Wrong:
    if not isinstance(raw, str):
        return Wrong("value.not-text")
    if len(raw) > LONGEST_WORD:
        return Wrong("value.not-choice")
    known = {_alike(choice): choice for choice in field.choices}
    word = SPELLINGS.get(_alike(raw), _alike(raw))
    if word in known:
        return Given(known[word], "", _spaced(raw))
    near = [known[match] for match in get_close_matches(word, known, 1, NEAR)]
    return Wrong("value.not-choice-near", {"near": near[0]}, near[0]) if near else Wrong("value.not-choice")


def _alike(word: str) -> str:
    return BETWEEN_WORDS.sub(" ", word).strip().casefold()


def _flag(_field: Field, raw: object) -> Given | Wrong:
    value = FLAGS.get(raw.strip().casefold()) if isinstance(raw, str) else raw
    return Given(value, "", str(value).lower()) if isinstance(value, bool) else Wrong("value.not-flag")


def _zone(_field: Field, raw: object) -> Given | Wrong:
    if isinstance(raw, str) and len(raw) <= LONGEST_WORD:
        said = _spaced(raw)
        found = ZONE.fullmatch(said.casefold())
        return Given(found[1], "", said) if found else Wrong("value.not-zone", better=f"{said}b")
    whole = isinstance(raw, int) and not isinstance(raw, bool) and abs(raw) < LARGE
    return Wrong("value.not-zone", better=f"{raw}b" if whole else "")


READERS: Mapping[str, Callable[[Field, object], Given | Wrong]] = {
    "text": _text,
    "count": _count,
    "quantity": _quantity,
    "temperature": _temperature,
    "coefficient": _coefficient,
    "device": _device,
    "size": _size,
    "prices": _prices,
    "options": _options,
    "choice": _choice,
    "flag": _flag,
    "zone": _zone,
}
