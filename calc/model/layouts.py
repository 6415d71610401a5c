"""Records of layouts tried and ranked, of limits solved for, and of the inputs that move a verdict first."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.model.assessment import Verdict
from calc.model.design import Design

Key = tuple[str, str]
"""A finding by its id and its part."""

LESS, MORE = "less", "more"


@dataclass(frozen=True, slots=True)
class Column:
    """One column by which layouts are ranked: its code, its unit, and whether less or more of it comes first."""

    code: str
    unit: str
    better: str


AXES = ("copper", "cost", "loss", "begins", "energy", "fault", "parts", "cold", "current")
"""On which layouts can be set against each other in a drawing."""
COLUMNS: tuple[Column, ...] = (
    Column("harm", "", LESS),
    Column("failing", "", LESS),
    Column("unanswered", "", LESS),
    Column("tight", "", LESS),
    Column("cost", "", LESS),
    Column("copper", "m mm2", LESS),
    Column("loss", "W", LESS),
    Column("begins", "h", LESS),
    Column("energy", "Wh", MORE),
    Column("fault", "", MORE),
    Column("parts", "", LESS),
)
"""In the order in which they decide; the next counts only where all before it are equal.

``harm`` is 0 where nothing fails, 1 where nothing fails once every run has the size it needs, and 2, 3 or 4 where what
still fails costs energy, breaks the code or does damage. ``failing`` and ``unanswered`` count findings, ``tight`` is 1
where any has no more room than its named margin. ``cost`` is known where wire prices were given. ``fault`` is the share
of power that the worst fault of one module or string leaves.
"""

NOTHING_FAILS, WITH_WIRE = 0, 1
ENERGY_LOST, CODE_BROKEN, DAMAGE_DONE = 2, 3, 4


@dataclass(frozen=True, slots=True)
class WireNeed:
    """The least size with which one run passes its checks; None where no size of the table does.

    ``given`` is the file's own size. ``metres`` is the wire in all, out and back and for each string where the run is
    a string's, and ``copper`` that length times the area of the size needed; None where the length is not known.
    """

    run: str
    given: str | None
    size: str | None
    metres: float | None
    copper: float | None
    cost: float | None


@dataclass(frozen=True, slots=True)
class Tried:
    """One way to join the modules, put through every check; ``series`` and ``parallel`` are 0 where strings are unlike.

    ``verdict`` is the whole check's with the file's own wire, ``with_wire`` with the wire it needs. ``gives_way`` is
    the limit that gives way first: of those that fail, the one that costs most, else the one with the least room;
    ``room`` is what is left there, as a share of the limit. ``figures`` has quantities by their keys, ``columns`` what
    the rank is made from. ``worst_fault`` names the case behind ``columns['fault']``, and ``shade_left`` is the share
    of power left with half of one module in the dark. ``charges`` is None where the day is not known.
    """

    series: int
    parallel: int
    own: bool
    left_out: int
    verdict: Verdict
    with_wire: Verdict
    gives_way: Key
    room: float | None
    failing: tuple[Key, ...]
    figures: Mapping[str, float]
    fuses: bool | None
    fuse_A: float | None
    wires: tuple[WireNeed, ...]
    charges: bool | None
    worst_fault: str
    shade_left: float | None
    columns: Mapping[str, float | None]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why the first layout precedes the second: the column that decided, and those in which the second is better."""

    by: str
    better: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LayoutReport:
    """Every layout, best first.

    ``everywhere`` are the findings that fail in each of them, ``left_out`` the most modules that a layout leaves out
    (``asked`` says that the caller wanted it so), and ``left_off`` how many layouts were not tried because there are
    too many. ``day_needs`` and ``fault_needs`` are the inputs without which those columns are empty, ``no_curve`` says
    that no curve fits the module's values. ``unfinished`` counts the bits of work that are done, and all of them, while
    some are left: hours, energy and faults come last.
    """

    core: str
    rules: str
    rules_hash: str
    design: Design
    modules: int
    layouts: tuple[Tried, ...]
    reason: Reason | None
    everywhere: tuple[Key, ...] = ()
    left_out: int = 0
    asked: bool = False
    left_off: int = 0
    day_needs: tuple[str, ...] = ()
    fault_needs: tuple[str, ...] = ()
    no_curve: bool = False
    unfinished: tuple[int, int] | None = None

    @property
    def own(self) -> Tried:
        """The design's own layout, which is always tried."""
        return next(layout for layout in self.layouts if layout.own)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What may be wished of layouts: how many modules are left out, what wire costs, and which other values are tried.

    ``leave_out`` is the most modules (None: by itself), ``prices`` those of a metre by wire size. An option is the design
    with one value changed, by what was said.
    """

    leave_out: int | None = None
    prices: Mapping[str, float] = field(default_factory=dict)
    options: tuple[tuple[str, Design], ...] = ()


SOLVED, ALWAYS, NEVER, ASKS = "solved", "always", "never", "asks"
"""A limit was found, is not reached within what a file may say, cannot be kept at all, or lacks input."""


@dataclass(frozen=True, slots=True)
class Limit:
    """How far one input may go with all others as they are, found by running the whole check.

    ``most`` says whether it is the largest value that would do or the least. ``value`` would do and ``fails_at``, its
    neighbour, would not: ``because`` is what fails there. ``open`` fails at ``value`` too, whatever this input is.
    ``now`` is the design's own value, None where it has none. ``needs`` are inputs without which limits that may be
    nearer were not counted. Values are numbers in ``unit``, or sizes as text.
    """

    code: str
    part: str
    path: str
    unit: str
    most: bool
    outcome: str
    now: float | str | None = None
    value: float | str | None = None
    fails_at: float | str | None = None
    because: Key = ("", "")
    open: tuple[Key, ...] = ()
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LimitReport:
    """Every limit that was solved for; ``unlike`` says that strings are unlike, so that no counts were."""

    core: str
    rules: str
    rules_hash: str
    design: Design
    limits: tuple[Limit, ...]
    unlike: bool = False


@dataclass(frozen=True, slots=True)
class Move:
    """How far one input may move until another limit fails.

    ``doubt`` is how far such an input is commonly off, in ``unit`` (a difference, or a share in %), and ``reach`` how
    many times that it takes; None where even the widest move tried breaks nothing. ``shift`` is signed and is the
    first that fails, ``fails_at`` the value there, both None likewise. ``now`` is the value as it stands; None where
    several are moved together.
    """

    code: str
    part: str
    unit: str
    doubt: float
    now: float | None = None
    now_unit: str = ""
    reach: float | None = None
    shift: float | None = None
    fails_at: float | None = None
    because: Key = ("", "")


@dataclass(frozen=True, slots=True)
class MoveReport:
    """Every input that was moved, the nearest first; ``widest`` is how many times its doubt each was moved."""

    core: str
    rules: str
    rules_hash: str
    design: Design
    verdict: Verdict
    moves: tuple[Move, ...]
    widest: float
    failing: tuple[Key, ...] = field(default=())
