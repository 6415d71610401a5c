"""What a finding says beside its numbers: how it compares, how it was decided, its sentences, and what it waits for.

Each is the behaviour that the docstring of its rule promises; the sentences themselves are in the catalogue of words.
"""

import pytest

from calc.model.assessment import Verdict
from tests.rules.designs import COMBINER, assessed

RUN = "run.home run."
PWM = {"controller.kind": "pwm"}
ONE = {"array.strings_in_parallel": 1}
FOUR = {"array.strings_in_parallel": 4}
FUSED = FOUR | {"array.string_fuse": "15 A", "array.string_fuse_voltage": "150 V"}
UNLIKE = {"array": {"string_fuse": "none"}, "string": [{"modules_in_series": 2}, {"modules_in_series": 1}]}
BREAKER = {"disconnect": None, "combiner": {"breaker": "30 A", "voltage_rating": "150 V"}}
SMALL = {RUN + "size": "10 AWG", "combiner": {"breaker": "30 A", "voltage_rating": "150 V"}}
OPEN = {"controller.blocks_reverse": False}
NO_BATTERY = {"battery.nominal": None, "battery.absorption": None, "battery.lowest": None}
NO_WIRE = {RUN + "size": None, RUN + "length": None}
TO_BATTERY = {RUN + "carries": "battery"}
ALL = {
    "bench": {},
    "pwm": PWM,
    "combiner": COMBINER,
    "one string": ONE,
    "fused": FUSED | {RUN + "carries": "string"},
    "unlike": UNLIKE,
    "battery run": TO_BATTERY,
    "small wire": SMALL,
    "equalising": {"battery.equalise": "30 V"},
}
AT_LEAST = {
    "hot-voltage-charging",
    "wake-voltage",
    "string-fuse-needed",
    "run-ampacity",
    "run-terminal-temperature",
    "combiner-circuits",
    "combiner-bar",
    "disconnect-rating",
    "grounding-conductor-size",
}
AT_MOST = {
    "cold-voltage-controller",
    "cold-voltage-module",
    "cold-voltage-site",
    "cold-voltage-parts",
    "controller-input-current",
    "controller-output-current",
    "pwm-voltage-given-away",
    "reverse-current",
    "run-voltage-drop",
    "small-conductor-device",
    "coupler-current",
    "unlike-strings",
}
BOTH_WAYS = {
    ("string-fuse-size", "fuse of the string, for its current"): "at least",
    ("string-fuse-size", "fuse of the string, for its modules"): "at most",
    ("string-fuse-size", "fuse of the string, for the home run"): "at most",
    ("breaker-rating", "breaker, for the array"): "at least",
    ("breaker-rating", "breaker, for the home run"): "at most",
    ("battery-side-device", "battery"): "at least",
    ("battery-side-device", "home run, as protection"): "at most",
}
"""A device is large enough for what flows, and small enough for what it protects."""


def answers(changes):
    return {(found.id, found.part): found for found in assessed(changes).findings}


@pytest.mark.parametrize("name", ALL)
def test_a_finding_says_which_way_it_compares(name):
    """What is enough is at least its limit, what may be too much at most; room is on that side."""
    compared = [found for found in answers(ALL[name]).values() if found.actual is not None]

    for found in compared:
        sense = BOTH_WAYS.get((found.id, found.part), "at least" if found.id in AT_LEAST else "at most")
        room = found.limit.number - found.actual.number
        assert (found.id in AT_LEAST | AT_MOST) != ((found.id, found.part) in BOTH_WAYS)
        assert found.sense == sense, found
        assert found.margin == pytest.approx(room if sense == "at most" else -room, abs=1e-8), found
    assert len(compared) > 15


@pytest.mark.parametrize(
    ("changes", "finding", "part", "verdict", "reason"),
    [
        (PWM, "wake-voltage", "controller", "does not apply", "pwm-has-no-start"),
        ({}, "pwm-voltage-given-away", "controller", "does not apply", "mppt-gives-nothing-away"),
        ({}, "controller-output-current", "controller", "holds", "mppt-clips"),
        (PWM, "controller-output-current", "controller", "holds", "pwm-cannot-clip"),
        (PWM, "controller-input-current", "controller", "holds", ""),
        (
            PWM | {"controller.max_input_current": None},
            "controller-input-current",
            "controller",
            "holds",
            "pwm-input-is-output",
        ),
        (
            PWM | {"controller.max_input_current": None, "controller.rated_output_current": None},
            "controller-input-current",
            "controller",
            "needs input",
            "",
        ),
        ({}, "string-fuse-needed", "string", "holds", "fuses-not-needed"),
        (FOUR, "string-fuse-needed", "string", "fails", "fuses-needed"),
        (ONE, "string-fuse-needed", "string", "does not apply", "one-string"),
        ({}, "string-fuse-size", "string fuse", "does not apply", "no-fuse"),
        (FOUR, "string-fuse-size", "string fuse", "does not apply", "fuse-left-out"),
        (ONE, "reverse-current", "string", "does not apply", "one-string"),
        ({"run": None}, "small-conductor-device", "home run", "does not apply", "no-run"),
        ({}, "small-conductor-device", "home run", "does not apply", "not-a-small-conductor"),
        (
            {RUN + "size": "10 AWG"},
            "small-conductor-device",
            "home run",
            "does not apply",
            "no-device-in-front",
        ),
        (COMBINER, "coupler-current", "couplers", "does not apply", "joined-in-a-combiner"),
        (ONE, "coupler-current", "couplers", "does not apply", "one-string"),
        ({}, "combiner-circuits", "combiner", "does not apply", "joined-by-couplers"),
        ({}, "combiner-bar", "combiner", "does not apply", "joined-by-couplers"),
        ({}, "breaker-rating", "breaker", "does not apply", "no-breaker"),
        ({}, "disconnect-rating", "disconnect", "holds", ""),
        (BREAKER, "disconnect-rating", "disconnect", "holds", "breaker-disconnects"),
        ({}, "unlike-strings", "strings", "does not apply", "strings-alike"),
    ],
)
def test_a_finding_says_how_it_was_decided(changes, finding, part, verdict, reason):
    """By the code of its sentence, for the part it is about."""
    found = answers(changes)[finding, part]

    assert (found.verdict, found.reason) == (verdict, reason)
    assert found.harm in {"damage", "code", "energy"}
    assert found.cites


@pytest.mark.parametrize(
    ("changes", "finding", "part", "remarks"),
    [
        ({}, "cold-voltage-controller", "controller", {}),  # 100 V is not reached above absolute zero
        (
            {"controller.max_voltage": "60 V"},
            "cold-voltage-controller",
            "controller",
            {"cold-limit": {"limit": "cold_limit_degC"}},
        ),
        (
            {},
            "hot-voltage-charging",
            "controller",
            {"heat-and-distance": {"heat": "heat_taken_V", "drop": "drop_V", "label": "vmp_stc_string_V"}},
        ),
        ({"run": None}, "hot-voltage-charging", "controller", {}),
        ({}, "wake-voltage", "controller", {"wake-light-hot": {"hot": "wake_irradiance_hot_Wm2"}}),
        (
            {"controller.start_margin": "17 V"},  # 45.8 V of 45 to 55 V
            "wake-voltage",
            "controller",
            {},
        ),
        (
            PWM,
            "pwm-voltage-given-away",
            "controller",
            {"given-away": {"low": "given_away_W", "full": "given_away_full_W"}},
        ),
        (
            {},
            "string-fuse-needed",
            "string",
            {
                "both-sums": {
                    "here": "reverse_current_string_A",
                    "iec": "reverse_current_iec_string_A",
                    "limit": "reverse_limit_string_A",
                }
            },
        ),
        (
            {},
            "run-voltage-drop",
            "home run",
            {"next-size": {"loss": RUN + "loss_W", "size": RUN + "size_next", "saved": RUN + "saved_W"}},
        ),
        ({RUN + "size": "70 mm2"}, "run-voltage-drop", "home run", {}),  # the largest there is
        (FOUR, "coupler-current", "coupler 1", {"coupler-halves": {}}),
        (FOUR, "coupler-current", "coupler 2", {}),
        (COMBINER, "breaker-rating", "breaker, for the array", {"breaker-polarity": {}}),
        (COMBINER, "breaker-rating", "breaker, for the home run", {}),
    ],
)
def test_a_finding_brings_its_sentences(changes, finding, part, remarks):
    """Each with the steps whose results are set into it; none where one of these could not be worked out."""
    found = answers(changes)[finding, part]

    assert {
        one.code: {name: value.origin.removeprefix("step ") for name, value in one.values.items()}
        for one in found.remarks
    } == remarks


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
