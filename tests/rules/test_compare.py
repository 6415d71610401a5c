"""The one maker of verdicts and margins."""

import pytest

from calc.derive.trace import Trace
from calc.model.assessment import Remark, Unknown, Value, Verdict
from calc.model.method import Method
from calc.rules.compare import Question, compare, does_not_apply, needs_input, remark, tight_share
from tests.rules.designs import book, design

PLAIN = Question("a-question", "code", "", ("690.7",))
NARROW = Question("a-question", "damage", "current", ("690.8(A)",))


COLDEST = Method("cell_cold", "coldest")
HOTTEST = Method("cell_hot", "hottest + rise")


@pytest.fixture
def trace():
    return Trace(design(), book())


@pytest.fixture
def worked(trace):
    """The working with two steps in it: the coldest cell and the hottest."""
    trace.step(COLDEST, coldest=trace.given("site.coldest"))
    rise = Value(31.25, "K", "step rise_K")
    trace.step(HOTTEST, hottest=trace.given("site.hottest"), rise=rise)
    return trace


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


@pytest.mark.parametrize(("question", "share", "below"), [(PLAIN, 0.0, 0.0), (NARROW, 0.05, 0.6)])
def test_a_finding_says_below_which_room_it_is_tight(trace, question, share, below):
    """Five percent of the limit of 12 V; nothing where the answer is a plain yes or no."""
    found = compare(trace, question, part="x", actual=volts(1.0), limit=volts(12.0), sense="at most")

    assert tight_share(trace, question) == pytest.approx(share)
    assert found.tight_below == pytest.approx(below)


def test_the_design_files_margin_replaces_the_tables():
    """8 % of 12 V instead of 5 %."""
    own = Trace(design({"margins.current": "8 %"}), book())
    found = compare(own, NARROW, part="x", actual=volts(1.0), limit=volts(12.0), sense="at most")

    assert found.tight_below == pytest.approx(0.96)


def test_a_finding_stands_on_the_steps_of_both_sides_and_those_beside(worked):
    """Each once, in that order; a value that was given is no step."""
    found = compare(
        worked,
        PLAIN,
        part="x",
        actual=volts(1.0, "step cell_hot_degC"),
        limit=volts(2.0, "step here_V"),
        sense="at most",
        also=("nowhere_V", "cell_cold_degC", "cell_hot_degC"),
    )
    given = compare(
        worked, PLAIN, part="x", actual=volts(1.0), limit=volts(2.0, "given step x"), sense="at most"
    )

    assert found.steps == ("cell_hot_degC", "here_V", "cell_cold_degC")
    assert given.steps == ("here_V",)


def test_what_is_known_goes_with_a_finding_that_waits(worked):
    """The steps beside it, how it would be decided, its clauses and what a failure would cost."""
    found = compare(
        worked,
        NARROW,
        part="x",
        actual=Unknown(("a",)),
        limit=volts(2.0),
        sense="at most",
        also=("nowhere_V", "cell_cold_degC"),
        reason="one-string",
    )

    assert (found.id, found.part, found.harm, found.cites) == ("a-question", "x", "damage", ("690.8(A)",))
    assert (found.steps, found.reason, found.needs) == (("cell_cold_degC",), "one-string", ("a",))


def test_a_decision_and_its_sentences_go_with_a_finding(trace):
    """As they were said; where nothing was said there is nothing."""
    said = (Remark("next-size"), Remark("cold-limit"))
    both = {"part": "x", "actual": volts(1.0), "limit": volts(2.0), "sense": "at most"}
    found = compare(trace, PLAIN, **both, reason="mppt-clips", remarks=said)
    silent = compare(trace, PLAIN, **both)

    assert (found.reason, found.remarks) == ("mppt-clips", said)
    assert (silent.reason, silent.remarks) == ("", ())


def test_a_question_that_does_not_arise_keeps_what_it_is_about(trace):
    """Its part, what a failure would cost, its clauses, and the steps that showed it."""
    found = does_not_apply(NARROW, part="x", reason="one-string", steps=("string_fuse_needed",))

    assert (found.id, found.part, found.harm) == ("a-question", "x", "damage")
    assert (found.cites, found.steps) == (("690.8(A)",), ("string_fuse_needed",))
    assert does_not_apply(NARROW, part="x", reason="one-string").steps == ()


def test_a_remark_carries_what_was_worked_out(worked):
    """Each step's result by the name it has in the sentence; no sentence with a gap in it."""
    cold = Value(-15.0, "degC", "step cell_cold_degC")
    hot = Value(65.0, "degC", "step cell_hot_degC")

    assert remark(worked, "both", low="cell_cold_degC", high="cell_hot_degC") == (
        Remark("both", {"low": cold, "high": hot}),
    )
    assert remark(worked, "both", low="cell_cold_degC", high="nowhere_V") == ()
    assert remark(worked, "plain") == (Remark("plain"),)
