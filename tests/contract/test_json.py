"""The canonical JSON: the shape that the fixed interfaces give it, the same bytes for the same design, no order or unit
of the file in any number.
"""

import json
import math
import re
import tomllib

import pytest
import tomli_w

from calc.model.assessment import WORST_FIRST, Verdict
from calc.plan.fixes import check
from calc.read.scenario import read_design
from calc.render.as_json import as_json
from calc.tables import load_book
from tests.contract.scenes import NAMES, assessed, checked, design, text
from tests.rules.designs import COMBINER, changed
from tests.rules.designs import design as bench

VERDICTS = {str(verdict) for verdict in Verdict}
FULL = [
    "cell_cold_degC",
    "cell_hot_degC",
    "voc_stc_string_V",
    "voc_cold_string_V",
    "vmp_stc_string_V",
    "vmp_hot_string_V",
    "vmp_hot_at_controller_V",
    "isc_string_A",
    "isc_array_A",
    "imp_array_A",
    "current_max_string_A",
    "current_max_array_A",
    "current_design_string_A",
    "current_design_array_A",
    "reverse_current_string_A",
    "string_fuse_needed",
    "string_fuse_least_A",
    "string_fuse_A",
    "power_stc_W",
    "charge_current_A",
    "drop_V",
    "drop_percent",
    "loss_W",
    "cold_limit_degC",
]
RUN = ["resistance_ohm", "drop_V", "drop_percent", "ampacity_A", "ampacity_needed_A", "size_least"]
TOP = ["schema", "core", "rules", "verdict", "quantities", "findings", "steps", "assumptions", "not_checked"]
FINDING = ["id", "part", "verdict", "actual", "limit", "unit", "sense", "margin", "steps", "cites", "fixes"]
COMPARED = {"actual", "limit", "unit", "sense", "margin"}
STEP = ["symbol", "formula", "values", "result", "unit", "cites"]


def in_order(wanted, found):
    """Whether every wanted key is there, in that order, whatever stands between them."""
    return [key for key in found if key in wanted] == list(wanted)


def plain(assessment):
    return json.loads(as_json(assessment))


def numbers(value):
    """Every number in a document; a yes or no is none."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from numbers(one)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


@pytest.mark.parametrize("name", NAMES)
def test_top_level(name):
    """The keys of the interface, in its order, each of its kind."""
    found = plain(checked(name))

    assert in_order(TOP, found)
    assert found["schema"] == "arraybook/assessment/1"
    assert re.fullmatch(r"\d+\.\d+\.\d+", found["core"])
    assert found["rules"] == "us-2023"
    assert found["verdict"] in VERDICTS
    assert set(found["quantities"]) == set(found["steps"])


@pytest.mark.parametrize("name", NAMES)
def test_findings(name):
    """Every finding in the interface's order of keys; numbers where two were compared."""
    for finding in plain(checked(name))["findings"]:
        compared = finding["verdict"] in ("holds", "tight", "fails")
        wanted = [key for key in FINDING if compared or key not in COMPARED]
        assert in_order(wanted, finding)
        assert compared or not COMPARED & set(finding)
        assert finding["harm"] in ("damage", "code", "energy")
        if compared:
            assert finding["sense"] in ("at most", "at least")
            room = finding["limit"] - finding["actual"]
            assert finding["margin"] == pytest.approx(
                room if finding["sense"] == "at most" else -room, abs=1e-8
            )
            assert (finding["margin"] < 0) is (finding["verdict"] == "fails")
        for fix in finding["fixes"]:
            assert list(fix) == ["change", "says", "verdict"]
            assert fix["change"]
            assert fix["says"].endswith(".")
            assert fix["verdict"] in VERDICTS - {"fails"}


@pytest.mark.parametrize("name", NAMES)
def test_steps_and_quantities(name):
    """A quantity is its step's result; a step's values each have number, unit and origin."""
    found = plain(checked(name))
    for key, step in found["steps"].items():
        assert in_order(STEP, step)
        assert found["quantities"][key] == {"value": step["result"], "unit": step["unit"], "step": key}
        for value in step["values"].values():
            assert list(value) == ["value", "unit", "origin"]
            assert re.fullmatch(r"(given|assumed|table|step) .+", value["origin"])
    for one in found["assumptions"]:
        assert list(one)[:3] == ["path", "value", "why"]
    for one in found["not_checked"]:
        assert list(one) == ["clause", "why"]


@pytest.mark.parametrize("name", NAMES)
def test_numbers_have_ten_digits_and_are_numbers(name):
    """At most ten significant digits, never NaN or infinite, never minus zero."""
    for number in numbers(plain(checked(name))):
        assert math.isfinite(number)
        assert number == float(f"{number:.10g}")
        assert not (number == 0 and math.copysign(1, number) < 0)


def test_a_full_design_has_every_quantity_of_the_interface():
    """With fuses, within reach of the controller's limit, on couplers and with a run."""
    changes = {
        "array.strings_in_parallel": 4,
        "array.string_fuse": "15 A",
        "array.string_fuse_voltage": "150 V",
    }
    full = plain(check(bench(changes | {"controller.max_voltage": "60 V"}), load_book()))["quantities"]

    assert set(FULL) <= set(full)
    assert {f"run.home run.{key}" for key in RUN} <= set(full)
    assert {"coupler.1.current_A", "coupler.2.current_A"} <= set(full)
    assert full["string_fuse_needed"]["value"] is True
    assert full["run.home run.size_least"]["value"] == "8 AWG"


def test_the_suffix_of_a_quantity_is_its_unit():
    """A key ends in V, A, W, ohm, degC, percent… as its unit is."""
    endings = {
        "V": "V",
        "A": "A",
        "W": "W",
        "ohm": "ohm",
        "degC": "degC",
        "%": "percent",
        "K": "K",
        "W/m2": "Wm2",
    }
    for name in NAMES:
        for key, one in plain(checked(name))["quantities"].items():
            if one["unit"] in endings:
                assert key.endswith("_" + endings[one["unit"]]), key


@pytest.mark.parametrize("name", NAMES)
def test_the_verdict_of_the_whole_is_its_worst_findings(name):
    """Fails before needs input, before tight, before holds, before does not apply."""
    found = plain(checked(name))
    verdicts = {finding["verdict"] for finding in found["findings"]}

    assert found["verdict"] == next(str(verdict) for verdict in WORST_FIRST if verdict in verdicts)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_design_gives_the_same_bytes(name):
    """Read and checked again, byte for byte."""
    again = check(read_design(text(name)), load_book())

    assert as_json(again) == as_json(checked(name))


def backwards(document):
    """The same tables with their lines and names in the opposite order; lists keep theirs, which means something."""
    if isinstance(document, dict):
        return {key: backwards(document[key]) for key in reversed(document)}
    if isinstance(document, list):
        return [backwards(one) for one in document]
    return document


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_lines_changes_nothing(name):
    """A file written backwards is the same assessment, byte for byte."""
    turned = read_design(tomli_w.dumps(backwards(tomllib.loads(text(name)))))

    assert as_json(check(turned, load_book())) == as_json(checked(name))


PAIRS = [
    ({"run.home run.length": "100 ft"}, {"run.home run.length": "30.48 m"}),
    ({"run.home run.length": "100 ft"}, {"run.home run.length": "3048 cm"}),
    ({"site.coldest": "-21 degC"}, {"site.coldest": "-5.8 degF"}),
    ({"site.hottest": "36 degC"}, {"site.hottest": "96.8 °F"}),
    ({"site.hottest": "36 degC"}, {"site.hottest": "309.15 K"}),
    ({"module.noct": "45 degC"}, {"module.noct": "113 degF"}),
    ({"run.home run.ambient": "40 degC"}, {"run.home run.ambient": "104 degF"}),
    ({"run.home run.insulation": "90 degC"}, {"run.home run.insulation": "194 degF"}),
    ({"module.voc": "25 V"}, {"module.voc": "25000 mV"}),
    ({"module.isc": "8 A"}, {"module.isc": "8000 mA"}),
    ({"module.pmax": "150 W"}, {"module.pmax": "0.15 kW"}),
    ({"module.voc_coefficient": "-0.36 %/degC"}, {"module.voc_coefficient": "-0.2 %/degF"}),
    ({"module.voc_coefficient": "-0.25 %/degC"}, {"module.voc_coefficient": "-62.5 mV/degC"}),
    ({"module.voc_coefficient": "-0.25 %/degC"}, {"module.voc_coefficient": "-2500 ppm/K"}),
    ({"run.home run.size": "10 AWG"}, {"run.home run.size": "#10"}),
    ({"run.home run.size": "1/0 AWG"}, {"run.home run.size": "0 gauge"}),
    ({"run.home run.size": "10 mm2"}, {"run.home run.size": "10 sq mm"}),
    ({"controller.max_voltage": "100 V"}, {"controller.max_voltage": "0.1 kV"}),
]


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=lambda change: next(iter(change.values())))
def test_the_unit_of_an_input_changes_no_number(one, other):
    """Feet or metres, Fahrenheit, Celsius or kelvin, percent or millivolts: every quantity agrees to 1e-9."""
    here, there = (plain(check(bench(change), load_book())) for change in (one, other))
    common = [key for key in here["quantities"] if key in there["quantities"]]

    assert {*here["quantities"]} ^ {*there["quantities"]} <= {"voc_coefficient_percent_per_K"}
    for key in common:
        value = here["quantities"][key]["value"]
        close = value if isinstance(value, str | bool) else pytest.approx(value, rel=1e-9)
        assert there["quantities"][key]["value"] == close, key
    assert [finding["verdict"] for finding in here["findings"]] == [
        finding["verdict"] for finding in there["findings"]
    ]


def test_order_of_runs_and_couplers_is_kept():
    """Parts that repeat come in the order of the file, because that is how they are joined."""
    runs = [{"name": name, "carries": "array", "length": "3 m", "size": "10 AWG"} for name in ("b", "a")]
    found = plain(check(bench({"run": runs}), load_book()))

    assert [one["part"] for one in found["findings"] if one["id"] == "run-voltage-drop"] == ["b", "a"]


def test_the_design_goes_with_its_assessment():
    """Self-contained: what was given, in the author's own words, and the tables it was judged by."""
    found = plain(checked(NAMES[0]))

    assert found["design"] == {path: given.said for path, given in design(NAMES[0]).values.items()}
    assert found["tables"] == assessed(NAMES[0]).rules_hash


def test_reading_a_changed_text_is_reading_a_changed_design():
    """The two ways in which tests and fixes change a design agree."""
    by_text = check(read_design(changed(COMBINER)), load_book())

    assert as_json(by_text) == as_json(check(bench(COMBINER), load_book()))
