"""A string as it stands in sun and shade, and what its faults take from it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.physics import fit
from calc.physics.arrays import Array
from calc.physics.faults import pushed_back, through_diodes
from calc.physics.shade import Build, Plight, Sun, string
from calc.physics.strings import String, backwards

MODULE = fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005)
BUILD = Build(MODULE, 4, 2, 0.5)
SUN = Sun(1000.0, 60.0)
MODULES = MODULE.at(1000.0, 60.0)


def lit(groups):
    """Voltage at open circuit of so many groups in the sun."""
    return MODULES.voc() * groups / 2


def test_a_string_in_the_sun_is_its_modules_in_series():
    """Nothing wrong: one part, whose curve is that of all modules."""
    made = string(BUILD, SUN)

    assert len(made.parts) == 1
    assert made.voltage(5.0) == pytest.approx(4 * MODULES.voltage(5.0))
    assert made.clamp == pytest.approx(-8 * 0.5)


@pytest.mark.parametrize(
    ("plight", "groups"),
    [(Plight(shorted=1), 7), (Plight(shorted=8), 0), (Plight(turned=1), 6), (Plight(((3, 0.5),), 1), 4)],
    ids=str,
)
def test_what_befalls_a_string_takes_its_groups(plight, groups):
    """Shorted groups have no voltage, turned modules count twice, shaded ones keep nearly theirs."""
    made = string(BUILD, SUN, plight)
    shaded = sum(MODULE.at(1000.0 * (1 - lost), 60.0).in_series(n / 2).voc() for n, lost in plight.shaded)

    assert made.voc() == pytest.approx(lit(groups) + shaded - lit(2 * plight.turned) * bool(plight.turned))


@pytest.mark.parametrize(
    "plight",
    [Plight(shorted=9), Plight(turned=5), Plight(((5, 0.5), (4, 0.2))), Plight(((7, 1.0),), 2)],
    ids=str,
)
def test_no_more_groups_can_suffer_than_there_are(plight):
    """Nine of eight groups are a fault of ours."""
    with pytest.raises(ValueError, match="cannot suffer"):
        string(BUILD, SUN, plight)


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 8), st.floats(0, 7))
def test_deeper_shade_never_leaves_more(one, other, count, current):
    """The more light a group loses, the less voltage is left at any current."""
    less, more = sorted((one, other))
    lighter, darker = (string(BUILD, SUN, Plight(((count, lost),))) for lost in (less, more))

    assert darker.voltage(current) <= lighter.voltage(current) + 1e-9


@given(st.floats(0.05, 0.95), st.floats(0.01, 0.99))
def test_a_shaded_group_holds_the_string_or_is_bypassed(lost, share):
    """Below the current that the shade lets through the group gives; above it its diode conducts and costs its drop."""
    made = string(BUILD, SUN, Plight(((1, lost),)))
    current = share * MODULES.isc()
    shaded, rest = made.parts

    if current < (1 - lost) * MODULES.isc() * 0.999:
        assert not shaded.flat(current)
    if current > (1 - lost) * MODULES.isc() * 1.001:
        assert shaded.voltage(current) == -0.5
        assert made.voltage(current) == pytest.approx(rest.voltage(current) - 0.5)


# What the others push back.


def test_a_string_alone_is_pushed_by_nobody():
    """With one string there is nothing that could push current back."""
    assert pushed_back(Array(((string(BUILD, SUN, Plight(shorted=2)), 1),)), 0) == 0.0


@pytest.mark.parametrize("others", [1, 2, 5])
def test_a_short_takes_all_that_the_others_give(others):
    """Into a dead short flows the short-circuit current of every other string: the rule's sum at one times Isc."""
    one = Build(MODULE, 1, 2, 0.5)
    made = Array(((string(one, SUN, Plight(shorted=2)), 1), (string(one, SUN), others)))

    assert pushed_back(made, 0) == pytest.approx(others * string(one, SUN).current(0.0))


def test_more_modules_in_series_push_less_into_a_string_that_lacks_one():
    """One module of two shorted takes nearly all, one of twelve far less: the others run out of voltage."""
    pushed = []
    for modules in (2, 4, 12):
        build = Build(MODULE, modules, 2, 0.5)
        made = Array(((string(build, SUN, Plight(shorted=2)), 1), (string(build, SUN), 3)))
        pushed.append(pushed_back(made, 0) / (3 * MODULES.isc()))

    assert pushed[0] > 0.95
    assert pushed[0] > pushed[1] > pushed[2]
    assert pushed[2] < 0.6


def test_a_battery_that_feeds_back_pushes_too():
    """Held above its own open circuit, a string takes what its curve says; a weaker battery changes nothing."""
    weak = string(BUILD, SUN, Plight(shorted=2))
    made = Array(((weak, 1), (string(BUILD, SUN), 1)))
    open_volts = made.open.joint_V

    assert pushed_back(made, 0, open_volts - 1) == pushed_back(made, 0)
    assert pushed_back(made, 0, open_volts + 2) == pytest.approx(-weak.current(open_volts + 2))
    assert pushed_back(made, 0, open_volts + 2) > pushed_back(made, 0)


def test_what_a_battery_pushes_into_a_short_no_curve_tells():
    """Then only what the other strings push is told."""
    one = Build(MODULE, 1, 2, 0.5)
    made = Array(((String(()), 1), (string(one, SUN), 2)))

    assert pushed_back(made, 0, 13.0) == pytest.approx(2 * MODULES.isc())


def test_the_diodes_of_a_turned_string_carry_what_its_cells_cannot():
    """Three strings push three times Isc through it: one Isc passes its cells, two its diodes; of one other none."""
    turned = backwards(string(BUILD, SUN))

    four = Array(((turned, 1), (string(BUILD, SUN), 3)))
    assert through_diodes(four, 0) == pytest.approx(2 * MODULES.isc(), rel=1e-3)
    two = Array(((turned, 1), (string(BUILD, SUN), 1)))
    assert through_diodes(two, 0) == pytest.approx(0, abs=1e-6)
