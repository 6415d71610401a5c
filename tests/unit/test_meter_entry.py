"""The page on which readings are entered: texts in, the page's parts out, and the same readings as a file and back."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.bridge import answer
from calc.model.meter import FUSES_OUT, Readings, StringReading
from calc.model.problems import Refused
from calc.read.readings import READING_FIELDS, read_readings
from calc.read.readings_form import open_readings, read_readings_form, readings_document, write_readings

ROOT = Path(__file__).resolve().parents[2]
PUMP = (ROOT / "scenarios" / "examples" / "stock-water-pump.toml").read_text("utf-8")
NAMES = ("S1", "S2")
TYPED = {
    "sun": "820",
    "air": "68",
    "string.1.voc": "64.2",
    "string.2.voc": "-63 V",
    "string.2.isc": "5200 mA",
}


def asked(**more):
    """What the page gets for a request about the pump's array."""
    return json.loads(answer(json.dumps({"meter": {"base": PUMP, **more}})))


def test_a_bare_number_has_the_unit_beside_its_field():
    """So nobody types units on a phone; the temperature is in the reader's own unit, and other units can be said."""
    us, metric = (read_readings_form(TYPED, NAMES, system) for system in ("us", "metric"))

    assert us == Readings(
        sun=820.0, air=20.0, strings=(StringReading("S1", 64.2), StringReading("S2", -63.0, 5.2))
    )
    assert isinstance(metric, Refused)  # 68 degC is no air
    assert [problem.path for problem in metric.problems] == ["air"]


def test_a_form_comes_back_from_its_file():
    """What is saved reads as the same readings, and opens as the same texts with their units."""
    file = write_readings(readings_document(TYPED | {"array.state": FUSES_OUT}, NAMES, "us"))

    assert read_readings(file) == read_readings_form(TYPED | {"array.state": FUSES_OUT}, NAMES, "us")
    assert file.startswith('sun = "820 W/m2"\nair = "68 degF"\n')
    opened = open_readings(file, NAMES)
    assert opened["string.2.voc"] == "-63 V"
    assert write_readings(readings_document(opened, NAMES, "metric")) == file


@given(
    st.dictionaries(
        st.sampled_from(
            [one.path.replace("<string>", "2") for one in READING_FIELDS] + ["moon", "string.3.voc"]
        ),
        st.text(max_size=8) | st.sampled_from(["62.1", "-3 V", "820 W/m2", "charging", "5 degC"]),
    )
)
def test_whatever_is_typed_is_answered(texts):
    """Readings or problems come back, never a fault; what could be read is the same after saving and opening."""
    found = read_readings_form(texts, NAMES, "us")
    file = write_readings(readings_document(texts, NAMES, "us"))
    if isinstance(found, Readings) and file.strip():
        assert read_readings(file) == found
    assert asked(readings=texts)["fragments"].keys() == {"form", "problems", "stop", "state", "meter"}


def test_strings_of_a_file_go_to_their_names():
    """In any order; one that no string of the design is called stands after them and is kept."""
    texts = open_readings(
        '[[string]]\nname = "s2"\nvoc = "2 V"\n[[string]]\nname = "X"\nvoc = "9 V"\n', NAMES
    )

    assert texts == {"string.2.voc": "2 V", "string.3.name": "X", "string.3.voc": "9 V"}


def test_a_blank_page_shows_the_sheet_for_full_sun():
    """Before anything is typed there is no outcome, and the sheet of a report with its columns for weaker sun."""
    blank = asked()

    assert (blank["ok"], blank["spoken"]) == (True, "")
    assert "This sheet is for full sun." in blank["fragments"]["meter"]
    assert "Nothing to judge" in blank["fragments"]["state"]
    assert "hidden" in blank["fragments"]["stop"]


def test_a_reversed_string_stops_first():
    """It is said in the box at the top, in the line at the foot, beside the field, and aloud."""
    found = asked(readings=TYPED)

    assert found["spoken"].startswith("Stop first. S2 reads below zero.")
    for part in ("stop", "state", "meter"):
        assert "S2 reads below zero" in found["fragments"][part], part
    assert "outside: below zero" in found["fragments"]["form"]


def test_what_cannot_be_read_is_told_and_the_rest_is_compared():
    """Nothing typed is lost, the field is marked, and the other readings still say stop."""
    found = asked(readings=TYPED | {"string.1.isc": "5.1x <b>"})

    assert found["ok"] is False
    assert "5.1x &lt;b&gt;" in found["fragments"]["form"]
    assert 'aria-invalid="true"' in found["fragments"]["form"]
    assert 'href="#in-string-1-isc"' in found["fragments"]["problems"]
    assert "S2 reads below zero" in found["fragments"]["stop"]


@pytest.mark.parametrize("state", ["fuses out", "breaker open", "charging"])
def test_the_form_asks_for_what_can_be_read_now(state):
    """Currents and the battery while the array charges, what lies beyond the breaker before."""
    form = asked(readings={"array.state": state})["fragments"]["form"]

    assert ('name="string.1.current"' in form) is (state == "charging")
    assert ('name="battery.voltage"' in form) is (state == "charging")
    assert ('name="array.beyond"' in form) is (state != "charging")
    assert f'value="{state}" selected' in form


@pytest.mark.parametrize(
    "text", ["", "x", "sun = 820", 'string = "x"', "[[moon]]", "\x00", 'sun = "' + "9" * 400]
)
def test_a_file_that_is_none_leaves_the_page(text):
    """Its problems are told, and no other part of the page is sent."""
    found = asked(readings=TYPED, opened=text)

    assert (found["ok"], found["refused"]) == (False, "readings")
    assert found["fragments"].keys() == {"problems"}
    assert "The file was not opened" in found["fragments"]["problems"]


def test_a_design_that_cannot_be_read_leaves_the_page():
    """The same for a design, whatever the readings are."""
    found = json.loads(answer(json.dumps({"meter": {"base": "voc = 3", "readings": TYPED}})))

    assert (found["ok"], found["refused"]) == (False, "design")
    assert found["fragments"].keys() == {"problems"}


def test_a_changed_design_is_called_so():
    """A link that changes a worked design says that it is no longer that one."""
    found = asked(set={"array.strings_in_parallel": "3"})

    assert found["title"].endswith(", as you changed it")
    assert 'name="string.3.voc"' in found["fragments"]["form"]


@pytest.mark.parametrize(
    "file", sorted((ROOT / "scenarios" / "gallery").glob("*.toml")), ids=lambda file: file.stem
)
def test_odd_designs_have_their_page(file):
    """Also where no curve fits, strings are unlike, or the controller is not described."""
    found = asked(base=file.read_text("utf-8"), readings=TYPED)

    assert found["fragments"].keys() == {"form", "problems", "stop", "state", "meter"}
    assert json.loads(answer(json.dumps({"meter": {"base": file.read_text("utf-8")}})))["ok"]


def test_what_no_cause_explains_never_fits():
    """Readings of another array altogether are outside, and that no known cause explains them is said."""
    yard = (ROOT / "scenarios" / "examples" / "bee-yard.toml").read_text("utf-8")
    found = asked(base=yard, readings={"sun": "820", "string.1.voc": "62.5", "string.2.voc": "62.4"})

    assert found["spoken"].startswith("Look closer")
    assert "None of the causes known here" in found["fragments"]["meter"]
