"""Light under a clear sky: on level ground by two published models, and on a tilted plane."""

from dataclasses import dataclass
from math import cos, exp, radians, sin

from calc.model.record import record
from calc.physics.sun import Direction

_HIGHEST_STANDARD_M = 44331.514
"""Where the pressure formula ends, m; far above any site."""


@record(frozen=True, slots=True)
class ClearSky:
    """Light on level ground and straight from the sun, W/m2.

    Args:
        global_Wm2: all light on level ground.
        direct_Wm2: light from the sun on a plane that faces it.
        diffuse_Wm2: light from the rest of the sky on level ground.
    """

    global_Wm2: float
    direct_Wm2: float
    diffuse_Wm2: float


DARK = ClearSky(0.0, 0.0, 0.0)


def pressure_share(elevation_m: float) -> float:
    """The air's usual pressure at a height as a share of 1013.25 hPa.

    Cites:
        U.S. standard atmosphere (as written out in pvlib 0.16.1)
    """
    return float(((_HIGHEST_STANDARD_M - elevation_m) / 11880.516) ** (1.0 / 0.1902632) / 1013.25)


def air_mass(zenith_deg: float) -> float:
    """How many times as much air the light crosses as from straight above, at sea level.

    Cites:
        Kasten, Young 1989, doi:10.1364/AO.28.004735 (as written out in pvlib 0.16.1)

    Args:
        zenith_deg: of the sun as seen, with refraction, at most 90 degrees.
    """
    return float(1.0 / (cos(radians(zenith_deg)) + 0.50572 * (96.07995 - zenith_deg) ** -1.6364))


def clear_sky(
    zenith_deg: float,
    *,
    elevation_m: float,
    turbidity: float,
    beyond_Wm2: float,
) -> ClearSky:
    """How much light reaches the ground through clear air, and how is it shared between sun and sky?

    Nothing once the sun has set: the light of dusk is not in the model.

    Cites:
        Ineichen, Perez 2002, doi:10.1016/S0038-092X(02)00045-2 (as written out in pvlib 0.16.1, without Perez's own
        enhancement, which grows without bound as the sun sets)

    Args:
        zenith_deg: of the sun as seen, with refraction, degrees.
        elevation_m: of the site above the sea, m.
        turbidity: Linke turbidity, without unit: how many times as much clean air would dim the sun as much.
        beyond_Wm2: the sun's light outside the air on a plane that faces it, W/m2.
    """
    upright = cos(radians(zenith_deg))
    if upright <= 0.0:
        return DARK
    mass = air_mass(zenith_deg) * pressure_share(elevation_m)
    haze = turbidity - 1.0
    near, far = exp(-elevation_m / 8000.0), exp(-elevation_m / 1250.0)
    strength, dimming = 5.09e-5 * elevation_m + 0.868, 3.92e-5 * elevation_m + 0.0387
    level = strength * beyond_Wm2 * upright * exp(-dimming * mass * (near + far * haze))
    beam = (0.664 + 0.163 / near) * beyond_Wm2 * exp(-0.09 * mass * haze)
    most = level * (1.0 - (0.1 - 0.2 * exp(-turbidity)) / (0.1 + 0.882 / near)) / upright
    direct = min(beam, max(most, 0.0))
    return ClearSky(level, direct, level - direct * upright)


def clear_sky_by_zenith(zenith_deg: float) -> float:
    """Light on level ground by the simplest published model, which knows the sun's height only, W/m2.

    It is a second opinion: where two models of a clear sky differ, neither is exact.

    Cites:
        Haurwitz 1945, 1946 (as written out in pvlib 0.16.1)

    Args:
        zenith_deg: of the sun as seen, with refraction, degrees.
    """
    upright = cos(radians(zenith_deg))
    return 1098.0 * upright * exp(-0.059 / upright) if upright > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Plane:
    """How the modules are turned.

    Args:
        tilt_deg: from level, degrees; 90 stands upright.
        azimuth_deg: the way they face, degrees clockwise from true north.
    """

    tilt_deg: float
    azimuth_deg: float

    @property
    def faces(self) -> Direction:
        """The direction straight out of the glass."""
        tilt, azimuth = radians(self.tilt_deg), radians(self.azimuth_deg)
        return Direction(sin(tilt) * sin(azimuth), sin(tilt) * cos(azimuth), cos(tilt))


def cosine_of_incidence(faces: Direction, sun: Direction) -> float:
    """The cosine of the angle between the sun and straight out of the glass; below zero with the sun behind."""
    return faces.east * sun.east + faces.north * sun.north + faces.up * sun.up


def on_plane(sky: ClearSky, faces: Direction, sun: Direction, albedo: float) -> float:
    """How much light falls on the front of a plane? In W/m2.

    Light from the sun by the angle it falls in, light from the sky as if it were equally bright all over, and light
    thrown back by level ground.

    Cites:
        Liu, Jordan 1963 (the sky equally bright; as written out in pvlib 0.16.1)
        Loutzenhiser and others 2007, doi:10.1016/j.solener.2006.03.009 (the sum; as cited by pvlib 0.16.1)

    Args:
        sky: light on level ground.
        faces: straight out of the glass.
        sun: where the sun is seen.
        albedo: share of its light that the ground throws back.
    """
    straight = sky.direct_Wm2 * max(cosine_of_incidence(faces, sun), 0.0)
    from_sky = sky.diffuse_Wm2 * (1.0 + faces.up) / 2.0
    return straight + from_sky + sky.global_Wm2 * albedo * (1.0 - faces.up) / 2.0
