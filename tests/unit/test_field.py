"""Laws of strings joined in parallel, and facts of the trade about them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.physics import fit, joint_mpp, joint_voc
from calc.physics.feed import Joined
from calc.physics.field import joint_current

MODULE = fit(22.4, 6.3, 18.2, 5.9, beta_voc=-0.0030, alpha_isc=0.0005)
SMALL = fit(21.0, 3.4, 17.1, 3.1, beta_voc=-0.0034, alpha_isc=0.0005)
ROOM = 1 + 1e-12

strings = st.lists(
    st.builds(
        lambda module, light, cell, n: module.at(light, cell).in_series(n),
        st.sampled_from([MODULE, SMALL]),
        st.just(0.0) | st.floats(1, 1300),
        st.floats(-40, 80),
        st.sampled_from([1, 2, 3]),
    ),
    min_size=1,
    max_size=4,
)


@given(strings)
def test_currents_add_at_the_common_voltage(array):
    """At the joint point each string gives what its own curve says, and the array their sum."""
    joint = joint_mpp(array)
    assert joint.currents_A == tuple(string.current(joint.voltage_V) for string in array)
    assert joint.current_A == sum(joint.currents_A)
    assert joint.power_W == joint.voltage_V * joint.current_A


@given(strings, st.floats(0, 1))
def test_no_common_voltage_gives_more_than_the_joint_peak(array, share):
    """Power at the joint maximum power point is at least the power at any other common voltage."""
    voltage = share * joint_voc(array)
    assert voltage * joint_current(array, voltage) <= joint_mpp(array).power_W * ROOM + 1e-12


@given(strings)
def test_joining_never_gives_more_than_the_strings_alone(array):
    """Joint power is at most the sum of the strings' own peaks; the difference is shared out as losses."""
    joint = joint_mpp(array)
    assert joint.power_W <= joint.power_alone_W * ROOM + 1e-12
    assert all(loss >= 0 for loss in joint.losses_W)
    assert sum(joint.losses_W) == pytest.approx(joint.power_alone_W - joint.power_W, abs=1e-8)
    assert joint.loss_share * joint.power_alone_W == pytest.approx(sum(joint.losses_W), abs=1e-6)


@given(strings)
def test_nothing_flows_out_of_the_joined_array_at_open_circuit(array):
    """At the joint open circuit the strings' currents cancel, between the lowest and the highest own Voc."""
    joint = joint_mpp(array)
    own = [string.voc() for string in array]
    assert min(own) <= joint.open_circuit_V <= max(own)
    assert sum(joint.open_circuit_currents_A) == pytest.approx(0, abs=1e-8)
    assert joint.reverse_current_A == max(0, *(-current for current in joint.open_circuit_currents_A), 0)


@given(strings, strings)
def test_another_string_never_lowers_short_circuit_current(array, more):
    """Joining further strings in parallel never lowers the current at a common voltage of zero."""
    assert joint_current(array + more, 0.0) >= joint_current(array, 0.0) - 1e-12


@pytest.mark.parametrize("n", [1, 2, 5])
def test_alike_strings_lose_nothing(n):
    """Alike strings share their own peak: no loss, and no current from one into another, exactly."""
    string = MODULE.at(870.0, 41.0).in_series(3)
    joint = joint_mpp([string] * n)
    assert joint.voltage_V == string.mpp()[0]
    assert joint.power_W == pytest.approx(n * string.mpp()[0] * string.mpp()[1], rel=1e-12)
    assert joint.loss_share == 0.0
    assert joint.losses_W == (0.0,) * n
    assert joint.open_circuit_currents_A == (0.0,) * n
    assert joint.reverse_current_A == 0.0


def test_a_string_of_half_the_voltage_takes_current_from_a_full_one():
    """One module joined to two in series is driven beyond its Voc and takes current (common practice, no source)."""
    two, one = MODULE.at(1000.0, 25.0).in_series(2), MODULE.at(1000.0, 25.0)
    joint = joint_mpp([two, one])
    assert joint.open_circuit_V > one.voc()
    assert joint.open_circuit_currents_A[1] < 0
    assert joint.reverse_current_A == pytest.approx(joint.open_circuit_currents_A[0])
    assert joint.loss_share > 0.2


def test_a_shaded_string_costs_its_own_share_and_little_more():
    """In parallel only the shaded string's own power is lost (common practice, no source)."""
    sunny, shaded = MODULE.at(1000.0, 45.0), MODULE.at(200.0, 30.0)
    joint = joint_mpp([sunny, sunny, shaded])
    assert joint.currents_A[0] == pytest.approx(sunny.mpp()[1], rel=0.02)
    assert joint.loss_share < 0.005


def test_two_similar_strings_read_the_sum_of_their_currents():
    """Strings of 3.3 A and 3.6 A read 6.6 to 7.0 A together, near 23.5 V open, on a cool, dull day.

    Common practice, no source: readings of two 36-cell modules through two-way couplers.
    """
    module = fit(23.3, 6.6, 19.0, 6.15, beta_voc=-0.0030, alpha_isc=0.0005, cells=36)
    array = [module.at(light, 15.0) for light in (503.0, 549.0)]
    assert [string.isc() for string in array] == pytest.approx([3.3, 3.6], abs=0.02)
    assert 6.6 <= joint_current(array, 0.0) <= 7.0
    assert joint_voc(array) == pytest.approx(23.5, abs=0.5)


def test_dark_strings_join_to_nothing():
    """Strings without light have a joint point of nothing, and no share is lost of nothing."""
    joint = joint_mpp([MODULE.at(0.0, 5.0), SMALL.at(0.0, 5.0).in_series(2)])
    assert (joint.power_W, joint.loss_share, joint.reverse_current_A) == (0.0, 0.0, 0.0)


def test_an_array_without_strings_is_refused():
    """There is no joint point of no string."""
    with pytest.raises(ValueError, match="joint_mpp wants one string or more"):
        joint_mpp([])


@given(strings)
def test_each_string_is_told_as_it_would_stand_alone(array):
    """Beside the joint point stands each string's own best point."""
    assert joint_mpp(array).alone == tuple(string.mpp() for string in array)


@pytest.mark.parametrize("wire", [0.0, 0.02])
def test_joined_cells_have_their_peak_below_one_volt(wire):
    """Two single cells in unlike light: no voltage gives more than the peak, and at open circuit nothing flows."""
    cells = Joined((MODULE.at(900.0, 40.0).in_series(1 / 36), MODULE.at(500.0, 40.0).in_series(1 / 36)), wire)
    volts, amps = cells.mpp()

    assert 0.3 < volts < cells.voc() < 0.7
    for share in (0.9, 0.97, 1.03, 1.1):
        assert share * volts * cells.current(share * volts) < volts * amps
    assert cells.current(cells.voc()) == pytest.approx(0.0, abs=1e-9)
