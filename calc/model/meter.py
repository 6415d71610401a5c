"""Records of a meter sheet: what a meter should read, what it did read, and what may be behind the difference."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.model.assessment import Assumption
from calc.model.design import Design

FUSES_OUT, BREAKER_OPEN, CHARGING = "fuses out", "breaker open", "charging"
STATES = (FUSES_OUT, BREAKER_OPEN, CHARGING)
"""How far the array is joined when it is read."""

FITS, LOOK, STOP, UNJUDGED = "fits", "look closer", "stop first", "cannot judge"
"""What a set of readings comes to."""

WITHIN, OUTSIDE, NOT_JUDGED = "within", "outside", "not judged"
"""What one reading comes to."""


@dataclass(frozen=True, slots=True)
class Band:
    """One reason why a reading may differ: its code, and by what share below and above the expected value."""

    code: str
    below: float
    above: float


@dataclass(frozen=True, slots=True)
class Expected:
    """What a meter should read: ``value`` between ``low`` and ``high``, in ``unit``, with the parts of the band.

    ``practice`` is the share by which common practice lets a reading differ from the datasheet; None where it names
    none.
    """

    quantity: str
    unit: str
    value: float
    low: float
    high: float
    bands: tuple[Band, ...]
    practice: float | None = None


@dataclass(frozen=True, slots=True)
class StringRow:
    """What one string should read; None where it cannot be said, such as a current where the sun is not known."""

    name: str
    kind: int
    voc: Expected
    isc: Expected | None
    current: Expected | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterSheet:
    """Everything a meter should read for one design, one sun and one temperature.

    ``needs`` are the inputs without which nothing can be said, ``needs_after`` those without which nothing can be said
    of the joined array at work; ``reason`` is a code where no curve fits the module. ``heat`` says what the cells'
    temperature is taken from: air, module or assumed. ``setup`` is what the readings are judged with; it is not shown.
    """

    core: str
    rules: str
    rules_hash: str
    design: Design
    needs: tuple[str, ...] = ()
    reason: str = ""
    sun_Wm2: float | None = None
    air_degC: float | None = None
    module_degC: float | None = None
    heat: str = ""
    cell_degC: tuple[float, ...] = ()
    rows: tuple[StringRow, ...] = ()
    array: tuple[Expected, ...] = ()
    way: str = ""
    alike: float = 0.0
    needs_after: tuple[str, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    setup: object = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class StringReading:
    """What a meter read at one string, V and A; None where it was not read."""

    name: str = ""
    voc: float | None = None
    isc: float | None = None
    current: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What was read on site: sun in W/m2, temperatures in degC, volts and amperes; None where it was not read.

    ``state`` says how far the array was joined; ``beyond`` is the voltage beyond the breaker, on the controller's side.
    """

    sun: float | None = None
    air: float | None = None
    module: float | None = None
    strings: tuple[StringReading, ...] = ()
    voltage: float | None = None
    current: float | None = None
    beyond: float | None = None
    state: str = CHARGING
    battery: float | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """One reading beside what was expected: ``verdict`` is within, outside or not judged, ``why`` a code where not."""

    place: str
    quantity: str
    unit: str
    measured: float
    expected: Expected | None
    verdict: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Apart:
    """Alike strings held against each other: the quantity, and each string's share of difference from their middle."""

    quantity: str
    shares: tuple[tuple[str, float], ...]
    within: float

    @property
    def far(self) -> tuple[tuple[str, float], ...]:
        """The strings that differ by more than alike ones should."""
        return tuple((name, share) for name, share in self.shares if abs(share) > self.within)


@dataclass(frozen=True, slots=True)
class Telling:
    """The reading that speaks most for a cause: measured, expected with nothing wrong, and expected with the cause."""

    place: str
    quantity: str
    unit: str
    measured: float
    healthy: float
    predicted: float


@dataclass(frozen=True, slots=True)
class Cause:
    """One likely cause.

    ``place`` is the string it is in, empty where it is about the whole array. ``left`` is what of the readings it does
    not explain, smaller is better, without unit; ``score`` adds how common it is, and causes are ranked by that.
    ``stop`` says that the work stops first, ``unlikely`` that it leaves much unexplained where the first cause does not.
    """

    code: str
    place: str
    left: float
    score: float
    telling: Telling | None
    stop: bool = False
    unlikely: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What readings come to: each judged, alike strings compared, and likely causes, the likeliest first.

    ``rounds`` has one ranking of causes for each fault that was found; a later one is about what the first cause of
    the one before does not explain. ``stops`` and ``notes`` are codes of sentences, each with the place it is about.
    """

    sheet: MeterSheet
    readings: Readings
    verdict: str
    judged: tuple[Judged, ...] = ()
    apart: tuple[Apart, ...] = ()
    rounds: tuple[tuple[Cause, ...], ...] = ()
    stops: tuple[tuple[str, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()
    values: Mapping[str, float] = field(default_factory=dict)

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The ranking for the first fault; empty where the readings fit."""
        return self.rounds[0] if self.rounds else ()
