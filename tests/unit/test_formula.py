"""The closed grammar of formulas: what it takes, what it gives, and everything it refuses."""

import math

import pytest

from calc.model.formula import Binary, Call, FormulaError, Name, Number, Power, parse
from calc.model.method import Method

ENV = {"a": 6.0, "b": 4.0, "c": 2.5, "x__2": 9.0}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a", 6.0),
        ("2", 2.0),
        ("a + b", 10.0),
        ("a - b - c", -0.5),  # from the left
        ("a * b / c", 9.6),
        ("a / b * c", 3.75),
        ("a + b * c", 16.0),
        ("(a + b) * c", 25.0),
        ("a ** 2", 36.0),
        ("a ** 3", 216.0),
        ("a ** 1", 6.0),
        ("(a - b) ** 2 * c", 10.0),
        ("sqrt(b)", 2.0),
        ("min(a, b, c)", 2.5),
        ("max(a, b, c)", 6.0),
        ("max(a)", 6.0),
        ("min(a)", 6.0),
        ("floor(c)", 2.0),
        ("ceil(c)", 3.0),
        ("floor(0 - c)", -3.0),
        ("x__2 - 1", 8.0),
        ("a > b", 1.0),
        ("b > a", 0.0),
        ("a > a", 0.0),  # equal is not above
        ("a * b > c + 2", 1.0),
    ],
)
def test_a_formula_gives_its_number(text, value):
    """As written, with the usual order of operations."""
    assert parse(text).evaluate(ENV) == value


def test_whole_powers_are_repeated_multiplication():
    """The same bits on every platform, which ``pow`` does not promise."""
    assert parse("a ** 3").evaluate({"a": 0.1}) == 0.1 * 0.1 * 0.1


def test_noise_of_the_arithmetic_is_not_above():
    """Five times 1.4 is a hair above seven in binary and no more than seven on paper."""
    assert 5 * (1.25 * 1.12) > 7.0
    assert parse("a > b").evaluate({"a": 5 * (1.25 * 1.12), "b": 7.0}) == 0.0
    assert parse("a > b").evaluate({"a": 7.00000001, "b": 7.0}) == 1.0


def test_names_are_listed_once_in_order_of_use():
    """Also inside brackets, powers and functions."""
    assert parse("b * (a + b) ** 2 + max(c, a, x__2)").names == ("b", "a", "c", "x__2")


def test_an_index_tells_alike_symbols_apart():
    """``isc_string__2`` is the second one of its symbol."""
    assert parse("isc_string__2").tree == Name("isc_string__2", "isc_string", "2")
    assert parse("isc_string").tree == Name("isc_string", "isc_string", "")


def test_the_tree_of_a_formula():
    """Its nodes, for printing and for judging dimensions."""
    assert parse("1 - max(a, 0) ** 2").tree == Binary(
        "-", Number(1), Power(Call("max", (Name("a", "a", ""), Number(0))), 2)
    )


@pytest.mark.parametrize(
    "text",
    [
        "",
        "a +",
        "3 * a",
        "1.25 * a",
        "0.5",
        "True",
        "True * a",
        "'a'",
        "-a",
        "+a",
        "a % b",
        "a // b",
        "a @ b",
        "a & b",
        "a ** b",
        "a ** 0",
        "a ** -1",
        "a ** 2.0",
        "2 ** a",
        "a < b",
        "a >= b",
        "a == b",
        "a > b > c",
        "(a > b) * c",
        "max(a > b, c)",
        "a and b",
        "not a",
        "a if b else c",
        "a.b",
        "a[0]",
        "[a, b]",
        "(a, b)",
        "abs(a)",
        "pow(a, 2)",
        "max()",
        "max(a, key=b)",
        "max(*a)",
        "a.max(b)",
        "lambda: a",
        "a := b",
        "f'{a}'",
        "__import__('os')",
        "a; b",
        "a = b",
    ],
)
def test_everything_else_is_refused(text):
    """Other numbers, operators, functions and statements stop the import, so they are never a reader's problem."""
    with pytest.raises(FormulaError, match="formula"):
        parse(text)


@pytest.mark.parametrize("text", ["a ** 2 ** 2", "(a ** 2) ** 2"])
def test_a_power_of_a_power(text):
    """An exponent is a number, so the tower is refused and the bracket is not."""
    if text.startswith("("):
        assert parse(text).evaluate({"a": 3.0}) == 81.0
    else:
        with pytest.raises(FormulaError):
            parse(text)


def test_division_by_zero_and_roots_of_negatives_are_faults():
    """Nothing is made up for them."""
    with pytest.raises(ZeroDivisionError):
        parse("a / b").evaluate({"a": 1.0, "b": 0.0})
    with pytest.raises(ValueError, match=r"domain|nonneg"):
        parse("sqrt(a)").evaluate({"a": -1.0})


def test_infinity_stays_infinity():
    """And floor of it is refused by Python."""
    assert parse("a * 2").evaluate({"a": math.inf}) == math.inf


# A formula with its name.


def test_a_method_knows_its_symbol_and_its_formula():
    """Parsed when it is made."""
    method = Method("voc_stc_string", "modules_in_series * voc", cites=("690.7(A)",))

    assert method.target.key == "voc_stc_string_V"
    assert method.parsed.names == ("modules_in_series", "voc")


def test_a_method_of_unregistered_names_stops_the_import():
    """On either side of the equals sign."""
    with pytest.raises(KeyError, match="vocc"):
        Method("voc_stc_string", "modules_in_series * vocc")
    with pytest.raises(KeyError, match="voc_stc_strng"):
        Method("voc_stc_strng", "modules_in_series * voc")


def test_a_method_says_how():
    """By a formula or by the code of a sentence."""
    with pytest.raises(ValueError, match="says how"):
        Method("voc_stc_string")
    assert Method("ground_least", how="ground-least").parsed is None
