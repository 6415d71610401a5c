"""How hot cells run: above the air in proportion to the light that falls on them."""

from calc.physics.constants import REFERENCE_IRRADIANCE_WM2


def cell_temperature(air_degC: float, irradiance_Wm2: float, rise_K: float) -> float:
    """How warm is a cell in the sun, with light wind and no haste? In degC.

    A straight line through the air's temperature: the rise that the module's nominal operating cell temperature gives
    in full sun, with the mounting's own addition, shrinks with the light.

    Cites:
        Ross 1980 (the straight line; as written out in pvlib 0.16.1)

    Args:
        air_degC: the air around the array, degC.
        irradiance_Wm2: light on the front of the module, W/m2.
        rise_K: rise of the cell over the air at 1000 W/m2, K.
    """
    return air_degC + rise_K * irradiance_Wm2 / REFERENCE_IRRADIANCE_WM2
