"""What a finding waits for when something is missing, and the working that it shows until then.

Each is the behaviour that the docstring of its rule promises.
"""

from dataclasses import replace

import pytest

from calc.derive import derive
from calc.derive.battery import missing_battery
from calc.model.assessment import Unknown, Value, Verdict
from tests.rules.designs import COMBINER, assessed, book, design

RUN = "run.home run."
PWM = {"controller.kind": "pwm"}
ONE = {"array.strings_in_parallel": 1}
FUSED = {
    "array.strings_in_parallel": 4,
    "array.string_fuse": "15 A",
    "array.string_fuse_voltage": "150 V",
}
UNLIKE = {"array": {"string_fuse": "none"}, "string": [{"modules_in_series": 2}, {"modules_in_series": 1}]}
OPEN = {"controller.blocks_reverse": False}
NO_BATTERY = {"battery.nominal": None, "battery.absorption": None, "battery.lowest": None}
NO_WIRE = {RUN + "size": None, RUN + "length": None}
TO_BATTERY = {RUN + "carries": "battery"}


def answers(changes):
    return {(found.id, found.part): found for found in assessed(changes).findings}


@pytest.mark.parametrize(
    ("changes", "waiting"),
    [
        ({}, {}),
        (
            {"controller.max_voltage": None},
            {("cold-voltage-controller", "controller"): "controller.max_voltage"},
        ),
        (
            {"module.max_system_voltage": None},
            {("cold-voltage-module", "module"): "module.max_system_voltage"},
        ),
        (
            {"disconnect.voltage_rating": None},
            {("cold-voltage-parts", "disconnect"): "disconnect.voltage_rating"},
        ),
        ({"disconnect": None}, {("disconnect-rating", "disconnect"): "disconnect.rating"}),
        (
            COMBINER | {"combiner": {"circuits": 4}},
            {
                ("cold-voltage-parts", "combiner"): "combiner.voltage_rating",
                ("combiner-bar", "combiner"): "combiner.bar_rating",
                ("breaker-rating", "breaker"): "combiner.breaker",
            },
        ),
        (
            FUSED | {"array.string_fuse_voltage": None},
            {("cold-voltage-parts", "string fuse"): "array.string_fuse_voltage"},
        ),
        (
            NO_BATTERY,
            {
                ("hot-voltage-charging", "controller"): "battery.nominal, battery.absorption",
                ("wake-voltage", "controller"): "battery.nominal, battery.absorption",
                ("controller-output-current", "controller"): "battery.nominal, battery.lowest",
            },
        ),
        (
            PWM | NO_BATTERY,
            {
                ("hot-voltage-charging", "controller"): "battery.nominal, battery.absorption",
                ("pwm-voltage-given-away", "controller"): "battery.nominal, battery.lowest",
            },
        ),
        (
            {"run": None},
            dict.fromkeys(
                (
                    ("hot-voltage-charging", "controller"),
                    ("run-ampacity", "home run"),
                    ("run-terminal-temperature", "home run"),
                    ("run-voltage-drop", "home run"),
                ),
                f"{RUN}length, {RUN}size",
            ),
        ),
        (
            {RUN + "length": None, "battery.equalise": "30 V"},
            dict.fromkeys(
                (
                    ("hot-voltage-charging", "controller"),
                    ("hot-voltage-charging", "controller, equalising"),
                    ("run-voltage-drop", "home run"),
                ),
                RUN + "length",
            ),
        ),
        (
            NO_WIRE,
            {
                ("hot-voltage-charging", "controller"): f"{RUN}length, {RUN}size",
                ("run-ampacity", "home run"): RUN + "size",
                ("run-terminal-temperature", "home run"): RUN + "size",
                ("run-voltage-drop", "home run"): f"{RUN}length, {RUN}size",
                ("small-conductor-device", "home run"): RUN + "size",
            },
        ),
        (
            {RUN + "size": "1.5 mm2"},  # thinner than the least of the ampacity tables
            dict.fromkeys(
                (
                    ("run-ampacity", "home run"),
                    ("run-terminal-temperature", "home run"),
                    ("small-conductor-device", "home run"),
                ),
                RUN + "size",
            ),
        ),
        (
            {RUN + "size": "2.5 mm2", RUN + "material": "aluminium"},  # nor has IEC 60228 a resistance for it
            dict.fromkeys(
                (
                    ("hot-voltage-charging", "controller"),
                    ("run-ampacity", "home run"),
                    ("run-terminal-temperature", "home run"),
                    ("run-voltage-drop", "home run"),
                    ("small-conductor-device", "home run"),
                ),
                RUN + "size",
            ),
        ),
        (
            TO_BATTERY
            | NO_WIRE
            | NO_BATTERY
            | {"battery.lowest": "24 V", "controller.rated_output_current": None},
            {
                ("hot-voltage-charging", "controller"): (
                    "run.array run.length, run.array run.size, battery.nominal, battery.absorption"
                ),
                ("wake-voltage", "controller"): "battery.nominal, battery.absorption",
                ("controller-output-current", "controller"): "controller.rated_output_current",
                ("run-ampacity", "home run"): f"{RUN}size, controller.rated_output_current",
                ("run-terminal-temperature", "home run"): f"{RUN}size, controller.rated_output_current",
                ("run-voltage-drop", "home run"): (
                    f"{RUN}length, {RUN}size, controller.rated_output_current,"
                    " battery.nominal, battery.absorption"
                ),
                ("small-conductor-device", "home run"): RUN + "size",
                ("battery-side-device", "battery"): "controller.rated_output_current",
            },
        ),
        (
            {"controller.max_input_current": None},
            {("controller-input-current", "controller"): "controller.max_input_current"},
        ),
        (
            PWM | {"controller.max_input_current": None, "controller.rated_output_current": None},
            {
                ("controller-input-current", "controller"): "controller.max_input_current",
                ("controller-output-current", "controller"): "controller.rated_output_current",
                ("battery-side-device", "battery"): "controller.rated_output_current",
            },
        ),
        (
            {"module.max_series_fuse": None},
            dict.fromkeys(
                (
                    ("string-fuse-needed", "string"),
                    ("string-fuse-size", "string fuse"),
                    ("reverse-current", "string"),
                ),
                "module.max_series_fuse",
            ),
        ),
        (
            UNLIKE | {"module.max_series_fuse": None},
            dict.fromkeys(
                (
                    ("string-fuse-needed", "string"),
                    ("string-fuse-size", "string fuse"),
                    ("reverse-current", "string 1"),
                    ("reverse-current", "string 2"),
                ),
                "module.max_series_fuse",
            ),
        ),
        (
            OPEN | ONE | {"module.max_series_fuse": None},
            dict.fromkeys(
                (
                    ("string-fuse-needed", "string"),
                    ("string-fuse-size", "string fuse"),
                    ("reverse-current", "string"),
                ),
                "module.max_series_fuse, combiner.breaker",
            ),
        ),
        ({"grounding": None}, {("grounding-conductor-size", "grounding conductor"): "grounding.conductor"}),
        ({"battery.device": None}, {("battery-side-device", "battery"): "battery.device"}),
        (
            TO_BATTERY | {"battery.device": None},
            {
                ("hot-voltage-charging", "controller"): "run.array run.length, run.array run.size",
                ("battery-side-device", "battery"): "battery.device",
            },
        ),
    ],
)
def test_what_is_missing_is_asked_for_where_it_counts(changes, waiting):
    """By path, in the findings that cannot be answered without it and in no other."""
    found = {
        key: ", ".join(one.needs)
        for key, one in answers(changes).items()
        if one.verdict == Verdict.NEEDS_INPUT or one.needs
    }

    assert found == waiting


@pytest.mark.parametrize(
    ("changes", "finding", "part", "steps"),
    [
        (NO_BATTERY, "controller-output-current", "controller", {"power_stc_W"}),
        (
            {RUN + "length": None},
            "hot-voltage-charging",
            "controller",
            {"cell_hot_degC", "vmp_hot_string_V", "heat_taken_V"},
        ),
        ({RUN + "size": None}, "run-ampacity", "home run", {RUN + "size_least"}),
        ({RUN + "size": None}, "run-terminal-temperature", "home run", {RUN + "size_least"}),
        ({"controller.max_input_current": None}, "controller-input-current", "controller", {"isc_array_A"}),
        (
            {"module.max_series_fuse": None},
            "string-fuse-needed",
            "string",
            {"reverse_current_string_A", "reverse_current_iec_string_A", "string_fuse_least_A"},
        ),
        (
            {"module.max_series_fuse": None},
            "reverse-current",
            "string",
            {"reverse_current_string_A", "reverse_current_iec_string_A"},
        ),
        (ONE, "string-fuse-needed", "string", {"string_fuse_needed"}),
        ({}, "string-fuse-size", "string fuse", {"string_fuse_needed"}),
        (
            COMBINER | {"combiner": {"circuits": 4}},
            "breaker-rating",
            "breaker",
            {"current_design_array_A"},
        ),
        ({"disconnect": None}, "disconnect-rating", "disconnect", {"current_max_array_A"}),
        (
            {"grounding": None},
            "grounding-conductor-size",
            "grounding conductor",
            {"ground_least", "ground_device_A"},
        ),
        (
            {"battery.device": None},
            "battery-side-device",
            "battery",
            {"battery_device_needed_A", "battery_device_least_A"},
        ),
    ],
)
def test_an_open_question_shows_the_working_so_far(changes, finding, part, steps):
    """The least size to buy, for example, is known before the one that is there."""
    assert set(answers(changes)[finding, part].steps) == steps


def test_the_voltage_at_the_controller_waits_for_every_run_before_it():
    """Each run's own lines that are missing, the strings' runs first; the battery's run is behind the controller."""
    runs = [
        {"name": "to the battery", "carries": "battery"},
        {"name": "home run", "carries": "array", "size": "10 mm2"},
        {"name": "leads", "carries": "string", "length": "10 m"},
        {"name": "whips", "carries": "string", "length": "10 m", "size": "10 mm2"},
    ]

    assert answers({"run": runs})["hot-voltage-charging", "controller"].needs == (
        "run.leads.size",
        "run.home run.length",
    )


def test_a_battery_voltage_that_the_table_gives_is_not_asked_for():
    """The drop to the battery waits for the run's length alone; without a battery, for its voltage too."""
    changes = TO_BATTERY | {RUN + "length": None, "battery.absorption": None}
    nothing = changes | {"battery.nominal": None, "battery.lowest": None}

    assert answers(changes)["run-voltage-drop", "home run"].needs == (RUN + "length",)
    assert answers(nothing)["run-voltage-drop", "home run"].needs == (
        RUN + "length",
        "battery.nominal",
        "battery.absorption",
    )


@pytest.mark.parametrize(
    ("name", "step", "given", "by_table"),
    [("absorption", "absorption_V", 28.8, 29.6), ("lowest", "battery_lowest_V", 24.0, 23.0)],
)
def test_a_battery_voltage_is_handed_on_as_it_was_worked_out(name, step, given, by_table):
    """Given, else the table's for flooded lead-acid at 24 V (common practice, no source); else what would settle it."""
    path, no_nominal = f"battery.{name}", {"battery": {"chemistry": "lead-acid flooded"}}

    def handed_on(changes):
        return missing_battery(derive(design(changes), book()), name)

    assert handed_on({}) == Value(given, "V", f"step {step}")
    assert handed_on({path: None}) == Value(by_table, "V", f"step {step}")
    assert handed_on(no_nominal) == Unknown(("battery.nominal", path))


@pytest.mark.parametrize("changes", [{}, UNLIKE, PWM, TO_BATTERY, COMBINER])
def test_the_working_leaves_out_what_is_missing_whatever_it_is(changes):
    """Also a line without which no file would be read: no step tells of it, and the working does not break off."""
    whole = design(changes)
    for path in whole.values:
        values = {name: given for name, given in whole.values.items() if name != path}
        steps = derive(replace(whole, values=values), book()).steps

        assert steps
        assert f"given {path}" not in {one.origin for step in steps.values() for one in step.values.values()}
