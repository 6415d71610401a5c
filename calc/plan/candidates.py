"""Changes worth trying for a finding that fails, mildest first. Nothing here is offered before it was tried."""

from collections.abc import Callable, Iterator

from calc.derive.parts import run_part, string_count
from calc.derive.sizes import larger_sizes
from calc.model.assessment import Assessment, Finding
from calc.model.design import Design, Given
from calc.model.fields import FIELDS
from calc.tables import RuleBook

MOST = {field.path: field.high for field in FIELDS if field.kind == "count" and field.high is not None}
"""What a design file may count up to, by path."""

Change = dict[str, Given]
Maker = Callable[[Design, Assessment, Finding, RuleBook], Iterator[Change]]


def possible(change: Change) -> bool:
    """Whether a design file may say so: no more modules or strings than its fields allow."""
    return all(float(given.value) <= MOST[path] for path, given in change.items() if path in MOST)


def _count(value: int) -> Given:
    return Given(value, "", str(value))


def _rated(value: float, unit: str) -> Given:
    return Given(value, unit, f"{value:g} {unit}")


def _number(assessment: Assessment, step: str) -> float | None:
    found = assessment.steps.get(step)
    return None if found is None else float(found.result)


def _next(book: RuleBook, table: str, column: str, at_least: float, unit: str) -> Given | None:
    cell = book.table(table).band(column, at_least)
    return None if cell.value is None else _rated(cell.number, unit)


def _layouts(design: Design) -> tuple[int, int] | None:
    series, strings = design.number("array.modules_in_series"), design.number("array.strings_in_parallel")
    return None if series is None or strings is None else (int(series), int(strings))


def fewer_in_series(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """The same modules in shorter strings, then shorter strings and fewer modules."""
    layout = _layouts(design)
    if layout:
        series, strings = layout
        for shorter in range(series - 1, 0, -1):
            if series * strings % shorter == 0:
                yield _layout(shorter, series * strings // shorter)
        for shorter in range(series - 1, 0, -1):
            yield {"array.modules_in_series": _count(shorter)}


def more_in_series(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """The same modules in longer strings, then one to three modules more in each string."""
    layout = _layouts(design)
    if layout:
        series, strings = layout
        for longer in range(series + 1, series * strings + 1):
            if series * strings % longer == 0:
                yield _layout(longer, series * strings // longer)
        for longer in range(series + 1, series + 4):
            yield {"array.modules_in_series": _count(longer)}


def fewer_strings(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """One string less at a time."""
    layout = _layouts(design)
    for fewer in range(layout[1] - 1, 0, -1) if layout else ():
        yield {"array.strings_in_parallel": _count(fewer)}


def _layout(series: int, strings: int) -> Change:
    return {"array.modules_in_series": _count(series), "array.strings_in_parallel": _count(strings)}


def higher_voltage(path: str) -> Maker:
    """A part rated for the next voltage in which such parts are sold."""

    def make(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
        voltage = _number(assessment, "voc_cold_string_V")
        rated = None if voltage is None else _next(book, "voltage_classes", "voltage", voltage, "V")
        if rated is not None:
            yield {path: rated}

    return make


def larger_device(path: str, step: str) -> Maker:
    """A device of the next standard size at or above what ``step`` asks for."""

    def make(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
        needed = _number(assessment, step)
        rated = None if needed is None else _next(book, "device_sizes", "rating", needed, "A")
        if rated is not None:
            yield {path: rated}

    return make


def string_fuse(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
    """The least standard fuse in every string, for the string's coldest voltage."""
    least, voltage = (_number(assessment, step) for step in ("string_fuse_least_A", "voc_cold_string_V"))
    rated = None if voltage is None else _next(book, "voltage_classes", "voltage", voltage, "V")
    if least is None:
        return
    change = {"array.string_fuse": _rated(least, "A")}
    if design.number("array.string_fuse_voltage") is None and rated is not None:
        change["array.string_fuse_voltage"] = rated
    yield change


def larger_runs(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
    """The next larger sizes of the run the finding is about; of every run between modules and controller otherwise."""
    named = [name for name in design.runs if finding.part == name or finding.part.startswith(f"{name},")]
    others = [name for name in design.runs if design.text(run_part(name) + "carries") != "battery"]
    for name in named or others:
        size = design.text(run_part(name) + "size")
        if size is None:
            continue
        for larger in larger_sizes(book, size, design.text(run_part(name) + "material") or "copper"):
            yield {run_part(name) + "size": Given(larger, "", larger)}


def larger_coupler(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """Couplers of the next rating that is sold."""
    if finding.actual is None:
        return
    rated = _next(book, "coupler_classes", "rating", finding.actual.number, "A")
    if rated is not None:
        kinds = range(1, max(design.couplers, 1) + 1)
        yield {f"coupler.{number}.rating": rated for number in kinds}


def combiner(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
    """A combiner instead of couplers, sized for this array."""
    wanted = {
        "combiner.bar_rating": ("device_sizes", "rating", "current_design_array_A", "A"),
        "combiner.breaker": ("device_sizes", "rating", "current_design_array_A", "A"),
        "combiner.voltage_rating": ("voltage_classes", "voltage", "voc_cold_string_V", "V"),
    }
    change: Change = {
        "array.joining": Given("combiner", "", "combiner"),
        "combiner.circuits": _count(string_count(design)),
    }
    for path, (table, column, step, unit) in wanted.items():
        needed = _number(assessment, step)
        rated = None if needed is None else _next(book, table, column, needed, unit)
        if rated is None:
            return
        change[path] = rated
    yield change


def more_circuits(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """A combiner with a circuit for every string."""
    yield {"combiner.circuits": _count(string_count(design))}


def mppt(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
    """An MPPT controller instead of PWM."""
    yield {"controller.kind": Given("mppt", "", "mppt")}


def larger_ground(
    design: Design, assessment: Assessment, finding: Finding, book: RuleBook
) -> Iterator[Change]:
    """The least grounding conductor the table allows."""
    least = assessment.steps.get("ground_least")
    if least is not None:
        yield {"grounding.conductor": Given(str(least.result), "", str(least.result))}


def higher_part(design: Design, assessment: Assessment, finding: Finding, book: RuleBook) -> Iterator[Change]:
    """The part the finding is about, rated for the next voltage that is sold."""
    paths = {
        "combiner": "combiner.voltage_rating",
        "breaker": "combiner.voltage_rating",
        "string fuse": "array.string_fuse_voltage",
        "disconnect": "disconnect.voltage_rating",
    }
    path = paths.get(finding.part)
    if finding.part in design.runs:
        path = run_part(finding.part) + "voltage_rating"
    elif finding.part.startswith("coupler "):
        path = f"coupler.{finding.part.removeprefix('coupler ')}.voltage_rating"
    if path is not None:
        yield from higher_voltage(path)(design, assessment, finding, book)


CANDIDATES: dict[str, tuple[Maker, ...]] = {
    "cold-voltage-controller": (fewer_in_series, higher_voltage("controller.max_voltage")),
    "cold-voltage-module": (fewer_in_series,),
    "cold-voltage-site": (fewer_in_series,),
    "cold-voltage-parts": (higher_part, fewer_in_series),
    "hot-voltage-charging": (larger_runs, more_in_series),
    "wake-voltage": (more_in_series,),
    "controller-input-current": (
        more_in_series,
        fewer_strings,
        larger_device("controller.max_input_current", "current_max_array_A"),
    ),
    "controller-output-current": (
        larger_device("controller.rated_output_current", "charge_current_A"),
        fewer_strings,
        fewer_in_series,
    ),
    "pwm-voltage-given-away": (fewer_in_series, mppt),
    "string-fuse-needed": (string_fuse, more_in_series, fewer_strings),
    "string-fuse-size": (string_fuse, more_in_series, fewer_strings),
    "reverse-current": (string_fuse, more_in_series, fewer_strings),
    "run-ampacity": (larger_runs, more_in_series, fewer_strings),
    "run-terminal-temperature": (larger_runs, more_in_series, fewer_strings),
    "run-voltage-drop": (larger_runs, more_in_series),
    "small-conductor-device": (larger_runs, larger_device("combiner.breaker", "current_design_array_A")),
    "coupler-current": (larger_coupler, more_in_series, combiner, fewer_strings),
    "combiner-circuits": (more_circuits, more_in_series, fewer_strings),
    "combiner-bar": (
        larger_device("combiner.bar_rating", "current_design_array_A"),
        more_in_series,
        fewer_strings,
    ),
    "breaker-rating": (
        larger_device("combiner.breaker", "current_design_array_A"),
        larger_runs,
        fewer_strings,
    ),
    "disconnect-rating": (
        larger_device("disconnect.rating", "current_max_array_A"),
        more_in_series,
        fewer_strings,
    ),
    "grounding-conductor-size": (larger_ground,),
    "battery-side-device": (larger_device("battery.device", "battery_device_needed_A"), larger_runs),
}
