"""How one question comes out beside another outcome: verdict and figures, and no figures where they say nothing."""

import pytest

from calc import assess, load_book, read_design
from calc.render.answers import answer_of
from calc.render.catalogue import load_words
from floor import ROOT

WORDS = load_words()


@pytest.fixture(scope="module")
def findings():
    text = (ROOT / "scenarios" / "examples" / "high-tunnel.toml").read_text("utf-8")
    return {one.id: one for one in assess(read_design(text), load_book()).findings}


def test_a_question_with_figures_tells_them(findings):
    """The value and its limit, in the reader's units."""
    answer = answer_of(findings["cold-voltage-controller"], WORDS, "us")

    assert (answer.verdict, answer.mark) == ("holds", "holds")
    assert "55.3" in answer.figures
    assert "150" in answer.figures


@pytest.mark.parametrize("finding", ["string-fuse-needed", "unlike-strings"])
def test_yes_or_no_and_idle_questions_have_none(findings, finding):
    """A yes or a no is no figure, and a question that does not apply has nothing to compare."""
    assert answer_of(findings[finding], WORDS, "us").figures == ""


def test_a_question_that_is_not_asked_has_no_mark():
    """Where one design raises a question and the other does not, that is said in words."""
    answer = answer_of(None, WORDS, "us")

    assert (answer.mark, answer.figures) == ("", "")
    assert answer.verdict
