"""Strings and arrays in part shade, against a reference library put together in another way, and facts of the trade.

The reference library gives each group of cells as a table of voltages over a fine scale of diode voltages (its
explicit form of the single-diode equation for arrays). Tables are joined by interpolation: voltages are added at
common currents, currents at common voltages. Nothing of ours is used but the parameters of the curves.
"""

import numpy as np
import pytest
from pvlib import pvsystem, singlediode

from calc.physics import fit
from calc.physics.arrays import Array
from calc.physics.operating import Joiner, Tracker
from calc.physics.shade import Build, Plight, Sun, string
from calc.physics.strings import backwards

MODULE = fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005)
LARGE = fit(49.5, 11.4, 41.6, 10.8, beta_voc=-0.0027, alpha_isc=0.0004)
DROP = 0.5
CLOSE = 1e-4
WIDEST = 60.0  # amperes either way that a string is followed


def group_table(curve):
    """Current, from the lowest on, and voltage of one group of cells with its bypass diode."""
    reach = curve.modified_ideality_V * np.log(2 * WIDEST / curve.saturation_current_A)
    diode = np.concatenate([np.linspace(-4, reach, 60_001), np.linspace(0.8 * reach, reach, 30_001)])
    current, voltage, _ = singlediode.bishop88(np.sort(diode), *_parameters(curve))
    return current[::-1], np.maximum(voltage[::-1], -DROP)


def reference_string(build, sun, plight=None, *, turned=False):
    """Voltage of a string and its current, from the lowest current on."""
    plight = plight or Plight()
    lit = build.modules * build.groups - plight.shorted - plight.turned * build.groups
    lit -= sum(count for count, _ in plight.shaded)
    parts = [(lit, 0.0, 1)] + [(count, lost, 1) for count, lost in plight.shaded]
    parts += [(plight.turned * build.groups, 0.0, -1)] * bool(plight.turned)
    tables = []
    for count, lost, sign in parts:
        at = build.module.at(sun.light_Wm2 * (1 - lost), sun.cell_degC)
        current, voltage = group_table(at.in_series(1 / build.groups))
        tables.append((count, sign, current, voltage))
    every = [sign * current for _, sign, current, _ in tables] + [np.linspace(-WIDEST, WIDEST, 5001)]
    currents = np.unique(np.concatenate(every))
    currents = currents[np.abs(currents) <= WIDEST]
    volts = -currents * build.wire_ohm
    for count, sign, current, voltage in tables:
        volts = volts + sign * count * np.interp(sign * currents, current, voltage)
    return (-volts[::-1], -currents[::-1]) if turned else (volts, currents)


def current_at(table, voltages):
    """Current of a string at voltages."""
    volts, currents = table
    return np.interp(voltages, volts[::-1], currents[::-1])


def reference_array(kinds, run_ohm, voltages):
    """Voltage behind the run and current of an array with the strings joined at each of the voltages."""
    current = sum(n * current_at(table, voltages) for table, n in kinds)
    return voltages - current * run_ohm, current


def both(build, sun, kinds, run_ohm=0.0):
    """Our array and the reference's curve of it; ``kinds`` are pairs of what a string suffers, and how many do."""
    ours = Array(tuple((string(build, sun, plight), n) for plight, n in kinds), run_ohm)
    tables = [(reference_string(build, sun, plight), n) for plight, n in kinds]
    return ours, reference_array(tables, run_ohm, np.linspace(0, ours.open.joint_V, 100_001))


def peaks_of(voltage, current):
    """The local peaks of a table, from the highest voltage on."""
    power = voltage * current
    inner = (power[1:-1] > power[:-2]) & (power[1:-1] >= power[2:])
    return [(voltage[k + 1], power[k + 1]) for k in np.flatnonzero(inner)][::-1]


BUILD = Build(MODULE, 3, 2, DROP, 0.12)
ONE = Build(MODULE, 1, 2, DROP, 0.05)
BIG = Build(LARGE, 4, 3, DROP, 0.2)
HOT, COLD, DULL = Sun(1000.0, 67.0), Sun(1000.0, -20.0), Sun(180.0, 12.0)
SHADED = [
    ((1, 0.25),),
    ((1, 0.5),),
    ((1, 0.9),),
    ((2, 0.5),),
    ((1, 0.3), (1, 0.7)),
    ((1, 0.2), (2, 0.5), (1, 0.8)),
]
CASES = [
    pytest.param(build, sun, shaded, others, id=f"{name}, {sun_name}, {shaded}, {others} more")
    for name, build in (("three small modules", BUILD), ("four large modules", BIG))
    for sun_name, sun in (("hot", HOT), ("cold", COLD), ("dull", DULL))
    for shaded in SHADED
    for others in (0, 1, 3)
    if sun is HOT or others == 1
]


@pytest.mark.parametrize(("build", "sun", "shaded", "others"), CASES)
def test_arrays_in_part_shade_have_the_reference_curve_and_peaks(build, sun, shaded, others):
    """Current at any voltage, every local peak and the best one agree with the reference to 1e-4."""
    kinds = [(Plight(shaded), 1), (Plight(), others)][: 1 + bool(others)]
    ours, (voltage, current) = both(build, sun, kinds, 0.08)
    scale = current.max()

    for share in (0.05, 0.3, 0.5, 0.7, 0.8, 0.9, 0.97):
        at = share * ours.open.voltage_V
        assert ours.at(at).current_A == pytest.approx(np.interp(at, voltage, current), abs=CLOSE * scale)
    expected = peaks_of(voltage, current)
    assert [peak.power for peak in ours.peaks()] == pytest.approx([power for _, power in expected], rel=CLOSE)
    assert [peak.voltage_V for peak in ours.peaks()] == pytest.approx(
        [volts for volts, _ in expected], rel=2e-3
    )
    assert ours.best().power == pytest.approx((voltage * current).max(), rel=CLOSE)


@pytest.mark.parametrize("others", [1, 2])
@pytest.mark.parametrize("plight", [Plight(shorted=1), Plight(shorted=2), Plight(turned=1)], ids=str)
def test_faulted_strings_draw_the_reference_current(plight, others):
    """What flows at any voltage, the best power and the current pushed back at open circuit agree to 1e-4."""
    ours, (voltage, current) = both(BUILD, HOT, [(plight, 1), (Plight(), others)], 0.08)

    assert ours.best().power == pytest.approx((voltage * current).max(), rel=CLOSE)
    back = current_at(reference_string(BUILD, HOT, plight), ours.open.joint_V)
    healthy = current_at(reference_string(BUILD, HOT), ours.open.joint_V)
    assert ours.currents(ours.open)[0] == pytest.approx(back, abs=CLOSE * 6.3)
    assert back + others * healthy == pytest.approx(0, abs=CLOSE * 6.3)


def test_a_reversed_string_takes_what_the_others_give():
    """Three strings push their current at 3 V through the six diodes of the fourth, as the tables say."""
    ours = Array(((backwards(string(BUILD, HOT)), 1), (string(BUILD, HOT), 3)))
    volts, currents = reference_string(BUILD, HOT, turned=True)
    total = currents + 3 * current_at(reference_string(BUILD, HOT), volts)
    through = np.interp(0, total, currents)

    assert ours.currents(ours.open)[0] == pytest.approx(through, rel=CLOSE)
    assert ours.open.joint_V == pytest.approx(6 * DROP - through * BUILD.wire_ohm, rel=CLOSE)


def test_unlike_strings_in_part_shade_agree_too():
    """A string of small modules in shade beside one large module in the sun."""
    lone = Build(LARGE, 1, 3, DROP, 0.1)
    plight = Plight(((1, 0.6),))
    ours = Array(((string(BUILD, HOT, plight), 1), (string(lone, HOT), 2)), 0.05)
    kinds = [(reference_string(BUILD, HOT, plight), 1), (reference_string(lone, HOT), 2)]
    voltage, current = reference_array(kinds, 0.05, np.linspace(0, ours.open.joint_V, 200_001))

    assert [peak.power for peak in ours.peaks()] == pytest.approx(
        [power for _, power in peaks_of(voltage, current)], rel=CLOSE
    )


@pytest.mark.parametrize("least", [20.0, 35.0, 41.0])
def test_a_tracker_takes_the_most_above_its_least_voltage(least):
    """What it takes is the largest power of the reference's curve at or above that voltage."""
    ours, (voltage, current) = both(BUILD, HOT, [(Plight(((1, 0.5),)), 1), (Plight(), 1)], 0.08)
    above = voltage >= least

    assert Tracker(least).works(ours).best.power_W == pytest.approx(
        (voltage * current)[above].max(), rel=CLOSE
    )


# Facts of the trade: common practice, no source.


def test_two_similar_modules_read_the_sum_of_their_currents():
    """Modules that read 3.3 A and 3.6 A alone read 6.6 to 7.0 A together, at about 23.5 V open, on a cool dull day.

    Common practice, no source: 36-cell modules joined in parallel, metered one by one and then together.
    """
    cool = 5.0
    alone = [pvsystem.singlediode(*_parameters(MODULE.at(light, cool))) for light in (525.0, 573.0)]
    assert [round(float(one["i_sc"]), 1) for one in alone] == [3.3, 3.6]
    made = Array(tuple((string(ONE, Sun(light, cool)), 1) for light in (525.0, 573.0)))

    assert 6.6 <= made.at(0.0).current_A <= 7.0
    assert made.open.voltage_V == pytest.approx(23.5, abs=0.5)


def _parameters(curve):
    return (
        curve.photocurrent_A,
        curve.saturation_current_A,
        curve.series_resistance_ohm,
        curve.shunt_resistance_ohm,
        curve.modified_ideality_V,
    )


def test_parallel_loses_only_the_shaded_branch():
    """With one of four modules in parallel wholly dark, three quarters are left.

    Common practice, no source.
    """
    dark, sunny = string(ONE, HOT, Plight(((2, 1.0),))), string(ONE, HOT)
    whole, left = Array(((sunny, 4),)), Array(((dark, 1), (sunny, 3)))

    assert left.best().power / whole.best().power == pytest.approx(0.75, abs=0.01)


def test_a_bypassed_module_costs_its_voltage_and_keeps_the_current():
    """One of four modules in series wholly dark: the string goes on at the same current, a module's voltage lower.

    Common practice, no source.
    """
    build = Build(MODULE, 4, 2, DROP)
    whole, left = Array(((string(build, HOT), 1),)), Array(((string(build, HOT, Plight(((2, 1.0),))), 1),))
    one = Array(((string(Build(MODULE, 1, 2, DROP), HOT), 1),))

    assert left.best().current_A == pytest.approx(whole.best().current_A, rel=0.005)
    lost = whole.best().voltage_V - left.best().voltage_V
    assert lost == pytest.approx(one.best().voltage_V + 2 * DROP, rel=0.02)


def test_a_module_of_one_group_in_parallel_is_lost_with_half_of_it_dark():
    """Half of one module dark costs all of it, so "parallel never suffers" is wrong: its diode cannot help.

    Common practice, no source.
    """
    half, sunny = string(ONE, HOT, Plight(((1, 1.0),))), string(ONE, HOT)
    whole, left = Array(((sunny, 4),)), Array(((half, 1), (sunny, 3)))
    battery = Joiner(13.0, 0.5)

    assert left.best().power / whole.best().power == pytest.approx(0.75, abs=0.02)
    taken = [battery.works(one).best.power_W for one in (left, whole)]
    assert taken[0] / taken[1] == pytest.approx(0.75, abs=0.01)


def test_series_keeps_more_of_one_dark_group_than_parallel():
    """The same four modules with one group dark: in series one eighth is lost, in parallel a quarter.

    Common practice, no source.
    """
    dark = Plight(((1, 1.0),))
    series = Build(MODULE, 4, 2, DROP)
    in_series = [Array(((string(series, HOT, plight), 1),)).best().power for plight in (dark, Plight())]
    in_parallel = [
        Array(((string(ONE, HOT, plight), 1), (string(ONE, HOT), 3))).best().power
        for plight in (dark, Plight())
    ]

    assert in_series[0] / in_series[1] == pytest.approx(7 / 8, abs=0.02)
    assert in_parallel[0] / in_parallel[1] == pytest.approx(3 / 4, abs=0.02)
