"""Reverse current into a faulted string, whether it calls for fuses, and which."""

from calc.derive.current import counted
from calc.derive.parts import Strings, run_part, runs_carrying, string_count
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.design import Given
from calc.model.method import Method

REVERSE = Method(
    "reverse_current_string", "(strings_in_parallel - 1) * reverse_count * isc_string", cites=("690.9(A)",)
)
REVERSE_UNLIKE = Method(
    "reverse_current_string", "reverse_count * (isc_array - isc_string)", cites=("690.9(A)",)
)
REVERSE_FED = Method(
    "reverse_current_string",
    "(strings_in_parallel - 1) * reverse_count * isc_string + feedback",
    cites=("690.9(A)",),
)
REVERSE_FED_UNLIKE = Method(
    "reverse_current_string", "reverse_count * (isc_array - isc_string) + feedback", cites=("690.9(A)",)
)
REVERSE_IEC = Method(
    "reverse_current_iec_string", "reverse_count_iec * (isc_array - isc_string)", cites=("IEC 62548 fuses",)
)
REVERSE_LIMIT = Method("reverse_limit_string", "max_series_fuse", cites=("690.9(A)",))
REVERSE_LIMIT_RUNS = Method("reverse_limit_string", "min(max_series_fuse, ampacity__1)", cites=("690.9(A)",))
NEEDED = Method("string_fuse_needed", "reverse_current_string > reverse_limit_string", cites=("690.9(A)",))
NEEDED_ALONE = Method("string_fuse_needed", how="one-string", cites=("690.9(A)",))
NEEDED_ANY = Method("string_fuse_needed", how="any-string")
LEAST = Method("string_fuse_least", how="least-device", cites=("690.9(B)", "240.6(A)"))
FUSE_GIVEN = Method("string_fuse", how="as-given")
FUSE_CHOSEN = Method("string_fuse", how="fuse-chosen", cites=("690.9(B)", "240.6(A)"))
WINDOW_LOW = Method(
    "string_fuse_window_low", "fuse_window_low_factor * isc_string", cites=("IEC 62548 fuses",)
)
WINDOW_HIGH = Method(
    "string_fuse_window_high", "fuse_window_high_factor * isc_string", cites=("IEC 62548 fuses",)
)
FITTED = Method("string_fuse_fitted", how="fuses-fitted")
CALLED_FOR = Method("string_fuse_called_for", how="fuses-called-for", cites=("690.9(A)",))
PASSED = Method("reverse_passed_string", "reverse_current_string", cites=("690.9(A)",))
PASSED_FUSED = Method(
    "reverse_passed_string", "min(reverse_current_string, string_fuse)", cites=("690.9(A)",)
)
LARGEST = {
    name: Method(name, f"max({name}__1, {name}__2)")
    for name in ("reverse_current_string", "reverse_current_iec_string", "string_fuse_least")
}

METHODS = (
    REVERSE,
    REVERSE_UNLIKE,
    REVERSE_FED,
    REVERSE_FED_UNLIKE,
    REVERSE_IEC,
    REVERSE_LIMIT,
    REVERSE_LIMIT_RUNS,
    NEEDED,
    NEEDED_ALONE,
    NEEDED_ANY,
    LEAST,
    FUSE_GIVEN,
    FUSE_CHOSEN,
    WINDOW_LOW,
    WINDOW_HIGH,
    FITTED,
    CALLED_FOR,
    PASSED,
    PASSED_FUSED,
    *LARGEST.values(),
)


def feedback(trace: Trace) -> Quantity | None:
    """Current a battery could send back through the controller, A; None when the controller blocks it.

    Where it does not block, the array breaker is what limits it.
    """
    blocks = trace.value("controller.blocks_reverse")
    return None if blocks.value else trace.given("combiner.breaker")


def reverse_current(trace: Trace, group: Strings, groups: tuple[Strings, ...]) -> None:
    """Work out the current the other strings could push into one string of a group, A, and what it may be.

    us-2023 counts the others at 1.25 times Isc; the IEC's count at 1.00 is shown beside it.

    Cites:
        690.9(A); IEC 62548, fuses
    """
    part, isc = group.part, trace.find(group.part + "isc_string_A")
    count, array = trace.scalar("reverse_count_us"), trace.find("isc_array_A")
    fed = feedback(trace)
    more: dict[str, Quantity] = {} if fed is None else {"feedback": fed}
    if len(groups) == 1:
        method = REVERSE if fed is None else REVERSE_FED
        strings = counted(trace, group)
        trace.step(method, more, part=part, strings_in_parallel=strings, reverse_count=count, isc_string=isc)
    else:
        method = REVERSE_UNLIKE if fed is None else REVERSE_FED_UNLIKE
        trace.step(method, more, part=part, reverse_count=count, isc_array=array, isc_string=isc)
    trace.step(
        REVERSE_IEC,
        part=part,
        reverse_count_iec=trace.scalar("reverse_count_iec"),
        isc_array=array,
        isc_string=isc,
    )
    _limit(trace, group)
    _needed(trace, group)


def _limit(trace: Trace, group: Strings) -> None:
    own = trace.given(group.module("max_series_fuse"))
    wires: dict[str, Quantity] = {}
    for number, name in enumerate(runs_carrying(trace.design, "string"), 1):
        found = trace.find(run_part(name) + "ampacity_A")
        if isinstance(found, Value):
            wires[f"ampacity__{number}"] = found
    if wires:
        text = f"min(max_series_fuse, {', '.join(wires)})"
        trace.step(REVERSE_LIMIT_RUNS, wires, part=group.part, text=text, max_series_fuse=own)
    else:
        trace.step(REVERSE_LIMIT, part=group.part, max_series_fuse=own)


def _needed(trace: Trace, group: Strings) -> None:
    reverse, limit = (
        trace.find(group.part + key) for key in ("reverse_current_string_A", "reverse_limit_string_A")
    )
    if string_count(trace.design) == 1 and feedback(trace) is None:
        trace.note(NEEDED_ALONE, False, part=group.part, reverse_current_string=reverse)
    else:
        trace.step(NEEDED, part=group.part, reverse_current_string=reverse, reverse_limit_string=limit)


def string_fuse(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """Settle the string fuse, A: the least standard size, the one given or chosen, and what it lets through.

    Cites:
        690.9(B), 240.6(A); IEC 62548, fuses (the window of 1.5 to 2.4 times Isc, shown beside)
    """
    for group in groups:
        _least(trace, group)
    if len(groups) > 1:
        _joined(trace, groups)
    needed = trace.find("string_fuse_needed")
    given = trace.design.values.get("array.string_fuse")
    least = trace.find("string_fuse_least_A")
    if given is not None and given.value != "none":
        trace.note(FUSE_GIVEN, float(given.value), string_fuse=trace.given("array.string_fuse"))
    elif given is None and isinstance(needed, Value) and needed.value and isinstance(least, Value):
        default = trace.book.assumptions["array.string_fuse"]
        chosen = Given(least.number, "A", f"{least.number:g} A")
        trace.assume("array.string_fuse", chosen, default.why, safe_side=default.safe_side)
        trace.note(FUSE_CHOSEN, least.number, string_fuse_least=least)
    _fitted(trace, groups)


def _least(trace: Trace, group: Strings) -> None:
    design, isc = trace.find(group.part + "current_design_string_A"), trace.find(group.part + "isc_string_A")
    if isinstance(design, Value):
        cell = trace.book.table("device_sizes").band("rating", design.number)
        if cell.value is not None:
            trace.note(LEAST, cell.number, part=group.part, current_design_string=design)
    window = trace.book.table("fuse_window_iec")
    low, high = trace.cell(window.cell("least")), trace.cell(window.cell("most"))
    trace.step(WINDOW_LOW, part=group.part, fuse_window_low_factor=low, isc_string=isc)
    trace.step(WINDOW_HIGH, part=group.part, fuse_window_high_factor=high, isc_string=isc)


def _joined(trace: Trace, groups: tuple[Strings, ...]) -> None:
    for name, method in LARGEST.items():
        values = {f"{name}__{group.number}": trace.find(group.part + method.target.key) for group in groups}
        trace.step(method, values, text=f"max({', '.join(values)})")
    answers = {
        f"string_fuse_needed__{group.number}": trace.find(group.part + "string_fuse_needed")
        for group in groups
    }
    needed = any(bool(answer.value) for answer in answers.values() if isinstance(answer, Value))
    trace.note(NEEDED_ANY, needed, answers)


def _fitted(trace: Trace, groups: tuple[Strings, ...]) -> None:
    fuse, needed = trace.find("string_fuse_A"), trace.find("string_fuse_needed")
    said = trace.given("array.string_fuse")
    if isinstance(fuse, Value):
        trace.note(FITTED, 1.0, string_fuse=fuse)
    elif isinstance(said, Value):
        trace.note(FITTED, 0.0, string_fuse=said)
    else:
        trace.note(FITTED, 0.0, string_fuse_needed=needed)
    if isinstance(needed, Value):
        trace.note(CALLED_FOR, 1.0 if needed.value else 0.0, string_fuse_needed=needed)
    for group in groups:
        reverse = trace.find(group.part + "reverse_current_string_A")
        if isinstance(fuse, Unknown):
            trace.step(PASSED, part=group.part, reverse_current_string=reverse)
        else:
            trace.step(PASSED_FUSED, part=group.part, reverse_current_string=reverse, string_fuse=fuse)
