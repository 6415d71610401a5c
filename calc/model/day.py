"""Records of a finished day: what each layout does on three days, each month's energy, the year, and the working."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from calc.model.assessment import Assumption, Step, Verdict
from calc.model.design import Design

DAYS = ("shortest", "equinox", "longest")
"""The days that are looked at closely, by the names they have everywhere."""

Course = tuple[tuple[float, float], ...]
"""Hours of sun time, each with a value."""


@dataclass(frozen=True, slots=True)
class KeyDay:
    """One of the three days, for every layout alike.

    Hours are sun time: the sun stands highest at 12. ``clock_at_noon_h`` is what a clock shows then that keeps the mean
    time of the nearest time zone, None where the longitude is not given. ``full_begins_h`` is when the design's own
    array would begin with the battery already at its absorption voltage, None where it never would.
    """

    name: str
    month: int
    date: int
    sunrise_h: float
    sunset_h: float
    clock_at_noon_h: float | None
    insolation_Whm2: float
    light_Wm2: Course
    full_begins_h: float | None


@dataclass(frozen=True, slots=True)
class LayoutDay:
    """What one layout does on one day.

    ``spans`` are begin and end of charging, none where the voltage is never reached and more than one where it stops in
    between; ``course_W`` is the power into the battery, one course a span.
    """

    day: str
    spans: tuple[tuple[float, float], ...]
    energy_Wh: float
    clipped_Wh: float
    best_Wh: float
    course_W: tuple[Course, ...]

    @property
    def begins_h(self) -> float | None:
        """When charging first begins; None when it does not."""
        return self.spans[0][0] if self.spans else None

    @property
    def ends_h(self) -> float | None:
        """When charging last ends; None when it does not begin."""
        return self.spans[-1][1] if self.spans else None


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to join the design's modules, with its three days.

    ``series`` and ``parallel`` are 0 where strings are unlike. ``verdict`` is the whole check's of this layout, and
    ``because`` the finding that decides it (id and part) when it fails.
    """

    series: int
    parallel: int
    own: bool
    verdict: Verdict
    because: tuple[str, str]
    days: tuple[LayoutDay, ...]


@dataclass(frozen=True, slots=True)
class Month:
    """One month of the design's own layout under a clear sky every day."""

    month: int
    days: int
    insolation_Whm2: float
    energy_Wh: float


@dataclass(frozen=True, slots=True)
class Year:
    """The year of the design's own layout under a clear sky every day.

    ``best_Wh`` is what the array could give at its best point from sunrise to sunset, ``given_away_Wh`` what is
    neither taken nor clipped of it, ``run_loss_Wh`` the loss in each run by name, and ``other_sky_share`` how much more
    or less light a second published clear-sky model gives, as a share.
    """

    energy_Wh: float
    clipped_Wh: float
    best_Wh: float
    given_away_Wh: float
    run_loss_Wh: Mapping[str, float]
    insolation_Whm2: float
    other_sky_share: float


@dataclass(frozen=True, slots=True)
class DayReport:
    """All of a design's day; where ``needs`` or ``reason`` says something, the rest is empty.

    ``needs`` are the inputs without which there is no day, ``reason`` a word-catalogue code why there is none although
    all was given, ``left_out`` pairs of such a code and a part that was not counted.
    """

    core: str
    rules: str
    rules_hash: str
    design: Design
    needs: tuple[str, ...] = ()
    reason: str = ""
    mppt: bool = True
    power_stc_W: float = 0.0
    days: tuple[KeyDay, ...] = ()
    layouts: tuple[Layout, ...] = ()
    months: tuple[Month, ...] = ()
    year: Year | None = None
    steps: Mapping[str, Step] = field(default_factory=lambda: MappingProxyType({}))
    assumptions: tuple[Assumption, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()

    @property
    def own(self) -> Layout | None:
        """The design's own layout."""
        return next((layout for layout in self.layouts if layout.own), None)
