"""Couplers stage by stage, combiner circuits to spare, and the grounding conductor."""

from dataclasses import dataclass

from calc.derive.current import counted
from calc.derive.parts import Strings, string_count
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.method import Method

JOINED = Method("coupler_strings", how="joined-so-far")
JOINED_OF_KIND = Method("coupler_strings", how="joined-of-kind")
STAGE = Method("current", "coupler_strings * current_max_string", cites=("690.8(A)", "Connector data sheet"))
STAGE_DESIGN = Method("current_design_stage", "design_factor * current", cites=("690.8(B)",))
SPARE = Method("spare_circuits", "circuits - string_count")
STRING_COUNT = Method("string_count", "strings_in_parallel")
GROUND_DEVICE = Method("ground_device", how="ground-device", cites=("250.122, 690.45",))
GROUND_LEAST = Method("ground_least", how="ground-least", cites=("250.122, 690.45",))

METHODS = (JOINED, JOINED_OF_KIND, STAGE, STAGE_DESIGN, SPARE, STRING_COUNT, GROUND_DEVICE, GROUND_LEAST)


@dataclass(frozen=True, slots=True)
class Stage:
    """One coupler in the chain: its number, its kind in the design file, and the strings it has joined."""

    number: int
    coupler: int
    joined: int


def stages(trace: Trace) -> tuple[Stage, ...]:
    """The chain of couplers for all strings: the given couplers in order, the last kind repeated as often as needed.

    One string comes to the first coupler, the sum so far to each further one; the other inputs take a string each.
    """
    strings = string_count(trace.design)
    found: list[Stage] = []
    joined = 1
    while joined < strings:
        number = len(found) + 1
        coupler = min(number, max(trace.design.couplers, 1))
        inputs = int(trace.value(f"coupler.{coupler}.inputs", general="coupler.inputs").number)
        joined = min(strings, joined + inputs - 1)
        found.append(Stage(number, coupler, joined))
    return tuple(found)


def joining(trace: Trace) -> str:
    """``couplers`` or ``combiner``: given, else a combiner when one is described, else couplers (an assumption)."""
    given = trace.design.text("array.joining")
    if given is None and trace.design.number("combiner.circuits") is not None:
        return "combiner"
    return str(trace.value("array.joining").value)


def couplers(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """Work out the current each coupler carries, A: the sum of the strings joined so far, largest strings first.

    Cites:
        690.8(A); CONN (chained couplers carry the sum so far)
    """
    if joining(trace) != "couplers":
        return
    for stage in stages(trace):
        part = f"coupler.{stage.number}."
        total = trace.find("string_count")
        joined = trace.note(JOINED, float(stage.joined), part=part, string_count=total)
        text, values = _carried(trace, groups, stage, joined)
        current = trace.step(STAGE, values, part=part, text=text)
        trace.step(STAGE_DESIGN, part=part, design_factor=trace.scalar("design_factor"), current=current)


def _carried(
    trace: Trace, groups: tuple[Strings, ...], stage: Stage, joined: Quantity
) -> tuple[str, dict[str, Quantity]]:
    """Formula and values of one stage's current; unlike strings are taken in the order that makes the stage worst."""
    if len(groups) == 1:
        return "", {"coupler_strings": joined, "current_max_string": trace.find("current_max_string_A")}
    terms: list[str] = []
    values: dict[str, Quantity] = {}
    left = stage.joined
    for group in sorted(groups, key=lambda group: -_number(trace.find(group.part + "current_max_string_A"))):
        taken = min(left, group.count)
        if not taken:
            break
        left -= taken
        terms.append(f"coupler_strings__{group.number} * current_max_string__{group.number}")
        values[f"coupler_strings__{group.number}"] = trace.note(
            JOINED_OF_KIND, float(taken), part=f"coupler.{stage.number}.{group.part}", coupler_strings=joined
        )
        values[f"current_max_string__{group.number}"] = trace.find(group.part + "current_max_string_A")
    return " + ".join(terms), values


def _number(quantity: Quantity) -> float:
    return quantity.number if isinstance(quantity, Value) else 0.0


def counts(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """Count the strings in all, and the combiner's spare circuits."""
    values: dict[str, Quantity] = {}
    for group in groups:
        name = "strings_in_parallel" if len(groups) == 1 else f"strings_in_parallel__{group.number}"
        values[name] = counted(trace, group)
    total = trace.step(STRING_COUNT, values, text=" + ".join(values))
    if joining(trace) == "combiner":
        trace.step(SPARE, circuits=trace.given("combiner.circuits"), string_count=total)


def grounding(trace: Trace) -> None:
    """Find the least equipment grounding conductor for the array's device, or for the device it would need.

    Cites:
        690.45 (no increase for a run made larger for voltage drop), Table 250.122
    """
    device = trace.given("combiner.breaker")
    if isinstance(device, Unknown):
        design = trace.find("current_design_array_A")
        if isinstance(design, Unknown):
            return
        cell = trace.book.table("device_sizes").band("rating", design.number)
        if cell.value is None:
            return
        device = trace.note(GROUND_DEVICE, cell.number, current_design_array=design)
    if isinstance(device, Unknown):
        return
    size = trace.book.table("ground_conductor").band("copper", device.number)
    if size.value is not None:
        trace.note(GROUND_LEAST, f"{size.value} AWG", ground_device=device)
