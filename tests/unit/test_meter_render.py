"""The meter sheet for readers: 80 columns, plain ASCII where asked, the same in JSON, and one section of a page."""

import json
from pathlib import Path

import pytest

from calc.meter.cases import cases
from calc.meter.compare import diagnose
from calc.meter.expected import meter_sheet
from calc.model.meter import Readings, StringReading
from calc.read import read_design
from calc.render.catalogue import load_words
from calc.render.meter import as_meter_html, as_meter_json, as_meter_text
from calc.tables import load_book

ROOT = Path(__file__).resolve().parents[2] / "scenarios"
BOOK = load_book()
WORDS = load_words()


def sheet(name="examples/stock-water-pump", **known):
    return meter_sheet(read_design((ROOT / f"{name}.toml").read_text(encoding="utf-8")), BOOK, **known)


def read(found):
    return diagnose(
        found,
        Readings(sun=820, strings=(StringReading("", 41.6, 5.1), StringReading("S2", -62.0, 5.2, -3.0))),
    )


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.toml")), ids=lambda path: path.stem)
def test_text_keeps_to_80_columns(path):
    """For every design, with and without readings, also in ASCII."""
    for known in ({"sun": 820, "air": 20}, {}):
        found = meter_sheet(read_design(path.read_text(encoding="utf-8")), BOOK, **known)
        for diagnosis in (None, read(found)):
            for ascii_only in (False, True):
                text = as_meter_text(found, "x", diagnosis=diagnosis, ascii_only=ascii_only)
                assert max(map(len, text.split("\n"))) <= 80
                assert text.isascii() or not ascii_only


def test_a_sheet_without_readings_has_blanks():
    """One for each reading, and for sun, air, module, battery and date."""
    text = as_meter_text(sheet(sun=820, air=20))

    assert text.count("________") == 5 + 2 * 2 + 2 + 3


def test_json_has_the_same_figures():
    """Values, bands and causes as in the records; null where nothing can be said."""
    found = sheet(sun=820, air=20)
    plain = json.loads(as_meter_json(found, read(found)))

    assert plain["schema"] == "arraybook/meter/1"
    assert plain["strings"][0]["voc"]["value"] == pytest.approx(found.rows[0].voc.value)
    assert plain["readings"]["verdict"] == "stop first"
    assert plain["readings"]["causes"][0][0]["cause"] == read(found).causes[0].code
    assert json.loads(as_meter_json(sheet(air=20)))["strings"][0]["isc"] is None


def test_the_section_has_its_id_and_escapes_names():
    """A name from a file cannot become markup."""
    found = sheet(sun=820, air=20)
    hostile = diagnose(found, Readings(strings=tuple(StringReading("<b>x") for _ in range(4))))
    html = as_meter_html(found, diagnosis=hostile)

    assert html.startswith('<section class="chapter-part" id="report-meter">')
    assert "&lt;b&gt;x" in html
    assert "<b>x" not in html


def test_what_cannot_be_foretold_is_said():
    """A module that no curve fits, in text, data and page."""
    found = sheet("gallery/no-curve", sun=820, air=20)

    assert WORDS(f"faults.reason-none.{found.reason}") in as_meter_html(found).replace("&#39;", "'")
    assert json.loads(as_meter_json(found))["verdict"] == "does not apply"


def test_every_cause_has_its_words_and_its_mark():
    """What can be told has a name, a next measurement, and a place in the table of marks."""
    codes = {
        case.code
        for name in ("stock-water-pump", "bee-yard")
        for case in cases(sheet(f"examples/{name}").setup)
    }
    codes |= {"wrong-range", "leads-swapped", "blown-fuse", "open-joint"}
    marked = set(BOOK.table("meter_causes").column("cause"))

    assert codes - {"fits"} == marked
    for code in (codes | {"hot", "cold"}) - {"fits", "heat"}:
        assert WORDS(f"meter.cause.{code}")
        assert WORDS(f"meter.next-step.{code}")


def test_unlikely_causes_stand_behind_the_likely_ones():
    """Closed on the page, with a title of their own in the terminal, marked in the data; the numbers go on."""
    found = sheet("examples/stock-water-pump", sun=820, air=20)
    dead = Readings(strings=(StringReading("", 0.0, 0.0), StringReading("", 62.5, 5.2)))
    told = diagnose(found, dead)
    text, section = as_meter_text(found, diagnosis=told), as_meter_html(found, diagnosis=told)
    open_first, box = section.partition('<details class="meter-unlikely">')[::2]
    _, _, below = text.partition(WORDS("meter.unlikely"))
    marks = [one["unlikely"] for one in json.loads(as_meter_json(found, told))["readings"]["causes"][0]]

    assert WORDS("meter.cause.open-string") in open_first
    assert WORDS("meter.cause.shade") not in open_first
    assert f"<summary>{WORDS('meter.unlikely')}</summary>" in box
    assert '<ol class="meter-causes" start="2">' in box
    assert WORDS("meter.cause.shade") in box
    assert "\n2. " in below
    assert "\n1. " not in below
    assert marks == [False, *(True for _ in marks[1:])]


@pytest.mark.parametrize(
    ("name", "places"),
    [
        ("examples/stock-water-pump", "S1 or S2"),
        ("examples/high-tunnel", "S1, S2, S3 or S4"),
        ("gallery/forty-strings", "S1, S2, S3 or one of 37 more"),
    ],
)
def test_a_cause_that_may_be_in_any_string_is_told_once(name, places):
    """One reading of the joined array cannot tell which string is reversed; every string is counted, none left out."""
    found = sheet(name, sun=820, air=18)
    joined = Readings(state="breaker open", voltage=2.0)
    text = " ".join(as_meter_text(found, diagnosis=diagnose(found, joined)).split())
    section = as_meter_html(found, diagnosis=diagnose(found, joined))

    for printed in (text, section):
        assert printed.count(WORDS("meter.cause.reversed-string")) == 1
        assert f"{WORDS('meter.cause.reversed-string')} ({places})" in printed
