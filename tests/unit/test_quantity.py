"""Quantities and wire sizes as people write them.

Outside judges: pint's own default registry (its factors carry their sources in its definitions file) for every unit of
ours, and the definitions named beside single cases.
"""

import math
import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.model.units import UNITS
from calc.read import Wrong, quantity, read_quantity
from calc.read.size import AWG_SIZES, MM2_SIZES, read_size
from calc.tables import load_book

OWN_KINDS = {"percent", "ppm", "degree"}
"""Share and angle are kinds of their own here and plain numbers in pint's registry."""
THEIR_NAMES = {"square_meter": "meter**2", "square_millimeter": "millimeter**2"}
DEFINED = re.compile(r"^(\w+) = (.+)$", re.MULTILINE)


def spellings() -> list[tuple[str, str]]:
    """Every unit of our definitions file: its name, and a spelling of it."""
    found = []
    for name, rest in DEFINED.findall(quantity.DEFINITIONS.read_text("utf-8")):
        aliases = [part.strip() for part in rest.split(";")[-1].split("=")]
        found += [(name, spelling) for spelling in (name, *(aliases[1:] if ";" not in rest else aliases[2:]))]
    return found


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        # The international foot is 0.3048 m exactly, the yard 0.9144 m, the mile 1609.344 m (from memory)
        ("85 ft", "m", 25.908),
        ("85'", "m", 25.908),
        ("85′", "m", 25.908),
        ("85 feet", "m", 25.908),
        ("85 Foot", "m", 25.908),
        ("2 in", "m", 0.0508),
        ("3 yd", "m", 2.7432),
        ("1 mi", "m", 1609.344),
        ("26m", "m", 26.0),
        ("26 metres", "m", 26.0),
        ("250 mm", "m", 0.25),
        ("0.4 km", "m", 400.0),
        ("22.4 V", "V", 22.4),
        ("22.4V", "V", 22.4),
        (" 22.4\u00a0V ", "V", 22.4),
        ("12 volts", "V", 12.0),
        ("12 v", "V", 12.0),
        ("600 VDC", "V", 600.0),
        ("600 V DC", "V", 600.0),
        ("1.2 kV", "V", 1200.0),
        ("300 mV", "V", 0.3),
        (".5 V", "V", 0.5),
        ("5. V", "V", 5.0),
        ("+5 V", "V", 5.0),
        ("−5 V", "V", -5.0),
        ("1e3 V", "V", 1000.0),
        ("6.3 A", "A", 6.3),
        ("300 mA", "A", 0.3),
        ("0.11 kW", "W", 110.0),
        ("110 Wp", "W", 110.0),
        ("3 %", "%", 3.0),
        ("3%", "%", 3.0),
        ("3 percent", "%", 3.0),
        ("44°", "deg", 44.0),
        ("44 degrees", "deg", 44.0),
        ("930 W/m2", "W/m2", 930.0),
        ("930 W/m²", "W/m2", 930.0),
    ],
)
def test_a_quantity_becomes_a_number_of_the_wanted_unit(text, unit, value):
    """Units in common spellings are read and converted."""
    assert read_quantity(text, unit) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # Water freezes at 0 degC, 32 degF, 273.15 K; the scales meet at -40 (definitions of the scales)
        ("36 degC", 36.0),
        ("36 °C", 36.0),
        ("36℃", 36.0),
        ("36 C", 36.0),
        ("36 degrees Celsius", 36.0),
        ("36 deg C", 36.0),
        ("32 degF", 0.0),
        ("-40 °F", -40.0),
        ("-4 F", -20.0),
        ("212 degrees Fahrenheit", 100.0),
        ("273.15 K", 0.0),
        ("252 K", -21.15),
    ],
)
def test_a_temperature_is_a_point_on_its_scale(text, value):
    """Degrees Fahrenheit and kelvin are moved as well as scaled, and come out without a hair of error."""
    assert read_quantity(text, "degC") == value


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        # One degree Fahrenheit is 5/9 of a kelvin (definition): a change for each degF is 1.8 times that for each K
        ("-0.30 %/degC", "%/K", -0.3),
        ("-0.30%/°C", "%/K", -0.3),
        ("-0.3%/C", "%/K", -0.3),
        ("-0.3 % / K", "%/K", -0.3),
        ("-0.30 % per degC", "%/K", -0.3),
        ("-0.30 percent per degree Celsius", "%/K", -0.3),
        ("-0.5 %/degF", "%/K", -0.9),
        ("500 ppm/K", "%/K", 0.05),
        ("-67 mV/°C", "V/K", -0.067),
        ("-0.067 V/K", "V/K", -0.067),
        ("3 mA/°C", "A/K", 0.003),
        ("-0.43 W/°C", "W/K", -0.43),
        ("25 K", "K", 25.0),
        ("25 degC", "K", 25.0),
        ("36 degF", "K", 20.0),
    ],
)
def test_a_degree_below_a_slash_is_a_difference(text, unit, value):
    """A change for each degree, and a difference of temperatures, are scaled and never moved."""
    assert read_quantity(text, unit) == value


@pytest.mark.parametrize(
    ("text", "unit", "code"),
    [
        ("22.4", "V", "value.bare"),
        ("0.5", "%", "value.bare"),
        ("", "V", "value.not-quantity"),
        ("V", "V", "value.not-quantity"),
        ("about 5 V", "V", "value.not-quantity"),
        ("20-30 V", "V", "value.not-quantity"),
        ("5 ft 6 in", "m", "value.not-quantity"),
        ("5'6\"", "m", "value.not-quantity"),
        ("1 200 W", "W", "value.not-quantity"),
        ("0x10 V", "V", "value.not-quantity"),
        ("\uff11\uff12 V", "V", "value.not-quantity"),
        ("12 V # volts", "V", "value.not-quantity"),
        ("\x1b[31m12 V", "V", "value.not-quantity"),
        ("1,200 W", "W", "value.thousands"),
        ("1,200,000 W", "W", "value.thousands"),
        ("22,4 V", "V", "value.decimal-comma"),
        ("−0,30 %/degC", "%/K", "value.decimal-comma"),
        ("1.200,5 V", "V", "value.decimal-comma"),
        ("nan V", "V", "value.not-finite"),
        ("-inf V", "V", "value.not-finite"),
        ("Infinity V", "V", "value.not-finite"),
        ("1e999 V", "V", "value.not-finite"),
        ("12 xyz", "V", "value.unknown-unit"),
        ("300 MV", "V", "value.unknown-unit"),
        ("5 ms", "m", "value.unknown-unit"),
        ("12 Vs", "V", "value.unknown-unit"),
        ("12 A", "V", "value.other-kind"),
        ("36 deg", "degC", "value.other-kind"),
        ("44 %", "deg", "value.other-kind"),
        ("-67 mV", "V/K", "value.other-kind"),
        ("-0.3 %/deg", "%/K", "value.other-kind"),
        ("1" * 70, "V", "value.long"),
        ("1 " + "V" * 40, "V", "value.not-quantity"),
    ],
)
def test_what_is_not_one_number_and_one_known_unit_is_refused(text, unit, code):
    """Each way of being wrong has its own answer, and nothing is guessed."""
    answer = read_quantity(text, unit)
    assert isinstance(answer, Wrong)
    assert answer.code == code


@pytest.mark.parametrize(
    "text",
    [
        "9**9**9 V",
        "9**9**9",
        "5 V**9**9",
        "5 m^99",
        "(5 V)",
        "5*5 V",
        "5 __import__",
        "5 V+V",
        "5 V;",
        "5 {V}",
        "5 V/V/V",
    ],
)
def test_nothing_but_names_of_units_reaches_pint(text, monkeypatch):
    """Sums, powers, brackets and code are turned away before any parser sees them."""
    monkeypatch.setattr(quantity, "_registry", lambda: pytest.fail(f"pint was asked about {text}"))
    answer = read_quantity(text, "V")
    assert isinstance(answer, Wrong)
    assert answer.code == "value.not-quantity"


@pytest.fixture(scope="module")
def library():
    """The units library's own registry, with its own factors."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(("name", "spelling"), spellings())
def test_every_unit_is_worth_what_the_units_library_says(name, spelling, library):
    """Each name and spelling in our definitions file agrees with the library's own registry about the unit it names."""
    ours = quantity._registry()
    assert str(ours.parse_units(spelling)) == name
    if name in OWN_KINDS:
        return
    theirs = library.Quantity(30.0, THEIR_NAMES.get(name, name))
    base = "kelvin" if name.startswith("degree_") else str(ours.Quantity(1.0, name).to_base_units().units)
    assert ours.Quantity(30.0, spelling).m_as(base) == pytest.approx(theirs.m_as(base), rel=1e-12)


def test_shares_and_parts_in_a_million_agree_with_the_units_library(library):
    """A percent is 10,000 parts in a million, here and in the library's registry."""
    assert quantity._registry()("1 percent").m_as("ppm") == pytest.approx(10_000)
    assert library("1 percent").m_as("ppm") == pytest.approx(10_000)


@pytest.mark.parametrize(
    "unit", ["V", "A", "W", "m", "ft", "%", "deg", "degC", "K", "%/K", "V/K", "A/K", "W/K", "W/m2"]
)
def test_the_core_s_own_spelling_of_a_unit_is_read(unit):
    """A value written in the unit the core keeps it in comes through as it stands."""
    assert read_quantity(f"1.5 {unit}", unit) == 1.5


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12))
def test_a_number_with_the_wanted_unit_reads_as_itself(number):
    """Whatever the digits, a value in its own unit is taken unchanged to the last bit."""
    assert read_quantity(f"{number!r} V", "V") == number


@given(st.floats(min_value=-80, max_value=150, allow_nan=False))
def test_fahrenheit_and_celsius_name_the_same_temperature(celsius):
    """A temperature written in either scale is the same (F = 9/5 C + 32, the definition)."""
    fahrenheit = celsius * 9 / 5 + 32
    answer = read_quantity(f"{fahrenheit:.9f} degF", "degC")
    assert isinstance(answer, float)
    assert math.isclose(answer, celsius, abs_tol=1e-8)


@given(st.text(max_size=80), st.sampled_from(["V", "degC", "%/K", "m", "K"]))
def test_any_text_gives_a_finite_number_or_a_reason(text, unit):
    """No text at all brings the reader down."""
    answer = read_quantity(text, unit)
    assert isinstance(answer, Wrong) or math.isfinite(answer)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("10 AWG", "10 AWG"),
        ("AWG 10", "10 AWG"),
        ("10awg", "10 AWG"),
        ("#10", "10 AWG"),
        ("# 10 AWG", "10 AWG"),
        ("No. 10", "10 AWG"),
        ("10 gauge", "10 AWG"),
        ("1/0", "1/0 AWG"),
        ("1/0 AWG", "1/0 AWG"),
        ("AWG 4/0", "4/0 AWG"),
        # "Aught" sizes: 0, 00, 000, 0000 are 1/0 to 4/0 (common practice, no source)
        ("0 AWG", "1/0 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("6 mm2", "6 mm2"),
        ("6 mm²", "6 mm2"),
        ("6.0 mm2", "6 mm2"),
        ("2.5mm^2", "2.5 mm2"),
        ("6 sq mm", "6 mm2"),
        ("6 sq. mm", "6 mm2"),
        ("6 square millimetres", "6 mm2"),
    ],
)
def test_a_wire_size_is_read_in_its_common_spellings(text, size):
    """AWG and square millimetres come out in one spelling each."""
    assert read_size(text) == size


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("6 mm", "size.diameter"),
        ("6 mm cable", "size.diameter"),
        ("6mm", "size.diameter"),
        ("OD 6 mm", "size.diameter"),
        ("⌀ 6", "size.diameter"),
        ("1/4 in", "size.diameter"),
        ('1/4"', "size.diameter"),
        ("18 AWG", "size.thin"),
        ("16 AWG", "size.thin"),
        ("9 AWG", "size.awg"),
        ("250 kcmil", "size.awg"),
        ("0.75 mm2", "size.mm2"),
        ("95 mm2", "size.mm2"),
        ("10", "size.bare"),
        ("2,5 mm2", "value.decimal-comma"),
        ("5/0 AWG", "size.not-size"),
        ("", "size.not-size"),
        ("thick", "size.not-size"),
        ("10 AWG" * 20, "value.long"),
    ],
)
def test_a_wire_size_that_is_none_is_refused_with_its_reason(text, code):
    """A diameter is not an area, and a size without a table row cannot be checked."""
    answer = read_size(text)
    assert isinstance(answer, Wrong)
    assert answer.code == code


def test_the_sizes_read_are_the_sizes_in_the_tables():
    """Every size the reader lets through has its resistance in the tables, and the other way round."""
    book = load_book()
    assert book.table("resistance_us").column("size") == AWG_SIZES
    assert tuple(f"{size:g}" for size in book.table("resistance_iec").column("size")) == MM2_SIZES


NUMBERS = (0.0, -0.0, 1.0, 2.5, -0.3, 12.45, 40.0, 85.0, 101.325, -21.0, 6.04, 1e-3, 99999.5, 0.1234567, 3e5)


@pytest.mark.parametrize("spelling", quantity.COMMON)
def test_common_units_are_read_as_pint_reads_them(spelling, monkeypatch):
    """Every unit that is understood without pint gives the very number, of every unit of its kind, that pint gives."""
    kind = UNITS[quantity.COMMON[spelling]].kind
    asked = [
        (f"{number!r} {spelling}", unit) for number in NUMBERS for unit in UNITS if UNITS[unit].kind == kind
    ]

    def read():
        quantity._read.cache_clear()
        quantity._conversion.cache_clear()
        return [read_quantity(*one) for one in asked]

    alone = read()
    monkeypatch.setattr(quantity, "COMMON", {})
    of_pint = read()
    quantity._conversion.cache_clear()

    assert alone == of_pint


def test_common_units_do_not_wait_for_pint(monkeypatch):
    """A design in the usual units is read before pint is there."""
    quantity._read.cache_clear()
    quantity._conversion.cache_clear()
    monkeypatch.setattr(quantity, "_registry", lambda: pytest.fail("pint was asked"))
    assert read_quantity("-0.29 %/°C", "%/K") == -0.29
    assert read_quantity("40 ft", "m") == 12.192
