"""Adding to an array that stands: what is opened again, what is gained, against files that say the same, and by hand."""

import json
from dataclasses import replace

import pytest

from calc.assess import assess
from calc.model.adding import LONGER, ONE_LONGER, OTHER, STRING, Reopened, Yield
from calc.model.assessment import Verdict
from calc.model.design import Design, Given
from calc.plan.adding import adding_of
from calc.read.scenario import read_design
from calc.render.adding.plain import as_adding_json
from calc.render.adding.section import as_adding_html
from calc.render.adding.text import as_adding_text
from calc.render.adding.view import ways
from calc.render.catalogue import load_words
from tests.contract.scenes import ROOT
from tests.rules.designs import book, design

WORDS = load_words()
NAMES = [
    "examples/stock-water-pump",
    "examples/porch-light",
    "examples/gate-opener",
    "gallery/two-kinds",
    "gallery/no-curve",
    "gallery/forty-strings",
]
PLACES = [*NAMES, "gallery/long-names"]


def text_of(name):
    return (ROOT / "scenarios" / f"{name}.toml").read_text("utf-8")


def scenario(name):
    """A design of the folder of scenarios."""
    found = read_design(text_of(name))
    assert isinstance(found, Design)
    return found


def added(report, code):
    """The one way to add of this code."""
    (one,) = (one for one in report.additions if one.code == code)
    return one


# The same as a file that says so.


def test_a_string_more_is_the_design_with_one_more():
    """Read anew with the count in the file."""
    file = text_of("examples/stock-water-pump")
    report = adding_of(scenario("examples/stock-water-pump"), book())
    more = read_design(file.replace("strings_in_parallel = 2", "strings_in_parallel = 3"))
    longer = read_design(file.replace("modules_in_series = 3", "modules_in_series = 4"))

    assert added(report, STRING).after.findings == assess(more, book()).findings
    assert added(report, LONGER).after.findings == assess(longer, book()).findings
    assert (added(report, STRING).modules, added(report, LONGER).modules) == (3, 2)


def test_one_longer_string_is_the_design_with_two_kinds():
    """Written with a table for each kind of string."""
    kinds = ""
    for series in (3, 4):
        kinds += f"[[string]]\nmodules_in_series = {series}\nstrings_in_parallel = 1\n\n"
    file = text_of("examples/stock-water-pump")
    file = file.replace("modules_in_series = 3\n", "").replace("strings_in_parallel = 2\n", "")
    written = read_design(f"{file}\n{kinds}")
    report = adding_of(scenario("examples/stock-water-pump"), book())
    one = added(report, ONE_LONGER)

    assert isinstance(written, Design)
    assert one.after.findings == assess(written, book()).findings
    assert one.modules == 1
    assert not one.change


def test_modules_of_another_design_stand_in_a_string_of_like_voltage():
    """Three of 18.2 V are nearest to one and a half of 36 V, so two; each kind keeps its own module's limits."""
    here, there = scenario("examples/stock-water-pump"), scenario("examples/high-tunnel")
    one = added(adding_of(here, book(), other=there), OTHER)
    volts = here.number("module.vmp") * 3
    each = there.number("module.vmp")

    assert one.series == max(1, round(volts / each))
    assert one.label == there.text("module.label")
    limits = {
        finding.part: finding.limit.number
        for finding in one.after.findings
        if finding.id == "cold-voltage-module"
    }
    assert limits["string 2"] == there.number("module.max_system_voltage")
    assert limits["string 1"] == here.number("module.max_system_voltage")


def test_the_same_modules_are_no_other_ones():
    """A second design of the same module adds no further way."""
    here = scenario("examples/stock-water-pump")

    assert [one.code for one in adding_of(here, book(), other=here).additions] == [STRING, LONGER, ONE_LONGER]


# By hand.


def test_the_third_string_opens_the_fuse_question():
    """One other string gives 1.25 x 6.3 A = 7.9 A, which 15 A modules bear; two give 15.75 A, which they do not.

    The rule: NEC 690.9(A) with 690.8(A)(1), as told in the reference's rules; the sum is by hand.
    """
    report = adding_of(scenario("examples/stock-water-pump"), book())
    opened = {row.finding.id: row for row in added(report, STRING).reopened}

    assert not report.now.steps["string_fuse_needed"].result
    assert added(report, STRING).after.steps["string_fuse_needed"].result
    assert opened["controller-output-current"].turned
    assert "string-fuse-needed" in opened


def test_what_is_gained_is_in_proportion():
    """Alike strings and modules bring as much as they are: 2 to 3 strings, 3 to 4 modules."""
    report = adding_of(scenario("examples/stock-water-pump"), book())
    power = report.brings.power_W

    assert added(report, STRING).brings.power_W == pytest.approx(power * 3 / 2)
    assert added(report, LONGER).brings.power_W == pytest.approx(power * 4 / 3)
    assert added(report, ONE_LONGER).brings.power_W == pytest.approx(power * 7 / 6)
    # An unlike string wastes some: it brings less than its share.
    gain = added(report, ONE_LONGER).brings.energy_Wh / report.brings.energy_Wh
    assert 1.0 < gain < 7 / 6


def test_nothing_that_stayed_is_told():
    """Every row has another verdict or other values than before, and turned ones come first."""
    for name in NAMES:
        for one in adding_of(scenario(name), book()).additions:
            turned = [row.turned for row in one.reopened]
            assert turned == sorted(turned, reverse=True)
            for row in one.reopened:
                told = [
                    None if found is None else (found.verdict, found.actual, found.limit)
                    for found in (row.before, row.after)
                ]
                assert told[0] != told[1]
                assert row.finding is (row.after or row.before)


def test_whatever_fails_anew_is_among_the_passed():
    """Nothing is lost between the check and the list."""
    for name in NAMES:
        report = adding_of(scenario(name), book())
        before = {(one.id, one.part) for one in report.now.findings if one.verdict is Verdict.FAILS}
        for one in report.additions:
            after = {(found.id, found.part) for found in one.after.findings if found.verdict is Verdict.FAILS}
            passed = {(found.id, found.part) for found in one.passed}
            assert passed <= after
            assert {key for key, _ in after - before} == {key for key, _ in passed}


def test_a_design_of_two_kinds_can_have_more_of_each():
    """A string more of either, and a module more in each; its first is not taken for the second."""
    report = adding_of(scenario("gallery/two-kinds"), book())

    assert [(one.code, one.kind) for one in report.additions] == [(STRING, 1), (STRING, 2), (LONGER, 0)]
    assert [one.label[:5] for one in report.additions[:2]] == ["110 W", "130 W"]


def test_counts_stay_within_what_a_file_may_say():
    """Two hundred strings are the most."""
    asked = design({"array.strings_in_parallel": 200})

    assert STRING not in [one.code for one in adding_of(asked, book()).additions]


def pump(start_margin, series=2):
    """The pump's array with another controller, which starts only so far above its battery."""
    file = text_of("examples/stock-water-pump")
    file = file.replace('start_margin = "5 V"', f'start_margin = "{start_margin}"')
    return read_design(file.replace("modules_in_series = 3", f"modules_in_series = {series}"))


def test_longer_strings_begin_earlier_where_the_start_was_late():
    """A string more begins no earlier, since the voltage is the same; a module more in each does, and that is said."""
    report = adding_of(pump("20 V"), book())
    more, longer = added(report, STRING), added(report, LONGER)

    assert report.brings.begins_h == more.brings.begins_h > longer.brings.begins_h
    said = {way.name: way.says for way in ways(report, WORDS)}
    assert WORDS("adding.says.begins-same") in said[WORDS("adding.name.string", series=2)]
    (begins,) = (one for one in said[WORDS("adding.name.longer")] if one.startswith("Charging begins"))
    assert begins == "Charging begins at 7:36 instead of 7:51."


def test_what_still_does_not_charge_is_said_so():
    """One module cannot start this controller: two such strings cannot either, two in series can."""
    report = adding_of(pump("8 V", series=1), book())
    said = {one.code: way.says for one, way in zip(report.additions, ways(report, WORDS), strict=True)}

    assert added(report, STRING).brings.begins_h is None
    assert WORDS("adding.says.energy-never") in said[STRING]
    assert WORDS("adding.says.energy-never") not in said[LONGER]


def test_two_parts_of_one_name_are_told_apart():
    """A run called like a coupler has a finding of the same id and part: both are set beside their own before."""
    file = text_of("examples/stock-water-pump").replace("home run", "coupler 1")
    report = adding_of(read_design(file), book())
    key = ("cold-voltage-parts", "coupler 1")
    then = [one for one in report.now.findings if (one.id, one.part) == key]
    rows = [one for one in added(report, LONGER).reopened if (one.finding.id, one.finding.part) == key]

    assert len(then) == 2
    assert [row.before for row in rows] == then


# Printed.


@pytest.mark.parametrize("name", PLACES)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_text_fits_a_terminal(name, system):
    """Eighty columns; in ASCII too."""
    report = adding_of(scenario(name), book(), other=scenario("examples/high-tunnel"))
    for ascii_only in (False, True):
        text = as_adding_text(report, name, system=system, ascii_only=ascii_only)

        assert max(map(len, text.splitlines())) <= 80
        assert text.isascii() or not ascii_only


@pytest.mark.parametrize("name", PLACES)
def test_the_data_say_what_the_text_says(name):
    """The same bytes twice, every way with its sentences, and verdicts by their words."""
    report = adding_of(scenario(name), book())
    found = json.loads(as_adding_json(report))

    assert as_adding_json(report) == as_adding_json(adding_of(scenario(name), book()))
    assert found["schema"] == "arraybook/adding/1"
    for one, plain in zip(report.additions, found["additions"], strict=True):
        assert plain["verdict"] == one.after.verdict
        assert len(plain["reopened"]) == len(one.reopened)
        text = " ".join(as_adding_text(report).split())
        assert all(" ".join(saying.split()) in text for saying in plain["says"])


@pytest.mark.parametrize("name", PLACES)
def test_the_section_has_a_heading_for_each_way(name):
    """With a button where counts alone change; the short one offers the work."""
    report = adding_of(scenario(name), book(), other=scenario("examples/high-tunnel"))
    html = as_adding_html(report)

    assert html.count("<h3>") == len(report.additions)
    assert html.count("data-change=") == sum(1 for one in report.additions if one.change)
    assert 'data-do="adding"' in as_adding_html(None)
    assert "data-whole" not in as_adding_html(None)


def test_no_way_left_is_said():
    """A design that can take no more says so, and what lacks for the day is named."""
    report = adding_of(design({"array.strings_in_parallel": 200, "array.modules_in_series": 200}), book())

    assert not report.additions
    assert WORDS("adding.none") in as_adding_text(report)
    assert "latitude" in as_adding_text(adding_of(scenario("examples/porch-light"), book()))


def test_a_module_without_a_curve_is_said_to_have_none():
    """Its latitude and battery are known, and still no hour can be worked out."""
    known = design().values
    battery = {path: known[path] for path in known if path.startswith(("battery.", "controller."))}
    site = {"site.latitude": Given(44.0, "deg", "44 deg")}
    report = adding_of(scenario("gallery/no-curve").changed(battery | site), book())

    assert report.no_curve
    assert WORDS("day.reason.no-curve") in " ".join(as_adding_text(report).split())


def test_what_is_not_known_is_not_told():
    """Neither power nor energy nor an hour; and a way that opens nothing has no table."""
    report = adding_of(scenario("examples/stock-water-pump"), book())
    still = replace(report.additions[0], reopened=(), brings=Yield(None, None, None))
    (way,) = ways(replace(report, additions=(still,)), WORDS)

    assert way.says == (WORDS("adding.says.modules-more", modules=3), WORDS("adding.says.passed-none"))
    assert not way.rows
    text = as_adding_text(replace(report, additions=(still,)))
    assert WORDS("adding.before") not in text.split(WORDS("adding.says.passed-none"))[1]


def test_a_question_that_was_never_asked_cannot_be_opened():
    """A row without either finding is a fault of ours."""
    with pytest.raises(ValueError, match="never asked"):
        _ = Reopened(None, None).finding
