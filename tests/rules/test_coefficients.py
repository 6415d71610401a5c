"""Which of a module's temperature coefficients counts, and its power, however the datasheet gives them.

Worked out by hand from designs.py: 2 x 20 V at the peak, 40 K above standard in the heat; 20 V x 7.5 A = 150 W.
"""

import pytest

from tests.rules.designs import assessed

NO_VMP = {"module.vmp_coefficient": None, "module.imp_coefficient": None}


@pytest.mark.parametrize(
    ("changes", "percent"),
    [
        ({}, -0.5),
        ({"module.pmax_coefficient": "-0.40 %/degC"}, -0.5),  # the datasheet's own comes first
        ({"module.vmp_coefficient": "-100 mV/degC"}, -0.5),  # 0.1 / 20
        # power's less current's: Imp's, else Isc's
        (
            {
                "module.vmp_coefficient": None,
                "module.pmax_coefficient": "-0.40 %/degC",
                "module.imp_coefficient": "-0.03 %/degC",
            },
            -0.37,
        ),
        (NO_VMP | {"module.pmax_coefficient": "-0.40 %/degC"}, -0.45),
        (NO_VMP | {"module.pmax_coefficient": "-0.6 W/degC"}, -0.45),  # 0.6 / 150
        (NO_VMP | {"module.pmax_coefficient": "-0.6 W/degC", "module.pmax": None}, -0.45),
    ],
)
def test_the_coefficient_of_vmp(changes, percent):
    """It takes 40 K of it from 40 V."""
    assert assessed(changes).steps["vmp_hot_string_V"].result == pytest.approx(40 * (1 + 40 * percent / 100))


def beside(module):
    """The steps of a design with a string of two modules as usual and, beside it, one of a module of its own."""
    kinds = [{"modules_in_series": 2}, {"modules_in_series": 1, "module": module}]
    return assessed({"array": {"mounting": "open rack", "string_fuse": "none"}, "string": kinds}).steps


def test_each_kind_of_module_has_its_own_coefficient_and_power():
    """Steps are kept by kind; power's less current's for the second, whose power follows from Vmp and Imp."""
    second = {
        "voc": "30 V",
        "isc": "12 A",
        "vmp": "24 V",
        "imp": "11 A",
        "pmax_coefficient": "-0.40 %/degC",
        "imp_coefficient": "-0.03 %/degC",
    }
    steps = beside(second)

    assert steps["string.2.vmp_coefficient_percent_per_K"].result == pytest.approx(-0.37)
    assert steps["string.2.pmax_W"].result == pytest.approx(264.0)
    assert "vmp_coefficient_percent_per_K" not in steps
    assert "pmax_W" not in steps
    assert steps["power_stc_W"].result == pytest.approx(2 * 150 + 264)


def test_what_follows_from_a_kinds_datasheet_stands_under_its_number():
    """0.075 V of 30 V are 0.25 %; -0.40 %/K of power less 0.05 %/K of Isc leave -0.45 %/K for Vmp."""
    second = {
        "voc": "30 V",
        "isc": "12 A",
        "vmp": "24 V",
        "imp": "11 A",
        "voc_coefficient": "-75 mV/degC",
        "isc_coefficient": "0.05 %/degC",
        "pmax_coefficient": "-0.40 %/degC",
    }
    steps = beside(second)

    for name, percent in (("voc", -0.25), ("vmp", -0.45)):
        key = f"{name}_coefficient_percent_per_K"
        assert steps["string.2." + key].result == pytest.approx(percent)
        assert (
            steps[f"string.2.{name}_hot_string_V"].values[f"{name}_coefficient"].origin
            == f"step string.2.{key}"
        )
        assert key not in steps


@pytest.mark.parametrize(
    ("name", "step"), [("voc", "voc_hot_string_V"), ("vmp", "vmp_hot_string_V"), ("imp", "imp_hot_string_A")]
)
def test_a_coefficient_that_no_datasheet_gave_is_told_as_assumed(name, step):
    """Under the line of the design in which it would stand."""
    path = f"module.{name}_coefficient"
    found = assessed({path: None})

    assert found.steps[step].values[f"{name}_coefficient"].origin == f"assumed {path}"
    assert path in {one.path for one in found.assumptions}


@pytest.mark.parametrize(("given", "whole"), [("151 W", 604.0), (None, 600.0)])
def test_power_is_the_datasheets_else_its_peaks(given, whole):
    """Four modules of 151 W as printed, or of 20 V x 7.5 A."""
    assert assessed({"module.pmax": given}).steps["power_stc_W"].result == pytest.approx(whole)
