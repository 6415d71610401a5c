"""What a finding says beside its numbers: how it compares, how it was decided, its sentences, and its parts.

Each is the behaviour that the docstring of its rule promises; the sentences themselves are in the catalogue of words.
"""

import pytest

from tests.rules.designs import COMBINER, assessed

RUN = "run.home run."
PWM = {"controller.kind": "pwm"}
ONE = {"array.strings_in_parallel": 1}
FOUR = {"array.strings_in_parallel": 4}
FUSED = FOUR | {"array.string_fuse": "15 A", "array.string_fuse_voltage": "150 V"}
UNLIKE = {"array": {"string_fuse": "none"}, "string": [{"modules_in_series": 2}, {"modules_in_series": 1}]}
BREAKER = {"disconnect": None, "combiner": {"breaker": "30 A", "voltage_rating": "150 V"}}
SMALL = {RUN + "size": "10 AWG", "combiner": {"breaker": "30 A", "voltage_rating": "150 V"}}
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
        # 80 V is reached far below -90 degC, colder than any site may be given
        ({"controller.max_voltage": "80 V"}, "cold-voltage-controller", "controller", {}),
        (
            {},
            "hot-voltage-charging",
            "controller",
            {"heat-and-distance": {"heat": "heat_taken_V", "drop": "drop_V", "label": "vmp_stc_string_V"}},
        ),
        ({"run": None}, "hot-voltage-charging", "controller", {}),
        # 28.8 V and the start margin, against 45 V hot and 55 V cold in full sun: how much less light would do
        ({"controller.start_margin": "0 V"}, "wake-voltage", "controller", {"wake-first-light": {}}),
        (
            {"controller.start_margin": "3 V"},
            "wake-voltage",
            "controller",
            {"wake-light-hot": {"hot": "wake_irradiance_hot_Wm2"}},
        ),
        (
            {"controller.start_margin": "16 V"},
            "wake-voltage",
            "controller",
            {"wake-light": {"hot": "wake_irradiance_hot_Wm2", "cold": "wake_irradiance_cold_Wm2"}},
        ),
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
    ("changes", "finding", "parts"),
    [
        ({}, "cold-voltage-module", ["module"]),
        (UNLIKE, "cold-voltage-module", ["string 1", "string 2"]),
        ({}, "cold-voltage-parts", ["coupler 1", "disconnect", "home run"]),
        (
            {"coupler": [{"inputs": 2}, {"inputs": 2}]},
            "cold-voltage-parts",
            ["coupler 1", "coupler 2", "disconnect", "home run"],
        ),
        ({"coupler": None}, "cold-voltage-parts", ["coupler 1", "disconnect", "home run"]),
        (BREAKER, "cold-voltage-parts", ["coupler 1", "breaker", "home run"]),
        (COMBINER, "cold-voltage-parts", ["combiner", "disconnect", "home run"]),
        # its breaker is in the combiner, and rated with it
        (COMBINER | {"disconnect": None}, "cold-voltage-parts", ["combiner", "home run"]),
        (
            FUSED | {RUN + "carries": "string"},
            "cold-voltage-parts",
            ["coupler 1", "string fuse", "disconnect", "home run"],
        ),
        (TO_BATTERY, "cold-voltage-parts", ["coupler 1", "disconnect"]),
        (ONE | {"run": None, "disconnect": None}, "cold-voltage-parts", ["couplers"]),
        (UNLIKE, "reverse-current", ["string 1", "string 2"]),
        (FOUR, "coupler-current", ["coupler 1", "coupler 2", "coupler 3"]),
        (
            FUSED | {RUN + "carries": "string"},
            "string-fuse-size",
            [f"fuse of the string, for {what}" for what in ("its current", "its modules", "the home run")],
        ),
        # a combiner that is described is used, unless the design says that it is not
        (COMBINER | {"array.joining": None}, "coupler-current", ["couplers"]),
        ({"combiner": {"circuits": 4}}, "coupler-current", ["coupler 1"]),
        (COMBINER, "breaker-rating", ["breaker, for the array", "breaker, for the home run"]),
        (COMBINER | {RUN + "carries": "string"}, "breaker-rating", ["breaker, for the array"]),
        (TO_BATTERY, "battery-side-device", ["battery", "home run, as protection"]),
    ],
)
def test_a_question_is_asked_of_each_part_once(changes, finding, parts):
    """In the order in which the report names them."""
    assert [part for name, part in answers(changes) if name == finding] == parts
    assert len(answers(changes)) == len(assessed(changes).findings)
