"""Records of a finished assessment: values with their origin, steps, findings, and the whole."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from calc.model.design import Design
from calc.model.record import record


class Verdict(StrEnum):
    """The five answers a finding can have; a whole design takes its worst."""

    HOLDS = "holds"
    TIGHT = "tight"
    FAILS = "fails"
    DOES_NOT_APPLY = "does not apply"
    NEEDS_INPUT = "needs input"


WORST_FIRST = (Verdict.FAILS, Verdict.NEEDS_INPUT, Verdict.TIGHT, Verdict.HOLDS, Verdict.DOES_NOT_APPLY)


@record(frozen=True, slots=True)
class Value:
    """A number (or word, or yes/no) with its unit and where it comes from.

    ``origin`` is one of ``given <path>``, ``assumed <path>``, ``table <key>: <row>``, ``step <id>``.
    """

    value: float | str | bool
    unit: str
    origin: str

    @property
    def number(self) -> float:
        """The value as a number; a word is a fault of ours (TypeError)."""
        if isinstance(self.value, str):
            raise TypeError(f"{self.origin} is the word {self.value!r}, not a number")
        return float(self.value)


@record(frozen=True, slots=True)
class Unknown:
    """A quantity that cannot be worked out because the inputs at ``paths`` are missing."""

    paths: tuple[str, ...]


Quantity = Value | Unknown


@record(frozen=True, slots=True)
class Step:
    """One line of working: ``symbol = formula`` with each value's origin, and the result.

    ``formula`` is a text in the closed grammar, or empty when the step is a look-up or a method that
    iterates; then ``method`` names the sentence in the word catalogue that says how it was found.
    """

    id: str
    symbol: str
    formula: str
    method: str
    values: Mapping[str, Value]
    result: float | str | bool
    unit: str
    cites: tuple[str, ...]


@record(frozen=True, slots=True)
class Assumption:
    """A value nobody gave: the path it stands for, the value as text, and why it was chosen."""

    path: str
    value: str
    why: str
    safe_side: bool


@dataclass(frozen=True, slots=True)
class NotChecked:
    """A clause or hazard this program does not look at, and why."""

    clause: str
    why: str


@dataclass(frozen=True, slots=True)
class Fix:
    """A change that was tried on the whole design and after which nothing fails.

    ``change`` maps paths to the text a design file would have there; ``verdict`` is the whole design's
    afterwards.
    """

    change: Mapping[str, str | int | bool]
    verdict: Verdict


@record(frozen=True, slots=True)
class Remark:
    """A sentence that goes with a finding: its code in the word catalogue, and the values set into it by name."""

    code: str
    values: Mapping[str, Value] = field(default_factory=dict)


@record(frozen=True, slots=True)
class Finding:
    """One question answered.

    ``sense`` is ``at most`` or ``at least``; ``margin`` is the room left in ``unit``, positive when inside
    the limit. ``reason`` is a word-catalogue code: why it does not apply, or how it was decided; ``remarks``
    are further sentences; ``needs`` lists the paths that would have to be given. ``harm`` says what a failure
    costs: ``damage``, ``code`` or ``energy``.
    """

    id: str
    part: str
    verdict: Verdict
    harm: str
    unit: str = ""
    sense: str = ""
    actual: Value | None = None
    limit: Value | None = None
    margin: float | None = None
    tight_below: float | None = None
    steps: tuple[str, ...] = ()
    cites: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    reason: str = ""
    remarks: tuple[Remark, ...] = ()
    fixes: tuple[Fix, ...] = ()


@dataclass(frozen=True, slots=True)
class Cited:
    """A clause as it is cited: edition, clause, title and how far its figures were seen in print."""

    key: str
    clause: str
    edition: str
    title: str
    standing: str
    url: str


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything worked out for one design; self-contained, so that renderers need nothing else."""

    core: str
    rules: str
    rules_hash: str
    verdict: Verdict
    design: Design
    steps: Mapping[str, Step]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    not_checked: tuple[NotChecked, ...]
    citations: Mapping[str, Cited] = field(default_factory=dict)


def worst(findings: tuple[Finding, ...]) -> Verdict:
    """The verdict of a whole design: its worst finding's."""
    seen = {finding.verdict for finding in findings}
    return next(verdict for verdict in WORST_FIRST if verdict in seen)
