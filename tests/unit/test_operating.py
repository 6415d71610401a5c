"""Where controllers come to rest: at a peak, held at the least voltage, joined to the battery, or not at all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.model.faults import HELD, JOINED, NOTHING, PEAK
from calc.physics import fit
from calc.physics.arrays import Array
from calc.physics.operating import Joiner, Tracker
from calc.physics.shade import Build, Plight, Sun, string

MODULE = fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005)
BUILD = Build(MODULE, 4, 2, 0.5)
HOT = Sun(1000.0, 60.0)
SUNNY = Array(((string(BUILD, HOT), 1),), 0.2)
SHADED = Array(((string(BUILD, HOT, Plight(((2, 0.5),))), 1),), 0.2)
DARK = Array(((string(BUILD, Sun(0.0, 10.0)), 1),))

shades = st.lists(st.tuples(st.integers(1, 3), st.floats(0.1, 1.0)), max_size=2).map(
    lambda shaded: Array(((string(BUILD, HOT, Plight(tuple(shaded))), 1), (string(BUILD, HOT), 1)), 0.1)
)


def test_a_tracker_rests_at_the_only_peak():
    """Without shade there is one peak, and it is both the best and the first."""
    working = Tracker(30.0).works(SUNNY)

    assert working.best is working.first
    assert working.best.way == PEAK
    assert working.best.power_W == SUNNY.best().power


def test_a_tracker_may_stay_at_the_first_peak():
    """In part shade the first peak from open circuit lies at a higher voltage and gives less than the best one."""
    working = Tracker().works(SHADED)
    first, best = SHADED.peaks()

    assert (working.first.state, working.best.state) == (first, best)
    assert first.voltage_V > best.voltage_V
    assert working.first.power_W < working.best.power_W


def test_a_peak_below_the_least_voltage_is_out_of_reach():
    """With the best peak too low, the first is the best that is left; with both too low the voltage is held."""
    first, best = SHADED.peaks()
    between = (first.voltage_V + best.voltage_V) / 2
    above = (first.voltage_V + SHADED.open.voltage_V) / 2

    assert Tracker(between).works(SHADED).best.way in (PEAK, HELD)
    assert Tracker(between).works(SHADED).first.state == first
    held = Tracker(above).works(SHADED).best
    assert held.way == HELD
    assert held.state.voltage_V == pytest.approx(above)
    assert held.power_W == pytest.approx(above * held.state.current_A)


@given(shades, st.floats(0, 90))
def test_a_tracker_takes_the_most_it_can_reach(array, least):
    """No state at or above the least voltage gives more than where it rests."""
    working = Tracker(least).works(array)
    for share in (0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95):
        state = array.at(least + share * (array.open.voltage_V - least))
        assert state is None or state.power <= working.best.power_W * (1 + 1e-9) + 1e-9
    assert working.first.power_W <= working.best.power_W
    assert working.best.way == NOTHING or working.best.state.voltage_V >= least - 1e-6


@given(shades, st.floats(0, 90))
def test_a_tracker_takes_nothing_only_where_nothing_reaches(array, least):
    """It takes nothing exactly where even the open-circuit voltage is below what it needs."""
    assert (Tracker(least).works(array).best.way == NOTHING) == (array.open.voltage_V <= least)


@pytest.mark.parametrize("controller", [Tracker(200.0), Joiner(198.0, 2.0)])
def test_where_nothing_is_taken_the_array_stands_open(controller):
    """It is then at its open-circuit voltage, and gives no power."""
    working = controller.works(SHADED)

    assert working.best is working.first
    assert (working.best.way, working.best.state, working.best.power_W) == (NOTHING, SHADED.open, 0.0)


@given(shades, st.floats(5, 90), st.floats(0, 2))
def test_a_joined_array_works_at_the_battery_s_voltage(array, battery, drop):
    """The array stands at the battery's voltage plus the controller's drop; the drop's share never gets there."""
    controller = Joiner(battery, drop)
    working = controller.works(array)

    assert working.best is working.first
    assert controller.least_V == battery + drop
    if array.open.voltage_V <= battery + drop:
        assert (working.best.way, working.best.power_W) == (NOTHING, 0.0)
    else:
        assert working.best.way == JOINED
        assert working.best.state.voltage_V == pytest.approx(battery + drop)
        assert working.best.power_W == pytest.approx(battery * working.best.state.current_A)


@given(shades, st.floats(5, 60), st.floats(0.01, 2))
def test_energy_is_kept_up_to_the_battery(array, battery, drop):
    """What the array gives is what the battery gets, what the controller uses up and what the run turns into heat."""
    taken = Joiner(battery, drop).works(array).best
    current = taken.state.current_A

    assert taken.state.joint_V * current == pytest.approx(
        taken.power_W + drop * current + array.run_ohm * current**2, rel=1e-7
    )


@pytest.mark.parametrize("controller", [Tracker(), Tracker(12.0), Joiner(12.0, 0.5)], ids=str)
def test_in_the_dark_nothing_is_taken(controller):
    """Without light there is neither peak nor voltage."""
    working = controller.works(DARK)

    assert working.best.way == NOTHING
    assert working.best.power_W == 0.0
