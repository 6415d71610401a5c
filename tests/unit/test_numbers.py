"""Printed numbers: digits and units as the trade writes them, and never at odds with a verdict."""

import math

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from calc.model.units import UNITS, settled
from calc.render.catalogue import Words
from calc.render.numbers import ascii_text, in_words, show, show_pair, show_text

WORDS = Words("en", {"working.yes": "yes", "working.no": "no"})


def read(text):
    """The number in a printed text."""
    return float(text.replace("\u2212", "-").replace(",", "").replace("\u202f", ""))


# As data sheets, wire tables and meters print them (common practice, no source).
PRINTED = [
    (25.4912, "V", "25.5\u00a0V"),
    (125.3, "V", "125.3\u00a0V"),
    (100.0, "V", "100\u00a0V"),
    (600.0, "V", "600\u00a0V"),
    (5.714, "V", "5.71\u00a0V"),
    (0.21131, "ohm", "0.211\u00a0Ω"),
    (31.25, "A", "31.3\u00a0A"),
    (6.3, "A", "6.3\u00a0A"),
    (5.1234, "%", "5.1\u00a0%"),
    (0.4312, "%", "0.43\u00a0%"),
    (1280.0, "W", "1,280\u00a0W"),
    (110.0, "W", "110\u00a0W"),
    (-21.0, "degC", "\u221221\u00a0°C"),
    (68.75, "degC", "68.8\u00a0°C"),
    (31.25, "K", "31.3\u00a0°C"),
    (-0.3, "%/K", "\u22120.30\u00a0%/°C"),
    (0.05, "%/K", "0.05\u00a0%/°C"),
    (-0.0672, "V/K", "\u22120.0672\u00a0V/°C"),
    (0.00016, "W/m2", "0\u00a0W/m²"),
    (1000.0, "W/m2", "1,000\u00a0W/m²"),
    (4.0, "", "4"),
    (1.5625, "", "1.5625"),
    (44.0, "deg", "44°"),
    (6.0, "mm2", "6\u00a0mm²"),
    (-0.0, "V", "0\u00a0V"),
    (-1e-15, "V", "0\u00a0V"),
    (float("inf"), "V", "∞\u00a0V"),
    (float("-inf"), "V", "\u2212∞\u00a0V"),
    (0.00002, "V", "0.00002\u00a0V"),
]


@pytest.mark.parametrize(("value", "unit", "wanted"), PRINTED)
def test_prints_as_the_trade_does(value, unit, wanted):
    """Each unit has its own sensible digits, a true minus and a no-break space."""
    assert show_text(value, unit) == wanted


def test_lengths_follow_the_unit_system():
    """Lengths inside are metres; an American reads feet (1 ft = 0.3048 m, NIST SP 811) and the other reads metres."""
    assert show_text(85 * 0.3048, "m") == "85\u00a0ft"
    assert show_text(85 * 0.3048, "m", system="metric") == "25.9\u00a0m"
    assert show_text(1.24 / 0.3048, "ohm/km") == "1.24\u00a0Ω/kft"
    assert show_text(1.24, "ohm/kft", system="metric") == "4.07\u00a0Ω/km"


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    # NIST SP 811, Appendix B.9: t/°F = 1.8 t/°C + 32; fixed points of the two scales.
    [(0.0, "32"), (100.0, "212"), (-40.0, "\u221240"), (-21.0, "\u22126")],
)
def test_fahrenheit_beside_celsius(celsius, fahrenheit):
    """Where it is asked for, an American reads the temperature in both scales; others only in Celsius."""
    assert show_text(celsius, "degC", both=True).endswith(f"°C ({fahrenheit}\u00a0°F)")
    assert "°F" not in show_text(celsius, "degC", system="metric", both=True)


def test_fahrenheit_of_a_difference_has_no_offset():
    """A rise of 10 °C is a rise of 18 °F."""
    assert show_text(10.0, "K", both=True) == "10\u00a0°C (18\u00a0°F)"


def test_every_unit_of_the_core_can_be_printed():
    """No unit that the core can hand over is without a printed form, in either system."""
    for unit in UNITS:
        for system in ("us", "metric"):
            assert read(show(12.5, unit, system=system).number) > 0


def test_metric_thousands_are_parted_by_a_thin_space():
    """Outside the United States a comma would be read as a decimal mark, so a thin no-break space parts thousands."""
    assert show_text(12800.0, "W", system="metric") == "12\u202f800\u00a0W"


@pytest.mark.parametrize(
    ("value", "unit", "wanted"),
    [
        (True, "", "yes"),
        (False, "", "no"),
        ("10 AWG", "", "10\u00a0AWG"),
        ("6 mm2", "", "6\u00a0mm²"),
        (25.5, "V", "25.5\u00a0V"),
    ],
)
def test_any_result_in_words(value, unit, wanted):
    """A result may be a number, yes or no, or a conductor's size."""
    assert in_words(WORDS, value, unit) == wanted


def test_terminal_text_is_ascii():
    """A terminal that knows only ASCII gets the same text in its own letters."""
    text = show_text(-0.3, "%/K") + " × " + show_text(-46.0, "K") + ", " + show_text(0.211, "ohm") + " √ 漢"

    assert ascii_text(text) == "-0.30 %/degC x -46 degC, 0.211 ohm sqrt ?"


sizes = st.floats(min_value=1e-3, max_value=1e5, allow_nan=False)
numbers = st.one_of(sizes, sizes.map(lambda x: -x), st.just(0.0))
units = st.sampled_from(["V", "A", "%", "W", "m", "degC", "mm2", "", "ohm"])


@given(numbers, units, st.sampled_from(["us", "metric"]))
def test_printed_number_is_close(value, unit, system):
    """What is printed is the value itself, rounded: never off by more than half a unit of its last digit."""
    shown = show(value, unit, system=system).number
    true = value / 0.3048 if unit == "m" and system == "us" else value
    decimals = len(shown.partition(".")[2])

    assert abs(read(shown) - true) <= 0.5000001 * 10.0**-decimals + 1e-9 * abs(true)
    assert value == 0 or read(shown) != 0


@st.composite
def near_pairs(draw):
    """An actual value and a limit that may differ by as little as one part in 10⁹."""
    limit = draw(sizes)
    return limit * (1 + draw(st.sampled_from([-1, 1])) * 10.0 ** -draw(st.integers(0, 9))), limit


@given(st.one_of(near_pairs(), st.tuples(numbers, numbers)), st.sampled_from(["at most", "at least"]), units)
@example((100.0000004, 100.0), "at most", "V")
@example((99.96, 100.04), "at most", "V")
@example((9.996, 10.0), "at most", "V")
@example((31.25, 31.3), "at most", "A")
@example((-0.0004, 0.0), "at least", "V")
@example((0.9999899990000101, 0.99999), "at most", "V")
def test_printed_digits_never_contradict_the_verdict(pair, sense, unit):
    """Whatever differs in ten digits is printed as differing, the right way round, and so is the margin."""
    actual, limit = pair
    shown = show_pair(actual, limit, sense, unit)
    here, there, margin = (read(part.number) for part in (shown.actual, shown.limit, shown.margin))
    factor = 1 / 0.3048 if unit == "m" else 1
    ten = [float(f"{value * factor:.10g}") for value in pair]
    room = (ten[1] - ten[0]) if sense == "at most" else (ten[0] - ten[1])

    assert (here > there) == (ten[0] > ten[1])
    assert (here < there) == (ten[0] < ten[1])
    # A margin has nine decimals: one of a billionth may be printed as none.
    assert abs(room) < 1.5e-9 or (margin > 0, margin < 0) == (room > 0, room < 0)
    assert read(shown.gap.number) == abs(margin)


@given(sizes, st.floats(0.001, 0.5), st.integers(1, 8))
@example(0.015625, 0.03125, 1)
@example(0.5, 0.001, 2)
def test_printed_margin_never_contradicts_tight(limit, share, power):
    """A margin just below or above the named one is printed as below or above it."""
    tight = limit * share
    margin = tight * (1 - 10.0**-power)
    assume(math.isclose(limit - (limit - margin), margin, rel_tol=1e-11))
    shown = show_pair(limit - margin, limit, "at most", "V", tight_below=tight)

    assert read(shown.margin.number) < read(shown.tight.number)


def test_ordinary_pairs_stay_short():
    """Digits are added only where they are needed."""
    shown = show_pair(25.4912, 100.0, "at most", "V", tight_below=3.0)

    assert [
        str(part).replace("\u00a0", " ") for part in (shown.actual, shown.limit, shown.margin, shown.tight)
    ] == [
        "25.5 V",
        "100 V",
        "74.5 V",
        "3 V",
    ]


def test_a_margin_is_what_the_printed_numbers_leave():
    """A reader who takes the printed limit from the printed value finds the printed margin, to its last digit."""
    shown = show_pair(98.7376, 100.0, "at most", "V")

    assert [shown.actual.number, shown.limit.number, shown.margin.number] == ["98.7", "100", "1.3"]


def test_equal_values_are_printed_equal():
    """A value at its limit is printed as the limit, with no margin."""
    shown = show_pair(15.6, 15.6, "at least", "A")

    assert shown.actual == shown.limit
    assert shown.margin.number == "0"


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_what_only_rounding_leaves_of_a_difference_is_nothing(sign):
    """Below a billionth it is 0 without a sign; at that and above the value itself."""
    below = math.nextafter(1e-9, 0.0)

    assert str(settled(sign * below)) == "0.0"
    assert str(settled(sign * 0.0)) == "0.0"
    for value in (1e-9, 1.1e-9, 5.0):
        assert settled(sign * value) == sign * value


def test_nothing_has_no_sign():
    """A little less than nothing that is printed as nothing is no minus nothing: -18 degC is -0.4 degF."""
    assert show_text(-18.0, "degC", both=True) == "\u221218\u00a0°C (0\u00a0°F)"
    assert show_text(-19.0, "degC", both=True).endswith("(\u22122\u00a0°F)")
