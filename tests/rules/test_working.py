"""Steps that are looked up or chosen: how it was done, what came out, and from what it was found.

The results follow by hand from the round numbers of designs.py and the rows of the tables that are named beside them;
the tables themselves are held to their sources in tests/published.
"""

import pytest

from calc.model.assessment import Assumption, Value
from tests.rules.designs import COMBINER, assessed, book

RUN = "run.home run."
ONE = {"array.strings_in_parallel": 1}
FOUR = {"array.strings_in_parallel": 4}
BY_TABLE = {"module.voc_coefficient": None, "controller.max_voltage": "58 V"}
NO_BATTERY = {"battery.absorption": None, "battery.lowest": None}
UNLIKE = {
    "array": {"string_fuse": "none"},
    "string": [{"modules_in_series": 2, "strings_in_parallel": 2}, {"modules_in_series": 1}],
}
AT_STC = {"stc_irradiance": "table stc: irradiance, value", "stc_cell": "table stc: cell temperature, value"}
BATTERY = "table battery_charge_voltages: lead-acid flooded, 24 V, "
RACEWAY = "table ampacity_raceway: copper, "


@pytest.mark.parametrize(
    ("changes", "step", "how", "result", "values"),
    [
        ({}, "absorption_V", "as-given", 28.8, {"absorption": "given battery.absorption"}),
        ({}, "battery_lowest_V", "as-given", 24.0, {"battery_lowest": "given battery.lowest"}),
        (NO_BATTERY, "absorption_V", "battery-table", 29.6, {"absorption": BATTERY + "absorption"}),
        (NO_BATTERY, "battery_lowest_V", "battery-table", 23.0, {"battery_lowest": BATTERY + "lowest"}),
        # 1.25 x 30 A = 37.5 A
        (
            {},
            "battery_device_least_A",
            "least-device",
            40.0,
            {"battery_device_needed": "step battery_device_needed_A"},
        ),
        # the factor is 1.16 down to -15 degC; 1.16 x 50 V = 58 V is just the limit
        (
            BY_TABLE,
            "cold_factor",
            "cold-factor",
            1.16,
            {
                "cell_cold": "step cell_cold_degC",
                "cold_factor": "table cold_factor: from_C -15 degC, factor",
            },
        ),
        (
            BY_TABLE,
            "cold_limit_degC",
            "cold-limit",
            -15.0,
            {
                "max_voltage": "given controller.max_voltage",
                "modules_in_series": "given array.modules_in_series",
                "voc": "given module.voc",
            },
        ),
        # 10 mm2 holds 8 AWG (8.37 mm2) and not 6 AWG
        ({}, RUN + "size_equivalent", "size-equivalent", "8 AWG", {"size": f"given {RUN}size"}),
        (
            {},
            RUN + "ampacity_table_A",
            "ampacity-table",
            55.0,
            {"size": f"given {RUN}size", "ampacity_table": RACEWAY + "8 AWG, c90"},
        ),
        (
            {},
            RUN + "ampacity_terminal_A",
            "ampacity-terminal",
            50.0,
            {"size": f"given {RUN}size", "ampacity_terminal": RACEWAY + "8 AWG, c75"},
        ),
        # the lower of 55 and 50 A is a standard size
        (
            {},
            RUN + "device_limit_A",
            "device-limit",
            50.0,
            {"ampacity_protected": f"step {RUN}ampacity_protected_A"},
        ),
        # four strings: 40 A at most, 50 A design; 10 AWG carries 40 A in its own column, 8 AWG 55 A, and 50 A at 75 degC
        (
            FOUR,
            RUN + "size_for_corrected",
            "size-corrected",
            "10 AWG",
            {
                "current_max": f"step {RUN}current_max_A",
                "ambient_factor": "table ambient_factor: upto 30 degC, c90",
                "count_factor": "table count_factor: n_from 1, factor",
            },
        ),
        (
            FOUR,
            RUN + "size_for_uncorrected",
            "size-uncorrected",
            "8 AWG",
            {"current_design": f"step {RUN}current_design_A"},
        ),
        (
            FOUR,
            RUN + "size_for_terminals",
            "size-terminals",
            "8 AWG",
            {"current_design": f"step {RUN}current_design_A"},
        ),
        (
            FOUR,
            RUN + "size_least",
            "size-least",
            "8 AWG",
            {
                f"size_for_{which}": f"step {RUN}size_for_{which}"
                for which in ("corrected", "uncorrected", "terminals")
            },
        ),
        ({}, RUN + "size_next", "size-next", "16 mm2", {"size": f"given {RUN}size"}),
        ({RUN + "size": "10 AWG"}, RUN + "size_next", "size-next", "8 AWG", {"size": f"given {RUN}size"}),
        # a string's 12.5 A: the least standard size is 15 A
        (
            {},
            "string_fuse_least_A",
            "least-device",
            15.0,
            {"current_design_string": "step current_design_string_A"},
        ),
        (
            UNLIKE,
            "string.2.string_fuse_least_A",
            "least-device",
            15.0,
            {"current_design_string": "step string.2.current_design_string_A"},
        ),
        (
            ONE,
            "string_fuse_needed",
            "one-string",
            False,
            {"reverse_current_string": "step reverse_current_string_A"},
        ),
        (
            UNLIKE,
            "string_fuse_needed",
            "any-string",
            False,
            {
                "string_fuse_needed__1": "step string.1.string_fuse_needed",
                "string_fuse_needed__2": "step string.2.string_fuse_needed",
            },
        ),
        (
            FOUR | {"array.string_fuse": "15 A"},
            "string_fuse_A",
            "as-given",
            15.0,
            {"string_fuse": "given array.string_fuse"},
        ),
        (
            FOUR | {"array.string_fuse": None},
            "string_fuse_A",
            "fuse-chosen",
            15.0,
            {"string_fuse_least": "step string_fuse_least_A"},
        ),
        (FOUR, "string_fuse_fitted", "fuses-fitted", 0.0, {"string_fuse": "given array.string_fuse"}),
        (
            FOUR | {"array.string_fuse": None},
            "string_fuse_fitted",
            "fuses-fitted",
            1.0,
            {"string_fuse": "step string_fuse_A"},
        ),
        (
            {"array.string_fuse": None},
            "string_fuse_fitted",
            "fuses-fitted",
            0.0,
            {"string_fuse_needed": "step string_fuse_needed"},
        ),
        (
            FOUR,
            "string_fuse_called_for",
            "fuses-called-for",
            1.0,
            {"string_fuse_needed": "step string_fuse_needed"},
        ),
        (
            {},
            "string_fuse_called_for",
            "fuses-called-for",
            0.0,
            {"string_fuse_needed": "step string_fuse_needed"},
        ),
        (FOUR, "coupler.3.coupler_strings", "joined-so-far", 4.0, {"string_count": "step string_count"}),
        (
            UNLIKE,
            "coupler.2.string.1.coupler_strings",
            "joined-of-kind",
            2.0,
            {"coupler_strings": "step coupler.2.coupler_strings"},
        ),
        (
            UNLIKE,
            "coupler.2.string.2.coupler_strings",
            "joined-of-kind",
            1.0,
            {"coupler_strings": "step coupler.2.coupler_strings"},
        ),
        # 25 A is a standard size; the table asks 10 AWG up to 60 A, 14 AWG up to 15 A
        (
            {},
            "ground_device_A",
            "ground-device",
            25.0,
            {"current_design_array": "step current_design_array_A"},
        ),
        ({}, "ground_least", "ground-least", "10 AWG", {"ground_device": "step ground_device_A"}),
        (ONE, "ground_least", "ground-least", "14 AWG", {"ground_device": "step ground_device_A"}),
        (COMBINER, "ground_least", "ground-least", "10 AWG", {"ground_device": "given combiner.breaker"}),
        # two strings of 300 W and one of 150 W, each at its own best
        (UNLIKE, "power_apart_W", "curve-apart", 750.0, AT_STC),
    ],
)
def test_a_step_that_is_looked_up_says_from_what(changes, step, how, result, values):
    """The code of its sentence, the result, and each value's origin by its name."""
    found = assessed(changes).steps[step]

    assert (found.id, found.formula, found.method) == (step, "", how)
    assert found.result == (pytest.approx(result, rel=1e-6) if isinstance(result, float) else result)
    assert {name: value.origin for name, value in found.values.items()} == values
    assert all(isinstance(value, Value) for value in found.values.values())


@pytest.mark.parametrize("step", ["power_joined_W", "joined_voltage_V", "reverse_open_A", "power_apart_W"])
def test_what_unlike_strings_do_is_found_at_standard_conditions(step):
    """The joined array's power, voltage and what flows back while nothing is connected."""
    found = assessed(UNLIKE).steps[step]

    assert {name: value.origin for name, value in found.values.items()} == AT_STC


@pytest.mark.parametrize(
    ("step", "cell"), [("wake_irradiance_hot_Wm2", "cell_hot"), ("wake_irradiance_cold_Wm2", "cell_cold")]
)
def test_the_light_to_start_says_from_what(step, cell):
    """The voltage that is asked for and the cell's temperature."""
    found = assessed().steps[step]

    assert found.method == "curve-wake"
    assert {name: value.origin for name, value in found.values.items()} == {
        "wake_needed": "step wake_needed_V",
        cell: f"step {cell}_degC",
    }


@pytest.mark.parametrize(
    ("changes", "path", "said", "note"),
    [
        (NO_BATTERY, "battery.absorption", "29.6 V", "battery.absorption"),
        (NO_BATTERY, "battery.lowest", "23 V", "battery.lowest"),
        (FOUR | {"array.string_fuse": None}, "array.string_fuse", "15 A", "array.string_fuse"),
        (
            {"site.coldest": None, "site.hardiness_zone": "5b"},
            "site.coldest",
            "-26.1 degC",
            "site.coldest.from_zone",
        ),
        ({RUN + "ambient": None}, RUN + "ambient", "33.75 degC", "run.ambient"),
    ],
)
def test_what_was_looked_up_for_somebody_is_noted_as_assumed(changes, path, said, note):
    """With its path, the value as a design file would have it, why, and whether it is on the safe side."""
    why = book().assumptions[note]
    found = {one.path: one for one in assessed(changes).assumptions}

    assert found[path] == Assumption(path, said, why.why, why.safe_side)
    assert path not in {one.path for one in assessed().assumptions}
