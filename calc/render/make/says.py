"""Marks, ratings, lengths and origins of parts in words, for every renderer alike."""

import re
from collections.abc import Iterable, Sequence

from calc.model.assessment import Remark, Value
from calc.model.parts import Length, PartLine, Rating
from calc.model.symbols import SYMBOLS
from calc.model.units import convert
from calc.render.anchors import href, slug
from calc.render.catalogue import Words
from calc.render.fields import field_label
from calc.render.numbers import NO_BREAK, in_words, show_text
from calc.render.view import Link

COUNTED = ("inlets", "circuits", "spare", "terminals")
MARK = re.compile(r"(.*?)(\d+)([^\d]*)")
SYMBOL_OF = {symbol.key: name for name, symbol in SYMBOLS.items()}
OTHER = {"us": "metric", "metric": "us"}
SHORT = 2
"""Marks up to so many in a row are written out; more become a span."""


def spans(marks: Sequence[str], words: Words) -> str:
    """Marks as spans, plus and minus apart: ``S1 to S4, S7``, ``L1+ to L4+, L1− to L4−``."""
    rows: dict[tuple[str, str], list[list[tuple[int, str]]]] = {}
    for mark in marks:
        found = MARK.fullmatch(mark)
        number = int(found[2]) if found else -1
        kind = (found[1], found[3]) if found else (mark, "")
        mine = rows.setdefault(kind, [])
        if mine and mine[-1][-1][0] + 1 == number:
            mine[-1].append((number, mark))
        else:
            mine.append([(number, mark)])
    return ", ".join(_span([mark for _, mark in row], words) for mine in rows.values() for row in mine)


def _span(marks: list[str], words: Words) -> str:
    if len(marks) <= SHORT:
        return ", ".join(marks)
    return words("make.range", first=marks[0], last=marks[-1]).replace(" ", NO_BREAK)


def value_says(value: Value, words: Words, system: str = "us") -> str:
    """A value printed; a text without a unit keeps its spaces, so that it can be broken into lines."""
    if isinstance(value.value, str) and not value.unit and "step string_count" in value.origin:
        return value.value
    return in_words(words, value.value, value.unit, system=system)


def says(key: str, remark: Remark, words: Words, system: str = "us") -> str:
    """A sentence of the catalogue with its values printed."""
    values = {name: value_says(value, words, system) for name, value in remark.values.items()}
    return words(f"{key}.{remark.code}", **values)


def rating_says(rating: Rating, words: Words, system: str = "us") -> str:
    """One rating: ``rated 30 A``, ``for at least 25.5 V DC``."""
    value = rating.value
    if rating.code in COUNTED:
        said = f"{value.number:.0f}"
    elif rating.code == "kind":
        said = str(value.value).upper()
    elif rating.code == "chemistry":
        said = words.find(f"drawing.wiring.chemistry.{value.value}") or str(value.value)
    elif rating.code == "laid":
        said = str(value.value)
    else:
        said = value_says(value, words, system)
    if rating.least:
        said = words("make.parts.least", value=said)
    return words(f"make.rating.{rating.code}", value=said)


def length_says(length_m: float, words: Words, system: str = "us") -> str:
    """A length in both systems, the reader's own first: ``170 ft (51.8 m)``."""
    one, other = (show_text(length_m, "m", system=kind) for kind in (system, OTHER[system]))
    return words("make.both-lengths", one=one, other=other)


def lengths_say(line: PartLine, length: Length, words: Words, system: str = "us") -> list[str]:
    """How long the pieces of a line are, or that they have to be measured."""
    if length.total_m is None or length.each_m is None:
        return [words("make.parts.to-measure")]
    total = length_says(length.total_m, words, system)
    if (line.count or 1) > 1:
        each = length_says(length.each_m, words, system)
        said = [words("make.parts.each", count=line.count, each=each, total=total)]
    else:
        said = [words("make.parts.one", total=total)]
    if length.buy_m is not None:
        spare = f"{(length.buy_m / length.total_m - 1) * convert(1, '', '%'):.0f}\N{NO-BREAK SPACE}%"
        said.append(words("make.parts.buy", buy=length_says(length.buy_m, words, system), spare=spare))
    return said


def name_of(line: PartLine, words: Words) -> str:
    """What a part is."""
    return words(f"make.part.{line.code}")


def what_says(line: PartLine, words: Words, system: str = "us") -> list[str]:
    """Ratings and lengths of a line, one text each."""
    said = [rating_says(one, words, system) for one in line.ratings]
    return said + (lengths_say(line, line.length, words, system) if line.length else [])


def needs_say(paths: Iterable[str], words: Words) -> str:
    """Which inputs would have to be given; empty when none."""
    labels = ", ".join(dict.fromkeys(field_label(path, words) for path in paths))
    return words("make.parts.needs", needs=labels) if labels else ""


def follow_link(origin: str, words: Words) -> Link:
    """What a line stands on, in words, and where it stands on the report."""
    kind, _, rest = origin.partition(" ")
    if kind == "finding":
        name, _, _ = rest.partition(" ")
        return Link(words(f"finding.{name}.name"), f"#finding-{slug(rest)}")
    if kind == "task":
        return Link(words(f"make.task.{rest}.name"), f"#task-{rest}")
    if kind == "given":
        return Link(field_label(rest, words), href(origin))
    return Link(words(f"symbol.{SYMBOL_OF[rest.rpartition('.')[2]]}"), href(origin))


def follows_say(line: PartLine, words: Words) -> str:
    """What a line stands on, each once, in one text."""
    return ", ".join(dict.fromkeys(follow_link(origin, words).text for origin in line.follows))
