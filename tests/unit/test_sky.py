"""Light under a clear sky by its own laws: nothing at night, sums that close, and what each cause does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.physics.sky import DARK, Plane, clear_sky, clear_sky_by_zenith, cosine_of_incidence, on_plane
from calc.physics.sun import Direction, direction

zeniths = st.floats(0, 89.9)
AIR = {"elevation_m": 300.0, "turbidity": 3.0, "beyond_Wm2": 1361.0}


def sky(zenith, **changes):
    """Light with the sun at a zenith angle, in ordinary air."""
    return clear_sky(zenith, **{**AIR, **changes})


@given(st.floats(90.001, 180))
def test_no_light_once_the_sun_has_set(zenith):
    """Below the horizon there is no light in either model: dusk is not counted."""
    assert sky(zenith) == DARK
    assert clear_sky_by_zenith(zenith) == pytest.approx(0.0, abs=1e-9)


@given(zeniths, st.floats(2, 8), st.floats(-400, 3000))
def test_light_on_level_ground_is_sun_and_sky(zenith, turbidity, elevation):
    """Level light is the sun's share by its height and the sky's; none is below zero or above that outside the air."""
    seen = sky(zenith, turbidity=turbidity, elevation_m=elevation)
    upright = direction(90 - zenith, 0.0, 90.0).up
    assert seen.global_Wm2 == pytest.approx(seen.direct_Wm2 * upright + seen.diffuse_Wm2, abs=1e-9)
    assert 0.0 <= seen.diffuse_Wm2 <= seen.global_Wm2 <= AIR["beyond_Wm2"]
    assert 0.0 <= seen.direct_Wm2 <= AIR["beyond_Wm2"]


@given(zeniths)
def test_haze_takes_light_and_height_gives_it(zenith):
    """More haze means less direct light; a higher site means more light on level ground."""
    assert sky(zenith, turbidity=5.0).direct_Wm2 <= sky(zenith, turbidity=2.0).direct_Wm2
    if zenith < 80:
        assert sky(zenith, elevation_m=2500.0).global_Wm2 > sky(zenith, elevation_m=0.0).global_Wm2


@given(st.floats(0, 75))
def test_two_models_are_of_one_mind(zenith):
    """With the sun more than 15° up, the two published models differ by less than a fifth."""
    assert sky(zenith).global_Wm2 == pytest.approx(clear_sky_by_zenith(zenith), rel=0.2)


@given(zeniths, st.floats(0, 360), st.floats(0, 0.9))
def test_a_level_plane_gets_the_light_of_level_ground(zenith, azimuth, albedo):
    """Without tilt, neither direction nor ground matters."""
    sun = Direction(0.0, 0.0, 1.0).lifted(0.0) if zenith == 0 else direction(90 - zenith, 0.0, 90.0)
    seen = sky(zenith)
    found = on_plane(seen, Plane(0.0, azimuth).faces, sun, albedo)
    assert found == pytest.approx(seen.global_Wm2, abs=1e-6)


def test_an_upright_plane_sees_half_the_sky_and_half_the_ground():
    """With the sun behind it, an upright plane gets half the sky's light and half the ground's."""
    seen, sun = sky(50.0), direction(40.0, 0.0, 90.0)
    behind = Plane(90.0, sun.azimuth_deg + 180.0).faces
    assert cosine_of_incidence(behind, sun) < 0
    expected = seen.diffuse_Wm2 / 2 + 0.2 * seen.global_Wm2 / 2
    assert on_plane(seen, behind, sun, 0.2) == pytest.approx(expected)


def test_a_plane_that_faces_the_sun_gets_all_of_its_direct_light():
    """Turned to the sun, the whole direct light falls on the plane."""
    seen, sun = sky(60.0), direction(30.0, 0.0, 90.0)
    toward = Plane(60.0, sun.azimuth_deg).faces
    assert cosine_of_incidence(toward, sun) == pytest.approx(1.0)
    assert on_plane(seen, toward, sun, 0.0) == pytest.approx(seen.direct_Wm2 + seen.diffuse_Wm2 * 0.75)


@given(st.floats(0, 90), st.floats(0, 360))
def test_a_plane_faces_where_it_is_turned(tilt, azimuth):
    """The way out of the glass leans from straight up by the tilt, toward the azimuth."""
    faces = Plane(tilt, azimuth).faces
    assert faces.zenith_deg == pytest.approx(tilt, abs=1e-6)
    if tilt > 1:
        assert (faces.azimuth_deg - azimuth + 180) % 360 - 180 == pytest.approx(0.0, abs=1e-6)
