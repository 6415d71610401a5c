"""Likely causes: each one of the list, from readings written by hand, and what makes the work stop first."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from calc.meter.compare import diagnose
from calc.meter.expected import meter_sheet
from calc.model.meter import Readings, StringReading
from calc.read import read_design
from calc.tables import load_book

ROOT = Path(__file__).resolve().parents[2] / "scenarios"
DESIGN = read_design((ROOT / "examples/stock-water-pump.toml").read_text(encoding="utf-8"))
BOOK = load_book()
SHEET = meter_sheet(DESIGN, BOOK, sun=820, air=20)
# Two strings of three 36-cell modules. At 820 W/m2 and 20 degC of air each string reads about 62.6 V and 5.2 A before
# joining; joined it works near 50 V and 5.0 A.


def diagnosis(*strings, sheet=SHEET, **array):
    return diagnose(sheet, Readings(strings=tuple(StringReading("", *one) for one in strings), **array))


def first(*strings, **array):
    causes = diagnosis(*strings, **array).causes
    return (causes[0].code, causes[0].place) if causes else None


def test_good_readings_fit():
    """Readings a few percent from the sheet, and near each other, have no cause."""
    found = diagnosis((62.0, 5.1, 4.9), (62.5, 5.2, 5.0), voltage=50.3, current=9.8)

    assert found.verdict == "fits"
    assert found.causes == ()
    assert {one.verdict for one in found.judged} == {"within"}


def test_beside_a_cause_that_explains_the_readings_poor_ones_are_unlikely():
    """A dead string is open, not shaded; a string one module short may also have one reversed, but no shade is as dark."""
    open_string = diagnosis((0.0, 0.0), (62.5, 5.2)).causes
    short = diagnosis((62.5, 5.2), (20.8, 5.1)).causes

    assert [one.unlikely for one in open_string] == [False, *(True for _ in open_string[1:])]
    assert len(open_string) > 3
    assert [one.code for one in short if not one.unlikely] == ["reversed-module", "missing-module"]


def test_where_nothing_explains_the_readings_no_cause_is_called_unlikely():
    """Then the first is hardly better than the others."""
    causes = diagnosis((30.0, 9.0), (10.0, 3.0)).causes

    assert len(causes) > 1
    assert causes[0].left > 1000
    assert not any(one.unlikely for one in causes)


@pytest.mark.parametrize(
    ("cause", "strings", "array"),
    [
        (("open-string", "S1"), [(0.0, 0.0), (62.5, 5.2)], {}),
        (("open-joint", "S2"), [(62.0, 5.1, 4.9), (62.5, 5.2, 0.0)], {"voltage": 50, "current": 4.9}),
        (("reversed-string", "S1"), [(-62.0, -5.2), (62.5, 5.2)], {}),
        (("reversed-string", "S1"), [(-62.0, 5.2), (62.5, 5.2)], {}),
        (("reversed-module", "S2"), [(62.5, 5.2), (20.8, 5.1)], {}),
        (("missing-module", "S1"), [(41.6, 5.15), (62.5, 5.2)], {}),
        (("shorted-group", "S1"), [(52.1, 5.15), (62.5, 5.2)], {}),
        (("shade", "S2"), [(62.5, 5.2, 4.95), (61.9, 2.6, 2.4)], {"voltage": 50, "current": 7.35}),
        (("low-sun", ""), [(61.0, 2.6), (61.2, 2.55)], {}),
        (("hot", ""), [(53.0, 5.2), (53.4, 5.2)], {}),
        (("cold", ""), [(70.5, 5.15), (70.4, 5.1)], {}),
        (
            ("full-battery", ""),
            [(62, 5.1, 1.9), (62.4, 5.2, 1.85)],
            {"voltage": 57, "current": 3.8, "battery": 28.8},
        ),
        (
            ("not-charging", ""),
            [(62, 5.1, 0), (62.4, 5.2, 0)],
            {"voltage": 62, "current": 0, "battery": 25.9},
        ),
        (("run-joint", ""), [(62, 5.15, 4.95), (62.4, 5.2, 4.95)], {"voltage": 42, "current": 9.9}),
        (("wrong-range", ""), [(62.0, 0.0051), (62.4, 5.2)], {}),
        (("wrong-range", ""), [(0.062, 5.1), (0.0624, 5.2)], {}),
        (("leads-swapped", ""), [(-62.0, -5.1), (-62.4, -5.2)], {}),
    ],
)
def test_each_cause_is_found(cause, strings, array):
    """From readings written by hand: modules and groups that are left, or what each cause is known to do."""
    assert first(*strings, **array) == cause


def test_a_fused_string_without_current_points_to_its_fuse():
    """Where strings have fuses the first thing to look at is the fuse."""
    text = (ROOT / "examples/stock-water-pump.toml").read_text(encoding="utf-8")
    fused = read_design(
        re.sub(r'string_fuse = "none"\n', "", text).replace("[array]", '[array]\nstring_fuse = "10 A"')
    )
    sheet = meter_sheet(fused, BOOK, sun=820, air=20)
    found = diagnosis((62.0, 5.1, 4.9), (62.5, 5.2, 0.0), sheet=sheet, voltage=50, current=4.9)

    assert (found.causes[0].code, found.causes[0].place) == ("blown-fuse", "S2")


def test_two_faults_are_told_one_after_the_other():
    """The string of the first cause is set aside, and the rest is looked at again."""
    sheet = meter_sheet(DESIGN, BOOK, sun=820, air=20)
    found = diagnosis((41.6, 5.15), (-62.5, 5.2), sheet=sheet)

    assert {(group[0].code, group[0].place) for group in found.rounds} == {
        ("missing-module", "S1"),
        ("reversed-string", "S2"),
    }
    assert ("several", "") in found.notes


@pytest.mark.parametrize(
    ("stop", "strings", "array"),
    [
        (("backwards", "S1"), [(-62.0, 5.2), (62.5, 5.2)], {}),
        (("takes", "S2"), [(62.0, 5.2, 5.0), (62.5, 5.2, -3.0)], {"voltage": 45, "current": 2}),
        (("bar", ""), [(62.0, 5.2), (62.5, 5.2)], {"voltage": 25.4, "state": "fuses out"}),
        (("beyond", ""), [(62.0, 5.2), (62.5, 5.2)], {"beyond": 25.4, "state": "breaker open"}),
        (("above-controller", ""), [(62.0, 5.2), (162.5, 5.2)], {}),
    ],
)
def test_dangerous_readings_stop_the_work(stop, strings, array):
    """A reversed string, current that flows back, voltage where there should be none, too much for the controller."""
    found = diagnosis(*strings, **array)

    assert stop in found.stops
    assert found.verdict == "stop first"


def test_a_dead_place_may_read_dead():
    """A few tenths of a volt behind an open breaker are nothing."""
    found = diagnosis((62.0, 5.2), (62.5, 5.2), beyond=0.3, voltage=62.2, state="breaker open")

    assert found.stops == ()
    assert found.verdict == "fits"


def test_with_the_sun_unknown_strings_are_held_against_each_other():
    """Two strings with half the current of a full sun fit; one of them far below the other does not."""
    sheet = meter_sheet(DESIGN, BOOK, module=40)
    alike = diagnosis((61.0, 3.0), (61.3, 3.05), sheet=sheet)
    apart = diagnosis((61.0, 1.5), (61.3, 3.05), sheet=sheet)

    assert alike.verdict == "fits"
    assert ("sun-unknown", "") in alike.notes
    assert {one.verdict for one in alike.judged if one.quantity == "isc"} == {"not judged"}
    assert (apart.causes[0].code, apart.causes[0].place) == ("shade", "S1")
    assert [name for one in apart.apart for name, _ in one.far] == ["S1"]


def test_with_the_sun_unknown_one_current_cannot_be_judged():
    """It is said so, and no cause is made up."""
    found = diagnosis((61.0, 1.5), sheet=meter_sheet(DESIGN, BOOK, module=40))

    assert ("sun-unknown-alone", "") in found.notes
    assert ("not-all-read", "1") in found.notes
    assert found.verdict == "fits"


def test_nothing_read_is_nothing_judged():
    """Without readings there is no verdict on the array."""
    assert diagnosis().verdict == "cannot judge"


def test_a_reading_belongs_to_the_string_of_its_name():
    """In any order; a name of none, beyond the design's strings, is left out and told."""
    readings = Readings(
        strings=(
            StringReading("S2", 41.6, 5.15),
            StringReading("S1", 62.5, 5.2),
            StringReading("roof", 62.5, 5.2),
        )
    )
    found = diagnose(SHEET, readings)

    assert found.causes[0].place == "S2"
    assert ("no-such-string", "roof") in found.notes


def test_a_sheet_without_rows_judges_nothing():
    """A module that no curve fits leaves nothing to hold a reading against."""
    empty = replace(SHEET, rows=(), array=(), reason="no-curve", setup=None)

    assert diagnose(empty, Readings(voltage=3.0)).verdict == "cannot judge"


@pytest.mark.parametrize("value", [0.0, -2000.0, 2000.0, 1e-9])
@pytest.mark.parametrize("known", [{"sun": 820, "air": 20}, {}])
def test_no_reading_breaks_it(value, known):
    """Any number the file takes is answered."""
    found = diagnosis(
        (value, value, value),
        (62.0, value, 5.0),
        sheet=meter_sheet(DESIGN, BOOK, **known),
        voltage=value,
        current=value,
    )

    assert found.verdict in ("fits", "look closer", "stop first", "cannot judge")
