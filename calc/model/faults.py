"""Records of what shade and single faults leave of an array's power, layout by layout."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.model.assessment import Assumption, Remark
from calc.model.design import Design

PEAK, HELD, JOINED, NOTHING = "peak", "held", "joined", "nothing"
"""How a controller holds an array: at a peak of power, at its least voltage, joined to the battery, or not at all."""


KINDS = (
    "shade-group",
    "shade-half",
    "shade-module",
    "shade-string",
    "shade-some",
    "open-module",
    "shorted-group",
    "shorted-module",
    "reversed-module",
    "reversed-string",
    "blown-fuse",
    "open-coupler",
)
"""Every kind of case, in the order in which they are told."""


@dataclass(frozen=True, slots=True)
class Resting:
    """Where a controller comes to rest.

    ``power_W`` is what reaches the controller, and the battery where the controller joins it to the array. ``share`` is
    that power over the healthy array's; None where the healthy array gives nothing.
    """

    way: str
    voltage_V: float
    current_A: float
    power_W: float
    share: float | None


@dataclass(frozen=True, slots=True)
class Reverse:
    """Current pushed back into the string in trouble while the controller takes nothing.

    ``curve_A`` follows from the curves, ``rule_A`` is the rule's sum for the same strings, ``limit_A`` the module's
    largest series fuse. ``fuse_A`` is the string's fuse, ``opens_A`` the current that is sure to open it.
    """

    curve_A: float
    rule_A: float | None
    limit_A: float | None
    fuse_A: float | None
    opens_A: float | None


@dataclass(frozen=True, slots=True)
class FaultCase:
    """One case of shade or one fault.

    ``kind`` names it in the word catalogue, ``number`` is what the name needs besides: the share of light lost in %,
    or the number of a coupler. ``string`` is the number of the kind of string it befalls, 0 where all are alike.
    ``light_lost`` is the share of the whole array's light that is shaded off, None for faults. ``stays`` is the peak
    that a tracker meets first, None where that is the best one. ``count`` is how many groups of cells are in shade, 0 for
    faults.
    """

    id: str
    kind: str
    number: float | None
    string: int
    light_lost: float | None
    left: Resting
    stays: Resting | None
    reason: Remark
    remarks: tuple[Remark, ...]
    cautions: tuple[Remark, ...]
    reverse: Reverse | None
    count: int = 0


@dataclass(frozen=True, slots=True)
class FaultLayout:
    """One way to join the modules: ``series`` and ``parallel`` are 0 where strings are unlike.

    ``least_V`` is what charging needs, None where it is not known. ``remarks`` say how the healthy array works,
    ``cautions`` why the layout must not be built.
    """

    series: int
    parallel: int
    own: bool
    healthy: Resting
    remarks: tuple[Remark, ...]
    cautions: tuple[Remark, ...]
    cases: tuple[FaultCase, ...]


@dataclass(frozen=True, slots=True)
class Saying:
    """A rule of thumb held against the design's own layout: the cases in which it is true, and those in which not."""

    code: str
    true: tuple[str, ...]
    false: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultReport:
    """Everything worked out about shade and single faults of one design.

    ``needs`` lists the inputs without which nothing can be said, ``reason`` is a code where no curve fits the module's
    values. Both are empty otherwise. ``values`` are the conditions, by name. ``left_out`` are codes, each with the name
    it is about.
    """

    core: str
    rules: str
    rules_hash: str
    design: Design
    needs: tuple[str, ...] = ()
    reason: str = ""
    mppt: bool = True
    values: Mapping[str, float] = field(default_factory=dict)
    layouts: tuple[FaultLayout, ...] = ()
    sayings: tuple[Saying, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()

    @property
    def own(self) -> FaultLayout | None:
        """The design's own layout; None where there is nothing to show."""
        return next((layout for layout in self.layouts if layout.own), None)
