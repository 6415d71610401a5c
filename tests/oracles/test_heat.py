"""Cell temperature in any light, judged by a reference library (pvlib) and by its printed values."""

import numpy as np
import pytest
from pvlib import temperature

from calc.derive.temperature import RISE
from calc.physics.heat import cell_temperature


def rise(noct, added=0.0):
    """The rise in full sun as the check works it out."""
    return RISE.parsed.evaluate(
        {
            "noct": noct,
            "noct_air": 20.0,
            "noct_irradiance": 800.0,
            "stc_irradiance": 1000.0,
            "mounting_rise": added,
        }
    )


@pytest.mark.parametrize(
    ("light", "air", "noct45", "noct47"),
    [
        (1000.0, 20.0, 51.25, 53.75),
        (800.0, 20.0, 45.0, 47.0),
        (1000.0, 40.0, 71.25, 73.75),
        (1000.0, 35.0, 66.25, 68.75),
        (1000.0, 45.0, 76.25, 78.75),
        (600.0, -10.0, 8.75, 10.25),
        (0.0, -20.0, -20.0, -20.0),
    ],
)
def test_printed_cell_temperatures(light, air, noct45, noct47):
    """Ross's straight line as computed with pvlib 0.16.1, for NOCT 45 and 47 °C: the same numbers, exactly."""
    assert cell_temperature(air, light, rise(45.0)) == noct45
    assert cell_temperature(air, light, rise(47.0)) == noct47


def test_cell_temperature_is_the_references():
    """For any light, air and NOCT the cell is as warm as the reference has it, to the last bits of a float."""
    random = np.random.default_rng(3)
    for light, air, noct in zip(
        random.uniform(0, 1300, 2000),
        random.uniform(-50, 55, 2000),
        random.uniform(35, 70, 2000),
        strict=True,
    ):
        theirs = temperature.ross(light, air, noct)
        assert cell_temperature(air, light, rise(noct)) == pytest.approx(theirs, rel=0, abs=1e-12)
