"""Rules of voltage: each at its limit, just inside and just outside, at the edge of tight, and where it does not arise.

The sums are worked out by hand from the round numbers of designs.py; the clause is named beside each group.
"""

import pytest

from tests.rules.designs import COMBINER, assessed, finding, findings, numbers

COLD = "cold-voltage-controller"


# NEC 690.7(A): n x Voc x (1 + coefficient x (cold - 25)) against the controller's own limit.


@pytest.mark.parametrize(
    ("limit", "verdict", "margin"),
    [
        ("55.01 V", "tight", 0.01),
        ("55 V", "tight", 0.0),
        ("54.99 V", "fails", -0.01),
        ("100 V", "holds", 45.0),
    ],
)
def test_cold_voltage_against_the_controllers_limit(limit, verdict, margin):
    """2 x 25 V x 1.10 = 55 V; a limit of just 55 V is kept, one a hundredth lower is not."""
    found = finding({"controller.max_voltage": limit}, COLD, "controller")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((55.0, float(limit.split()[0]), margin))
    assert (found.sense, found.unit, found.harm) == ("at most", "V", "damage")


@pytest.mark.parametrize(
    ("voc", "margins", "verdict"),
    [
        ("97 V", None, "tight"),  # 3 V of 100 V: just three percent
        ("96.99 V", None, "holds"),
        ("97 V", "2.99 %", "holds"),
        ("97 V", "3 %", "tight"),
        ("90 V", "10 %", "tight"),
        ("89.99 V", "10 %", "holds"),
        ("99.99 V", "0 %", "holds"),
        ("100 V", "0 %", "tight"),  # no room at all is never called room
    ],
)
def test_room_below_the_named_margin_is_tight(voc, margins, verdict):
    """Within 3 % of the limit is tight (our own choice); the design file's margins change that."""
    one = {
        "site.coldest": "25 degC",
        "array.modules_in_series": 1,
        "module.voc": voc,
        "margins.voltage_max": margins,
    }

    assert finding(one if margins else one | {"margins": None}, COLD, "controller").verdict == verdict


@pytest.mark.parametrize(
    ("changes", "cold"),
    [
        ({}, 55.0),
        ({"module.voc_coefficient": "-62.5 mV/degC"}, 55.0),  # 0.0625 / 25 = 0.25 % for each degree
        ({"site.coldest": "-35 degC"}, 57.5),  # 60 K x 0.25 % = 15 %
        ({"site.coldest": "25 degC"}, 50.0),
        ({"site.coldest": "33 degC"}, 49.0),  # warmer than the label: 8 K x 0.25 % = 2 % less
        ({"module.voc_coefficient": "0 %/degC"}, 50.0),
        ({"site.coldest": None, "site.hardiness_zone": "5b"}, 56.3875),  # -26.1: 51.1 K x 0.25 % = 12.775 %
        ({"site.hardiness_zone": "5b"}, 55.0),  # a record low counts before the zone
        ({"site.coldest": None}, 58.125),  # nobody said: -40: 65 K x 0.25 % = 16.25 %
        ({"array.modules_in_series": 3}, 82.5),
    ],
)
def test_cold_voltage_by_the_coefficient(changes, cold):
    """The coefficient counts in percent or in volts, from the record low, else the zone, else the coldest band."""
    assert finding(changes, COLD, "controller").actual.number == pytest.approx(cold)


@pytest.mark.parametrize(
    ("coldest", "factor"),
    [
        ("-40 degC", 1.25),
        ("-36 degC", 1.25),
        ("-35.9 degC", 1.25),  # in the gap between two printed bands: the colder one
        ("-35 degC", 1.23),
        ("-15 degC", 1.16),
        ("-11 degC", 1.16),
        ("-10.5 degC", 1.16),
        ("-10 degC", 1.14),
        ("0 degC", 1.10),
        ("24 degC", 1.02),
        ("25 degC", 1.00),
    ],
)
def test_cold_voltage_by_the_codes_table_when_the_maker_gives_no_coefficient(coldest, factor):
    """NEC Table 690.7(A), from memory: whole-degree bands; a temperature between two goes to the colder."""
    found = finding({"module.voc_coefficient": None, "site.coldest": coldest}, COLD, "controller")

    assert found.actual.number == pytest.approx(50.0 * factor)


def test_colder_than_the_table_takes_the_unfavourable_coefficient():
    """Below -40 degC the table ends: -0.401 %/K (95 of 100 listed modules) over 66 K is 26.466 %: 63.233 V."""
    found = finding({"module.voc_coefficient": None, "site.coldest": "-41 degC"}, COLD, "controller")

    assert found.actual.number == pytest.approx(63.233)


@pytest.mark.parametrize(
    ("changes", "limit"),
    [
        ({"controller.max_voltage": "60 V"}, -55.0),  # 25 - (60/50 - 1) / 0.0025 = 25 - 80
        ({"controller.max_voltage": "50 V"}, 25.0),
        ({"controller.max_voltage": "55 V"}, -15.0),
        ({"controller.max_voltage": "100 V"}, None),  # 25 - 400 is below absolute zero
        ({"controller.max_voltage": "87.26875 V"}, None),  # 25 - 298.15 is just absolute zero, and no weather
        ({"controller.max_voltage": "87.25 V"}, -273.0),
        ({"module.voc_coefficient": "0 %/degC"}, None),
        (
            {"module.voc_coefficient": None, "controller.max_voltage": "59 V"},
            -20.0,
        ),  # 1.18 holds, 1.20 does not
        ({"module.voc_coefficient": None, "controller.max_voltage": "100 V"}, None),  # never in the table
    ],
)
def test_temperature_at_which_the_controllers_limit_is_reached(changes, limit):
    """The straight line solved for temperature; by the table, the coldest band that still holds."""
    step = assessed(changes).steps.get("cold_limit_degC")

    assert (step and step.result) == (limit if limit is None else pytest.approx(limit))


@pytest.mark.parametrize(
    ("limit", "codes"),
    [
        ("64.5 V", []),  # 25 - (64.5/50 - 1) / 0.0025 = -91 degC: colder than any site
        ("64.3 V", ["cold-limit"]),  # -89.4 degC
        ("46.9 V", ["cold-limit"]),  # 49.8 degC
        ("46.8 V", ["cold-limit-hot"]),  # 50.6 degC: hotter than any air
    ],
)
def test_what_is_said_of_that_temperature(limit, codes):
    """A limit that no cold reaches is not spoken of, and one that heat does not keep away is said to be such."""
    found = finding({"controller.max_voltage": limit}, COLD, "controller")

    assert [remark.code for remark in found.remarks] == codes


def test_controllers_limit_has_to_be_given():
    """Nobody may guess a controller's absolute limit."""
    found = finding({"controller.max_voltage": None}, COLD, "controller")

    assert (found.verdict, found.needs) == ("needs input", ("controller.max_voltage",))


TWO_KINDS = {
    "module": None,
    "array": {"joining": "couplers", "string_fuse": "none", "mounting": "open rack"},
    "string": [
        {
            "modules_in_series": series,
            "strings_in_parallel": 1,
            "module": {
                "voc": voc,
                "isc": "8 A",
                "vmp": "20 V",
                "imp": "7.5 A",
                "voc_coefficient": "-0.25 %/degC",
                "vmp_coefficient": "-0.5 %/degC",
                "imp_coefficient": "0 %/degC",
                "noct": "45 degC",
                "max_system_voltage": rated,
                "max_series_fuse": "20 A",
            },
        }
        for series, voc, rated in ((2, "25 V", "600 V"), (2, "30 V", "66 V"))
    ],
}


def test_unlike_strings_share_the_highest_cold_voltage():
    """2 x 30 V x 1.1 = 66 V reaches the controller and every module, also those of the 55 V string."""
    assert finding(TWO_KINDS, COLD, "controller").actual.number == pytest.approx(66.0)
    modules = findings(TWO_KINDS, "cold-voltage-module")

    assert list(modules) == ["string 1", "string 2"]
    assert numbers(modules["string 1"]) == pytest.approx((66.0, 600.0, 534.0))
    assert numbers(modules["string 2"]) == pytest.approx((66.0, 66.0, 0.0))
    assert [modules[part].verdict for part in modules] == ["holds", "tight"]


# NEC 690.7: what modules are made for, what the site allows, what each part is rated for.


@pytest.mark.parametrize(
    ("rated", "verdict"),
    [("55 V", "tight"), ("54.99 V", "fails"), ("600 V", "holds"), (None, "needs input")],
)
def test_cold_voltage_against_the_modules_own_rating(rated, verdict):
    """55 V in the cold, against the maximum system voltage on the module's label."""
    found = finding({"module.max_system_voltage": rated}, "cold-voltage-module", "module")

    assert found.verdict == verdict
    assert found.needs == (() if rated else ("module.max_system_voltage",))
    assert found.harm == "code"


@pytest.mark.parametrize(
    ("building", "series", "voc", "verdict", "limit"),
    [
        ("dwelling", 1, "600 V", "tight", 600),
        ("dwelling", 1, "600.01 V", "fails", 600),
        ("dwelling", 1, "582 V", "tight", 600),  # 18 V of 600 V: three percent
        ("dwelling", 1, "581.99 V", "holds", 600),
        (None, 1, "600.01 V", "fails", 600),  # nobody said: a dwelling
        ("other", 1, "600.01 V", "holds", 1000),
        ("other", 1, "1000 V", "tight", 1000),
        ("other", 2, "500.01 V", "fails", 1000),
        ("none", 2, "750 V", "tight", 1500),
        ("none", 2, "750.01 V", "fails", 1500),
        ("none", 2, "727.49 V", "holds", 1500),
    ],
)
def test_cold_voltage_against_the_sites_limit(building, series, voc, verdict, limit):
    """600 V on a small house, 1000 V on other buildings (both seen in print), 1500 V elsewhere (from memory)."""
    changes = {
        "site.coldest": "25 degC",
        "site.building": building,
        "array.modules_in_series": series,
        "module.voc": voc,
    }
    found = finding(changes, "cold-voltage-site", "site")

    assert (found.verdict, found.limit.number) == (verdict, limit)


FUSED = {"array.string_fuse": "15 A", "array.string_fuse_voltage": "150 V"}


@pytest.mark.parametrize(
    ("changes", "path", "part"),
    [
        ({}, "coupler.1.voltage_rating", "coupler 1"),
        (FUSED, "array.string_fuse_voltage", "string fuse"),
        ({}, "disconnect.voltage_rating", "disconnect"),
        ({}, "run.home run.voltage_rating", "home run"),
        (COMBINER, "combiner.voltage_rating", "combiner"),
        ({"disconnect": None, "combiner": {"breaker": "30 A"}}, "combiner.voltage_rating", "breaker"),
    ],
)
@pytest.mark.parametrize(("rated", "verdict"), [("55 V", "tight"), ("54.99 V", "fails"), ("60 V", "holds")])
def test_cold_voltage_against_each_parts_rating(changes, path, part, rated, verdict):
    """A coupler, fuse, disconnect, wire, combiner or breaker sees the string's 55 V; its own rating decides."""
    found = finding({**changes, path: rated}, "cold-voltage-parts", part)

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((55.0, float(rated.split()[0]), float(rated.split()[0]) - 55.0))
    assert found.harm == "damage"


@pytest.mark.parametrize(
    ("changes", "part", "needs"),
    [
        (FUSED | {"array.string_fuse_voltage": None}, "string fuse", "array.string_fuse_voltage"),
        ({"disconnect.voltage_rating": None}, "disconnect", "disconnect.voltage_rating"),
        (COMBINER | {"combiner.voltage_rating": None}, "combiner", "combiner.voltage_rating"),
        ({"disconnect": None, "combiner": {"breaker": "30 A"}}, "breaker", "combiner.voltage_rating"),
    ],
)
def test_parts_of_which_low_voltage_ones_are_sold_have_to_be_rated(changes, part, needs):
    """A fuse, disconnect, breaker or combiner without a rating is not guessed."""
    found = finding(changes, "cold-voltage-parts", part)

    assert (found.verdict, found.needs) == ("needs input", (needs,))


@pytest.mark.parametrize(
    ("path", "part"),
    [("coupler.1.voltage_rating", "coupler 1"), ("run.home run.voltage_rating", "home run")],
)
def test_couplers_and_wire_without_a_rating_count_as_the_least_that_is_sold(path, part):
    """600 V, common practice, no source; noted as an assumption."""
    found = finding({path: None}, "cold-voltage-parts", part)

    assert found.limit.number == 600
    assert path in {one.path for one in assessed({path: None}).assumptions}


def test_one_string_has_no_coupler_to_rate():
    """Only what is there is asked about: a single string without fuse or disconnect leaves its wire."""
    alone = {"array.strings_in_parallel": 1, "disconnect": None}

    assert list(findings(alone, "cold-voltage-parts")) == ["home run"]


# Hot: the Vmp coefficient, less the drop, against absorption and the controller's margin (common practice).


HOT = "hot-voltage-charging"


@pytest.mark.parametrize(
    ("absorption", "verdict", "margin"),
    [
        ("30.415 V", "tight", 0.0),  # 32 - 0.585 = 31.415 V, less 1 V to run
        ("30.416 V", "fails", -0.001),
        ("28.92 V", "tight", 1.495),  # 29.92 V needed, five percent of it are 1.496 V
        ("28.919 V", "holds", 1.496),  # 29.919 V needed, five percent of it are 1.49595 V
        ("28.8 V", "holds", 1.615),
    ],
)
def test_hot_voltage_left_for_charging_by_mppt(absorption, verdict, margin):
    """2 x 20 V x 0.8 = 32 V, less 0.585 V on the way, against absorption + 1 V."""
    found = finding({"battery.absorption": absorption}, HOT, "controller")
    needed = float(absorption.split()[0]) + 1

    assert numbers(found) == pytest.approx((31.415, needed, margin))
    assert found.verdict == verdict
    assert (found.sense, found.harm) == ("at least", "energy")


@pytest.mark.parametrize(
    ("margin", "verdict"),
    [("4.99 %", "holds"), ("5 %", "tight"), (None, "tight"), ("0 %", "holds")],
)
def test_hot_voltage_just_five_percent_above_what_is_needed_is_tight(margin, verdict):
    """33.6 V on hand against 32 V needed is 1.6 V: five percent of 32 V."""
    changes = {
        "module.vmp": "21 V",  # 2 x 21 V x 0.8 = 33.6 V
        "battery.nominal": "24 V",
        "battery.absorption": "31 V",
        "run.home run.conductor_temperature": "20 degC",
        "module.imp": "0.000001 A",  # next to nothing is lost on the way
        "margins.voltage_min": margin,
    }
    found = finding(changes if margin else changes | {"margins": None}, HOT, "controller")

    assert numbers(found) == pytest.approx((33.6, 32.0, 1.6), abs=1e-6)
    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("coefficients", "hot"),
    [
        ({"module.vmp_coefficient": "-0.5 %/degC"}, 32.0),
        ({"module.vmp_coefficient": "-100 mV/degC"}, 32.0),  # 0.1 / 20 = 0.5 %
        # power's less current's: -0.45 - 0.05 = -0.5 %
        ({"module.pmax_coefficient": "-0.45 %/degC", "module.imp_coefficient": None}, 32.0),
        ({"module.pmax_coefficient": "-0.48 %/degC", "module.imp_coefficient": "0.02 %/degC"}, 32.0),
        (
            {"module.pmax_coefficient": "-0.675 W/degC", "module.imp_coefficient": None},
            32.0,
        ),  # / 150 W = 0.45 %
        ({}, 31.616),  # nobody said: -0.524 %: 40 x (1 - 0.2096)
    ],
)
def test_hot_voltage_by_its_own_coefficient(coefficients, hot):
    """The Vmp coefficient: given, else from power and current, else the low side; never that of Voc (VMP-COEFF)."""
    changes = {"module.vmp_coefficient": None} | coefficients

    assert assessed(changes).steps["vmp_hot_string_V"].result == pytest.approx(hot)


@pytest.mark.parametrize(
    ("changes", "cell"),
    [
        ({}, 65.0),
        ({"array.mounting": "pole"}, 65.0),
        ({"array.mounting": "roof stand-off"}, 82.1),  # + 17.1 K
        ({"array.mounting": "roof flush"}, 93.1),  # + 28.1 K
        ({"array.mounting": None}, 93.1),
        ({"module.noct": "49 degC"}, 70.0),  # (49 - 20) x 1.25 = 36.25 K
        ({"module.noct": None}, 70.5),  # 49.4: 36.75 K
        ({"site.hottest": None}, 76.25),  # 45 degC + 31.25 K
    ],
)
def test_hottest_cell(changes, cell):
    """Summer air + (NOCT - 20) / 800 x 1000 + what the mounting holds back."""
    assert assessed(changes).steps["cell_hot_degC"].result == pytest.approx(cell)


def test_every_run_between_modules_and_controller_takes_its_share():
    """10 m at a string's 7.5 A take 0.2925 V, at the array's 15 A 0.585 V; the battery's run takes none."""
    run = {"length": "10 m", "size": "10 mm2", "conductor_temperature": "20 degC"}
    names = (("strings", "string"), ("home run", "array"), ("battery run", "battery"))
    runs = [{"name": name, "carries": carries} | run for name, carries in names]

    assert finding({"run": runs}, HOT, "controller").actual.number == pytest.approx(32.0 - 0.2925 - 0.585)


PWM = {"controller.kind": "pwm"}


@pytest.mark.parametrize(
    ("absorption", "verdict"), [("30.915 V", "tight"), ("30.916 V", "fails"), ("28.8 V", "holds")]
)
def test_hot_voltage_left_for_charging_by_pwm(absorption, verdict):
    """A PWM controller asks for absorption and its own half volt: 31.415 - 0.5 = 30.915 V is the most."""
    found = finding(PWM | {"battery.absorption": absorption}, HOT, "controller")

    assert found.verdict == verdict
    assert found.limit.number == pytest.approx(float(absorption.split()[0]) + 0.5)


@pytest.mark.parametrize(
    ("kind", "equalise", "verdict", "needed"),
    [
        ("mppt", "30.415 V", "tight", 31.415),
        ("mppt", "30.416 V", "fails", 31.416),
        ("pwm", "30.915 V", "tight", 31.415),
        ("pwm", "30.92 V", "fails", 31.42),
        ("mppt", "28.8 V", "holds", 29.8),
    ],
)
def test_equalising_is_asked_for_when_its_voltage_is_given(kind, equalise, verdict, needed):
    """The same voltage, against equalising plus the controller's margin or drop."""
    found = finding({"controller.kind": kind, "battery.equalise": equalise}, HOT, "controller, equalising")

    assert (found.verdict, found.limit.number) == (verdict, pytest.approx(needed))


def test_equalising_is_not_asked_for_otherwise():
    """Without an equalising voltage there is one answer about charging."""
    assert list(findings({}, HOT)) == ["controller"]


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({"run": None}, ("run.home run.length", "run.home run.size")),
        ({"run.home run.length": None}, ("run.home run.length",)),
        ({"run.home run.size": None}, ("run.home run.size",)),
        (
            {"battery.absorption": None, "battery.nominal": None},
            ("battery.nominal", "battery.absorption"),
        ),
        ({"battery.absorption": None, "battery.chemistry": "other"}, ("battery.absorption",)),
        (
            {"run.home run.length": None, "battery": None},
            ("run.home run.length", "battery.nominal", "battery.absorption"),
        ),
    ],
)
def test_hot_voltage_needs_the_run_and_the_battery(changes, needs):
    """What is missing is named, all of it at once."""
    found = finding(changes, HOT, "controller")

    assert (found.verdict, found.needs) == ("needs input", needs)


@pytest.mark.parametrize(
    ("chemistry", "absorption"),
    [(None, 29.6), ("lead-acid flooded", 29.6), ("lead-acid sealed", 28.6), ("lifepo4", 29.2)],
)
def test_absorption_by_kind_of_battery_when_not_given(chemistry, absorption):
    """Common practice, no source: the upper end of what the kind of battery is charged to, at 24 V."""
    changes = {"battery.absorption": None, "battery.chemistry": chemistry}

    assert finding(changes, HOT, "controller").limit.number == pytest.approx(absorption + 1)


# Start (common practice): hot Voc against absorption and the start margin.


@pytest.mark.parametrize(
    ("absorption", "margin", "verdict", "room"),
    [
        ("30 V", "15 V", "tight", 0.0),  # 2 x 25 x 0.9 = 45 V
        ("30 V", "15.01 V", "fails", -0.01),
        ("30 V", "12.86 V", "tight", 2.14),  # 42.86 V needed, five percent of it are 2.143 V
        ("30 V", "12.85 V", "holds", 2.15),  # 42.85 V needed, five percent of it are 2.1425 V
        ("28.8 V", "5 V", "holds", 11.2),
    ],
)
def test_open_circuit_voltage_when_hot_against_the_start(absorption, margin, verdict, room):
    """45 V at 65 degC against absorption + the start margin."""
    found = finding(
        {"battery.absorption": absorption, "controller.start_margin": margin}, "wake-voltage", "controller"
    )

    assert (found.verdict, found.margin) == (verdict, pytest.approx(room))
    assert found.harm == "energy"


def test_start_margin_that_nobody_gave_is_five_volts():
    """Common practice, no source: battery + 5 V to start, + 1 V to go on."""
    changes = {"controller.start_margin": None, "controller.run_margin": None}

    assert finding(changes, "wake-voltage", "controller").limit.number == pytest.approx(33.8)
    assert finding(changes, HOT, "controller").limit.number == pytest.approx(29.8)


def test_a_pwm_controller_has_no_start_threshold():
    """It charges as soon as the array is above the battery."""
    found = finding(PWM, "wake-voltage", "controller")

    assert (found.verdict, found.reason) == ("does not apply", "pwm-has-no-start")


@pytest.mark.parametrize(
    ("absorption", "cold", "hot", "code", "told"),
    [
        ("38 V", "25 degC", "33.75 degC", "wake-light", {"cold", "hot"}),
        ("28.8 V", "-15 degC", "33.75 degC", "wake-light-hot", {"hot"}),
        ("12 V", "-15 degC", "-10 degC", "wake-first-light", set()),
    ],
)
def test_the_light_that_starts_charging_is_told_in_words(absorption, cold, hot, code, told):
    """Less than 1 W/m2 is not told as a figure but as the first light of the day."""
    changes = {"battery": {"absorption": absorption, "lowest": "8 V"}}
    changes |= {"site.coldest": cold, "site.hottest": hot}
    (remark,) = finding(changes, "wake-voltage", "controller").remarks

    assert (remark.code, set(remark.values)) == (code, told)
    assert all(value.number >= 1 for value in remark.values.values())


def test_start_needs_the_batterys_voltage():
    """Without absorption, or a battery to look it up for, the start cannot be judged."""
    found = finding({"battery": None}, "wake-voltage", "controller")

    assert (found.verdict, found.needs) == ("needs input", ("battery.nominal", "battery.absorption"))


# What a PWM controller gives away, against our own target of 40 %.


@pytest.mark.parametrize(
    ("lowest", "verdict", "share"),
    [
        ("23.5 V", "tight", 40.0),  # (40 - 23.5 - 0.5) / 40
        ("23.49 V", "fails", 40.025),
        ("26.7 V", "tight", 32.0),  # eight points below: just a fifth of the target
        ("26.71 V", "holds", 31.975),
        ("28 V", "holds", 28.75),
    ],
)
def test_power_a_pwm_controller_gives_away(lowest, verdict, share):
    """(Vmp - battery - own drop) x Imp as a share of Vmp x Imp: the string offers 40 V."""
    found = finding(PWM | {"battery.lowest": lowest}, "pwm-voltage-given-away", "controller")

    assert (found.verdict, found.actual.number) == (verdict, pytest.approx(share))
    assert found.harm == "energy"


def test_nothing_is_given_away_below_the_battery():
    """A string below the battery's voltage gives nothing, and nothing away."""
    found = finding(
        PWM | {"battery.lowest": "28.8 V", "array.modules_in_series": 1},
        "pwm-voltage-given-away",
        "controller",
    )

    assert found.actual.number == 0


def test_an_mppt_controller_gives_nothing_away():
    """It turns the extra voltage into current."""
    found = finding({}, "pwm-voltage-given-away", "controller")

    assert (found.verdict, found.reason) == ("does not apply", "mppt-gives-nothing-away")


def test_power_given_away_needs_the_lowest_battery_voltage():
    """Given, or looked up for the kind and nominal voltage."""
    found = finding(PWM | {"battery": None}, "pwm-voltage-given-away", "controller")

    assert (found.verdict, found.needs) == ("needs input", ("battery.nominal", "battery.lowest"))
