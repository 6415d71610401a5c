"""The only maker of verdicts and margins."""

from dataclasses import dataclass

from calc.derive.trace import Trace
from calc.model.assessment import Finding, Quantity, Remark, Unknown, Value, Verdict
from calc.model.units import convert, rounded

STEP = "step "


@dataclass(frozen=True, slots=True)
class Question:
    """What a rule asks: its finding's id, what a failure costs, the margin that counts as tight, and the clauses.

    ``harm`` is ``damage``, ``code`` or ``energy``; ``tight`` a column of the tight-margins table, or empty
    where the answer is a plain yes or no.
    """

    id: str
    harm: str
    tight: str = ""
    cites: tuple[str, ...] = ()


def tight_share(trace: Trace, question: Question) -> float:
    """Share of the limit below which room counts as tight: the design file's ``margins``, else the table's."""
    if not question.tight:
        return 0.0
    given = trace.design.number(f"margins.{question.tight}")
    percent = trace.book.table("tight_margins").cell(question.tight).number if given is None else given
    return convert(percent, "%", "")


def compare(  # noqa: PLR0913 - the one maker of findings takes all that a finding is made of
    trace: Trace,
    question: Question,
    *,
    part: str,
    actual: Quantity,
    limit: Quantity,
    sense: str,
    also: tuple[str, ...] = (),
    reason: str = "",
    remarks: tuple[Remark, ...] = (),
) -> Finding:
    """Make the finding that ``actual`` stays ``at most`` or ``at least`` ``limit``.

    A value equal to its limit is inside it; both are taken at the digits that are printed, so that noise
    of the arithmetic decides nothing. Margin is the room left, in the limit's unit, negative when the
    limit is passed. With an input missing the verdict is ``needs input``. A finding that stands on no step
    is a fault of ours (ValueError).

    Args:
        trace: the working so far.
        question: which finding this is.
        part: what it is about (``controller``, a run's name, ``coupler 2``).
        actual: the quantity asked about.
        limit: what it may be.
        sense: ``at most`` or ``at least``.
        also: ids of further steps the finding stands on.
        reason: code of the sentence that says how it was decided.
        remarks: further sentences that go with it.
    """
    missing = [path for value in (actual, limit) if isinstance(value, Unknown) for path in value.paths]
    if isinstance(actual, Unknown) or isinstance(limit, Unknown):
        return needs_input(
            question, part=part, paths=tuple(dict.fromkeys(missing)), trace=trace, also=also, reason=reason
        )
    bound = convert(limit.number, limit.unit, actual.unit)
    room = rounded(bound) - rounded(actual.number)
    margin = rounded(room if sense == "at most" else -room)
    tight_below = rounded(tight_share(trace, question) * abs(bound))
    steps = dict.fromkeys((*_steps(actual), *_steps(limit), *(step for step in also if step in trace.steps)))
    if not steps:
        raise ValueError(f"{question.id} ({part}) stands on no step")
    return Finding(
        id=question.id,
        part=part,
        verdict=_verdict(margin, tight_below, tight=bool(question.tight)),
        harm=question.harm,
        unit=actual.unit,
        sense=sense,
        actual=actual,
        limit=Value(bound, actual.unit, limit.origin),
        margin=margin,
        tight_below=tight_below,
        steps=tuple(steps),
        cites=question.cites,
        reason=reason,
        remarks=remarks,
    )


def remark(trace: Trace, code: str, **steps: str) -> tuple[Remark, ...]:
    """A remark with the results of ``steps`` set in by name; nothing when one of them could not be worked out."""
    found = {name: trace.find(step) for name, step in steps.items()}
    values = {name: value for name, value in found.items() if isinstance(value, Value)}
    return (Remark(code, values),) if len(values) == len(found) else ()


def _verdict(margin: float, tight_below: float, *, tight: bool) -> Verdict:
    if margin < 0:
        return Verdict.FAILS
    if tight and margin <= tight_below:
        return Verdict.TIGHT
    return Verdict.HOLDS


def _steps(value: Value) -> tuple[str, ...]:
    return (value.origin.removeprefix(STEP),) if value.origin.startswith(STEP) else ()


def needs_input(
    question: Question,
    *,
    part: str,
    paths: tuple[str, ...],
    trace: Trace,
    also: tuple[str, ...] = (),
    reason: str = "",
) -> Finding:
    """Make the finding that cannot be answered until ``paths`` are given; steps that are known already go with it."""
    return Finding(
        id=question.id,
        part=part,
        verdict=Verdict.NEEDS_INPUT,
        harm=question.harm,
        steps=tuple(step for step in also if step in trace.steps),
        cites=question.cites,
        needs=paths,
        reason=reason,
    )


def does_not_apply(question: Question, *, part: str, reason: str, steps: tuple[str, ...] = ()) -> Finding:
    """Make the finding that the question does not arise here; ``reason`` is the catalogue code that says why."""
    return Finding(
        id=question.id,
        part=part,
        verdict=Verdict.DOES_NOT_APPLY,
        harm=question.harm,
        steps=steps,
        cites=question.cites,
        reason=reason,
    )
