"""What is found does not depend on the words it is told in: the same with a second register, every word of it another."""

import json
import re
from html import unescape

import pytest

from calc import assess, check, load_book, read_design
from calc.plan.adding import adding_of
from calc.plan.layouts import layouts_of
from calc.plan.limits import limits_of
from calc.plan.sensitivity import sensitivity_of
from calc.render.adding.plain import as_adding_plain
from calc.render.as_json import as_plain
from calc.render.catalogue import Words, load_words
from calc.render.layouts.plain import as_layouts_plain
from calc.render.layouts.view import layout_rows, layouts_view, limit_rows
from tests.contract.scenes import ROOT

NAMES = ("examples/high-tunnel", "examples/stock-water-pump", "gallery/hot-roof", "gallery/two-kinds")
BOOK, ENGLISH = load_book(), load_words()
PLACE = re.compile(r"(\{[^{}]*\})")
LETTER, FIGURE = re.compile(r"[A-Za-z]"), re.compile(r"[\d.,]*\d")
TOLD = {"says", "remarks", "limit_remarks", "moves_say", "caution", "name", "why", "question"}
"""Keys of the data under which words stand."""


def other_word(text):
    """The same sentence in no language: every letter that is not in a placeholder is a Greek one, and of no use."""
    pieces = PLACE.split(text)
    return "".join(
        piece if PLACE.fullmatch(piece) else LETTER.sub(lambda found: chr(0x3B1 + ord(found[0]) % 17), piece)
        for piece in pieces
    )


OTHER = Words("other", {key: other_word(text) for key, text in ENGLISH.entries.items()})


def scenario(name):
    """A design of the folder of scenarios."""
    return read_design((ROOT / "scenarios" / f"{name}.toml").read_text("utf-8"))


def untold(plain):
    """The data without the words in them."""
    if isinstance(plain, dict):
        return {key: untold(value) for key, value in plain.items() if key not in TOLD}
    return [untold(one) for one in plain] if isinstance(plain, list) else plain


def told(plain):
    """The words in the data, one text after the other."""
    if isinstance(plain, dict):
        for key, value in plain.items():
            if key in TOLD:
                yield from [value] if isinstance(value, str) else value
            else:
                yield from told(value)
    elif isinstance(plain, list):
        for one in plain:
            yield from told(one)


def figures(text):
    """The numbers in a text, in their order."""
    return FIGURE.findall(unescape(text))


def everything(design, words):
    """Layouts with limits and moves, what adding does, and the check with its fixes, as data."""
    layouts, limits, moves = (work(design, BOOK) for work in (layouts_of, limits_of, sensitivity_of))
    return {
        "layouts": as_layouts_plain(layouts, limits, moves, words),
        "adding": as_adding_plain(adding_of(design, BOOK, assess(design, BOOK)), words),
        "check": as_plain(check(design, BOOK), words),
    }


def test_the_second_register_has_no_word_of_the_first():
    """Every entry is another text with the same placeholders."""
    for key, text in ENGLISH.entries.items():
        assert PLACE.findall(OTHER(key)) == PLACE.findall(text)
        assert not LETTER.search(PLACE.sub("", OTHER(key)))


@pytest.mark.parametrize("name", NAMES)
def test_data_are_the_same_but_for_the_words(name):
    """Rank, reason, verdicts, limits, moves, fixes and every number; each text is there, with the same figures in it."""
    design = scenario(name)
    here, there = everything(design, ENGLISH), everything(design, OTHER)
    assert json.dumps(untold(here)) == json.dumps(untold(there))
    both = list(zip(told(here), told(there), strict=True))
    assert both
    for one, other in both:
        assert figures(one) == figures(other)
    assert any(one != other for one, other in both)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", NAMES)
def test_rows_are_the_same_but_for_the_words(name, system):
    """In the same order, each with the same mark and the same figures; so are limits, and the axes of the drawing."""
    design = scenario(name)
    layouts, limits = layouts_of(design, BOOK), limits_of(design, BOOK)
    for rows, report in ((layout_rows, layouts), (limit_rows, limits)):
        here, there = (rows(report, words, system) for words in (ENGLISH, OTHER))
        assert len(here) == len(there) > 0
        for one, other in zip(here, there, strict=True):
            assert getattr(one, "mark", "") == getattr(other, "mark", "")
            assert getattr(one, "change", "") == getattr(other, "change", "")
            assert figures(str(one)) == figures(str(other))
    here, there = (layouts_view(layouts, words, system) for words in (ENGLISH, OTHER))
    picked = [[(axis.code, axis.picked) for _, axes in view.axes for axis in axes] for view in (here, there)]
    assert picked[0] == picked[1]
    assert [view.figure is None for view in (here, there)] in ([False, False], [True, True])


def test_unlike_strings_may_come_in_any_order():
    """The two kinds of string the other way round in the file: the same layout, verdict, figures and columns."""
    text = (ROOT / "scenarios/gallery/two-kinds.toml").read_text("utf-8")
    start, first, second = re.split(r"(?m)^(?=\[\[string\]\]$)", text)
    second, rest = re.split(r"(?m)^(?=\[(?!\[string|string))", second, maxsplit=1)
    before, after = (
        as_layouts_plain(layouts_of(read_design(one), BOOK))
        for one in (text, f"{start}{second}\n{first}{rest}")
    )
    assert len(before["layouts"]) == 1
    for key in ("layouts", "says", "fails_everywhere", "needs"):
        assert before[key] == after[key], key
