"""The formulas by which limits are checked, judged by a reference library (pvlib): cold voltage, cell temperature."""

import numpy as np
import pytest
from pvlib import temperature

from calc.derive.temperature import CELL_HOT, RISE
from calc.derive.voltage import VOC_COLD


def by_formula(method, **values):
    """What a method's formula gives for plain numbers in the symbols' own units, shares instead of percent."""
    return method.parsed.evaluate(values)


def test_cold_open_circuit_voltage_by_the_coefficient_agrees_with_the_rows_model(well_behaved):
    """At -40 degC the straight-line method is within 0.7 % of the row's own model, and hardly ever below it.

    The middle row lies 0.2 % above: on the safe side for a voltage limit.
    """
    voc = well_behaved["V_oc_ref"]
    found = [
        by_formula(
            VOC_COLD, modules_in_series=1, voc=v, voc_coefficient=beta / v, cell_cold=-40.0, stc_cell=25.0
        )
        for v, beta in zip(voc, well_behaved["beta_oc"], strict=True)
    ]
    above = np.array(found) / well_behaved.voc(1000.0, -40.0) - 1
    assert np.abs(above).max() < 0.007
    assert above.min() > -0.002
    assert np.median(above) == pytest.approx(0.0021, abs=0.0005)


@pytest.mark.parametrize("noct", [43.8, 45.0, 46.3, 49.4])
@pytest.mark.parametrize("air", [-20.0, 20.0, 40.0])
@pytest.mark.parametrize("irradiance", [0.0, 800.0, 1000.0])
def test_cell_temperature_by_noct_is_the_references(noct, air, irradiance):
    """The rise from NOCT is the linear one that the reference library documents."""
    rise = by_formula(
        RISE, noct=noct, noct_air=20.0, noct_irradiance=800.0, stc_irradiance=irradiance, mounting_rise=0.0
    )
    found = by_formula(CELL_HOT, hottest=air, rise=rise)
    assert found == pytest.approx(temperature.ross(irradiance, air, noct), abs=1e-9)
