"""May the conductors be so: ampacity, terminals, voltage drop, and the device in front of small ones."""

from calc.derive.battery import missing_battery
from calc.derive.parts import run_part, runs_carrying
from calc.derive.sizes import equivalent_awg
from calc.derive.trace import Trace
from calc.model.assessment import Finding, Quantity, Unknown, Value
from calc.rules.compare import Question, compare, does_not_apply, needs_input, remark

AMPACITY = Question(
    "run-ampacity",
    "code",
    "current",
    ("690.8(B)", "Table 310.16, Table 310.17", "310.15(B)(1)", "310.15(C)(1)"),
)
TERMINALS = Question("run-terminal-temperature", "code", "current", ("110.14(C)", "690.8(B)"))
DROP = Question("run-voltage-drop", "energy", "drop", ("Voltage drop",))
SMALL = Question("small-conductor-device", "code", "", ("240.4(D)",))
NO_RUN = ("run.home run.length", "run.home run.size")


def _missing(trace: Trace, name: str, *fields: str) -> Unknown:
    """What a run's finding waits for: its inputs and the battery's; else its size, unknown to the tables."""
    paths = [run_part(name) + field for field in fields]
    if name in runs_carrying(trace.design, "battery"):
        absorption = missing_battery(trace, "absorption") if "length" in fields else None
        paths.append("controller.rated_output_current")
        paths += absorption.paths if isinstance(absorption, Unknown) else ()
    missing = tuple(path for path in paths if path not in trace.design.values)
    return Unknown(missing or (run_part(name) + "size",))


def _found(trace: Trace, name: str, key: str, *fields: str) -> Quantity:
    found = trace.find(run_part(name) + key)
    return found if isinstance(found, Value) else _missing(trace, name, *fields)


def ampacity(trace: Trace) -> tuple[Finding, ...]:
    """May each run's conductor carry its current, in the heat and company it is laid in?

    Decides twice: the corrected ampacity against the maximum current, and the ampacity before corrections
    against the design current.

    Cites:
        690.8(B), Table 310.16, Table 310.17, 310.15(B)(1), 310.15(C)(1)
    """
    found: list[Finding] = []
    for name in trace.design.runs:
        part = run_part(name)
        also = (part + "size_least",)
        found.append(
            compare(
                trace,
                AMPACITY,
                part=name,
                actual=_found(trace, name, "ampacity_A", "size"),
                limit=_found(trace, name, "ampacity_needed_A"),
                sense="at least",
                also=also,
            )
        )
        if part + "ampacity_table_A" in trace.steps:
            found.append(
                compare(
                    trace,
                    AMPACITY,
                    part=f"{name}, before corrections",
                    actual=trace.find(part + "ampacity_table_A"),
                    limit=_found(trace, name, "current_design_A"),
                    sense="at least",
                    also=also,
                )
            )
    return tuple(found) or (needs_input(AMPACITY, part="home run", paths=NO_RUN, trace=trace),)


def terminals(trace: Trace) -> tuple[Finding, ...]:
    """May each run carry its design current without overheating the terminals it ends in?

    Decides by the ampacity of its size in the column of the terminals' rating, against the design current.

    Cites:
        110.14(C), 690.8(B)
    """
    return tuple(
        compare(
            trace,
            TERMINALS,
            part=name,
            actual=_found(trace, name, "ampacity_terminal_A", "size"),
            limit=_found(trace, name, "current_design_A"),
            sense="at least",
            also=(run_part(name) + "size_least",),
        )
        for name in trace.design.runs
    ) or (needs_input(TERMINALS, part="home run", paths=NO_RUN, trace=trace),)


def drop(trace: Trace) -> tuple[Finding, ...]:
    """Does each run lose no more voltage than its target?

    Decides by the drop out and back at the hot operating current, as a share of the hot Vmp (of absorption
    for a battery run), against the target given, else the usual advice. A recommendation, not a safety rule.

    Cites:
        Voltage drop
    """
    found = []
    for name in trace.design.runs:
        part = run_part(name)
        found.append(
            compare(
                trace,
                DROP,
                part=name,
                actual=_found(trace, name, "drop_percent", "length", "size"),
                limit=trace.value(part + "max_drop", general="run.max_drop"),
                sense="at most",
                also=(part + "drop_V", part + "resistance_ohm", part + "loss_W"),
                remarks=remark(
                    trace, "next-size", loss=part + "loss_W", size=part + "size_next", saved=part + "saved_W"
                ),
            )
        )
    return tuple(found) or (needs_input(DROP, part="home run", paths=NO_RUN, trace=trace),)


DEVICES = {"string": "string_fuse_A", "array": "combiner.breaker", "battery": "battery.device"}


def small_conductor(trace: Trace) -> tuple[Finding, ...]:
    """Is a small conductor protected by a device no larger than the code allows for its size?

    Decides for 14, 12 and 10 AWG by the rating of the device in front: the string fuse, the array breaker, or
    the battery's device. Does not apply to larger sizes, or where no device stands in front.

    Cites:
        240.4(D)
    """
    found = []
    for carries, device_path in DEVICES.items():
        found += [_small(trace, name, device_path) for name in runs_carrying(trace.design, carries)]
    return tuple(found) or (does_not_apply(SMALL, part="home run", reason="no-run"),)


def _small(trace: Trace, name: str, device_path: str) -> Finding:
    part = run_part(name)
    device = trace.find(device_path) if device_path == "string_fuse_A" else trace.given(device_path)
    size = trace.design.text(part + "size")
    if size is None:
        return needs_input(SMALL, part=name, paths=(part + "size",), trace=trace)
    material = str(trace.value(part + "material", general="run.material").value)
    awg = equivalent_awg(trace.book, size, material)
    if (
        awg is None
    ):  # thinner than any the tables know: that it is small is certain, how small a device is not
        return needs_input(SMALL, part=name, paths=(part + "size",), trace=trace)
    largest = trace.book.table("small_conductor").find("device", material=material, size=awg)
    if largest is None:
        return does_not_apply(SMALL, part=name, reason="not-a-small-conductor")
    if isinstance(device, Unknown):
        return does_not_apply(SMALL, part=name, reason="no-device-in-front")
    return compare(
        trace,
        SMALL,
        part=name,
        actual=device,
        limit=trace.cell(largest),
        sense="at most",
        also=(part + "ampacity_table_A",),
    )
