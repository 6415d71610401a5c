"""The list of parts: counts, lengths and ratings against what a person counts by hand."""

import csv
import io
import json

import pytest

from calc.model.parts import MINUS_HALF, PLUS_HALF
from calc.render.catalogue import load_words
from calc.render.make.plain import COLUMNS, as_parts_csv, as_parts_json
from calc.render.make.says import spans
from calc.render.make.text import as_parts_text
from calc.render.make.view import parts_view
from tests.unit.made import SCENARIOS, assessed, line, on_any, parts, scenario, simple

WORDS = load_words()


def rating(one, code):
    return next(found for found in one.ratings if found.code == code)


def test_four_fused_strings_by_hand():
    """Four modules in parallel, 10 A fuses, 2-to-1 couplers: counted at a table with the parts laid out on it."""
    found = parts(scenario("bee-yard"))
    counts = {one.code: one.count for one in found.lines}
    assert counts["module"] == 4
    assert counts["fuse"] == counts["fuse-holder"] == 4
    assert counts["coupler-plus"] == counts["coupler-minus"] == 3
    assert counts["label-string"] == 8
    # modules 4 + 4, holders 4 + 4, couplers of each pole 3 x (2 inlets + 1 outlet), a lead on each pole
    assert sum(one.plus for one in found.halves) == 4 + 4 + 3 * 1 + 3 * 2 + 1
    assert rating(line(found, "fuse"), "current").value.value == 10.0


def test_a_run_is_bought_twice_its_length():
    """85 ft one way is 170 ft of conductor, plus and minus; in metres by the exact foot of 0.3048 m."""
    run = line(parts(scenario("stock-water-pump")), "run")
    assert run.count == 2
    assert run.length.each_m == pytest.approx(85 * 0.3048, rel=1e-12)
    assert run.length.total_m == pytest.approx(170 * 0.3048, rel=1e-12)
    said = parts_view(parts(scenario("stock-water-pump")), WORDS)
    row = next(row for group in said.groups for row in group.rows if row.called == "home run")
    assert "170 ft (51.8 m)" in ", ".join(row.what).replace("\N{NO-BREAK SPACE}", " ")


def test_a_run_of_the_strings_is_bought_for_every_string():
    """Three strings, each with its own pair: six conductors."""
    run = '[[run]]\nname = "string run"\ncarries = "string"\nlength = "30 ft"\nsize = "10 AWG"'
    one = line(parts(simple(2, 3, more=run)), "run")
    assert one.count == 6
    assert one.length.total_m == pytest.approx(180 * 0.3048, rel=1e-12)


def test_the_grounding_conductor_is_as_long_as_the_run_once():
    """One conductor goes along, not two."""
    one = line(parts(scenario("stock-water-pump")), "ground")
    assert (one.count, rating(one, "size").value.value) == (1, "10 AWG")
    assert one.length.total_m == pytest.approx(85 * 0.3048, rel=1e-12)


def test_what_the_design_does_not_say_is_asked_for():
    """A combiner without figures is listed with what it has to be at least, and the inputs that are missing."""
    one = line(parts(scenario("label-only")), "combiner")
    assert rating(one, "circuits").least
    assert rating(one, "bar").value.value == pytest.approx(3 * 6.3 * 1.25 * 1.25)
    assert one.needs == ("combiner.circuits", "combiner.bar_rating", "combiner.voltage_rating")


def test_fuses_that_may_be_needed_are_not_passed_over():
    """Without the module's largest fuse nobody can say; with fuses needed and left out the list says so."""
    asked = parts(scenario("label-only"))
    assert line(asked, "fuse-asked").needs == ("module.max_series_fuse",)
    left_out = parts(simple(1, 4, fuse=10, array='string_fuse = "none"'))
    assert line(left_out, "fuse-left-out").notes


def test_the_fuse_has_a_current_and_a_direct_voltage():
    """A fuse without a voltage rating given is asked to stand the coldest morning."""
    found = parts(simple(2, 4, fuse=10))
    fuse = line(found, "fuse")
    assert rating(fuse, "voltage").least
    assert rating(fuse, "voltage").value.origin == "step voc_cold_string_V"
    assert "array.string_fuse_voltage" in fuse.needs


def test_halves_are_named_both_ways():
    """The two ways of naming always differ: a half that is male by its housing is female by its contact.

    Source: standing of the table is from memory; a public page on connectors says the plus lead is the male one by its
    housing, "though this is not always the case".
    """
    names = {one.kind: one for one in parts(scenario("bee-yard")).names}
    assert (names[PLUS_HALF].housing, names[PLUS_HALF].contact) == ("male", "female")
    assert (names[MINUS_HALF].housing, names[MINUS_HALF].contact) == ("female", "male")


def test_loose_halves_are_listed_by_kind():
    """A run of solar cable behind couplers takes one half of each kind; runs of three strings take six."""
    run = '[[run]]\nname = "home run"\nrouting = "free air"'
    found = parts(simple(more=run))
    assert (line(found, "half-plus").count, line(found, "half-minus").count) == (1, 1)
    strings = '[[run]]\nname = "string run"\ncarries = "string"\nrouting = "free air"'
    found = parts(simple(2, 3, more=strings))
    assert (line(found, "half-plus").count, line(found, "half-minus").count) == (6, 6)


def test_unlike_strings_have_a_line_for_each_kind():
    """Three kinds of module, three lines, each with its own count."""
    found = parts(scenario("three-kinds"))
    modules = [one for one in found.lines if one.code == "module"]
    assert [(one.count, one.marks) for one in modules] == [(6, ("S1", "S2")), (2, ("S3",)), (1, ("S4",))]


@on_any(40)
def test_every_line_says_where_it_comes_from(assessment):
    """Property over random designs: each line names a finding, a step or an input, and those exist."""
    findings = {f"finding {one.id} {one.part}" for one in assessment.findings}
    for one in parts(assessment).lines:
        assert one.follows, one.code
        for origin in one.follows:
            kind, _, name = origin.partition(" ")
            known = {
                "finding": origin in findings,
                "step": name in assessment.steps,
                "task": name in ("label", "cover"),
            }
            assert known.get(kind, kind == "given" and name in assessment.design.values), origin


@on_any(40)
def test_the_list_can_be_told_in_every_form(assessment):
    """Property over random designs: text of 80 columns, ASCII when asked, JSON and CSV that read back."""
    found = parts(assessment)
    text = as_parts_text(found)
    assert max(map(len, text.split("\n"))) <= 80
    assert as_parts_text(found, ascii_only=True, system="metric").isascii()
    told = json.loads(as_parts_json(found))
    assert [one["part"] for one in told["parts"]] == [one.code for one in found.lines]
    rows = list(csv.reader(io.StringIO(as_parts_csv(found))))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) == len(found.lines) + 1
    assert all(len(row) == len(COLUMNS) for row in rows)


def test_a_spreadsheet_finds_no_formula():
    """A name that begins like a formula is text in the CSV."""
    found = assessed(
        '[module]\nlabel = "=1+1"\nvoc = "22 V"\nisc = "6 A"\nvmp = "18 V"\nimp = "5.5 A"\n'
        "[array]\nmodules_in_series = 1\nstrings_in_parallel = 1\n"
    )
    rows = list(csv.reader(io.StringIO(as_parts_csv(parts(found)))))
    assert rows[1][COLUMNS.index("called")] == "'=1+1"


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_no_maker_and_no_price(path):
    """The list names kinds of part and ratings only."""
    text = as_parts_text(parts(scenario(path.stem))).lower()
    assert not any(sign in text for sign in ("$", "€", "price of", "mc4", "http"))


def test_marks_in_a_row_are_said_as_a_span():
    """Plus and minus apart, a gap begins anew, two are written out."""
    assert spans(("S1", "S2", "S3", "S7"), WORDS).replace("\N{NO-BREAK SPACE}", " ") == "S1 to S3, S7"
    both = spans(("L1+", "L1−", "L2+", "L2−", "L3+", "L3−"), WORDS)
    assert both.replace("\N{NO-BREAK SPACE}", " ") == "L1+ to L3+, L1− to L3−"
    assert spans(("W1+", "W1−"), WORDS) == "W1+, W1−"
