"""Light and air around an array through one day, hour by hour of sun time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import pairwise
from math import cos, pi
from operator import mul

from calc.model.record import record
from calc.physics.sky import (
    ClearSky,
    Plane,
    clear_sky,
    clear_sky_by_zenith,
    on_plane,
    pressure_share,
)
from calc.physics.sun import (
    DEGREES_PER_HOUR,
    NOON,
    Direction,
    days_since_2000,
    direction,
    equation_of_time_min,
    half_day_hours,
    refraction_deg,
    sun_at,
)

HOURS, MINUTES = 24.0, 60.0
INTERVALS = 40
"""Into how many equal parts a day from sunrise to sunset is cut; about 18 minutes each at the equinox."""

KEPT = 256
"""How many days are kept for the next question: the months and key days of some twenty sites."""

_HALF_DAY = 0.5
_MOST_HOURS = 4096


@dataclass(frozen=True, slots=True)
class Site:
    """Where an array stands, how it is turned, and what the air and the ground do to its light.

    Args:
        latitude_deg: degrees, north above zero.
        plane: how the modules are turned.
        longitude_deg: degrees, east above zero; it moves the moment of noon, and so the sun by 0.2 deg at most.
        elevation_m: height above the sea, m.
        turbidity: Linke turbidity of the clear air, without unit.
        albedo: share of its light that the ground throws back.
        sunlight_Wm2: the sun's light outside the air at the earth's mean distance, W/m2.
    """

    latitude_deg: float
    plane: Plane
    longitude_deg: float = 0.0
    elevation_m: float = 0.0
    turbidity: float = 3.0
    albedo: float = 0.2
    sunlight_Wm2: float = 1366.1


@dataclass(frozen=True, slots=True)
class Air:
    """The day's air: a wave that is warmest at one hour and coolest twelve hours later.

    Args:
        warmest_degC: at its warmest hour, degC.
        swing_K: from its coolest to its warmest, K.
        warmest_hour: hour of sun time.
    """

    warmest_degC: float
    swing_K: float = 0.0
    warmest_hour: float = 15.0

    def at(self, hour: float) -> float:
        """The air's temperature at an hour, degC."""
        wave = (1.0 - cos(2.0 * pi * (hour - self.warmest_hour) / HOURS)) / 2.0
        return self.warmest_degC - self.swing_K * wave


@record(frozen=True, slots=True)
class Light:
    """One moment of a day.

    Args:
        hour: of sun time: the sun stands highest at 12.
        irradiance_Wm2: on the front of the modules, W/m2.
        air_degC: temperature of the air, degC.
    """

    hour: float
    irradiance_Wm2: float
    air_degC: float


@dataclass(frozen=True)
class Daylight:
    """One day at one site, from sunrise to sunset, in sun time.

    Args:
        site: where the array stands.
        air: the day's air.
        declinations_deg: of the sun half a day before noon, at noon, and half a day after, degrees.
        beyond_Wm2: the sun's light outside the air on this day, W/m2.
        clock_at_noon_h: what a clock shows at sun noon that keeps the mean time of the nearest time zone, hours.
        sunrise: hour; the same as sunset where the sun stays down.
        sunset: hour.
        intervals: into how many equal parts the time between them is cut.
    """

    site: Site
    air: Air
    declinations_deg: tuple[float, float, float]
    beyond_Wm2: float
    clock_at_noon_h: float
    sunrise: float
    sunset: float
    intervals: int = INTERVALS

    def sun(self, hour: float) -> Direction:
        """Where the sun is seen at an hour, through air that bends its light."""
        angle_deg = (hour - NOON) * DEGREES_PER_HOUR
        declination_deg = _between(self.declinations_deg, (hour - NOON) / NOON)
        straight = direction(declination_deg, angle_deg, self.site.latitude_deg)
        return straight.lifted(refraction_deg(straight.elevation_deg, self._pressure))

    def sky(self, sun: Direction) -> ClearSky:
        """Light on level ground with the sun seen in a direction."""
        return clear_sky(
            sun.zenith_deg,
            elevation_m=self.site.elevation_m,
            turbidity=self.site.turbidity,
            beyond_Wm2=self.beyond_Wm2,
        )

    def at(self, hour: float) -> Light:
        """Light and air at any hour."""
        return Light(hour, self._lights.at(hour), self.air.at(hour))

    @cached_property
    def moments(self) -> tuple[Light, ...]:
        """Light and air at evenly spaced hours from sunrise to sunset; none where the sun stays down."""
        return tuple(self.at(hour) for hour in self._hours)

    def insolation(self) -> float:
        """Light that falls on the modules in the whole day, Wh/m2."""
        return area([(light.hour, light.irradiance_Wm2) for light in self.moments])

    def second_opinion(self) -> tuple[float, float]:
        """Light on level ground in the whole day by the model used here and by a simpler one, Wh/m2."""
        return self._lights.level

    @property
    def _hours(self) -> tuple[float, ...]:
        if self.sunset <= self.sunrise:
            return ()
        step = (self.sunset - self.sunrise) / self.intervals
        return tuple(self.sunrise + step * k for k in range(self.intervals + 1))

    @cached_property
    def _lights(self) -> "_Lights":
        return _lights(replace(self, air=STILL))

    @cached_property
    def _pressure(self) -> float:
        return pressure_share(self.site.elevation_m)

    @cached_property
    def _faces(self) -> Direction:
        return self.site.plane.faces


STILL = Air(0.0)
"""In place of a day's air where only its light matters."""


class _Lights:
    """A day's light, worked out once for each hour that is asked for: what a reader changes is seldom the sky."""

    def __init__(self, day: Daylight) -> None:
        self._day = day
        self._known: dict[float, float] = {}

    def at(self, hour: float) -> float:
        """Light on the front of the modules at an hour, W/m2."""
        found = self._known.get(hour)
        if found is None:
            day, sun = self._day, self._day.sun(hour)
            found = on_plane(day.sky(sun), day._faces, sun, day.site.albedo)  # noqa: SLF001
            if len(self._known) >= _MOST_HOURS:
                self._known.clear()
            self._known[hour] = found
        return found

    @cached_property
    def level(self) -> tuple[float, float]:
        """Light on level ground in the whole day by both models, Wh/m2."""
        suns = [(hour, self._day.sun(hour)) for hour in self._day._hours]  # noqa: SLF001
        ours = area([(hour, self._day.sky(sun).global_Wm2) for hour, sun in suns])
        return ours, area([(hour, clear_sky_by_zenith(sun.zenith_deg)) for hour, sun in suns])


_lights = lru_cache(maxsize=KEPT)(_Lights)


@lru_cache(maxsize=KEPT)
def daylight(date: tuple[int, int, int], site: Site, air: Air, *, intervals: int = INTERVALS) -> Daylight:
    """How do light and air go through a day under a clear sky?

    Args:
        date: year, month and day.
        site: where the array stands, and how it is turned.
        air: the day's air.
        intervals: into how many equal parts the day from sunrise to sunset is cut.
    """
    noon = days_since_2000(*date, NOON - site.longitude_deg / DEGREES_PER_HOUR)
    noon -= equation_of_time_min(sun_at(noon), noon) / MINUTES / HOURS
    before, at_noon, after = (sun_at(noon + shift) for shift in (-_HALF_DAY, 0.0, _HALF_DAY))
    declinations = (before.declination_deg, at_noon.declination_deg, after.declination_deg)
    rise, fall = _rise_and_set(declinations, site.latitude_deg)
    zone_deg = round(site.longitude_deg / DEGREES_PER_HOUR) * DEGREES_PER_HOUR
    ahead_h = (site.longitude_deg - zone_deg) / DEGREES_PER_HOUR + equation_of_time_min(
        at_noon, noon
    ) / MINUTES
    return Daylight(
        site=site,
        air=air,
        declinations_deg=declinations,
        beyond_Wm2=site.sunlight_Wm2 / at_noon.distance_AU**2,
        clock_at_noon_h=NOON - ahead_h,
        sunrise=rise,
        sunset=fall,
        intervals=intervals,
    )


def _rise_and_set(declinations: tuple[float, float, float], latitude_deg: float) -> tuple[float, float]:
    """Hours of sunrise and sunset, each by the sun's declination at that very hour."""
    half = half_day_hours(declinations[1], latitude_deg)
    if half in (0.0, NOON):
        return NOON - half, NOON + half
    morning, evening = half, half
    for _ in range(2):
        morning = half_day_hours(_between(declinations, -morning / NOON), latitude_deg)
        evening = half_day_hours(_between(declinations, evening / NOON), latitude_deg)
    return NOON - morning, NOON + evening


def _between(three: tuple[float, float, float], share: float) -> float:
    """The value at a share of half a day from noon (-1 to 1) on the curve through three values."""
    before, middle, after = three
    return middle + share * ((after - before) + share * (after + before - 2.0 * middle)) / 2.0


def widths(hours: Sequence[float]) -> list[float]:
    """How much of a day each of some hours stands for under straight lines: half the way to both its neighbours."""
    ways = [0.0, *(later - earlier for earlier, later in pairwise(hours)), 0.0]
    return [(before + after) / 2.0 for before, after in pairwise(ways[: len(hours) + 1])]


def area(points: Sequence[tuple[float, float]]) -> float:
    """The area under straight lines through points (hour, value)."""
    return float(sum(map(mul, widths([hour for hour, _ in points]), [value for _, value in points])))
