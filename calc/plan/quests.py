"""What limits are solved for: the inputs, the findings that speak for each, and the steps in which it is moved."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.derive.parts import run_part
from calc.model.assessment import Assessment, Finding
from calc.model.design import Design, Given
from calc.model.fields import FIELDS, Field
from calc.model.units import rounded

SERIES, STRINGS = "array.modules_in_series", "array.strings_in_parallel"
COLDEST, HOTTEST = "site.coldest", "site.hottest"
COLD = ("cold-voltage-controller", "cold-voltage-module", "cold-voltage-site", "cold-voltage-parts")
HOT = ("hot-voltage-charging", "wake-voltage")
OF_STRINGS = (
    "controller-input-current",
    "controller-output-current",
    "string-fuse-needed",
    "string-fuse-size",
    "reverse-current",
    "run-ampacity",
    "run-terminal-temperature",
    "run-voltage-drop",
    "coupler-current",
    "combiner-circuits",
    "combiner-bar",
    "breaker-rating",
    "disconnect-rating",
)
STEPS_IN = {"m": 100, "degC": 10, "V": 10, "A": 10, "": 1}
"""Steps in one unit: a length is solved to a centimetre, a temperature, voltage or current to a tenth, a count to 1."""
_FIELDS = {field.path: field for field in FIELDS}


@dataclass(frozen=True, slots=True)
class Quest:
    """What is solved for: an input, and the findings that speak for it.

    Where an ``own`` finding fails even at the input's easiest value, no value would do. ``also`` are findings that may
    set the limit and are named when they lack input; whatever comes to fail sets it. With ``alone`` only the own ones
    count. ``run`` narrows findings about runs to one.
    """

    code: str
    path: str
    most: bool
    own: tuple[str, ...]
    also: tuple[str, ...] = ()
    run: str = ""
    alone: bool = False

    def owns(self, finding: Finding) -> bool:
        """Whether a finding is one of the own ones."""
        return finding.id in self.own and (not self.run or finding.part == self.run)

    def hears(self, finding: Finding) -> bool:
        """Whether a finding may set the limit."""
        return finding.id in self.also or self.owns(finding)


def quests(design: Design, now: Assessment) -> Iterator[Quest]:
    """Everything that is solved for in a design, but for sizes of wire; ``now`` is its assessment as it is."""
    if not design.strings:
        yield Quest(
            "most-series", SERIES, True, (*COLD, "controller-output-current", "pwm-voltage-given-away")
        )
        yield Quest("most-strings", STRINGS, True, OF_STRINGS)
        if not any(one.reason == "joined-in-a-combiner" for one in now.findings):
            yield Quest("largest-stage", STRINGS, True, ("coupler-current",), alone=True)
    yield Quest("coldest", COLDEST, False, COLD)
    yield Quest("hottest", HOTTEST, True, HOT)
    for name in design.runs:
        path = run_part(name) + "length"
        yield Quest("longest-run", path, True, ("run-voltage-drop",), HOT[:1], run=name)
    yield Quest("controller-voltage", "controller.max_voltage", False, ("cold-voltage-controller",))
    yield Quest("controller-input", "controller.max_input_current", False, ("controller-input-current",))
    rated = "controller.rated_output_current"
    yield Quest("controller-output", rated, False, ("controller-output-current",))


def field_at(path: str) -> Field:
    """The field that stands at a path."""
    section, _, name = path.rpartition(".")
    return _FIELDS[f"run.<run>.{name}" if section.startswith("run.") else path]


def value_at(path: str, step: int) -> float:
    """An input's value at so many steps."""
    return rounded(step / STEPS_IN[field_at(path).unit])


def stepped(path: str, step: int) -> Given:
    """The same as a design file would have it."""
    one = field_at(path)
    if one.kind == "count":
        return Given(step, "", str(step))
    value = value_at(path, step)
    return Given(value, one.unit, f"{value:.10g} {one.unit}")
