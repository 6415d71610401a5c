"""What each finding stands on: the steps a reader is led to from it."""

import pytest

from tests.rules.designs import COMBINER, assessed

RUN = "run.home run."
COLD = {"voc_cold_string_V", "cell_cold_degC"}
FUSED = {"array.strings_in_parallel": 4, "array.string_fuse": "15 A", "array.string_fuse_voltage": "150 V"}
PWM = {"controller.kind": "pwm"}
BATTERY_RUN = {RUN + "carries": "battery"}
STRING_RUN = {RUN + "carries": "string"}
UNLIKE = {"array": {"string_fuse": "none"}, "string": [{"modules_in_series": 2}, {"modules_in_series": 1}]}
SMALL = {RUN + "size": "10 AWG", "combiner": {"breaker": "30 A"}}


@pytest.mark.parametrize(
    ("changes", "finding", "part", "steps"),
    [
        (
            {"controller.max_voltage": "60 V"},
            "cold-voltage-controller",
            "controller",
            COLD | {"cold_limit_degC"},
        ),
        ({}, "cold-voltage-module", "module", COLD),
        ({}, "cold-voltage-site", "site", COLD),
        ({}, "cold-voltage-parts", "disconnect", COLD),
        (
            {},
            "hot-voltage-charging",
            "controller",
            {
                "vmp_hot_at_controller_V",
                "charging_needed_V",
                "cell_hot_degC",
                "vmp_hot_string_V",
                "heat_taken_V",
                "drop_V",
            },
        ),
        (
            {"battery.equalise": "30 V"},
            "hot-voltage-charging",
            "controller, equalising",
            {
                "vmp_hot_at_controller_V",
                "equalising_needed_V",
                "cell_hot_degC",
                "vmp_hot_string_V",
                "heat_taken_V",
                "drop_V",
            },
        ),
        (
            {},
            "wake-voltage",
            "controller",
            {"voc_hot_string_V", "wake_needed_V", "wake_irradiance_hot_Wm2", "wake_irradiance_cold_Wm2"},
        ),
        ({}, "controller-input-current", "controller", {"current_max_array_A", "isc_array_A"}),
        (
            {},
            "controller-output-current",
            "controller",
            {"charge_current_A", "output_limit_A", "power_stc_W", "clipped_A"},
        ),
        (PWM, "controller-output-current", "controller", {"charge_current_A", "power_stc_W", "clipped_A"}),
        (
            PWM,
            "pwm-voltage-given-away",
            "controller",
            {"given_away_share_percent", "given_away_W", "given_away_full_W"},
        ),
        (
            {},
            "string-fuse-needed",
            "string",
            {
                "string_fuse_fitted",
                "string_fuse_called_for",
                "string_fuse_needed",
                "reverse_current_string_A",
                "reverse_current_iec_string_A",
                "reverse_limit_string_A",
                "string_fuse_least_A",
            },
        ),
        (
            FUSED,
            "string-fuse-size",
            "fuse of the string, for its current",
            {
                "string_fuse_A",
                "current_design_string_A",
                "string_fuse_least_A",
                "string_fuse_window_low_A",
                "string_fuse_window_high_A",
            },
        ),
        (
            FUSED,
            "string-fuse-size",
            "fuse of the string, for its modules",
            {"string_fuse_A", "string_fuse_least_A"},
        ),
        (
            FUSED | STRING_RUN,
            "string-fuse-size",
            "fuse of the string, for the home run",
            {"string_fuse_A", RUN + "device_limit_A", RUN + "ampacity_A"},
        ),
        (
            {},
            "reverse-current",
            "string",
            {
                "reverse_passed_string_A",
                "reverse_limit_string_A",
                "reverse_current_string_A",
                "reverse_current_iec_string_A",
            },
        ),
        (
            {},
            "run-ampacity",
            "home run",
            {RUN + key for key in ("ampacity_A", "ampacity_needed_A", "size_least")},
        ),
        (
            {},
            "run-ampacity",
            "home run, before corrections",
            {RUN + key for key in ("ampacity_table_A", "current_design_A", "size_least")},
        ),
        (
            {},
            "run-terminal-temperature",
            "home run",
            {RUN + key for key in ("ampacity_terminal_A", "current_design_A", "size_least")},
        ),
        (
            {},
            "run-voltage-drop",
            "home run",
            {RUN + key for key in ("drop_percent", "drop_V", "resistance_ohm", "loss_W")},
        ),
        (SMALL, "small-conductor-device", "home run", {RUN + "ampacity_table_A"}),
        ({}, "coupler-current", "coupler 1", {"coupler.1.current_A", "coupler.1.current_design_stage_A"}),
        (COMBINER, "combiner-circuits", "combiner", {"string_count", "spare_circuits"}),
        (COMBINER, "combiner-bar", "combiner", {"current_design_array_A"}),
        (COMBINER, "breaker-rating", "breaker, for the array", {"current_design_array_A"}),
        (
            COMBINER,
            "breaker-rating",
            "breaker, for the home run",
            {RUN + "device_limit_A", RUN + "ampacity_A"},
        ),
        ({}, "disconnect-rating", "disconnect", {"current_max_array_A"}),
        (
            UNLIKE,
            "unlike-strings",
            "strings",
            {"unlike_loss_percent", "power_joined_W", "power_apart_W", "joined_voltage_V", "reverse_open_A"},
        ),
        ({}, "grounding-conductor-size", "grounding conductor", {"ground_least", "ground_device_A"}),
        ({}, "battery-side-device", "battery", {"battery_device_needed_A", "battery_device_least_A"}),
        (
            BATTERY_RUN,
            "battery-side-device",
            "home run, as protection",
            {RUN + "device_limit_A", RUN + "ampacity_A"},
        ),
    ],
)
def test_a_finding_leads_to_its_working(changes, finding, part, steps):
    """Both sides of the comparison, and what goes with it."""
    (found,) = (one for one in assessed(changes).findings if (one.id, one.part) == (finding, part))

    assert set(found.steps) == steps
