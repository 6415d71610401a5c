"""The one maker of verdicts and margins."""

import pytest

from calc.derive.trace import Trace
from calc.model.assessment import Unknown, Value, Verdict
from calc.rules.compare import Question, compare, does_not_apply, needs_input
from tests.rules.designs import book, design

PLAIN = Question("a-question", "code", "", ("690.7",))
NARROW = Question("a-question", "damage", "current", ("690.8(A)",))


@pytest.fixture
def trace():
    return Trace(design(), book())


def volts(number, origin="step here_V"):
    return Value(number, "V", origin)


@pytest.mark.parametrize(
    ("actual", "limit", "sense", "plain", "narrow", "margin"),
    [
        (10.0, 10.0, "at most", "holds", "tight", 0.0),
        (10.0, 10.0, "at least", "holds", "tight", 0.0),
        (10.1, 10.0, "at most", "fails", "fails", -0.1),
        (9.9, 10.0, "at least", "fails", "fails", -0.1),
        (9.5, 10.0, "at most", "holds", "tight", 0.5),
        (9.49, 10.0, "at most", "holds", "holds", 0.51),
        (10.5, 10.0, "at least", "holds", "tight", 0.5),
        (10.51, 10.0, "at least", "holds", "holds", 0.51),
        (-10.0, -20.0, "at least", "holds", "holds", 10.0),
        (-19.5, -20.0, "at least", "holds", "tight", 0.5),  # the share is one of the limit's size
        (0.0, 0.0, "at most", "holds", "tight", 0.0),
        (0.1 + 0.2, 0.3, "at most", "holds", "tight", 0.0),  # a hair apart in binary
        (0.3, 0.1 + 0.2, "at least", "holds", "tight", 0.0),
        (10.00000001, 10.0, "at most", "fails", "fails", -1e-8),  # the tenth digit counts
    ],
)
def test_verdict_and_margin(trace, actual, limit, sense, plain, narrow, margin):
    """Equal is inside; tight within five percent of the limit, where the question has a margin at all."""
    for question, verdict in ((PLAIN, plain), (NARROW, narrow)):
        found = compare(trace, question, part="x", actual=volts(actual), limit=volts(limit), sense=sense)

        assert (found.verdict, found.margin) == (verdict, pytest.approx(margin, abs=1e-12))
        assert (found.sense, found.unit, found.part) == (sense, "V", "x")
        assert (found.id, found.harm, found.cites) == (question.id, question.harm, question.cites)


def test_limit_is_told_in_the_units_of_what_was_worked_out(trace):
    """A limit of 100 ft against 30 m: 0.48 m of room."""
    actual, limit = Value(30.0, "m", "step length_m"), Value(100.0, "ft", "given x")
    found = compare(trace, PLAIN, part="x", actual=actual, limit=limit, sense="at most")

    assert (found.limit.number, found.limit.unit, found.limit.origin) == (
        pytest.approx(30.48),
        "m",
        "given x",
    )
    assert found.margin == pytest.approx(0.48)


def test_units_of_different_kinds_are_never_compared(trace):
    """Volts against amperes is a fault of ours."""
    with pytest.raises(ValueError, match="cannot be read as the other"):
        compare(trace, PLAIN, part="x", actual=volts(1.0), limit=Value(1.0, "A", "step a_A"), sense="at most")


def test_a_finding_stands_on_steps(trace):
    """Two given values compared with no step between them would have no working to show."""
    with pytest.raises(ValueError, match="stands on no step"):
        compare(
            trace, PLAIN, part="x", actual=volts(1.0, "given a"), limit=volts(2.0, "given b"), sense="at most"
        )


@pytest.mark.parametrize(
    ("actual", "limit", "needs"),
    [
        (Unknown(("a", "b")), volts(1.0), ("a", "b")),
        (volts(1.0), Unknown(("c",)), ("c",)),
        (Unknown(("a",)), Unknown(("b", "a")), ("a", "b")),
    ],
)
def test_what_is_missing_is_named_once(trace, actual, limit, needs):
    """From both sides, in order, each path once; there is no margin then."""
    found = compare(trace, NARROW, part="x", actual=actual, limit=limit, sense="at most")

    assert (found.verdict, found.needs, found.margin) == (Verdict.NEEDS_INPUT, needs, None)


def test_only_steps_that_exist_go_with_a_finding(trace):
    """A step that could not be worked out is left out of what a finding stands on."""
    found = needs_input(PLAIN, part="x", paths=("a",), trace=trace, also=("nowhere_V",))

    assert found.steps == ()


def test_a_question_that_does_not_arise_says_why(trace):
    """With its reason and nothing to compare."""
    found = does_not_apply(NARROW, part="x", reason="one-string")

    assert (found.verdict, found.reason, found.actual) == (Verdict.DOES_NOT_APPLY, "one-string", None)
