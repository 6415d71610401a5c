"""Cell temperature by its own laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import assess, load_book, read_design
from calc.physics.heat import cell_temperature

air = st.floats(-60, 60)
light = st.floats(0, 1500)
rises = st.floats(0, 80)


@given(air, rises)
def test_a_cell_in_the_dark_is_as_warm_as_the_air(around, rise):
    """Without light a cell has the air's temperature."""
    assert cell_temperature(around, 0.0, rise) == around


@given(air, light, light, rises)
def test_more_light_never_cools(around, one, other, rise):
    """The rise grows in proportion to the light."""
    low, high = (cell_temperature(around, value, rise) for value in sorted((one, other)))
    assert low <= high
    assert high - around == pytest.approx(rise * max(one, other) / 1000, abs=1e-9)


@pytest.mark.parametrize("mounting", ["pole", "open rack", "roof stand-off", "roof flush"])
def test_full_sun_gives_the_hottest_cell_of_the_check(mounting):
    """At 1000 W/m² on the hottest day the cell is as hot as the check takes it, whatever the mounting."""
    text = (
        '[site]\nhottest = "36 degC"\n[module]\nvoc = "22.4 V"\nisc = "6.3 A"\nvmp = "18.2 V"\nimp = "6.04 A"\n'
        f'noct = "45 degC"\n[array]\nmodules_in_series = 1\nstrings_in_parallel = 1\nmounting = "{mounting}"\n'
    )
    steps = assess(read_design(text), load_book()).steps
    found = cell_temperature(36.0, 1000.0, steps["rise_K"].result)
    assert found == pytest.approx(steps["cell_hot_degC"].result, abs=1e-9)
