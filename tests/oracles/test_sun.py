"""Where the sun stands, judged by the whole solar position algorithm as a reference library (pvlib) has it."""

import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition, spa

from calc.physics.daylight import Air, Site, daylight
from calc.physics.sky import Plane
from calc.physics.sun import (
    EPOCH_JULIAN_DAY,
    days_since_2000,
    equation_of_time_min,
    position,
    refraction_deg,
    sun_at,
)
from calc.tables import load_book

UNIX_EPOCH_JULIAN_DAY = 2440587.5
SECONDS = 86400.0
AGREED_DEG = 0.01
AS_MEASURED_DEG = 0.002


def random_moments(first, last, count, seed):
    """Moments evenly spread over the years from first to last, as seconds of unix time."""
    start, end = (pd.Timestamp(f"{year}-01-01", tz="UTC").timestamp() for year in (first, last))
    return np.random.default_rng(seed).uniform(start, end, count)


def whole_algorithm(unix, latitude, longitude):
    """Apparent zenith, zenith, apparent elevation, elevation, azimuth (deg) and equation of time (min)."""
    return spa.solar_position_numpy(unix, latitude, longitude, 0.0, 1013.25, 12.0, 69.0, 0.5667, 1)


def ahead(unix):
    """The equation of time at a moment, minutes."""
    return whole_algorithm(np.array([unix]), 0.0, 0.0)[5][0]


def days(unix):
    return unix / SECONDS + UNIX_EPOCH_JULIAN_DAY - EPOCH_JULIAN_DAY


@pytest.mark.parametrize(("first", "last"), [(2021, 2031), (1950, 1960), (2040, 2050)])
def test_the_sun_stands_where_the_whole_algorithm_has_it(first, last):
    """Over ten years and latitudes to 66° the direction is within 0.01°, as an angle on the sky (measured: 0.002°)."""
    random = np.random.default_rng(first)
    unix = random_moments(first, last, 4000, first)
    latitude, longitude = random.uniform(-66, 66, unix.size), random.uniform(-180, 180, unix.size)
    _, zenith, _, _, azimuth, _ = whole_algorithm(unix, latitude, longitude)
    flat = np.sin(np.radians(zenith))
    theirs = np.array(
        [flat * np.sin(np.radians(azimuth)), flat * np.cos(np.radians(azimuth)), np.cos(np.radians(zenith))]
    )
    seen = [position(*one) for one in zip(days(unix), latitude, longitude, strict=True)]
    ours = np.array([[one.east, one.north, one.up] for one in seen]).T
    apart = np.degrees(2 * np.arcsin(np.linalg.norm(theirs - ours, axis=0) / 2))
    assert apart.max() < AS_MEASURED_DEG < AGREED_DEG
    assert max(abs(one.zenith_deg - z) for one, z in zip(seen, zenith, strict=True)) < AS_MEASURED_DEG


def test_azimuth_is_the_whole_algorithms():
    """Away from straight up, where a small step turns the azimuth far, azimuth itself is within 0.01°."""
    unix = random_moments(2021, 2031, 4000, 5)
    latitude = np.random.default_rng(6).uniform(-66, 66, unix.size)
    _, zenith, _, _, azimuth, _ = whole_algorithm(unix, latitude, 0.0)
    away = (zenith > 15) & (zenith < 165)
    ours = np.array([position(d, lat, 0.0).azimuth_deg for d, lat in zip(days(unix), latitude, strict=True)])
    assert np.abs((ours - azimuth + 180) % 360 - 180)[away].max() < AGREED_DEG


def test_the_algorithms_own_example():
    """The example of its report: zenith 50.11162°, azimuth 194.34024° (2003-10-17 12:30:30, UTC−7; from memory).

    Widened to 0.001°, because the smallest terms are left out.
    """
    moment = days_since_2000(2003, 10, 17, 19.5 + 30 / 3600)
    seen = position(moment, 39.742476, -105.1786)
    bent = refraction_deg(seen.elevation_deg, 820 / 1013.25, 11.0)
    assert seen.zenith_deg - bent == pytest.approx(50.11162, abs=0.001)
    assert seen.azimuth_deg == pytest.approx(194.34024, abs=0.001)


def test_refraction_is_the_whole_algorithms():
    """By how much the air lifts the sun is the same, from the horizon to straight up."""
    for elevation in np.linspace(-0.8, 90, 200):
        theirs = spa.atmospheric_refraction_correction(850.0, 3.0, elevation, 0.5667)
        assert refraction_deg(elevation, 850 / 1013.25, 3.0) == pytest.approx(theirs, abs=1e-12)


def test_equation_of_time_is_the_whole_algorithms():
    """Sun time and clock time differ as they should, to a second."""
    unix = random_moments(2021, 2031, 500, 7)
    theirs = whole_algorithm(unix, 0.0, 0.0)[5]
    ours = [equation_of_time_min(sun_at(d), d) for d in days(unix)]
    assert np.abs(np.array(ours) - theirs).max() * 60 < 1


@pytest.mark.parametrize("latitude", [-55.0, -20.0, 0.0, 34.0, 44.0, 62.0])
def test_sunrise_and_sunset_are_the_whole_algorithms(latitude):
    """Sunrise and sunset by a clock are within half a minute, through the year."""
    longitude, site = -3.0, Site(latitude, Plane(30.0, 180.0), -3.0)
    for month in range(1, 13):
        day = daylight((2025, month, 9), site, Air(10.0))
        noon = pd.DatetimeIndex([f"2025-{month:02d}-09 12:00+00:00"])
        theirs = solarposition.sun_rise_set_transit_spa(noon, latitude, longitude)
        for hour, name in ((day.sunrise, "sunrise"), (12.0, "transit"), (day.sunset, "sunset")):
            stamp = theirs[name].iloc[0]
            clock = stamp.hour + stamp.minute / 60 + stamp.second / 3600
            assert hour - 12.0 + day.clock_at_noon_h == pytest.approx(clock, abs=0.5 / 60)


@pytest.mark.parametrize("date", [(2025, 12, 21), (2025, 3, 20), (2025, 6, 11), (2025, 10, 3)])
def test_the_sun_of_a_day_is_the_sun_of_its_hours(date):
    """Through a day in sun time the sun is within 0.01° of where the whole algorithm has it at that moment."""
    latitude, longitude = 44.0, -103.0
    day = daylight(date, Site(latitude, Plane(45.0, 180.0), longitude), Air(10.0))
    midnight = pd.Timestamp(*date, tz="UTC").timestamp() + 7 * 3600  # of the zone in which noon is told
    noon = midnight + 3600 * day.clock_at_noon_h
    for light in day.moments[1:-1]:
        unix = noon + 3600 * (light.hour - 12.0)
        unix -= 60 * (ahead(unix) - ahead(noon))  # sun time runs up to 30 seconds a day ahead or behind
        theirs = whole_algorithm(np.array([unix]), latitude, longitude)
        seen = day.sun(light.hour)
        assert seen.zenith_deg == pytest.approx(theirs[0][0], abs=AGREED_DEG)
        assert seen.azimuth_deg == pytest.approx(theirs[4][0], abs=AGREED_DEG)


def test_the_days_that_stand_for_months_have_the_printed_declinations():
    """Iqbal 1983 prints the month's characteristic declination beside the day nearest to it: ours is within 0.5°."""
    table = load_book().table("day_months")
    for month, day, printed in table.rows:
        ours = sun_at(days_since_2000(2025, int(month), int(day), 12.0)).declination_deg
        assert ours == pytest.approx(printed, abs=0.5)
