"""Rules of conductors: each at its limit, just inside and just outside, and where it does not arise.

Sums are worked out by hand. The tables' figures are those of NEC Tables 310.16, 310.17 (from memory), 310.15(B)(1),
310.15(C)(1), Chapter 9 Table 8 and IEC 60228; each table's standing is on the sources page.
"""

import pytest

from tests.rules.designs import COMBINER, assessed, finding, findings, numbers

RUN = "run.home run."
AMPACITY, TERMINALS, DROP, SMALL = (
    "run-ampacity",
    "run-terminal-temperature",
    "run-voltage-drop",
    "small-conductor-device",
)
NO_RUN = ("run.home run.length", "run.home run.size")


def one_string(isc, **run):
    """One string, whose maximum current is 1.25 times its Isc, on a run of 10 AWG copper changed as named."""
    changes = {"array.strings_in_parallel": 1, "module.isc": isc, "module.imp": "1 A"}
    return changes | {RUN + name: value for name, value in ({"size": "10 AWG"} | run).items()}


# NEC 690.8(B): what is left after corrections carries the maximum current.


@pytest.mark.parametrize(
    ("isc", "verdict", "margin"),
    [
        ("20.384 A", "tight", 0.0),  # 1.25 x 20.384 A = 25.48 A
        ("20.385 A", "fails", -0.00125),
        ("19.4134 A", "tight", 1.21325),  # 24.26675 A needed, five percent of it are 1.21334 A
        ("19.413 A", "holds", 1.21375),  # 24.26625 A needed, five percent of it are 1.21331 A
        ("8 A", "holds", 15.48),
    ],
)
def test_ampacity_after_corrections_against_the_maximum_current(isc, verdict, margin):
    """10 AWG copper, 90 degC: 40 A; 40 degC air keeps 0.91 and seven conductors 0.7: 25.48 A."""
    found = finding(one_string(isc, ambient="40 degC", conductors_in_conduit=7), AMPACITY, "home run")

    assert found.verdict == verdict
    assert numbers(found) == pytest.approx((25.48, 1.25 * float(isc.split()[0]), margin), abs=1e-9)
    assert (found.sense, found.unit, found.harm) == ("at least", "A", "code")


@pytest.mark.parametrize(
    ("isc", "verdict"),
    [("25.6 A", "tight"), ("25.61 A", "fails"), ("24.381 A", "tight"), ("24.38 A", "holds")],
)
def test_ampacity_before_corrections_against_the_design_current(isc, verdict):
    """40 A from the table against 1.5625 x Isc: 25.6 A is just 40 A; five percent more than needed is at 24.3810 A."""
    found = finding(one_string(isc, ambient="10 degC"), AMPACITY, "home run, before corrections")

    assert found.verdict == verdict
    assert numbers(found)[:2] == pytest.approx((40.0, 1.5625 * float(isc.split()[0])))


@pytest.mark.parametrize(
    ("run", "ampacity"),
    [
        ({}, 40.0),
        ({"insulation": "75 degC"}, 35.0),
        ({"insulation": "60 degC"}, 30.0),
        ({"insulation": None}, 35.0),  # nobody said: the lower of the two that are common outdoors
        ({"material": "aluminium"}, 35.0),
        ({"material": None}, 40.0),
        ({"routing": "free air"}, 55.0),
        ({"routing": "free air", "material": "aluminium"}, 35.0),  # no row: the raceway's lower figure
        ({"routing": "free air", "conductors_in_conduit": 40}, 55.0),  # no conduit, no company
        ({"routing": "buried"}, 40.0),
        ({"routing": None}, 40.0),
        # air
        ({"ambient": "30 degC"}, 40.0),
        ({"ambient": "30.1 degC"}, 38.4),  # in the gap between two bands: the hotter one, 0.96
        ({"ambient": "35 degC"}, 38.4),
        ({"ambient": "25 degC"}, 41.6),
        ({"ambient": "-20 degC"}, 46.0),  # 1.15, the first band
        ({"ambient": "85 degC"}, 11.6),
        ({"ambient": "86 degC"}, 0.0),  # beyond the table: nothing may be carried
        ({"ambient": "75 degC", "insulation": "75 degC"}, 0.0),  # the table leaves this blank
        ({"ambient": None}, 38.4),  # as hot as the site gets, 33.75 degC: 0.96
        # close above a roof: 33 K more
        ({"routing": "roof conduit", "ambient": "40 degC"}, 20.0),  # 73 degC: 0.50
        ({"routing": "roof conduit", "ambient": "42 degC"}, 20.0),
        ({"routing": "roof conduit", "ambient": "42.1 degC"}, 16.4),
        ({"routing": "roof conduit", "ambient": "40 degC", "insulation": "75 degC"}, 0.0),
        ({"routing": "roof conduit", "ambient": "37 degC", "insulation": "75 degC"}, 11.55),  # 35 x 0.33
        # company
        ({"conductors_in_conduit": 3}, 40.0),
        ({"conductors_in_conduit": 4}, 32.0),  # EC&M Code Q&A 112: 40 A x 0.8
        ({"conductors_in_conduit": 6}, 32.0),
        ({"conductors_in_conduit": 7}, 28.0),
        ({"conductors_in_conduit": 10}, 20.0),
        ({"conductors_in_conduit": 21}, 18.0),
        ({"conductors_in_conduit": 31}, 16.0),
        ({"conductors_in_conduit": 200}, 14.0),
        ({"conductors_in_conduit": None}, 40.0),
        # mm2 counts as the AWG size that it wholly contains: 2.08, 3.31, 5.26, 8.37, 13.3, 21.2, 33.6, 42.4, 67.4 mm2
        ({"size": "2.5 mm2"}, 25.0),
        ({"size": "4 mm2"}, 30.0),
        ({"size": "6 mm2"}, 40.0),
        ({"size": "10 mm2"}, 55.0),
        ({"size": "16 mm2"}, 75.0),
        ({"size": "25 mm2"}, 95.0),
        ({"size": "35 mm2"}, 130.0),
        ({"size": "50 mm2"}, 145.0),
        ({"size": "70 mm2"}, 195.0),
        ({"size": "4/0 AWG"}, 260.0),
    ],
)
def test_ampacity_as_laid(run, ampacity):
    """Table by metal, size, insulation and routing, times what heat and company leave."""
    assert finding(one_string("1.1 A", **run), AMPACITY, "home run").actual.number == pytest.approx(ampacity)


@pytest.mark.parametrize(
    ("run", "around", "origin"),
    [
        ({}, 30.0, "given run.home run.ambient"),
        ({"ambient": None}, 33.75, "assumed run.home run.ambient"),
        ({"routing": "roof conduit"}, 63.0, "given run.home run.ambient"),
        ({"routing": "roof conduit", "ambient": None}, 66.75, "assumed run.home run.ambient"),
    ],
)
def test_how_warm_it_is_around_a_run_is_shown(run, around, origin):
    """Given, else as hot as the site gets, which is noted as an assumption; 33 K more close above a roof."""
    found = assessed({RUN + name: value for name, value in run.items()})
    step = found.steps["run.home run.ambient_at_run_degC"]

    assert (step.result, step.values["ambient"].origin) == (pytest.approx(around), origin)
    assert ("run.home run.ambient" in {one.path for one in found.assumptions}) is origin.startswith("assumed")


@pytest.mark.parametrize(
    ("isc", "run", "least"),
    [
        ("8 A", {}, "14 AWG"),  # 10 A and 12.5 A: 14 AWG carries 25 A, its terminals allow 20 A
        (
            "8 A",
            {"ambient": "60 degC", "conductors_in_conduit": 8},
            "14 AWG",
        ),  # 25 x 0.71 x 0.7 = 12.4 A for 10 A
        (
            "8 A",
            {"ambient": "60 degC", "conductors_in_conduit": 10},
            "12 AWG",
        ),  # x 0.5: 14 keeps 8.9 A, 12 keeps 10.7 A
        # 80 degC of air keeps 0.41 for 12.5 A: in conduit 12 AWG carries 12.3 A, 10 AWG 16.4 A; in the open 14 AWG 14.35 A
        ("10 A", {"ambient": "80 degC"}, "10 AWG"),
        ("10 A", {"ambient": "80 degC", "routing": "free air"}, "14 AWG"),
        ("16 A", {}, "12 AWG"),  # 25 A at the terminals: 14 AWG allows 20 A, 12 AWG 25 A
        ("16 A", {"terminals": "60 degC"}, "10 AWG"),  # 25 A at 60 degC: 12 AWG allows 20 A, 10 AWG 30 A
        (
            "16 A",
            {"insulation": "60 degC"},
            "10 AWG",
        ),  # 25 A before corrections: 12 AWG carries 20 A, 10 AWG 30 A
        ("200 A", {}, None),  # 312.5 A at the terminals: more than 4/0 AWG allows
        ("160 A", {}, None),  # 250 A: 4/0 AWG carries 260 A, its terminals allow 230 A
        ("140.8 A", {"insulation": "60 degC"}, None),  # 220 A: allowed at the terminals, but it carries 195 A
    ],
)
def test_least_size_is_the_largest_of_the_three(isc, run, least):
    """By corrected ampacity, by ampacity before corrections, and by the terminals (NEC 690.8(B), 110.14(C))."""
    step = assessed(one_string(isc, **run)).steps.get("run.home run.size_least")

    assert (step and step.result) == least


@pytest.mark.parametrize(("size", "counts_as"), [("10 mm2", "8 AWG"), ("8 AWG", None), ("4/0 AWG", None)])
def test_only_a_metric_size_counts_as_another(size, counts_as):
    """The code's tables name AWG sizes (110.6, from memory); nothing is told of what such a size would count as."""
    step = assessed({RUN + "size": size}).steps.get(RUN + "size_equivalent")

    assert (step and step.result) == counts_as


@pytest.mark.parametrize(
    ("isc", "terminals", "verdict"),
    [
        ("22.4 A", "75 degC", "tight"),  # 1.5625 x 22.4 A = 35 A
        ("22.41 A", "75 degC", "fails"),
        ("21.334 A", "75 degC", "tight"),  # 33.3344 A needed, 1.6656 A left, five percent are 1.6667 A
        ("21.333 A", "75 degC", "holds"),  # 33.3328 A needed, 1.6672 A left, five percent are 1.6666 A
        ("19.2 A", "60 degC", "tight"),  # 30 A
        ("19.21 A", "60 degC", "fails"),
        ("19.21 A", None, "fails"),  # nobody said: 60 degC
        ("19.2 A", None, "tight"),
    ],
)
def test_terminals_against_the_design_current(isc, terminals, verdict):
    """NEC 110.14(C): 10 AWG copper in the column of the terminals, whatever its insulation could bear."""
    found = finding(one_string(isc, terminals=terminals), TERMINALS, "home run")

    assert found.verdict == verdict
    assert found.actual.number == (35 if terminals == "75 degC" else 30)
    assert found.harm == "code"


@pytest.mark.parametrize("name", [AMPACITY, TERMINALS, DROP])
def test_nothing_can_be_said_of_no_run(name):
    """Without any run the answer is what to describe: not a guess, and not that it holds."""
    found = finding({"run": None}, name, "home run")

    assert (found.verdict, found.needs) == ("needs input", NO_RUN)


@pytest.mark.parametrize("name", [AMPACITY, TERMINALS])
def test_current_of_a_run_needs_its_size(name):
    """A length alone says nothing of current."""
    found = finding({RUN + "size": None}, name, "home run")

    assert (found.verdict, found.needs) == ("needs input", (RUN + "size",))


@pytest.mark.parametrize("size", [{"size": "1.5 mm2"}, {"size": "14 AWG", "material": "aluminium"}])
@pytest.mark.parametrize("name", [AMPACITY, TERMINALS])
def test_a_size_smaller_than_the_tables_is_never_passed(name, size):
    """NEC 310.3(A), from memory: nothing thinner than 14 AWG copper or 12 AWG aluminium; the tables begin there too."""
    found = finding(one_string("1.1 A", **size), name, "home run")

    assert found.verdict in ("fails", "needs input")


@pytest.mark.parametrize("name", [AMPACITY, TERMINALS, DROP])
def test_a_run_to_the_battery_needs_the_controllers_rating(name):
    """It carries what the controller may put out."""
    changes = {RUN + "carries": "battery", "controller.rated_output_current": None}
    found = finding(changes, name, "home run")

    assert (found.verdict, found.needs) == ("needs input", ("controller.rated_output_current",))


def test_a_run_to_the_battery_carries_the_controllers_rating():
    """30 A at most, 37.5 A design, whatever the array gives."""
    found = findings({RUN + "carries": "battery"}, AMPACITY)

    assert found["home run"].limit.number == pytest.approx(30)
    assert found["home run, before corrections"].limit.number == pytest.approx(37.5)


def test_each_run_is_judged_by_what_it_carries():
    """A string's 10 A, the array's 20 A, the controller's 30 A."""
    runs = [{"name": name, "carries": name, "size": "10 AWG"} for name in ("battery", "array", "string")]
    found = findings({"run": runs}, AMPACITY)

    assert {name: found[name].limit.number for name in ("string", "array", "battery")} == {
        "string": pytest.approx(10),
        "array": pytest.approx(20),
        "battery": pytest.approx(30),
    }


# Voltage drop, out and back, against its target (a recommendation).


@pytest.mark.parametrize(
    ("target", "verdict"),
    [
        ("1.828125 %", "tight"),  # 0.585 V of 32 V
        ("1.8281 %", "fails"),
        ("2.2851 %", "tight"),  # 0.456975 left, a fifth of the target is 0.45702
        ("2.2852 %", "holds"),  # 0.457075 left, a fifth of the target is 0.45704
        ("3 %", "holds"),
        (None, "holds"),  # nobody said: 3 %
    ],
)
def test_drop_against_its_target(target, verdict):
    """2 x 10 m x 1.95 ohm/km x 15 A = 0.585 V of the hot 32 V."""
    found = finding({RUN + "max_drop": target}, DROP, "home run")

    assert found.verdict == verdict
    assert numbers(found)[:2] == pytest.approx((1.828125, float((target or "3").split()[0])))
    assert (found.sense, found.unit, found.harm) == ("at most", "%", "energy")


@pytest.mark.parametrize(("mine", "verdict"), [("39 %", "holds"), ("39.1 %", "tight"), (None, "holds")])
def test_what_counts_as_close_to_the_target_can_be_changed(mine, verdict):
    """1.171875 of 3 is left: 39.0625 percent of the target."""
    changes = {"margins.drop": mine} if mine else {}

    assert finding(changes, DROP, "home run").verdict == verdict


@pytest.mark.parametrize(
    ("run", "resistance"),
    [
        ({}, 0.039),
        ({"conductor_temperature": "75 degC"}, 0.04742985),  # 1.95 x (1 + 0.00393 x 55) = 2.3714925 ohm/km
        ({"conductor_temperature": None}, 0.04742985),
        ({"length": "20 m"}, 0.078),
        ({"size": "10 AWG", "length": "100 ft", "conductor_temperature": "75 degC"}, 0.248),  # 1.24 ohm/kft
        ({"size": "10 AWG", "length": "100 ft"}, 0.2039428),  # x (1 - 0.00323 x 55) = 0.82235
        (
            {
                "size": "6 AWG",
                "length": "100 ft",
                "material": "aluminium",
                "conductor_temperature": "75 degC",
            },
            0.1616,
        ),
        ({"material": "aluminium"}, 0.0616),  # 3.08 ohm/km at 20 degC
    ],
)
def test_resistance_of_a_run(run, resistance):
    """Out and back, from the table of its own unit, carried from the table's temperature to the wire's."""
    steps = assessed({RUN + name: value for name, value in run.items()}).steps

    assert steps["run.home run.resistance_ohm"].result == pytest.approx(resistance)


def test_loss_of_a_run():
    """0.039 ohm x 15 A x 15 A = 8.775 W; the next size, 16 mm2 of 1.24 ohm/km, would save 8.775 x 0.71 / 1.95."""
    steps = assessed().steps

    assert steps["run.home run.loss_W"].result == pytest.approx(8.775)
    assert steps["run.home run.size_next"].result == "16 mm2"
    assert steps["run.home run.saved_W"].result == pytest.approx(3.195)


def test_loss_of_a_run_in_each_string_counts_for_each():
    """Two strings of 7.5 A: 2 x 0.039 ohm x 56.25 = 4.3875 W; each loses 0.2925 V."""
    steps = assessed({RUN + "carries": "string"}).steps

    assert steps["run.home run.loss_W"].result == pytest.approx(4.3875)
    assert steps["drop_V"].result == pytest.approx(0.2925)


@pytest.mark.parametrize(("absorption", "percent"), [("28.8 V", 4.0625), (None, 1.17 / 29.6 * 100)])
def test_drop_on_the_way_to_the_battery_counts_against_absorption(absorption, percent):
    """0.039 ohm x 30 A = 1.17 V; of 28.8 V they are 4.0625 %."""
    found = finding({RUN + "carries": "battery", "battery.absorption": absorption}, DROP, "home run")

    assert found.actual.number == pytest.approx(percent)
    assert found.verdict == "fails"


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({RUN + "length": None}, (RUN + "length",)),
        ({RUN + "size": None}, (RUN + "size",)),
        ({RUN + "length": None, RUN + "size": None}, (RUN + "length", RUN + "size")),
        ({RUN + "carries": "battery", "battery": None}, ("battery.nominal", "battery.absorption")),
    ],
)
def test_drop_needs_length_and_size(changes, needs):
    """And on the way to the battery its voltage."""
    found = finding(changes, DROP, "home run")

    assert (found.verdict, found.needs) == ("needs input", needs)


def test_drop_of_a_size_that_is_not_made_in_aluminium_is_not_guessed():
    """IEC 60228 lists no aluminium of 6 mm2, so its resistance is not known; the ampacity still is."""
    changes = {RUN + "size": "6 mm2", RUN + "material": "aluminium"}

    assert finding(changes, DROP, "home run").needs == (RUN + "size",)
    assert finding(changes, "hot-voltage-charging", "controller").needs == (RUN + "size",)
    assert finding(changes, AMPACITY, "home run").actual.number == 35


@pytest.mark.parametrize(("size", "larger"), [("4/0 AWG", None), ("70 mm2", None), ("14 AWG", "12 AWG")])
def test_beyond_the_largest_size_nothing_more_is_saved(size, larger):
    """The last size of each system has no next one."""
    steps = assessed({RUN + "size": size}).steps

    assert (found.result if (found := steps.get("run.home run.size_next")) else None) == larger
    assert ("run.home run.saved_W" in steps) is (larger is not None)


# NEC 240.4(D): 14, 12 and 10 AWG copper behind no more than 15, 20 and 30 A; 12 and 10 AWG aluminium 15 and 25 A.


@pytest.mark.parametrize(
    ("run", "device", "verdict"),
    [
        ({"size": "14 AWG"}, "15 A", "holds"),
        ({"size": "14 AWG"}, "15.01 A", "fails"),
        ({"size": "12 AWG"}, "20 A", "holds"),
        ({"size": "12 AWG"}, "20.01 A", "fails"),
        ({"size": "10 AWG"}, "30 A", "holds"),
        ({"size": "10 AWG"}, "29.99 A", "holds"),  # a plain yes or no: never tight
        ({"size": "10 AWG"}, "30.01 A", "fails"),
        ({"size": "6 mm2"}, "30 A", "holds"),  # wholly contains 10 AWG
        ({"size": "6 mm2"}, "35 A", "fails"),
        ({"size": "12 AWG", "material": "aluminium"}, "15 A", "holds"),
        ({"size": "12 AWG", "material": "aluminium"}, "15.01 A", "fails"),
        ({"size": "10 AWG", "material": "aluminium"}, "25 A", "holds"),
        ({"size": "10 AWG", "material": "aluminium"}, "25.01 A", "fails"),
        ({"size": "8 AWG"}, "60 A", "does not apply"),
        ({"size": "10 mm2"}, "60 A", "does not apply"),
        ({"size": "8 AWG", "material": "aluminium"}, "60 A", "does not apply"),
    ],
)
def test_device_in_front_of_small_wire(run, device, verdict):
    """The array breaker stands in front of the home run."""
    changes = COMBINER | {"combiner.breaker": device} | {RUN + name: value for name, value in run.items()}
    found = finding(changes, SMALL, "home run")

    assert found.verdict == verdict
    assert found.reason == ("not-a-small-conductor" if verdict == "does not apply" else "")


@pytest.mark.parametrize(
    ("carries", "path"),
    [("string", "array.string_fuse"), ("array", "combiner.breaker"), ("battery", "battery.device")],
)
@pytest.mark.parametrize(("device", "verdict"), [("20 A", "holds"), ("20.5 A", "fails")])
def test_which_device_stands_in_front(carries, path, device, verdict):
    """The string fuse before a string's run, the breaker before the array's, the battery's device before its own."""
    changes = {RUN + "carries": carries, RUN + "size": "12 AWG", path: device}

    assert finding(changes, SMALL, "home run").verdict == verdict


@pytest.mark.parametrize(
    ("changes", "verdict", "reason", "needs"),
    [
        ({"run": None}, "does not apply", "no-run", ()),
        ({RUN + "size": "10 AWG"}, "does not apply", "no-device-in-front", ()),
        ({RUN + "size": "10 AWG", RUN + "carries": "string"}, "does not apply", "no-device-in-front", ()),
        ({RUN + "size": None}, "needs input", "", (RUN + "size",)),
    ],
)
def test_small_wire_without_a_device_or_a_size(changes, verdict, reason, needs):
    """No run, or nothing in front: the question does not arise; no size: it cannot be answered."""
    found = finding(changes, SMALL, "home run")

    assert (found.verdict, found.reason, found.needs) == (verdict, reason, needs)


def test_wire_thinner_than_the_rules_smallest_is_not_waved_through():
    """1.5 mm2 is thinner than 14 AWG (2.08 mm2), which may stand behind 15 A at most: 60 A in front is not fine."""
    found = finding(COMBINER | {"combiner.breaker": "60 A", RUN + "size": "1.5 mm2"}, SMALL, "home run")

    assert found.verdict in ("fails", "needs input")
