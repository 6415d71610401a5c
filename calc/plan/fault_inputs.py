"""What faults and curves are worked out from: modules, strings, runs, controller and fuses of one layout."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from calc.derive import derive
from calc.derive.battery import controller_kind, missing_battery
from calc.derive.curves import module_model
from calc.derive.joining import joining, stages
from calc.derive.parts import Strings, run_part, runs_carrying, string_groups
from calc.derive.temperature import standard
from calc.derive.trace import Trace
from calc.model.assessment import Assessment, Assumption, Quantity, Unknown, Value
from calc.model.design import Design, Given
from calc.model.units import convert
from calc.physics.operating import Controller, Joiner, Tracker
from calc.physics.shade import Build, Sun
from calc.plan.again import again_on
from calc.plan.searching import Shape, joined
from calc.tables import RuleBook

GROUPS = "module.bypass_groups"


@dataclass(frozen=True, slots=True)
class Kind:
    """Strings of one kind: its number (0 where all are alike), how each is built, its sun, and how many there are.

    ``rule_A`` is the rule's sum of what the others could push back into one of them, ``limit_A`` its modules' largest
    series fuse; None where they are not known.
    """

    number: int
    build: Build
    sun: Sun
    count: int
    rule_A: float | None
    limit_A: float | None


@dataclass(frozen=True, slots=True)
class Stand:
    """One layout as it stands on a hot afternoon, with its controller.

    ``start_V`` is the open-circuit voltage at which the controller starts, ``back_V`` the voltage at which a battery
    feeds back into the array; ``joined`` has the couplers with the strings that hang on each. ``cold_V`` is the
    string's voltage on the coldest morning and ``limit_V`` the controller's highest. None where there is none.
    """

    series: int
    parallel: int
    kinds: tuple[Kind, ...]
    run_ohm: float
    controller: Controller
    start_V: float | None
    back_V: float | None
    fuse_A: float | None
    opens_A: float | None
    joined: tuple[tuple[int, int], ...]
    cold_V: float | None
    limit_V: float | None

    @property
    def strings(self) -> int:
        """How many strings there are in all."""
        return sum(kind.count for kind in self.kinds)

    @property
    def groups(self) -> int:
        """How many groups of cells there are in all."""
        return sum(kind.count * kind.build.modules * kind.build.groups for kind in self.kinds)


def stand(trace: Trace) -> Stand | Unknown:
    """How does a design stand in the sun? Unknown with the inputs without which its controller's work is not known.

    Refuses (FitError) a module whose values no curve can have.
    """
    groups = string_groups(trace.design)
    controller = _controller(trace)
    if isinstance(controller, Unknown):
        return controller
    fuse = _number(trace.find("string_fuse_A"))
    opens = trace.scalar("fuse_sure_to_open").number
    alone = len(groups) == 1
    return Stand(
        series=int(_known(trace.given(groups[0].series))) if alone else 0,
        parallel=groups[0].count if alone else 0,
        kinds=tuple(_kind(trace, group, 0 if alone else group.number) for group in groups),
        run_ohm=_ohm(trace, "array"),
        controller=controller,
        start_V=_number(trace.find("wake_needed_V")),
        back_V=None
        if trace.value("controller.blocks_reverse").value
        else _number(trace.find("absorption_V")),
        fuse_A=fuse,
        opens_A=None if fuse is None else opens * fuse,
        joined=tuple((stage.number, stage.joined) for stage in stages(trace))
        if joining(trace) == "couplers"
        else (),
        cold_V=_number(trace.find("voc_cold_string_V")),
        limit_V=_number(trace.given("controller.max_voltage")),
    )


def working_of(design: Design, book: RuleBook, assessment: Assessment | None) -> Trace:
    """The working of a design, taken from its assessment where there is one."""
    if assessment is None:
        return derive(design, book)
    trace = Trace(design, book)
    trace.steps.update(assessment.steps)
    trace.assumptions.update({one.path: one for one in assessment.assumptions})
    return trace


def in_layout(design: Design, book: RuleBook, shape: Shape) -> Trace:
    """The working of the same modules, otherwise joined."""
    other = again_on(design, book).other(joined(shape))
    return working_of(other.design, book, other.now)


def tracks(trace: Trace) -> bool:
    """Whether the controller looks for the peak of power (MPPT); a plain one joins array and battery."""
    return controller_kind(trace) == "mppt"


def _controller(trace: Trace) -> Controller | Unknown:
    """How the controller works; what an MPPT controller needs is 0 where the battery is not known."""
    if tracks(trace):
        return Tracker(_number(trace.find("charging_needed_V")) or 0.0)
    absorption = missing_battery(trace, "absorption")
    if isinstance(absorption, Unknown):
        return absorption
    return Joiner(absorption.number, trace.value("controller.own_drop").number)


def _kind(trace: Trace, group: Strings, number: int) -> Kind:
    gain = trace.value(group.module("rear_gain"), general="module.rear_gain")
    light = standard(trace, "irradiance").number * (1.0 + convert(gain.number, gain.unit, ""))
    return Kind(
        number=number,
        build=Build(
            module=module_model(trace, group),
            modules=int(_known(trace.given(group.series))),
            groups=_groups(trace, group),
            bypass_V=trace.scalar("bypass_drop").number,
            wire_ohm=_ohm(trace, "string"),
        ),
        sun=Sun(light, _known(trace.find(group.part + "cell_hot_degC"))),
        count=group.count,
        rule_A=_number(trace.find(group.part + "reverse_current_string_A")),
        limit_A=_number(trace.given(group.module("max_series_fuse"))),
    )


def _groups(trace: Trace, group: Strings) -> int:
    """Groups of cells in a module: given, else as few as leave no group with too many cells, noted as an assumption."""
    path = group.module("bypass_groups")
    given = trace.given(path)
    if isinstance(given, Value):
        return int(given.number)
    most = trace.scalar("cells_per_diode")
    cells = trace.given(group.module("cells"))
    if isinstance(cells, Value):
        number = cells.number
    else:
        number = _known(trace.given(group.module("voc"))) / trace.scalar("cell_voltage").number
    count = max(ceil(round(number) / most.number), 1)
    why = trace.book.scalars["cells_per_diode"].note
    trace.assume(path, Given(count, "", str(count)), why, safe_side=False)
    return count


def _ohm(trace: Trace, carries: str) -> float:
    """Resistance of the runs that carry a string's or the array's current, out and back, ohm, as far as it is known."""
    found = (trace.find(run_part(name) + "resistance_ohm") for name in runs_carrying(trace.design, carries))
    return sum(one.number for one in found if isinstance(one, Value))


def left_out(trace: Trace) -> Iterator[tuple[str, str]]:
    """Codes for what was left out because it is not known, each with the name it is about."""
    if not trace.design.runs:
        yield "no-run", ""
    for carries in ("string", "array"):
        for name in runs_carrying(trace.design, carries):
            if run_part(name) + "resistance_ohm" not in trace.steps:
                yield "run-unknown", name
    if tracks(trace) and "charging_needed_V" not in trace.steps:
        yield "no-battery", ""


STANDS_ON = (
    "site.hottest",
    "array.mounting",
    "array.joining",
    "array.string_fuse",
    "controller.kind",
    "controller.run_margin",
    "controller.own_drop",
    "controller.start_margin",
    "controller.blocks_reverse",
    "battery.chemistry",
    "battery.absorption",
)
OF_A_PART = {
    "module": ("noct", "voc_coefficient", "isc_coefficient", "rear_gain", "bypass_groups"),
    "run": ("material", "conductor_temperature"),
    "coupler": ("inputs",),
    "string": ("strings_in_parallel",),
}


def assumed(trace: Trace) -> Iterator[Assumption]:
    """The assumptions that faults and curves stand on."""
    for path, one in trace.assumptions.items():
        section, last = path.partition(".")[0], path.rpartition(".")[2]
        part = "module" if ".module." in path else section
        if path in STANDS_ON or last in OF_A_PART.get(part, ()):
            yield one


def _known(quantity: Quantity) -> float:
    """The number of a quantity that every design has; an unknown one is a fault of ours (TypeError)."""
    if isinstance(quantity, Unknown):
        raise TypeError(f"not known without {', '.join(quantity.paths)}")
    return quantity.number


def _number(quantity: Quantity) -> float | None:
    return quantity.number if isinstance(quantity, Value) else None
