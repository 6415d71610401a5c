"""A file of readings: read with the same care as a design file."""

import pytest

from calc.model.meter import Readings, StringReading
from calc.model.problems import Refused
from calc.read.readings import READING_FIELDS, read_readings

WHOLE = """
sun = "820 W/m2"
air = "68 degF"
module = "41 degC"
[[string]]
name = "S1"
voc = "62.1 V"
isc = "5200 mA"
[[string]]
current = "-0.3 A"
[array]
state = "breaker open"
voltage = "62.0 V"
current = "0 A"
beyond = "0 V"
[battery]
voltage = "27.9 V"
"""


def test_a_whole_file_is_read():
    """Every line arrives in the unit of its quantity."""
    assert read_readings(WHOLE) == Readings(
        sun=820.0,
        air=20.0,
        module=41.0,
        strings=(StringReading("S1", 62.1, 5.2), StringReading("", None, None, -0.3)),
        voltage=62.0,
        current=0.0,
        beyond=0.0,
        state="breaker open",
        battery=27.9,
    )


@pytest.mark.parametrize("word", ["unknown", "Unknown", "don't know"])
def test_the_sun_may_be_unknown(word):
    """Saying so is the same as leaving the line out."""
    assert read_readings(f'sun = "{word}"\nair = "5 degC"') == Readings(air=5.0)


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("", ""),
        ("x", ""),
        ("sun = 820", "sun"),
        ('sun = "0 W/m2"', "sun"),
        ('sun = "820 V"', "sun"),
        ('air = "900 degC"', "air"),
        ('colour = "red"', "colour"),
        ('[[string]]\nvok = "3 V"', "string.1.vok"),
        ('[[string]]\nvoc = "3"', "string.1.voc"),
        ('[string]\nvoc = "3 V"', "string"),
        ("string = [1]", "string.1"),
        ('[arry]\nvoltage = "3 V"', "arry"),
        ("array = 3", "array"),
        ('[array]\nstate = "half joined"', "array.state"),
        ("[[string]]\n" * 201, "string"),
        ('[[battery]]\nvoltage = "3 V"', "battery"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text, path):
    """Each mistake names its path, what was said, what is wanted, and an example."""
    found = read_readings(text)

    assert isinstance(found, Refused)
    assert [problem.path for problem in found.problems] == [path]
    assert all(problem.said and problem.wanted and problem.example for problem in found.problems)


def test_all_mistakes_are_told_at_once():
    """In the order of the file."""
    found = read_readings('sun = 5\nfoo = 1\n[[string]]\nvok = "3 V"\n[[string]]\nisc = "3 V"')

    assert [problem.path for problem in found.problems] == ["sun", "foo", "string.1.vok", "string.2.isc"]


@pytest.mark.parametrize("field", READING_FIELDS, ids=lambda field: field.path)
def test_every_example_can_be_read(field):
    """What a message offers as a right answer is one."""
    table, _, name = field.path.rpartition(".")
    header = {"": "", "string.<string>": "[[string]]\n"}.get(table, f"[{table}]\n")

    assert isinstance(read_readings(f'{header}{name} = "{field.example}"'), Readings)
