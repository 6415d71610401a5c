"""Facts that everybody in the trade knows and nobody prints: common practice, no source."""

import pytest

from tests.rules.designs import assessed, design, finding, findings


def two_modules(series, strings):
    """Two 20 V, 5 A modules, joined one way or the other; the values at full power are what is counted."""
    module = {"voc": "24 V", "isc": "5.4 A", "vmp": "20 V", "imp": "5 A", "max_series_fuse": "15 A"}
    array = {"modules_in_series": series, "strings_in_parallel": strings, "string_fuse": "none"}
    return {"module": module, "array": array}


@pytest.mark.parametrize(
    ("series", "strings", "volts", "amperes"),
    [(2, 1, 40, 5), (1, 2, 20, 10)],
    ids=["in series", "in parallel"],
)
def test_two_modules_of_20_volts_and_5_amperes(series, strings, volts, amperes):
    """In series 40 V and 5 A, in parallel 20 V and 10 A, 200 W both ways. Common practice, no source."""
    steps = assessed(two_modules(series, strings)).steps

    assert steps["vmp_stc_string_V"].result == pytest.approx(volts)
    assert steps["imp_array_A"].result == pytest.approx(amperes)
    assert steps["power_stc_W"].result == pytest.approx(200)


def test_series_adds_volts_and_parallel_adds_amperes():
    """Open-circuit volts and short-circuit amperes go the same way. Common practice, no source."""
    series, parallel = assessed(two_modules(2, 1)).steps, assessed(two_modules(1, 2)).steps

    assert (series["voc_stc_string_V"].result, series["isc_array_A"].result) == pytest.approx((48, 5.4))
    assert (parallel["voc_stc_string_V"].result, parallel["isc_array_A"].result) == pytest.approx((24, 10.8))


def test_the_same_power_loses_a_quarter_at_twice_the_voltage():
    """Half the current in the same wire loses a quarter of the watts. Common practice, no source."""
    low, high = (
        assessed(two_modules(*layout)).steps["run.home run.loss_W"].result for layout in ((1, 2), (2, 1))
    )

    assert low == pytest.approx(4 * high)


def test_design_current_is_the_trades_1_56():
    """1.25 x 1.25 = 1.5625 times Isc; the trade says 1.56, which is the same fuse. Common practice, no source."""
    steps = assessed({"module.isc": "10 A"}).steps

    assert steps["current_design_string_A"].result == pytest.approx(15.625)
    assert round(steps["current_design_string_A"].result / 10, 2) == 1.56
    assert steps["string_fuse_least_A"].result == 20


@pytest.mark.parametrize(
    ("strings", "isc", "carried", "verdict"),
    [
        (3, "6 A", 22.5, "holds"),
        (4, "6.3 A", 31.5, "fails"),
        (4, "6 A", 30.0, "tight"),
        (2, "9 A", 22.5, "holds"),
        (3, "9 A", 33.75, "fails"),
        (1, "13.5 A", None, "does not apply"),
        (2, "13.5 A", 33.75, "fails"),
    ],
)
def test_strings_through_a_coupler_of_30_amperes(strings, isc, carried, verdict):
    """Three strings of 6 A hold, four of 6.3 A do not: 1.25 x Isc of each. Common practice, no source."""
    changes = {
        "array.strings_in_parallel": strings,
        "module.isc": isc,
        "module.imp": "5 A",
        "coupler.1.rating": "30 A",
        "coupler.1.inputs": 4,
    }
    (found,) = findings(changes, "coupler-current").values()

    assert found.verdict == verdict
    assert (found.actual and found.actual.number) == (carried and pytest.approx(carried))


@pytest.mark.parametrize(
    ("strings", "isc", "series_fuse", "needed", "us", "iec"),
    [
        (2, "9 A", "15 A", False, 11.25, 9.0),  # two strings: no
        (3, "5.4 A", "15 A", False, 13.5, 10.8),  # three: maybe not
        (3, "9 A", "15 A", True, 22.5, 18.0),  # three: maybe
        (
            3,
            "7 A",
            "15 A",
            True,
            17.5,
            14.0,
        ),  # and the two ways of counting part here: 17.5 A is more, 14 A is less
        (2, "12.28 A", "20 A", False, 15.35, 12.28),
        (4, "6 A", "15 A", True, 22.5, 18.0),
    ],
)
def test_two_strings_need_no_fuse_and_a_third_asks_again(strings, isc, series_fuse, needed, us, iec):
    """A faulted string is fed by the *other* strings: one, then two. Common practice, no source."""
    changes = {
        "array.strings_in_parallel": strings,
        "module.isc": isc,
        "module.imp": "5 A",
        "module.max_series_fuse": series_fuse,
    }
    steps = assessed(changes).steps

    assert steps["string_fuse_needed"].result is needed
    assert steps["reverse_current_string_A"].result == pytest.approx(us)
    assert steps["reverse_current_iec_string_A"].result == pytest.approx(iec)


def test_one_string_never_needs_a_fuse_against_the_others():
    """There are no others. Common practice, no source."""
    assert (
        finding({"array.strings_in_parallel": 1}, "string-fuse-needed", "string").verdict == "does not apply"
    )


@pytest.mark.parametrize(("chained", "last"), [(2, 40.0), (4, 40.0)])
def test_the_last_coupler_carries_all(chained, last):
    """However couplers are chained, all current goes through the last. Common practice, no source."""
    found = findings({"array.strings_in_parallel": 4, "coupler.1.inputs": chained}, "coupler-current")

    assert list(found.values())[-1].actual.number == pytest.approx(last)


@pytest.mark.parametrize("nominal", [12, 24, 48])
@pytest.mark.parametrize(
    ("kind", "absorption"), [("lead-acid sealed", 14.3), ("lead-acid flooded", 14.8), ("lifepo4", 14.6)]
)
def test_batteries_of_24_and_48_volts_are_charged_like_two_and_four_of_12(nominal, kind, absorption):
    """Absorption goes with the nominal voltage. Common practice, no source."""
    battery = {"nominal": f"{nominal} V", "chemistry": kind}

    assert assessed({"battery": battery}).steps["absorption_V"].result == pytest.approx(
        absorption * nominal / 12
    )


@pytest.mark.parametrize(
    ("absorption", "start", "run"), [("14.4 V", 19.4, 15.4), ("28.8 V", 33.8, 29.8), ("57.6 V", 62.6, 58.6)]
)
def test_battery_and_five_volts_to_start_and_one_to_go_on(absorption, start, run):
    """What many MPPT controllers ask for. Common practice, no source."""
    volts = {"nominal": f"{float(absorption.split()[0]) / 1.2} V", "absorption": absorption, "lowest": "10 V"}
    controller = {"kind": "mppt"}
    steps = assessed({"battery": volts, "controller": controller}).steps

    assert steps["wake_needed_V"].result == pytest.approx(start)
    assert steps["charging_needed_V"].result == pytest.approx(run)


def test_a_36_cell_module_charges_a_12_volt_battery_through_pwm_but_not_by_far_a_24_volt_one():
    """That is what 36 cells are for. Common practice, no source."""
    module = {
        "voc": "22.4 V",
        "isc": "6.3 A",
        "vmp": "18.2 V",
        "imp": "6.04 A",
        "cells": 36,
        "noct": "45 degC",
    }
    module["vmp_coefficient"] = "-0.42 %/degC"
    one = {
        "module": module,
        "array.modules_in_series": 1,
        "array.strings_in_parallel": 1,
        "controller.kind": "pwm",
    }
    twelve = {"battery": {"nominal": "12 V", "chemistry": "lead-acid sealed"}, "site.hottest": "25 degC"}
    twenty_four = {"battery": {"nominal": "24 V", "chemistry": "lead-acid sealed"}}

    assert finding(one | twelve, "hot-voltage-charging", "controller").verdict in ("holds", "tight")
    assert finding(one | twenty_four, "hot-voltage-charging", "controller").margin < -10


def test_clipping_loses_energy_and_breaks_nothing():
    """An MPPT controller limits itself; a PWM controller cannot. Common practice, no source."""
    small = {"controller.rated_output_current": "10 A"}
    mppt = finding(small, "controller-output-current", "controller")
    pwm = finding(small | {"controller.kind": "pwm"}, "controller-output-current", "controller")

    assert (mppt.verdict, mppt.harm) == ("fails", "energy")
    assert (pwm.verdict, pwm.harm) == ("fails", "damage")


def test_heat_costs_voltage_and_cold_costs_parts():
    """The hottest afternoon gives the least voltage, the coldest morning the most. Common practice, no source."""
    steps = assessed().steps

    assert steps["vmp_hot_string_V"].result < steps["vmp_stc_string_V"].result
    assert (
        steps["voc_hot_string_V"].result
        < steps["voc_stc_string_V"].result
        < steps["voc_cold_string_V"].result
    )


def test_counts_and_units_are_written_as_people_do():
    """Feet, gauge and Fahrenheit are read as well as metres and Celsius. Common practice, no source."""
    found = design({"run.home run.length": "85 ft", "run.home run.size": "10 gauge", "site.coldest": "-4 °F"})

    assert found.number("run.home run.length") == pytest.approx(25.908)
    assert found.text("run.home run.size") == "10 AWG"
    assert found.number("site.coldest") == pytest.approx(-20)
