"""What a controller takes from an array through one day: when it begins and ends, and what becomes of the energy."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from operator import mul
from typing import Protocol

from calc.model.record import record
from calc.physics.daylight import Daylight, Light, area, widths
from calc.physics.root import bracketed_root
from calc.physics.sun import NOON

_SECOND = 1.0 / 3600.0
"""Beginning and end are found to this, in hours."""


class Source(Protocol):
    """What reaches the controller's terminals at one moment, with the wire in between."""

    def current(self, voltage_V: float) -> float:
        """Current in A at a voltage in V."""
        ...

    def voc(self) -> float:
        """Open-circuit voltage in V."""
        ...

    def mpp(self, open_V: float | None = None) -> tuple[float, float]:
        """Voltage in V and current in A at the maximum power point; ``open_V`` where it is known already."""
        ...


class Array(Protocol):
    """An array with its wire, as the controller sees it; alike where its values are."""

    def __hash__(self) -> int:
        """As its values say."""
        ...

    def under(self, light: Light) -> Source:
        """What reaches the controller under this light."""
        ...


@dataclass(frozen=True, slots=True)
class Battery:
    """The battery through the day: it begins at one voltage and has risen to another by noon.

    Args:
        morning_V: at sunrise, V.
        noon_V: from noon on, V; in between along a straight line.
    """

    morning_V: float
    noon_V: float

    def at(self, hour: float, sunrise: float) -> float:
        """Voltage at an hour, V."""
        if hour >= NOON or sunrise >= NOON:
            return self.noon_V
        return self.morning_V + (self.noon_V - self.morning_V) * (hour - sunrise) / (NOON - sunrise)


@record(frozen=True, slots=True)
class Taken:
    """What a controller takes at one moment.

    Args:
        hour: of sun time.
        power_W: into the battery.
        clipped_W: what its rated output made it leave.
        current_A: from the array.
        charge_A: into the battery.
    """

    hour: float
    power_W: float = 0.0
    clipped_W: float = 0.0
    current_A: float = 0.0
    charge_A: float = 0.0


@dataclass(frozen=True, slots=True)
class Controller:
    """How a charge controller works; its own losses are not counted.

    An MPPT controller holds the array at its best point, or at the least voltage with which it keeps charging where the
    best point lies below that. A PWM controller joins the array to the battery. Beyond its rated output both leave the
    rest on the array: the MPPT by going to a higher voltage.

    Args:
        mppt: whether it finds the best point.
        start_V: how far above the battery the array's open-circuit voltage must be for it to start, V.
        run_V: how far above the battery it needs the array to keep charging; for PWM, the voltage it uses up, V.
        rated_A: rated output, A; None where it is not known.
    """

    mppt: bool
    start_V: float
    run_V: float
    rated_A: float | None = None

    def takes(self, hour: float, source: Source, battery_V: float) -> Taken:
        """What it takes from a source at an hour with the battery at a voltage in V."""
        if not self.mppt:
            return self._joined(hour, source, battery_V)
        v, i = source.mpp()
        least_V = battery_V + self.run_V
        if v < least_V:
            v, i = least_V, max(source.current(least_V), 0.0)
        power_W = v * i
        if self.rated_A is None or power_W <= self.rated_A * battery_V:
            return Taken(hour, power_W, 0.0, i, power_W / battery_V)
        limit_W = self.rated_A * battery_V
        v = bracketed_root(lambda volts: volts * source.current(volts) - limit_W, v, source.voc())
        return Taken(hour, limit_W, power_W - limit_W, limit_W / v, self.rated_A)

    def _joined(self, hour: float, source: Source, battery_V: float) -> Taken:
        i = max(source.current(battery_V + self.run_V), 0.0)
        kept = i if self.rated_A is None else min(i, self.rated_A)
        return Taken(hour, battery_V * kept, battery_V * (i - kept), kept, kept)


@dataclass(frozen=True, slots=True)
class Charging:
    """One day's charging.

    Args:
        spans: begin and end of charging, hours of sun time; more than one where it stops in between.
        course: what is taken at each moment of those spans.
        energy_Wh: into the battery.
        clipped_Wh: left on the array because the controller's rated output is reached.
        best_Wh: what would reach the controller with the array at its best point from sunrise to sunset.
        squared_A2h: array current squared, summed over the day: times a resistance in ohm it is a loss in Wh.
        charge_squared_A2h: the same of the current into the battery.
    """

    spans: tuple[tuple[float, float], ...]
    course: tuple[tuple[Taken, ...], ...]
    energy_Wh: float
    clipped_Wh: float
    best_Wh: float
    squared_A2h: float
    charge_squared_A2h: float


def charging(day: Daylight, array: Array, controller: Controller, battery: Battery) -> Charging:
    """When does charging begin and end on a day, and what does it bring?

    Light and curve are worked out at evenly spaced moments and at the very hours of beginning and end; sums run along
    straight lines between them.

    Args:
        day: light and air.
        array: as the controller sees it.
        controller: how it works.
        battery: its voltage through the day; it is taken to accept all that comes.
    """
    spans = charging_spans(day, array, controller, battery)
    known = {hour: source for hour, _, source in _seen(day, array)}

    def taken(hour: float) -> Taken:
        source = known.get(hour) or array.under(day.at(hour))
        return controller.takes(hour, source, battery.at(hour, day.sunrise))

    course = tuple(
        tuple(taken(hour) for hour in (begin, *(hour for hour in known if begin < hour < end), end))
        for begin, end in spans
    )

    width = [wide for span in course for wide in widths([one.hour for one in span])]
    every = [one for span in course for one in span]

    def total(values: Iterable[float]) -> float:
        return float(sum(map(mul, width, values)))

    return Charging(
        spans=spans,
        course=course,
        energy_Wh=total(one.power_W for one in every),
        clipped_Wh=total(one.clipped_W for one in every),
        best_Wh=area([(hour, source.most) for hour, source in known.items()]),
        squared_A2h=total(one.current_A**2 for one in every),
        charge_squared_A2h=total(one.charge_A**2 for one in every),
    )


class _Known:
    """A source whose open-circuit voltage and best point are found once."""

    __slots__ = ("_open_V", "_peak", "_source", "most")

    def __init__(self, source: Source) -> None:
        self._source = source
        self._open_V = source.voc()
        self._peak = v, i = source.mpp(self._open_V)
        self.most = v * i
        """Power at the best point, W."""

    def current(self, voltage_V: float) -> float:
        return self._source.current(voltage_V)

    def voc(self) -> float:
        return self._open_V

    def mpp(self, open_V: float | None = None) -> tuple[float, float]:  # noqa: ARG002 - it is kept here
        return self._peak


@lru_cache(maxsize=128)
def _seen(day: Daylight, array: Array) -> tuple[tuple[float, float, _Known], ...]:
    """What an array is at each moment of a day: hour, open-circuit voltage and curve; kept for the next change."""
    known = [(light.hour, _Known(array.under(light))) for light in day.moments]
    return tuple((hour, source.voc(), source) for hour, source in known)


def charging_spans(
    day: Daylight, array: Array, controller: Controller, battery: Battery
) -> tuple[tuple[float, float], ...]:
    """From which hour to which does a controller charge?

    It starts when the array's open-circuit voltage reaches the battery's voltage plus its start margin, and stops when
    even the open-circuit voltage is below the battery's voltage plus its run margin, so that no current is left.

    Returns:
        Begin and end in hours of sun time, none where the voltage is never reached.
    """
    return tuple(_spans(day, array, controller, battery))


def _spans(
    day: Daylight, array: Array, controller: Controller, battery: Battery
) -> Iterator[tuple[float, float]]:
    def kept(hour: float, margin_V: float) -> bool:
        return array.under(day.at(hour)).voc() >= battery.at(hour, day.sunrise) + margin_V

    def turn(earlier: float, later: float, margin_V: float, *, before: bool) -> float:
        """The hour between two at which the margin is first kept, or no longer (where it was ``before``), to a second.

        By halves: the hours looked at are then nearly those of the layout or the change before, whose light is known.
        """
        while later - earlier > _SECOND:
            middle = (earlier + later) / 2.0
            if kept(middle, margin_V) == before:
                earlier = middle
            else:
                later = middle
        return later

    begun: float | None = None
    earlier = day.sunrise
    for hour, voc, _ in _seen(day, array):
        open_V = voc - battery.at(hour, day.sunrise)
        if begun is None and open_V >= controller.start_V:
            begun = turn(earlier, hour, controller.start_V, before=False)
        elif begun is not None and open_V < controller.run_V:
            yield begun, turn(earlier, hour, controller.run_V, before=True)
            begun = None
        earlier = hour
    if begun is not None and begun < day.sunset:
        yield begun, day.sunset
