"""Records of what a design is made of: the list of parts, the halves of its connectors, and how they are wired.

The wiring is a net: every part has ports, every port has a kind, and a joint brings two ports together. The list counts
what stands in the net, and the drawing shows it, so that the three cannot disagree.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from calc.model.assessment import Remark, Value, Verdict
from calc.model.design import Design

PLUS, MINUS = "+", "\N{MINUS SIGN}"
POLES = (PLUS, MINUS)

PLUS_HALF, MINUS_HALF, SCREW, BARE = "plus half", "minus half", "terminal", "bare end"
"""Kinds of port: the connector half of a module's plus lead, that of its minus lead, a terminal, a conductor's end."""
MATES: Mapping[str, str] = MappingProxyType(
    {PLUS_HALF: MINUS_HALF, MINUS_HALF: PLUS_HALF, SCREW: BARE, BARE: SCREW}
)
HALF_OF: Mapping[str, str] = MappingProxyType({PLUS: PLUS_HALF, MINUS: MINUS_HALF})
"""The half that a conductor of each pole ends in where it leads away from the modules."""


@dataclass(frozen=True, slots=True)
class About:
    """Which design a list or an order of work is for, how it was judged, and by which core and tables."""

    core: str
    rules: str
    rules_hash: str
    verdict: Verdict
    design: Design


@dataclass(frozen=True, slots=True)
class Port:
    """One place of a part where something can be joined: its name there, its pole, its kind; a spare one stays free."""

    name: str
    pole: str
    kind: str
    spare: bool = False


@dataclass(frozen=True, slots=True)
class NetPart:
    """One part of the wiring: its mark, what it is, its ports.

    ``of`` is the run a conductor belongs to, or the module's group for a string; ``number`` tells parts of one kind
    apart (string 2, coupler 1); ``inside`` is how many pairs of halves a string joins within itself.
    """

    mark: str
    code: str
    ports: tuple[Port, ...]
    of: str = ""
    number: int = 0
    inside: int = 0


@dataclass(frozen=True, slots=True)
class Joint:
    """Two ports brought together, each as mark and name."""

    one: tuple[str, str]
    other: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Net:
    """Every part of the wiring by its mark, from the modules to the battery, and every joint between them."""

    parts: Mapping[str, NetPart]
    joints: tuple[Joint, ...]

    def of_code(self, *codes: str) -> tuple[NetPart, ...]:
        """The parts of some kinds, in order."""
        return tuple(part for part in self.parts.values() if part.code in codes)

    def port(self, place: tuple[str, str]) -> Port:
        """The port at a mark and name."""
        return next(port for port in self.parts[place[0]].ports if port.name == place[1])

    def joined_to(self, place: tuple[str, str]) -> tuple[str, str] | None:
        """What a port is joined to; None when nothing is."""
        for joint in self.joints:
            if place in (joint.one, joint.other):
                return joint.other if place == joint.one else joint.one
        return None


@dataclass(frozen=True, slots=True)
class Rating:
    """One property of a part; ``least`` says that the design does not name it, and what it has to be at least."""

    code: str
    value: Value
    least: bool = False


@dataclass(frozen=True, slots=True)
class Length:
    """How long a conductor is, m: each piece, and all pieces together. None where it has to be measured."""

    each_m: float | None
    total_m: float | None
    buy_m: float | None = None


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line of the list of parts.

    ``code`` is what the part is, in the word catalogue; ``called`` what the author calls it. ``count`` is None where it
    has to be found on site. ``marks`` are its names in the wiring drawing, ``follows`` what it stands on
    (``finding <id> <part>``, ``step <id>``, ``given <path>``, ``task <code>``), ``needs`` the inputs that would have
    to be given, ``notes`` further sentences.
    """

    group: str
    code: str
    count: int | None
    called: str = ""
    marks: tuple[str, ...] = ()
    ratings: tuple[Rating, ...] = ()
    length: Length | None = None
    follows: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    notes: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Halves:
    """Connector halves that come with one kind of part, or have to be bought loose (``loose``)."""

    code: str
    plus: int
    minus: int
    loose: bool = False


@dataclass(frozen=True, slots=True)
class HalfName:
    """What one half is called: by its plastic housing, and by the metal contact in it."""

    kind: str
    housing: str
    contact: str


@dataclass(frozen=True, slots=True)
class PlanStage:
    """One coupler of each pole: its number, the strings joined so far, what it carries, whether its rating allows it.

    ``takes`` are the strings that come in here, ``caps`` the inlets left over, ``least_class_A`` the least rating on
    sale that would do (None where there is none).
    """

    number: int
    inlets: int
    takes: tuple[str, ...]
    joined: int
    current_A: float
    rating_A: float
    least_class_A: float | None
    caps: int

    @property
    def holds(self) -> bool:
        """Whether the coupler may carry it."""
        return self.current_A <= self.rating_A


@dataclass(frozen=True, slots=True)
class CouplerPlan:
    """One way to join all strings: couplers with so many inlets each, one after the other.

    ``couplers`` and ``caps`` count both poles. ``gives_way`` is the stage with the least room, ``own`` marks the way
    the design names.
    """

    inlets: int
    stages: tuple[PlanStage, ...]
    couplers: int
    caps: int
    gives_way: int
    own: bool = False

    @property
    def holds(self) -> bool:
        """Whether every stage is within its rating."""
        return all(stage.holds for stage in self.stages)


@dataclass(frozen=True, slots=True)
class CombinerOffer:
    """What a combiner would need to have in place of couplers."""

    circuits: int
    bar_A: float
    breaker_A: float | None
    voltage_V: float | None


@dataclass(frozen=True, slots=True)
class CouplerPlans:
    """Every way to join the strings with couplers, fewest parts first.

    ``refused`` is a code why there is none within the rating (or why the question does not come up), with the figures
    it speaks of; ``offer`` is then what a combiner would need.
    """

    strings: int
    plans: tuple[CouplerPlan, ...]
    refused: Remark | None = None
    offer: CombinerOffer | None = None

    @property
    def best(self) -> CouplerPlan | None:
        """The plan with the fewest parts of those within the rating."""
        return next((plan for plan in self.plans if plan.holds), None)


@dataclass(frozen=True, slots=True)
class Parts:
    """Everything to buy for one design, and how it goes together."""

    about: About
    lines: tuple[PartLine, ...]
    halves: tuple[Halves, ...]
    names: tuple[HalfName, ...]
    plans: CouplerPlans
    net: Net


@dataclass(frozen=True, slots=True)
class Reading:
    """What a meter should show on some strings, V: in the standard light, and on the hottest and the coldest day."""

    marks: tuple[str, ...]
    modules: int
    stc_V: float
    hot_V: float | None
    cold_V: float | None


@dataclass(frozen=True, slots=True)
class Task:
    """One step of the work: what to do, why it stands where it does, what is live meanwhile, and where to stop.

    Codes are the word catalogue's; ``does`` are the single acts, ``readings`` what to expect of the meter.
    """

    code: str
    does: tuple[Remark, ...]
    live: Remark
    stops: tuple[Remark, ...] = ()
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """One label: its code, how many, its lines with the design's own figures, where it goes, the rule behind it."""

    code: str
    count: int | None
    lines: tuple[Remark, ...]
    clause: str = ""
    edition: str = ""
    standing: str = ""
    values: Mapping[str, Value] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Order:
    """The order of work for one design: putting up, taking down, labels, and what to beware of."""

    about: About
    up: tuple[Task, ...]
    down: tuple[Task, ...]
    labels: tuple[Label, ...]
    cautions: tuple[Remark, ...]
