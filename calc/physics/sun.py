"""Where the sun stands: its place for an hour of any day, seen from any latitude, and when it rises and sets."""

from dataclasses import dataclass
from math import acos, asin, atan2, cos, degrees, hypot, pi, radians, sin, tan

from calc.model.record import record

DAYS_PER_CENTURY = 36525.0
EPOCH_JULIAN_DAY = 2451545.0
"""Julian day of 2000 January 1, 12:00, from which days are counted here."""

DEGREES_PER_HOUR = 15.0
NOON = 12.0
"""The hour of apparent solar time at which the sun stands highest."""

_EARTH_TURNS_BEHIND_DAYS = 69.0 / 86400.0
"""Terrestrial time is ahead of the clocks' by this much in the 2020s; a minute more would move the sun 0.0007 deg."""

_LONGITUDE = (
    (175347046.0, 0.0, 0.0),
    (3341656.0, 4.6692568, 6283.07585),
    (34894.0, 4.6261, 12566.1517),
    (3497.0, 2.7441, 5753.3849),
    (3418.0, 2.8289, 3.5231),
    (3136.0, 3.6277, 77713.7715),
    (2676.0, 4.4181, 7860.4194),
    (2343.0, 6.1352, 3930.2097),
    (1324.0, 0.7425, 11506.7698),
    (1273.0, 2.0371, 529.691),
    (1199.0, 1.1096, 1577.3435),
    (990.0, 5.233, 5884.927),
    (902.0, 2.045, 26.298),
    (857.0, 3.508, 398.149),
    (780.0, 1.179, 5223.694),
    (753.0, 2.533, 5507.553),
)
_LONGITUDE_RATE = ((628331966747.0, 0.0, 0.0), (206059.0, 2.678235, 6283.07585))
_DISTANCE = ((100013989.0, 0.0, 0.0), (1670700.0, 3.0984635, 6283.07585), (13956.0, 3.05525, 12566.1517))
_TERMS_UNIT = 1e-8

_REFRACTION_AT_HORIZON_DEG = 0.5667
_SUN_RADIUS_DEG = 0.26667
_RISE_ELEVATION_DEG = -(_REFRACTION_AT_HORIZON_DEG + _SUN_RADIUS_DEG)
"""The sun's middle stands here when its upper edge is seen on a level horizon, through the bent light."""


@dataclass(frozen=True, slots=True)
class Sun:
    """The sun at one moment, for the whole earth.

    Args:
        declination_deg: apparent declination, degrees.
        hour_angle_deg: apparent hour angle at longitude 0, degrees west, 0 to 360.
        distance_AU: from the earth, astronomical units.
    """

    declination_deg: float
    hour_angle_deg: float
    distance_AU: float


@record(frozen=True, slots=True)
class Direction:
    """A direction as seen from the ground: a vector of length 1 by its parts."""

    east: float
    north: float
    up: float

    @property
    def zenith_deg(self) -> float:
        """Angle from straight up, degrees."""
        return degrees(atan2(hypot(self.east, self.north), self.up))

    @property
    def elevation_deg(self) -> float:
        """Angle above the horizon, degrees."""
        return degrees(atan2(self.up, hypot(self.east, self.north)))

    @property
    def azimuth_deg(self) -> float:
        """Angle clockwise from true north, degrees, 0 to 360."""
        return degrees(atan2(self.east, self.north)) % 360.0

    def lifted(self, angle_deg: float) -> "Direction":
        """The same direction higher by an angle in degrees."""
        flat = hypot(self.east, self.north)
        if flat == 0.0:
            return self
        higher = radians(self.elevation_deg + angle_deg)
        share = cos(higher) / flat
        return Direction(self.east * share, self.north * share, sin(higher))


def days_since_2000(year: int, month: int, day: int, hour: float = 0.0) -> float:
    """Days from 2000 January 1, 12:00, to a date and hour of universal time; dates of the Gregorian calendar.

    Cites:
        Reda, Andreas 2004, doi:10.1016/j.solener.2003.12.003 (equation 4; as written out in pvlib 0.16.1)
    """
    if month <= 2:  # noqa: PLR2004  # the year begins in March, so that a leap day stands at its end
        year, month = year - 1, month + 12
    leap = 2 - year // 100 + year // 400
    whole = int(365.25 * (year + 4716)) + int(30.6001 * (month + 1))
    return whole + day + leap - 1524.5 + hour / 24.0 - EPOCH_JULIAN_DAY


def sun_at(days: float) -> Sun:
    """Where does the sun stand, seen from the earth's middle?

    The solar position algorithm with its smallest terms left out: those below 0.0004 deg in longitude, and the sun's
    latitude (0.0002 deg). What is left out adds up to less than 0.003 deg from 1950 to 2050.

    Cites:
        Reda, Andreas 2004, doi:10.1016/j.solener.2003.12.003 (the algorithm; as written out in pvlib 0.16.1)
        Meeus 1998, chapter 22 (nutation, its two largest terms; from memory)

    Args:
        days: days of universal time since 2000 January 1, 12:00.
    """
    centuries = (days + _EARTH_TURNS_BEHIND_DAYS) / DAYS_PER_CENTURY
    millennia = centuries / 10.0
    longitude = pi + _sum(_LONGITUDE, millennia) + millennia * _sum(_LONGITUDE_RATE, millennia)
    distance_AU = _sum(_DISTANCE, millennia)
    node = radians(125.04452 - 1934.136261 * centuries)
    in_longitude = radians((-17.20 * sin(node) - 1.32 * sin(2.0 * longitude)) / 3600.0)
    in_obliquity = radians((9.20 * cos(node) + 0.57 * cos(2.0 * longitude)) / 3600.0)
    obliquity = radians(23.0 + 26.0 / 60.0 + (21.448 - 46.8150 * centuries) / 3600.0) + in_obliquity
    apparent = longitude + in_longitude - radians(20.4898 / 3600.0) / distance_AU
    right_ascension = atan2(sin(apparent) * cos(obliquity), cos(apparent))
    sidereal_deg = 280.46061837 + 360.98564736629 * days + degrees(in_longitude) * cos(obliquity)
    return Sun(
        declination_deg=degrees(asin(sin(apparent) * sin(obliquity))),
        hour_angle_deg=(sidereal_deg - degrees(right_ascension)) % 360.0,
        distance_AU=distance_AU,
    )


def _sum(terms: tuple[tuple[float, float, float], ...], millennia: float) -> float:
    return sum(size * cos(phase + speed * millennia) for size, phase, speed in terms) * _TERMS_UNIT


def direction(declination_deg: float, hour_angle_deg: float, latitude_deg: float) -> Direction:
    """In which direction does the sun stand, seen from a latitude?

    Args:
        declination_deg: the sun's declination, degrees.
        hour_angle_deg: its hour angle there, degrees, 0 at its highest, growing westward.
        latitude_deg: degrees, north above zero.
    """
    declination, hour, latitude = radians(declination_deg), radians(hour_angle_deg), radians(latitude_deg)
    toward = cos(declination) * cos(hour)
    return Direction(
        east=-cos(declination) * sin(hour),
        north=cos(latitude) * sin(declination) - sin(latitude) * toward,
        up=sin(latitude) * sin(declination) + cos(latitude) * toward,
    )


def position(days: float, latitude_deg: float, longitude_deg: float) -> Direction:
    """In which direction does the sun stand at a moment, as a straight line from a place, without refraction?

    Cites:
        Reda, Andreas 2004, doi:10.1016/j.solener.2003.12.003 (its parallax, here as a lowering by 8.794 arcseconds
        times the cosine of the elevation)

    Args:
        days: days of universal time since 2000 January 1, 12:00.
        latitude_deg: degrees, north above zero.
        longitude_deg: degrees, east above zero.
    """
    sun = sun_at(days)
    seen = direction(sun.declination_deg, sun.hour_angle_deg + longitude_deg, latitude_deg)
    return seen.lifted(-8.794 / 3600.0 / sun.distance_AU * hypot(seen.east, seen.north))


def refraction_deg(elevation_deg: float, pressure_share: float = 1.0, air_degC: float = 12.0) -> float:
    """By how many degrees does the air lift the sun? None is counted once the sun has set.

    Cites:
        Reda, Andreas 2004, doi:10.1016/j.solener.2003.12.003 (equation 42; as written out in pvlib 0.16.1)

    Args:
        elevation_deg: of the sun's middle without refraction, degrees.
        pressure_share: the air's pressure as a share of 1013.25 hPa.
        air_degC: the air's temperature, degC.
    """
    if elevation_deg < _RISE_ELEVATION_DEG:
        return 0.0
    bent = tan(radians(elevation_deg + 10.3 / (elevation_deg + 5.11)))
    return pressure_share * 1013.25 / 1010.0 * 283.0 / (273.0 + air_degC) * 1.02 / (60.0 * bent)


def equation_of_time_min(sun: Sun, days: float) -> float:
    """By how many minutes is the sun ahead of a clock that shows its mean time at the same longitude?"""
    clock_deg = 360.0 * (days % 1.0)  # days begin at noon, as hour angles do
    return ((sun.hour_angle_deg - clock_deg + 180.0) % 360.0 - 180.0) * 60.0 / DEGREES_PER_HOUR


def half_day_hours(declination_deg: float, latitude_deg: float) -> float:
    """Hours from sunrise to noon: 0 where the sun stays down, 12 where it stays up.

    The sun is up when its upper edge is seen on a level horizon, 0.8333 deg below it for its middle.

    Cites:
        Reda, Andreas 2004, doi:10.1016/j.solener.2003.12.003 (refraction 0.5667 deg, radius 0.26667 deg)
    """
    declination, latitude = radians(declination_deg), radians(latitude_deg)
    across = cos(latitude) * cos(declination)
    above = sin(radians(_RISE_ELEVATION_DEG)) - sin(latitude) * sin(declination)
    if abs(above) >= across:
        return NOON if above < 0.0 else 0.0
    return degrees(acos(above / across)) / DEGREES_PER_HOUR
