"""Fuses for strings: needed or not, which size, and what can flow back."""

from calc.derive.parts import Strings, run_part, runs_carrying, string_count, string_groups
from calc.derive.protection import feedback
from calc.derive.trace import Trace
from calc.model.assessment import Finding, Quantity, Unknown, Value
from calc.rules.compare import Question, compare, does_not_apply, needs_input, remark

NEEDED = Question("string-fuse-needed", "damage", "", ("690.9(A)",))
SIZE = Question("string-fuse-size", "code", "", ("690.9(B)", "240.6(A)"))
REVERSE = Question("reverse-current", "damage", "current", ("690.9(A)", "IEC 62548 fuses"))
REVERSE_FUSED = Question("reverse-current", "damage", "", ("690.9(A)", "IEC 62548 fuses"))


def _name(group: Strings, groups: tuple[Strings, ...]) -> str:
    return "string" if len(groups) == 1 else f"string {group.number}"


def _waiting(trace: Trace) -> tuple[str, ...]:
    """Inputs without which nobody can say whether fuses are needed."""
    groups = string_groups(trace.design)
    paths = [group.module("max_series_fuse") for group in groups]
    if isinstance(feedback(trace), Unknown):
        paths.append("combiner.breaker")
    return tuple(dict.fromkeys(path for path in paths if path not in trace.design.values))


def needed(trace: Trace) -> tuple[Finding, ...]:
    """Does each string need a fuse of its own, and has it got one?

    Decides by what the other strings (counted at 1.25 times Isc) and a battery that is not blocked could push
    into a faulted string, against the module's maximum series fuse and the string's own wire. Compared as
    fuses fitted a string against fuses needed.

    Cites:
        690.9(A)
    """
    called = trace.find("string_fuse_called_for")
    also = (
        "string_fuse_needed",
        "reverse_current_string_A",
        "reverse_current_iec_string_A",
        "reverse_limit_string_A",
        "string_fuse_least_A",
    )
    if isinstance(called, Unknown):
        return (needs_input(NEEDED, part="string", paths=_waiting(trace), trace=trace, also=also),)
    if not called.number and string_count(trace.design) == 1 and feedback(trace) is None:
        return (does_not_apply(NEEDED, part="string", reason="one-string", steps=("string_fuse_needed",)),)
    fitted = trace.find("string_fuse_fitted")
    reason = "fuses-needed" if called.number else "fuses-not-needed"
    return (
        compare(
            trace,
            NEEDED,
            part="string",
            actual=fitted,
            limit=called,
            sense="at least",
            also=also,
            reason=reason,
            remarks=remark(
                trace,
                "both-sums",
                here="reverse_current_string_A",
                iec="reverse_current_iec_string_A",
                limit="reverse_limit_string_A",
            ),
        ),
    )


def size(trace: Trace) -> tuple[Finding, ...]:
    """Is the string fuse large enough for its string and small enough for its modules?

    Decides by its rating against the string's design current, against the module's maximum series fuse,
    and against what protects the string's own run. Where no fuse is needed and none is fitted, the
    question does not arise; where no size fits between the two, it fails.

    Cites:
        690.9(B), 240.6(A)
    """
    fuse = trace.find("string_fuse_A")
    called = trace.find("string_fuse_called_for")
    if isinstance(fuse, Unknown):
        if isinstance(called, Unknown):
            return (needs_input(SIZE, part="string fuse", paths=_waiting(trace), trace=trace),)
        reason = "fuse-left-out" if called.number else "no-fuse"
        return (does_not_apply(SIZE, part="string fuse", reason=reason, steps=("string_fuse_needed",)),)
    found = []
    groups = string_groups(trace.design)
    for group in groups:
        name = _name(group, groups)
        window = (group.part + "string_fuse_window_low_A", group.part + "string_fuse_window_high_A")
        least = group.part + "string_fuse_least_A"
        found.append(
            compare(
                trace,
                SIZE,
                part=f"fuse of the {name}, for its current",
                actual=fuse,
                limit=trace.find(group.part + "current_design_string_A"),
                sense="at least",
                also=(least, *window),
            )
        )
        found.append(
            compare(
                trace,
                SIZE,
                part=f"fuse of the {name}, for its modules",
                actual=fuse,
                limit=trace.given(group.module("max_series_fuse")),
                sense="at most",
                also=(least,),
            )
        )
    return (*found, *_for_wire(trace, fuse))


def _for_wire(trace: Trace, fuse: Value) -> tuple[Finding, ...]:
    """The string fuse against the wire of each run that carries a string, by 240.4."""
    limits = {
        name: trace.find(run_part(name) + "device_limit_A") for name in runs_carrying(trace.design, "string")
    }
    return tuple(
        compare(
            trace,
            SIZE,
            part=f"fuse of the string, for the {name}",
            actual=fuse,
            limit=limit,
            sense="at most",
            also=(run_part(name) + "ampacity_A",),
        )
        for name, limit in limits.items()
        if isinstance(limit, Value)
    )


def reverse(trace: Trace) -> tuple[Finding, ...]:
    """Can more current flow back into a faulted string than its modules and wires may carry?

    Decides by what the others can push, limited by the string fuse where one is fitted. Both sums are shown:
    1.25 times Isc (this rule set) and 1.00 times Isc (IEC). A fuse of just the module's rating is the usual
    choice, so with a fuse there is no «tight».

    Cites:
        690.9(A); IEC 62548 fuses
    """
    groups = string_groups(trace.design)
    if string_count(trace.design) == 1 and feedback(trace) is None:
        return (does_not_apply(REVERSE, part="string", reason="one-string"),)
    return tuple(_reverse(trace, group, _name(group, groups)) for group in groups)


def _reverse(trace: Trace, group: Strings, name: str) -> Finding:
    part = group.part
    passed = trace.find(part + "reverse_passed_string_A")
    limit: Quantity = trace.find(part + "reverse_limit_string_A")
    fused = isinstance(trace.find("string_fuse_A"), Value)
    return compare(
        trace,
        REVERSE_FUSED if fused else REVERSE,
        part=name,
        actual=passed if isinstance(passed, Value) else Unknown(_waiting(trace)),
        limit=limit if isinstance(limit, Value) else Unknown(_waiting(trace)),
        sense="at most",
        also=(part + "reverse_current_string_A", part + "reverse_current_iec_string_A"),
    )
