"""What only a module's curve can tell, against the meaning of each quantity and a reference library's curve."""

import numpy as np
import pytest
from pvlib import pvsystem
from scipy.optimize import brentq

from calc.derive import derive
from calc.derive.curves import doubtful, module_model
from calc.derive.parts import string_groups
from tests.rules.designs import assessed, book, design, finding

NO_VMP = {"module.vmp_coefficient": None, "module.imp_coefficient": None}
UNLIKE = {
    "array": {"string_fuse": "none"},
    "string": [
        {"modules_in_series": 2, "strings_in_parallel": 3},
        {"modules_in_series": 1, "strings_in_parallel": 2},
    ],
}


def model(changes):
    made = design(changes)
    return module_model(derive(made, book()), string_groups(made)[0])


def change_with_heat(found, quantity):
    """Relative change per kelvin at 25 degC in full sun."""
    cool, warm, here = (quantity(found.at(1000.0, cell)) for cell in (24.5, 25.5, 25.0))
    return (warm - cool) / here


@pytest.mark.parametrize(
    ("changes", "percent"),
    [
        (NO_VMP | {"module.pmax_coefficient": "-0.40 %/degC"}, -0.40),
        ({"module.pmax_coefficient": "-0.40 %/degC"}, -0.40),  # before what Vmp and Imp would make it
        ({"module.vmp_coefficient": "-0.40 %/degC", "module.imp_coefficient": "0.04 %/degC"}, -0.36),
    ],
)
def test_power_falls_with_heat_as_the_datasheet_says(changes, percent):
    """By the Pmax coefficient, else by those of Vmp and Imp together."""
    power = change_with_heat(model(changes), lambda curve: np.prod(curve.mpp()))

    assert power * 100 == pytest.approx(percent, abs=1e-4)


def test_without_an_imp_coefficient_the_curves_own_goes_with_vmps():
    """-0.40 %/K and what current the curve alone would gain at its peak."""
    own = change_with_heat(model(NO_VMP), lambda curve: curve.mpp()[1])
    only_vmp = {"module.vmp_coefficient": "-0.40 %/degC", "module.imp_coefficient": None}
    power = change_with_heat(model(only_vmp), lambda curve: np.prod(curve.mpp()))

    assert own == pytest.approx(0.00023, abs=1e-5)
    assert power == pytest.approx(-0.0040 + own, abs=1e-6)


def test_voc_and_isc_change_with_heat_as_the_datasheet_says():
    """-0.25 and 0.05 %/K, each in its place."""
    found = model(NO_VMP)

    assert change_with_heat(found, lambda curve: curve.voc()) == pytest.approx(-0.0025, abs=1e-6)
    assert change_with_heat(found, lambda curve: curve.isc()) == pytest.approx(
        0.0005, abs=2e-6
    )  # less what leaks


@pytest.mark.parametrize("kinds", [None, [2, 3], [3, 2]])
def test_in_the_light_to_start_the_weakest_string_just_reaches_its_voltage(kinds):
    """28.8 V and 10 V of start margin: the shortest string's Voc in that light, hot and cold."""
    changes = {"battery.absorption": "28.8 V", "controller.start_margin": "10 V"}
    if kinds:
        changes |= {"array": {"mounting": "open rack"}, "string": [{"modules_in_series": n} for n in kinds]}
    steps = assessed(changes).steps

    for when, cell in (("hot", 65.0), ("cold", -15.0)):
        light = steps[f"wake_irradiance_{when}_Wm2"].result
        assert 2 * model({}).at(light, cell).voc() == pytest.approx(38.8, rel=1e-9)


@pytest.mark.parametrize("turn", [False, True])
def test_unlike_strings_do_what_the_references_curves_do(turn):
    """Three strings of two and two of one: power and voltage together, power apart, and what flows back into one.

    The reference is pvlib 0.16.1's single-diode equation with the module's five parameters, solved with scipy.
    """
    strings = UNLIKE["string"][::-1] if turn else UNLIKE["string"]
    steps = assessed(UNLIKE | {"string": strings}).steps
    curve = model({}).reference
    five = (
        curve.photocurrent_A,
        curve.saturation_current_A,
        curve.series_resistance_ohm,
        curve.shunt_resistance_ohm,
        curve.modified_ideality_V,
    )

    def current(volts, series, count):
        return count * pvsystem.i_from_v(volts / series, *five)

    def joined(volts):
        return current(volts, 2, 3) + current(volts, 1, 2)

    volts = np.linspace(15.0, 40.0, 250001)
    best = int(np.argmax(volts * joined(volts)))
    open_volts = brentq(joined, 20.0, 55.0, xtol=1e-12)

    assert steps["power_joined_W"].result == pytest.approx(volts[best] * joined(volts[best]), rel=1e-7)
    assert steps["joined_voltage_V"].result == pytest.approx(volts[best], abs=2e-4)
    assert steps["power_apart_W"].result == pytest.approx(8 * 150.0, rel=1e-6)
    assert steps["reverse_open_A"].result == pytest.approx(-current(open_volts, 1, 2) / 2, rel=1e-6)


def test_alike_strings_push_nothing_back():
    """Two kinds that differ in number only."""
    kinds = [{"modules_in_series": 2, "strings_in_parallel": n} for n in (1, 2)]

    assert assessed({"array": None, "string": kinds}).steps["reverse_open_A"].result == 0.0


@pytest.mark.parametrize(
    ("changes", "paths"),
    [
        ({}, ()),
        (  # together -1.5 %/K of power, beyond any module; a Pmax coefficient would take their place
            {"module.vmp_coefficient": "-1 %/degC", "module.imp_coefficient": "-0.5 %/degC"},
            ("module.pmax_coefficient",),
        ),
        (
            {"module.vmp": "24.9 V", "module.imp": "7.99 A", "module.pmax": None},
            ("module.voc", "module.isc", "module.vmp", "module.imp"),
        ),
    ],
)
def test_values_that_no_curve_has_are_named(changes, paths):
    """The four points where together they fit no curve; nothing where a curve has them."""
    made = design(changes)

    assert doubtful(derive(made, book()), string_groups(made)) == paths


def test_values_that_no_curve_has_are_named_for_every_kind():
    """The finding asks for both modules' points, and not for those of the third kind, which has a curve."""
    odd = {"voc": "25 V", "isc": "8 A", "vmp": "24.9 V", "imp": "7.99 A"}
    kinds = [
        {"modules_in_series": 2, "module": odd},
        {"modules_in_series": 1, "module": odd | {"isc": "8.1 A", "imp": "8.09 A"}},
        {"modules_in_series": 3},
    ]
    found = finding({"array": {"string_fuse": "none"}, "string": kinds}, "unlike-strings", "strings")

    assert found.needs == tuple(
        f"string.{kind}.module.{name}" for kind in (1, 2) for name in ("voc", "isc", "vmp", "imp")
    )
