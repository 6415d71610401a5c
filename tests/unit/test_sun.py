"""The sun's place by its own laws: calendar, symmetry, seasons, and the ends of the earth."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.physics.sun import (
    NOON,
    Direction,
    days_since_2000,
    direction,
    equation_of_time_min,
    half_day_hours,
    position,
    refraction_deg,
    sun_at,
)

latitudes = st.floats(-90, 90)
declinations = st.floats(-23.45, 23.45)
hour_angles = st.floats(-180, 180)


@given(st.integers(-36_000, 36_000), st.floats(0, 24, exclude_max=True))
def test_days_are_counted_as_the_calendar_counts_them(days, hour):
    """Days since 2000 January 1, 12:00, agree with the standard library's calendar, leap days included."""
    date = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(days=days)
    expected = days - 0.5 + hour / 24
    assert days_since_2000(date.year, date.month, date.day, hour) == pytest.approx(expected, abs=1e-9)


@given(declinations, hour_angles, latitudes)
def test_a_direction_has_length_one(declination, hour_angle, latitude):
    """The parts of a direction make a vector of length 1, and elevation and zenith make a right angle."""
    seen = direction(declination, hour_angle, latitude)
    assert seen.east**2 + seen.north**2 + seen.up**2 == pytest.approx(1.0, abs=1e-12)
    assert seen.zenith_deg + seen.elevation_deg == pytest.approx(90.0, abs=1e-9)
    assert 0.0 <= seen.azimuth_deg <= 360.0


@given(declinations, st.floats(0, 180), latitudes)
def test_morning_mirrors_afternoon(declination, hour_angle, latitude):
    """As long before noon as after it, the sun stands as high, and as far to the other side of the meridian."""
    before, after = (direction(declination, sign * hour_angle, latitude) for sign in (-1, 1))
    assert before.up == after.up
    assert before.north == after.north
    assert before.east == -after.east


@given(declinations, hour_angles, latitudes)
def test_south_mirrors_north(declination, hour_angle, latitude):
    """South of the equator half a year away, the sun takes the same path with north and south exchanged."""
    here, there = direction(declination, hour_angle, latitude), direction(-declination, hour_angle, -latitude)
    assert there.up == pytest.approx(here.up, abs=1e-12)
    assert there.north == pytest.approx(-here.north, abs=1e-12)


def test_noon_is_highest_and_due_south():
    """At 44° north the sun of an equinox stands at 46° due south at noon, and due east six hours before."""
    noon, six = direction(0.0, 0.0, 44.0), direction(0.0, -90.0, 44.0)
    assert noon.elevation_deg == pytest.approx(46.0)
    assert noon.azimuth_deg == pytest.approx(180.0)
    assert six.elevation_deg == pytest.approx(0.0, abs=1e-12)
    assert six.azimuth_deg == pytest.approx(90.0)


@given(declinations, hour_angles, latitudes, st.floats(-2, 2))
def test_lifting_moves_straight_up(declination, hour_angle, latitude, angle):
    """A lifted direction is higher by just that angle and keeps its azimuth."""
    seen = direction(declination, hour_angle, latitude)
    if abs(seen.elevation_deg) > 85:
        return
    lifted = seen.lifted(angle)
    assert lifted.elevation_deg == pytest.approx(seen.elevation_deg + angle, abs=1e-9)
    turned = (lifted.azimuth_deg - seen.azimuth_deg + 180) % 360 - 180
    assert turned == pytest.approx(0.0, abs=1e-6)


def test_straight_up_stays_straight_up():
    """A direction without azimuth is left as it is."""
    assert Direction(0.0, 0.0, 1.0).lifted(0.5) == Direction(0.0, 0.0, 1.0)


def test_seasons():
    """The sun stands 23.4° north in June, as far south in December, above the equator in March (from memory)."""
    june, december, march = (
        sun_at(days_since_2000(2025, month, day, hour)).declination_deg
        for month, day, hour in ((6, 21, 2.7), (12, 21, 15.05), (3, 20, 9.02))
    )
    assert june == pytest.approx(23.44, abs=0.005)
    assert december == pytest.approx(-23.44, abs=0.005)
    assert march == pytest.approx(0.0, abs=0.001)


def test_distance_is_least_in_january():
    """The earth is nearest to the sun in January and farthest in July, by 1.7 % each way (from memory)."""
    near, far = (sun_at(days_since_2000(2025, month, 4)).distance_AU for month in (1, 7))
    assert near == pytest.approx(0.9833, abs=1e-4)
    assert far == pytest.approx(1.0167, abs=1e-4)


def test_equation_of_time_through_the_year():
    """Sundials are 14 minutes behind in February and 16 ahead in November (from memory)."""
    behind, ahead = (days_since_2000(2025, month, day, 12.0) for month, day in ((2, 11), (11, 3)))
    assert equation_of_time_min(sun_at(behind), behind) == pytest.approx(-14.2, abs=0.1)
    assert equation_of_time_min(sun_at(ahead), ahead) == pytest.approx(16.4, abs=0.1)


def test_parallax_lowers_the_sun_at_the_horizon():
    """From the earth's surface the sun stands lower than from its middle, by 8.8 arcseconds at the horizon."""
    moment = days_since_2000(2025, 3, 20, 18.0)
    sun = sun_at(moment)
    straight = direction(sun.declination_deg, sun.hour_angle_deg, 0.0)
    lower = straight.elevation_deg - position(moment, 0.0, 0.0).elevation_deg
    assert lower * 3600 == pytest.approx(8.8, abs=0.2)


def test_refraction_ends_with_sunset():
    """The air lifts the sun by half a degree at the horizon, hardly overhead, and not at all after sunset."""
    assert refraction_deg(0.0) == pytest.approx(0.48, abs=0.03)
    assert abs(refraction_deg(90.0)) < 0.001
    assert refraction_deg(-0.9) == 0.0


@given(declinations, latitudes)
def test_day_and_night_share_the_day(declination, latitude):
    """Half a day is none to twelve hours; days half a year apart add up to more than one, by the bent light."""
    half = half_day_hours(declination, latitude)
    assert 0.0 <= half <= NOON
    assert half + half_day_hours(-declination, latitude) >= NOON - 1e-9


@pytest.mark.parametrize(("declination", "hours"), [(23.4, 12.0), (-23.4, 0.0)])
def test_polar_day_and_night(declination, hours):
    """At 70° north the sun stays up at midsummer and down at midwinter."""
    assert half_day_hours(declination, 70.0) == hours


def test_what_is_left_out_is_midnight_and_mild_air_at_the_sea():
    """A date alone begins at midnight; refraction alone is that of 1013.25 hPa and 12 degC."""
    assert days_since_2000(2000, 1, 1) == -0.5
    assert refraction_deg(5.0) == refraction_deg(5.0, 1.0, 12.0)
