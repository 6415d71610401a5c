"""Each run's currents and ampacity, what protects it, and the least size that would do; its drop is in drop.py."""

from dataclasses import dataclass

from calc.derive import drop
from calc.derive.parts import run_part
from calc.derive.sizes import AWG, awg_sizes, equivalent_awg, split_size
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.design import Given
from calc.model.method import Method
from calc.tables import RuleBook

CURRENT_MAX = Method("current_max", "carried", cites=("690.8(A)",))
CURRENT_DESIGN = Method("current_design", "design_factor * current_max", cites=("690.8(B)",))
EQUIVALENT = Method("size_equivalent", how="size-equivalent", cites=("Table 310.16, Table 310.17",))
AMBIENT_AT_RUN = Method("ambient_at_run", "ambient")
AMBIENT_ABOVE_ROOF = Method("ambient_at_run", "ambient + roof_adder", cites=("310.15(B)(2)",))
AMPACITY = Method(
    "ampacity", "ampacity_table * ambient_factor * count_factor", cites=("310.15(B)(1)", "310.15(C)(1)")
)
NEEDED = Method("ampacity_needed", "current_max", cites=("690.8(B)",))
SIZE_CORRECTED = Method("size_for_corrected", how="size-corrected", cites=("690.8(B)",))
SIZE_UNCORRECTED = Method("size_for_uncorrected", how="size-uncorrected", cites=("690.8(B)",))
SIZE_TERMINALS = Method("size_for_terminals", how="size-terminals", cites=("110.14(C)",))
SIZE_LEAST = Method("size_least", how="size-least", cites=("690.8(B)", "110.14(C)"))
TABLE_STEP = Method("ampacity_table", how="ampacity-table", cites=("Table 310.16, Table 310.17",))
TERMINAL_STEP = Method("ampacity_terminal", how="ampacity-terminal", cites=("110.14(C)",))
PROTECTED = Method("ampacity_protected", "min(ampacity, ampacity_terminal)", cites=("240.4", "110.14(C)"))
DEVICE_LIMIT = Method("device_limit", how="device-limit", cites=("240.4", "110.14(C)"))

METHODS = (
    CURRENT_MAX,
    CURRENT_DESIGN,
    EQUIVALENT,
    AMBIENT_AT_RUN,
    AMBIENT_ABOVE_ROOF,
    AMPACITY,
    NEEDED,
    SIZE_CORRECTED,
    SIZE_UNCORRECTED,
    SIZE_TERMINALS,
    SIZE_LEAST,
    TABLE_STEP,
    TERMINAL_STEP,
    PROTECTED,
    DEVICE_LIMIT,
)

LARGEST_CURRENT = {"string": "current_max_string_A", "array": "current_max_array_A"}
HOT_CURRENT = {"string": "imp_hot_string_A", "array": "imp_hot_array_A"}
CARRIED = ("string", "array", "battery")
"""What runs carry, in the order in which they are worked out."""
IN_CONDUIT = ("conduit", "buried", "roof conduit")


@dataclass(frozen=True, slots=True)
class Installed:
    """How one run is laid: the values that choose a table's row and column, and its factors."""

    part: str
    material: str
    column: str
    terminal_column: str
    free_air: bool
    ambient_factor: Value
    count_factor: Value


def run(trace: Trace, name: str, carries: str) -> None:
    """Work out what one run carries, its ampacity and its least size.

    Cites:
        690.8(B), 110.14(C), 310.15
    """
    part = run_part(name)
    carried = trace.find(LARGEST_CURRENT[carries]) if carries in LARGEST_CURRENT else _output(trace)
    largest = trace.step(CURRENT_MAX, part=part, carried=carried)
    design = trace.step(
        CURRENT_DESIGN, part=part, design_factor=trace.scalar("design_factor"), current_max=largest
    )
    installed = _installed(trace, part)
    _ampacity(trace, installed, largest)
    _least(trace, installed, largest, design)


def resistance(trace: Trace, name: str, _: str) -> None:
    """Work out one run's resistance.

    Cites:
        Chapter 9 Table 8
    """
    part = run_part(name)
    drop.resistance(trace, part, _material(trace, part))


def lost(trace: Trace, name: str, carries: str) -> None:
    """Work out one run's drop (out and back) and loss."""
    hot = trace.find(HOT_CURRENT[carries]) if carries in HOT_CURRENT else _output(trace)
    drop.drop_and_loss(trace, run_part(name), carries, hot)


def saved(trace: Trace, name: str, _: str) -> None:
    """Work out what one size larger would save on one run."""
    part = run_part(name)
    drop.next_size(trace, part, _material(trace, part))


def _material(trace: Trace, part: str) -> str:
    return str(trace.value(part + "material", general="run.material").value)


def _output(trace: Trace) -> Quantity:
    return trace.given("controller.rated_output_current")


def _installed(trace: Trace, part: str) -> Installed:
    def value(field: str) -> Value:
        return trace.value(part + field, general=f"run.{field}")

    book = trace.book
    insulation, terminals = value("insulation"), value("terminals")
    column = f"c{insulation.number:g}"
    routing = str(value("routing").value)
    factor = trace.cell(book.table("ambient_factor").band(column, _ambient(trace, part, routing)), blank=0.0)
    counted = value("conductors_in_conduit").number if routing in IN_CONDUIT else 1.0
    return Installed(
        part=part,
        material=str(value("material").value),
        column=column,
        terminal_column=f"c{terminals.number:g}",
        free_air=routing == "free air",
        ambient_factor=factor,
        count_factor=trace.cell(book.table("count_factor").band("factor", counted)),
    )


def _ambient(trace: Trace, part: str, routing: str) -> float:
    """How warm it is around a run, degC: given, else as hot as the site gets; hotter in conduit close above a roof."""
    ambient = trace.given(part + "ambient")
    if isinstance(ambient, Unknown):
        hottest, default = trace.value("site.hottest"), trace.book.assumptions["run.ambient"]
        same = Given(hottest.value, hottest.unit, f"{hottest.number:g} {hottest.unit}")
        ambient = trace.assume(part + "ambient", same, default.why, safe_side=default.safe_side)
    if routing == "roof conduit":
        trace.step(AMBIENT_ABOVE_ROOF, part=part, ambient=ambient, roof_adder=trace.scalar("roof_adder"))
    else:
        trace.step(AMBIENT_AT_RUN, part=part, ambient=ambient)
    return float(trace.steps[part + AMBIENT_AT_RUN.target.key].result)


def _allowed(trace: Trace, laid: Installed, awg: str) -> Value:
    """Ampacity of ``awg`` before corrections, A; where free air has no row, the raceway's lower figure counts."""
    if laid.free_air:
        found = trace.book.table("ampacity_free_air").find(laid.column, material=laid.material, size=awg)
        if found is not None:
            return trace.cell(found)
    return trace.cell(
        trace.book.table("ampacity_raceway").cell(laid.column, material=laid.material, size=awg)
    )


def _terminal(trace: Trace, laid: Installed, awg: str) -> Value:
    """What the terminals let a conductor of size ``awg`` carry, A."""
    table = trace.book.table("ampacity_raceway")
    return trace.cell(table.cell(laid.terminal_column, material=laid.material, size=awg))


def _ampacity(trace: Trace, laid: Installed, largest: Quantity) -> None:
    part = laid.part
    trace.step(NEEDED, part=part, current_max=largest)
    size = trace.given(part + "size")
    if isinstance(size, Unknown):
        return
    awg = equivalent_awg(trace.book, str(size.value), laid.material)
    if awg is None:
        return
    if split_size(str(size.value))[1] != AWG:
        trace.note(EQUIVALENT, f"{awg} {AWG}", part=part, size=size)
    allowed, terminal = _allowed(trace, laid, awg), _terminal(trace, laid, awg)
    trace.note(TABLE_STEP, allowed.number, part=part, size=size, ampacity_table=allowed)
    trace.note(TERMINAL_STEP, terminal.number, part=part, size=size, ampacity_terminal=terminal)
    corrected = trace.step(
        AMPACITY,
        part=part,
        ampacity_table=trace.find(part + "ampacity_table_A"),
        ambient_factor=laid.ambient_factor,
        count_factor=laid.count_factor,
    )
    allowed_at_ends = trace.find(part + "ampacity_terminal_A")
    protected = trace.step(PROTECTED, part=part, ampacity=corrected, ampacity_terminal=allowed_at_ends)
    if isinstance(protected, Value):
        device = trace.book.table("device_sizes").band("rating", protected.number)
        if device.value is not None:
            trace.note(DEVICE_LIMIT, device.number, part=part, ampacity_protected=protected)


def _least(trace: Trace, laid: Installed, largest: Quantity, design: Quantity) -> None:
    """The least AWG size by each of the three requirements, and the largest of them."""
    if isinstance(largest, Unknown) or isinstance(design, Unknown):
        return
    sizes, part = awg_sizes(trace.book, laid.material), laid.part
    factor = laid.ambient_factor.number * laid.count_factor.number
    allowed_A, terminal_A = _every_size(trace.book, laid)
    corrected = _first(sizes, allowed_A, factor, largest.number)
    uncorrected = _first(sizes, allowed_A, 1.0, design.number)
    terminals = _first(sizes, terminal_A, 1.0, design.number)
    if corrected is None or uncorrected is None or terminals is None:
        return
    three = (
        trace.note(
            SIZE_CORRECTED,
            f"{corrected} {AWG}",
            part=part,
            current_max=largest,
            ambient_factor=laid.ambient_factor,
            count_factor=laid.count_factor,
        ),
        trace.note(SIZE_UNCORRECTED, f"{uncorrected} {AWG}", part=part, current_design=design),
        trace.note(SIZE_TERMINALS, f"{terminals} {AWG}", part=part, current_design=design),
    )
    least = max((corrected, uncorrected, terminals), key=sizes.index)
    trace.note(
        SIZE_LEAST,
        f"{least} {AWG}",
        part=part,
        size_for_corrected=three[0],
        size_for_uncorrected=three[1],
        size_for_terminals=three[2],
    )


def _every_size(book: RuleBook, laid: Installed) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Ampacity before corrections and at the terminals, A, for each size of ``awg_sizes``; rows as in ``_allowed``."""
    raceway = book.table("ampacity_raceway")
    allowed = raceway.numbers(laid.column, material=laid.material)
    if laid.free_air:
        table = book.table("ampacity_free_air")
        listed = table.words("size", material=laid.material)
        free = dict(zip(listed, table.numbers(laid.column, material=laid.material), strict=True))
        sizes = awg_sizes(book, laid.material)
        allowed = tuple(free.get(awg, least) for awg, least in zip(sizes, allowed, strict=True))
    return allowed, raceway.numbers(laid.terminal_column, material=laid.material)


def _first(sizes: tuple[str, ...], amperes: tuple[float, ...], factor: float, needed_A: float) -> str | None:
    """The first size that carries enough with a factor on what it may carry."""
    return next((awg for awg, one in zip(sizes, amperes, strict=True) if one * factor >= needed_A), None)
