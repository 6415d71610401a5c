"""Three kinds of string in one array: each by itself, and what the array makes of them, worked out by hand.

The modules of the first two are those of designs.py: cold 27.5 V, hot 16 V at the peak, Isc 8 A, Imp 7.5 A. The third has
30 V open (cold, by the same 10 %, 33 V), 24 V at its peak (hot, 20 % less, 19.2 V), Isc 12 A and Imp 11 A, so 264 W; its
coefficients of Vmp and Imp and its NOCT are given alike.
"""

import pytest

from calc.model.assessment import Verdict
from tests.rules.designs import assessed, findings

STRONG = {
    "voc": "30 V",
    "isc": "12 A",
    "vmp": "24 V",
    "imp": "11 A",
    "voc_coefficient": "-0.25 %/degC",
    "isc_coefficient": "0.05 %/degC",
    "vmp_coefficient": "-0.5 %/degC",
    "imp_coefficient": "0 %/degC",
    "noct": "45 degC",
    "max_series_fuse": "20 A",
    "max_system_voltage": "600 V",
    "rear_gain": "0 %",
}
THREE = {
    "array": {"mounting": "open rack", "string_fuse": "none"},
    "string": [
        {"modules_in_series": 2, "strings_in_parallel": 2},
        {"modules_in_series": 1},
        {"modules_in_series": 3, "module": STRONG},
    ],
}
FED = {"controller.blocks_reverse": False, "combiner": {"breaker": "30 A", "voltage_rating": "150 V"}}
RUNS = [
    {"name": "whips", "carries": "string", "length": "10 m", "size": "10 mm2"},
    {"name": "leads", "carries": "string", "length": "10 m", "size": "14 AWG"},
]
LAID = {
    "material": "copper",
    "insulation": "90 degC",
    "routing": "conduit",
    "ambient": "30 degC",
    "conductors_in_conduit": 2,
    "terminals": "75 degC",
}


@pytest.mark.parametrize(
    ("step", "result"),
    [
        # of each kind
        ("string.1.voc_stc_string_V", 50.0),
        ("string.2.voc_stc_string_V", 25.0),
        ("string.1.voc_cold_string_V", 55.0),
        ("string.2.voc_cold_string_V", 27.5),
        ("string.3.voc_cold_string_V", 99.0),
        ("string.3.vmp_hot_string_V", 57.6),
        ("string.3.current_max_string_A", 15.0),
        ("string.3.current_design_string_A", 18.75),
        ("string.3.pmax_W", 264.0),
        ("string.1.string_fuse_least_A", 15.0),
        ("string.3.string_fuse_least_A", 20.0),
        # IEC 62548, as seen in training material: 1.5 to 2.4 times Isc
        ("string.1.string_fuse_window_low_A", 12.0),
        ("string.1.string_fuse_window_high_A", 19.2),
        ("string.3.string_fuse_window_low_A", 18.0),
        ("string.3.string_fuse_window_high_A", 28.8),
        ("string.1.reverse_current_string_A", 1.25 * (36 - 8)),
        ("string.3.reverse_current_string_A", 1.25 * (36 - 12)),
        ("string.3.reverse_current_iec_string_A", 24.0),
        # the highest of the maxima, the lowest of the minima
        ("voc_stc_string_V", 90.0),
        ("voc_cold_string_V", 99.0),
        ("voc_hot_string_V", 22.5),
        ("vmp_stc_string_V", 20.0),
        ("vmp_hot_string_V", 16.0),
        ("heat_taken_V", 4.0),
        # sums, and the largest of a kind
        ("string_count", 4.0),
        ("isc_array_A", 36.0),
        ("imp_array_A", 33.5),
        ("imp_hot_array_A", 33.5),
        ("current_max_array_A", 45.0),
        ("current_design_array_A", 56.25),
        ("power_stc_W", 4 * 150 + 150 + 3 * 264),
        ("isc_string_A", 12.0),
        ("imp_string_A", 11.0),
        ("imp_hot_string_A", 11.0),
        ("current_max_string_A", 15.0),
        ("current_design_string_A", 18.75),
        ("string_fuse_least_A", 20.0),
        ("reverse_current_string_A", 35.0),
        ("reverse_current_iec_string_A", 28.0),
        # couplers, the strongest string first: 15, then 10 A more at each stage
        ("coupler.1.current_A", 25.0),
        ("coupler.2.current_A", 35.0),
        ("coupler.3.current_A", 45.0),
        ("coupler.3.current_design_stage_A", 56.25),
    ],
)
def test_three_kinds_of_string(step, result):
    """Every kind counts, the last one too."""
    assert assessed(THREE).steps[step].result == pytest.approx(result)


@pytest.mark.parametrize(
    ("step", "names"),
    [
        ("current_max_array_A", ["strings_in_parallel", "current_max_string"]),
        ("power_stc_W", ["strings_in_parallel", "modules_in_series", "pmax"]),
        ("string_count", ["strings_in_parallel"]),
    ],
)
def test_a_sum_over_kinds_names_each(step, names):
    """With the number of its kind behind each name; a single kind has none."""
    three, one = assessed(THREE).steps[step], assessed().steps[step]

    assert list(one.values) == names
    assert sorted(three.values) == sorted(f"{name}__{kind}" for name in names for kind in (1, 2, 3))


@pytest.mark.parametrize(
    ("kinds", "formula"),
    [
        (None, "isc * (1 + rear_gain)"),
        (1, "isc * (1 + rear_gain)"),
        (2, "max(isc_string__1, isc_string__2)"),
        (3, "max(isc_string__1, isc_string__2, isc_string__3)"),
    ],
)
def test_the_current_of_a_string_is_the_largest_only_where_there_are_several(kinds, formula):
    """8 A from the datasheet where all strings are alike, by whichever table; else the most of any kind."""
    changes = {} if kinds is None else THREE | {"string": THREE["string"][:kinds]}
    step = assessed(changes).steps["isc_string_A"]

    assert (step.formula, step.result) == (formula, 12.0 if kinds == 3 else 8.0)
    assert "step isc_string_A" not in {value.origin for value in step.values.values()}


@pytest.mark.parametrize("fuse", ["none", "20 A"])
def test_each_kind_tells_what_may_flow_back(fuse):
    """35 and 30 A from the others without a fuse, 20 A through one, against the modules' 20 A."""
    found = findings(
        THREE | {"array": {"mounting": "open rack", "string_fuse": fuse, "string_fuse_voltage": "150 V"}},
        "reverse-current",
    )

    assert [(part, one.actual.number, one.limit.number) for part, one in found.items()] == [
        ("string 1", pytest.approx(35.0 if fuse == "none" else 20.0), 20.0),
        ("string 2", pytest.approx(35.0 if fuse == "none" else 20.0), 20.0),
        ("string 3", pytest.approx(30.0 if fuse == "none" else 20.0), 20.0),
    ]


def test_a_battery_that_can_feed_back_adds_to_each_kind():
    """As much as the breaker lets through, 30 A, on top of 1.25 times the others."""
    steps = assessed(THREE | FED).steps

    assert steps["string.1.reverse_current_string_A"].result == pytest.approx(65.0)
    assert steps["string.3.reverse_current_string_A"].result == pytest.approx(60.0)


@pytest.mark.parametrize("turn", [False, True])
def test_the_thinnest_wire_of_a_string_limits_what_may_flow_back(turn):
    """14 AWG copper at 90 degC carries 25 A, 10 mm2 (as 8 AWG) 55 A; the module would take 60 A."""
    runs = [one | LAID for one in (RUNS[::-1] if turn else RUNS)]
    step = assessed({"module.max_series_fuse": "60 A", "run": runs}).steps["reverse_limit_string_A"]

    assert step.result == 25.0
    assert set(step.values) == {"max_series_fuse", "ampacity__1", "ampacity__2"}


def test_the_wire_limits_what_may_flow_back_into_each_kind():
    """14 AWG carries 25 A: less than the 60 A of the first two kinds' modules, more than the 20 A of the third's."""
    runs = [one | LAID for one in RUNS]
    found = findings(THREE | {"module.max_series_fuse": "60 A", "run": runs}, "reverse-current")

    assert {part: one.limit and one.limit.number for part, one in found.items()} == {
        "string 1": 25.0,
        "string 2": 25.0,
        "string 3": 20.0,
    }


def test_the_last_kind_alone_can_call_for_fuses():
    """Its modules may be fed 20 A, the others' 60 A; all get one then."""
    changes = THREE | {"module.max_series_fuse": "60 A"}
    found = findings(changes, "string-fuse-needed")["string"]

    assert assessed(changes).steps["string.1.string_fuse_needed"].result is False
    assert assessed(changes).steps["string.3.string_fuse_needed"].result is True
    assert (found.verdict, found.limit.number) == (Verdict.FAILS, 1.0)


def test_drops_and_losses_add_up_over_the_runs_before_the_controller():
    """A string's own run carries one string's 7.5 A, and there are two of it; the array's carries 15 A."""
    runs = [
        {"name": "to the battery", "carries": "battery", "length": "2 m", "size": "10 mm2"},
        {"name": "whips", "carries": "string", "length": "20 m", "size": "10 mm2"},
        {"name": "home run", "carries": "array", "length": "10 m", "size": "10 mm2"},
    ]
    steps = assessed({"run": [one | LAID | {"conductor_temperature": "20 degC"} for one in runs]}).steps

    # 2 x 20 m and 2 x 10 m of 1.95 ohm/km
    assert steps["drop_V"].result == pytest.approx(0.078 * 7.5 + 0.039 * 15)
    assert steps["loss_W"].result == pytest.approx(2 * 0.078 * 7.5**2 + 0.039 * 15**2)
    assert list(steps["drop_V"].values) == ["drop__1", "drop__2"]
    assert list(steps["loss_W"].values) == ["loss__1", "loss__2"]
    assert steps["vmp_hot_at_controller_V"].result == pytest.approx(32.0 - 1.17)
    assert steps["drop_percent"].result == pytest.approx(1.17 / 32.0 * 100)


def test_each_kind_has_its_own_heat():
    """48 degC of NOCT instead of 45: 28 instead of 25 K above the air at 800 W/m2, 35 instead of 31.25 K in full sun."""
    hotter = {"modules_in_series": 2, "module": STRONG | {"noct": "48 degC"}}
    steps = assessed(THREE | {"string": [{"modules_in_series": 2}, hotter]}).steps

    assert [steps[f"string.{kind}.rise_K"].result for kind in (1, 2)] == pytest.approx([31.25, 35.0])
    assert [steps[f"string.{kind}.cell_hot_degC"].result for kind in (1, 2)] == pytest.approx([65.0, 68.75])
    assert "rise_K" not in steps


def test_without_coefficients_each_kind_goes_by_the_table_of_factors():
    """1.16 down to -15 degC (Table 690.7(A)); the limit of 56.5 V is reached by two modules, never by one."""
    changes = {"module.voc_coefficient": None, "controller.max_voltage": "56.5 V"}
    kinds = [{"modules_in_series": 2}, {"modules_in_series": 1}]
    steps = assessed(THREE | changes | {"string": kinds}).steps

    assert [steps[f"string.{kind}.voc_cold_string_V"].result for kind in (1, 2)] == pytest.approx(
        [58.0, 29.0]
    )
    # 1.12 x 50 V = 56 V holds down to -5 degC, 1.14 x 50 V no more; one module never reaches 56.5 V in the table
    assert steps["string.1.cold_limit_degC"].result == -5.0
    assert "string.2.cold_limit_degC" not in steps
    assert (steps["cold_limit_degC"].result, steps["cold_limit_degC"].formula) == (-5.0, "cold_limit__1")


def test_each_kind_reaches_the_controllers_limit_at_its_own_temperature():
    """60 V: two modules of 25 V reach it 80 K below 25 degC, three of 30 V already 133 K above; the warmer counts."""
    steps = assessed(THREE | {"controller.max_voltage": "60 V"}).steps

    assert steps["string.1.cold_limit_degC"].result == pytest.approx(25 - 0.2 / 0.0025)
    assert steps["string.3.cold_limit_degC"].result == pytest.approx(25 + (1 - 60 / 90) / 0.0025)
    assert steps["cold_limit_degC"].result == steps["string.3.cold_limit_degC"].result
