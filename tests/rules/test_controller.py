"""Rules of the controller's currents and of the battery side, each at its limit, just inside and just outside.

The sums are worked out by hand from the round numbers of designs.py.
"""

import pytest

from tests.rules.designs import assessed, finding, findings, numbers

PWM = {"controller.kind": "pwm"}


# NEC 690.8(A): 1.25 x Isc of every string, against the controller's absolute input current.


@pytest.mark.parametrize(
    ("limit", "verdict", "margin"),
    [
        ("20 A", "tight", 0.0),  # 2 x 1.25 x 8 A
        ("19.99 A", "fails", -0.01),
        ("21.05 A", "tight", 1.05),  # five percent of 21.05 A are 1.0525 A
        ("21.06 A", "holds", 1.06),  # five percent of 21.06 A are 1.053 A
        ("40 A", "holds", 20.0),
    ],
)
def test_current_into_the_controller(limit, verdict, margin):
    """20 A from two strings against what the controller may ever see."""
    found = finding({"controller.max_input_current": limit}, "controller-input-current", "controller")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((20.0, float(limit.split()[0]), margin))
    assert (found.sense, found.unit, found.harm) == ("at most", "A", "damage")


@pytest.mark.parametrize(("isc", "verdict"), [("7.6 A", "tight"), ("7.599 A", "holds")])
def test_room_of_just_five_percent_of_the_current_is_tight(isc, verdict):
    """2 x 1.25 x 7.6 A = 19 A against 20 A: one ampere is five percent; the design file's margins change that."""
    changes = {"module.isc": isc, "module.imp": "7 A", "controller.max_input_current": "20 A"}

    assert finding(changes, "controller-input-current", "controller").verdict == verdict
    mine = changes | {"margins.current": "4.9 %"}
    assert finding(mine, "controller-input-current", "controller").verdict == "holds"


@pytest.mark.parametrize(
    ("isc", "imp", "strings", "limit"),
    [("1.12 A", "1 A", 5, "7 A"), ("1.04 A", "1 A", 3, "3.9 A"), ("1.28 A", "1 A", 3, "4.8 A")],
)
def test_noise_of_the_arithmetic_decides_nothing(isc, imp, strings, limit):
    """5 x 1.25 x 1.12 is 7 on paper and a hair more in binary; equal to the limit is inside it."""
    changes = {
        "module.isc": isc,
        "module.imp": imp,
        "array.strings_in_parallel": strings,
        "controller.max_input_current": limit,
    }
    found = finding(changes, "controller-input-current", "controller")

    assert (found.verdict, found.margin) == ("tight", 0.0)


def test_light_from_behind_counts_in_the_current():
    """10 % more from the rear side: 2 x 1.25 x 8.8 A = 22 A."""
    found = finding({"module.rear_gain": "10 %"}, "controller-input-current", "controller")

    assert found.actual.number == pytest.approx(22.0)


def test_unlike_strings_add_up():
    """One string of 8 A and two of 6 A: 1.25 x (8 + 12) = 25 A."""
    module = {"voc": "25 V", "vmp": "20 V", "imp": "5 A"}
    changes = {
        "module": None,
        "array": {"string_fuse": "none"},
        "string": [
            {"modules_in_series": 2, "module": module | {"isc": "8 A"}},
            {"modules_in_series": 2, "strings_in_parallel": 2, "module": module | {"isc": "6 A"}},
        ],
    }

    assert finding(changes, "controller-input-current", "controller").actual.number == pytest.approx(25.0)


def test_the_controllers_input_limit_has_to_be_given():
    """Nobody may guess it for an MPPT controller, or for a PWM controller without a rating."""
    nothing = {"controller.max_input_current": None}
    found = finding(nothing, "controller-input-current", "controller")
    assert (found.verdict, found.needs) == ("needs input", ("controller.max_input_current",))

    unrated = PWM | nothing | {"controller.rated_output_current": None}
    found = finding(unrated, "controller-input-current", "controller")
    assert (found.verdict, found.needs) == ("needs input", ("controller.max_input_current",))


@pytest.mark.parametrize(("rated", "verdict"), [("20 A", "tight"), ("19.9 A", "fails"), ("30 A", "holds")])
def test_a_pwm_controllers_rating_serves_as_its_input_limit(rated, verdict):
    """What goes into it comes out."""
    changes = PWM | {"controller.max_input_current": None, "controller.rated_output_current": rated}
    found = finding(changes, "controller-input-current", "controller")

    assert (found.verdict, found.reason) == (verdict, "pwm-input-is-output")


# Controller manual: charge current against the rated output.


@pytest.mark.parametrize(
    ("rated", "clipping", "verdict", "limit"),
    [
        ("25 A", "0 %", "tight", 25.0),  # 600 W / 24 V
        ("24.99 A", "0 %", "fails", 24.99),
        ("24.99 A", None, "fails", 24.99),
        ("26.31 A", "0 %", "tight", 26.31),  # 1.31 A against five percent, 1.3155 A
        ("26.32 A", "0 %", "holds", 26.32),  # 1.32 A against 1.316 A
        ("20 A", "25 %", "tight", 25.0),
        ("20 A", "24.9 %", "fails", 24.98),
    ],
)
def test_charge_current_of_mppt(rated, clipping, verdict, limit):
    """Array power over the lowest battery voltage, against the rating and the clipping its owner accepts."""
    changes = {"controller.rated_output_current": rated, "controller.clipping_accepted": clipping}
    found = finding(changes, "controller-output-current", "controller")

    assert found.verdict == verdict
    assert (found.actual.number, found.limit.number) == pytest.approx((25.0, limit))
    assert (found.harm, found.reason) == ("energy", "mppt-clips")


@pytest.mark.parametrize(("rated", "verdict"), [("16 A", "tight"), ("15.99 A", "fails"), ("17 A", "holds")])
def test_charge_current_of_pwm(rated, verdict):
    """The array's Isc, 2 x 8 A: a PWM controller cannot hold it back, so too much is damage, whatever is accepted."""
    changes = PWM | {"controller.rated_output_current": rated, "controller.clipping_accepted": "25 %"}
    found = finding(changes, "controller-output-current", "controller")

    assert (found.verdict, found.actual.number) == (verdict, pytest.approx(16.0))
    assert found.limit.number == float(rated.split()[0])
    assert (found.harm, found.reason) == ("damage", "pwm-cannot-clip")


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({"controller.rated_output_current": None}, ("controller.rated_output_current",)),
        ({"battery.lowest": None, "battery.nominal": None}, ("battery.nominal", "battery.lowest")),
        ({"battery.lowest": None, "battery.chemistry": "other"}, ("battery.lowest",)),
        (
            {"battery": None, "controller": None},
            ("battery.nominal", "battery.lowest", "controller.rated_output_current"),
        ),
    ],
)
def test_charge_current_needs_rating_and_battery(changes, needs):
    """What is missing is named, all of it at once."""
    found = finding(changes, "controller-output-current", "controller")

    assert (found.verdict, found.needs) == ("needs input", needs)


@pytest.mark.parametrize(
    ("chemistry", "lowest"), [("lead-acid flooded", 23.0), ("lead-acid sealed", 23.0), ("lifepo4", 24.0)]
)
def test_lowest_battery_voltage_by_kind_when_not_given(chemistry, lowest):
    """Common practice, no source: 23 V for lead-acid and 24 V for LiFePO4 at 24 V nominal."""
    changes = {"battery.lowest": None, "battery.chemistry": chemistry}

    assert finding(changes, "controller-output-current", "controller").actual.number == pytest.approx(
        600 / lowest
    )


def test_a_kind_of_controller_that_nobody_named_counts_as_mppt():
    """The stricter one to meet; noted as an assumption."""
    found = assessed({"controller.kind": None})

    assert "controller.kind" in {one.path for one in found.assumptions}
    assert {one.reason for one in found.findings if one.id == "controller-output-current"} == {"mppt-clips"}


# NEC 690.9(B): the device between controller and battery, at 1.25 times the controller's rating.


DEVICE = "battery-side-device"


@pytest.mark.parametrize(
    ("device", "verdict", "margin"),
    [("37.5 A", "holds", 0.0), ("37.49 A", "fails", -0.01), ("40 A", "holds", 2.5)],
)
def test_device_on_the_battery_side(device, verdict, margin):
    """1.25 x 30 A = 37.5 A; a device of just the size wanted is the usual choice, so there is no tight."""
    found = finding({"battery.device": device}, DEVICE, "battery")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((float(device.split()[0]), 37.5, margin))
    assert (found.sense, found.harm) == ("at least", "code")
    assert assessed({"battery.device": device}).steps["battery_device_least_A"].result == 40


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({"battery.device": None}, ("battery.device",)),
        ({"controller.rated_output_current": None}, ("controller.rated_output_current",)),
        ({"battery": None, "controller": None}, ("battery.device", "controller.rated_output_current")),
    ],
)
def test_device_on_the_battery_side_needs_both_ratings(changes, needs):
    """The device's and the controller's."""
    found = finding(changes, DEVICE, "battery")

    assert (found.verdict, found.needs) == ("needs input", needs)


BATTERY_RUN = {
    "name": "to the battery",
    "carries": "battery",
    "length": "2 m",
    "size": "8 AWG",
    "insulation": "90 degC",
    "routing": "conduit",
    "ambient": "30 degC",
    "terminals": "75 degC",
}


@pytest.mark.parametrize(("device", "verdict"), [("50 A", "holds"), ("50.1 A", "fails"), ("45 A", "holds")])
def test_device_on_the_battery_side_protects_its_wire(device, verdict):
    """8 AWG copper at 90 degC carries 55 A, but 50 A at 75 degC terminals: 50 A at most (110.14(C), 240.4)."""
    found = findings({"run": [BATTERY_RUN], "battery.device": device}, DEVICE)

    assert found["to the battery, as protection"].verdict == verdict
    assert found["to the battery, as protection"].limit.number == 50
