"""Any design that can be read is assessed: never a traceback, and every answer agrees with its own numbers.

About 2,000 random designs in an ordinary run; ``ARRAYBOOK_EXAMPLES=20000`` asks for more.
"""

import json
import math
import os

from hypothesis import HealthCheck, given, settings

from calc.assess import assess
from calc.model.assessment import WORST_FIRST, Verdict
from calc.model.problems import Refused
from calc.model.units import rounded
from calc.plan.fixes import check
from calc.read.scenario import read_design
from calc.read.write import document_of, write_document
from calc.render.as_json import as_json
from calc.render.as_text import as_text
from calc.tables import load_book
from tests.contract.anydesign import documents, written
from tests.contract.test_json import numbers
from tests.rules.designs import put

EXAMPLES = int(os.environ.get("ARRAYBOOK_EXAMPLES", "2000"))
BOOK = load_book()
ANSWERED = (Verdict.HOLDS, Verdict.TIGHT, Verdict.FAILS)
IDS = [
    *("cold-voltage-controller", "cold-voltage-module", "cold-voltage-site", "cold-voltage-parts"),
    *("hot-voltage-charging", "wake-voltage", "controller-input-current", "controller-output-current"),
    *("pwm-voltage-given-away", "string-fuse-needed", "string-fuse-size", "reverse-current", "run-ampacity"),
    *("run-terminal-temperature", "run-voltage-drop", "small-conductor-device", "coupler-current"),
    *("combiner-circuits", "combiner-bar", "breaker-rating", "disconnect-rating", "unlike-strings"),
    *("grounding-conductor-size", "battery-side-device"),
]
NO_ROW = ("size", "conductor")
"""Inputs that may be asked for though given: the tables have no row for what was said."""
NO_CURVE = "no-curve"
"""Why a module's values may be asked for again: each is possible, together they are no curve's."""


def examples(share):
    """Settings for a share of the examples; large designs are slow to draw, which is no fault."""
    return settings(
        max_examples=max(1, round(EXAMPLES * share)),
        suppress_health_check=[
            HealthCheck.too_slow,
            HealthCheck.data_too_large,
            HealthCheck.large_base_example,
        ],
    )


def read(document):
    design = read_design(written(document))
    assert not isinstance(design, Refused), [problem.line() for problem in design.problems]
    return design


def assert_agrees(finding, design):
    """Verdict, margin and what is missing go together."""
    if finding.verdict in ANSWERED:
        room = rounded(finding.limit.number) - rounded(finding.actual.number)
        room = room if finding.sense == "at most" else -room
        assert math.isclose(finding.margin, room, rel_tol=1e-9, abs_tol=1e-9)
        assert (finding.verdict is Verdict.FAILS) == (finding.margin < 0)
        assert finding.verdict is not Verdict.TIGHT or finding.margin <= finding.tight_below
        assert finding.verdict is not Verdict.HOLDS or finding.margin >= 0
        assert finding.steps
    elif finding.verdict is Verdict.NEEDS_INPUT:
        assert finding.needs
        given = [path for path in finding.needs if path in design.values]
        again = all(path.rpartition(".")[2] in NO_ROW for path in given) or finding.reason == NO_CURVE
        assert again, (finding.id, given)
    else:
        assert finding.reason


@examples(0.6)
@given(documents())
def test_any_design_is_assessed(document):
    """Every question answered in the order of the rules, the whole as its worst, every number as it was found."""
    design = read(document)
    found = assess(design, BOOK)

    assert list(dict.fromkeys(finding.id for finding in found.findings)) == IDS
    verdicts = {finding.verdict for finding in found.findings}
    assert found.verdict == next(verdict for verdict in WORST_FIRST if verdict in verdicts)
    for finding in found.findings:
        assert_agrees(finding, design)
        assert set(finding.steps) <= set(found.steps)
    before = set()
    for key, step in found.steps.items():
        for value in step.values.values():
            kind, _, place = value.origin.partition(" ")
            assert kind != "step" or place in before
            assert kind != "given" or place in design.values
            if kind == "step" and not isinstance(value.value, str):
                assert math.isclose(
                    value.number, float(found.steps[place].result), rel_tol=1e-12, abs_tol=1e-12
                )
        before.add(key)


@examples(0.2)
@given(documents(most_strings=30))
def test_any_design_is_printed(document):
    """As JSON that every reader of JSON takes, and as text of at most 80 columns, in ASCII where that is wanted."""
    found = assess(read(document), BOOK)
    plain = json.loads(as_json(found))

    assert all(math.isfinite(number) for number in numbers(plain))
    for system, ascii_only in (("us", False), ("metric", True)):
        text = as_text(found, "name", system=system, ascii_only=ascii_only)
        assert max(len(line) for line in text.splitlines()) <= 80
        assert not ascii_only or text.isascii()
        assert text.count("\n") > 40


@examples(0.1)
@given(documents(most_strings=12))
def test_any_design_is_mended_or_left(document):
    """Each fix, written into the file as text, leaves nothing failing and gives the verdict it promises."""
    found = check(read(document), BOOK)

    for finding in found.findings:
        assert finding.verdict is Verdict.FAILS or not finding.fixes
        for fix in finding.fixes:
            mended = json.loads(json.dumps(document))
            for path, value in fix.change.items():
                put(mended, path, value)
            after = assess(read(mended), BOOK)
            assert after.verdict == fix.verdict
            assert all(one.verdict is not Verdict.FAILS for one in after.findings)


@examples(0.1)
@given(documents())
def test_any_design_is_written_and_read_again(document):
    """The text that the core writes of a design is that design."""
    design = read(document)

    assert read_design(write_document(document_of(design))) == design
