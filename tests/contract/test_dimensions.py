"""pint judges every unit, every formula and every step of every design: same dimensions, same numbers."""

import itertools

import pytest

from calc.derive import METHODS
from calc.model.formula import parse
from calc.model.symbols import SYMBOLS
from calc.model.units import UNITS, convert, rounded
from tests.contract.judge import REGISTRY, evaluate, quantity, unit_of
from tests.contract.scenes import NAMES, assessed

COHERENT = {
    "number": "dimensionless",
    "voltage": "volt",
    "current": "ampere",
    "power": "watt",
    "resistance": "ohm",
    "length": "meter",
    "resistance per length": "ohm/meter",
    "temperature": "degC",
    "temperature difference": "delta_degC",
    "irradiance": "watt/meter**2",
    "per temperature": "1/delta_degC",
    "voltage per temperature": "volt/delta_degC",
    "current per temperature": "ampere/delta_degC",
    "power per temperature": "watt/delta_degC",
    "area": "millimeter**2",
    "angle": "degree",
}
FORMULAS = [method for method in METHODS if method.parsed]


def in_pint(unit):
    return UNITS[unit].pint.replace("kelvin", "delta_degC")


@pytest.mark.parametrize("unit", UNITS)
def test_factor_of_a_unit_is_pints(unit):
    """One of each unit is as many of its kind's coherent unit as pint says, to eleven digits."""
    one = REGISTRY.Quantity(1.0, in_pint(unit)).to(COHERENT[UNITS[unit].kind])

    assert UNITS[unit].factor == pytest.approx(one.magnitude, rel=1e-11)


@pytest.mark.parametrize(("unit", "wanted"), list(itertools.product(UNITS, repeat=2)))
def test_units_are_converted_within_their_kind_only(unit, wanted):
    """convert() agrees with pint where the kinds agree, and refuses where they do not."""
    if UNITS[unit].kind != UNITS[wanted].kind:
        with pytest.raises(ValueError, match="cannot be read as the other"):
            convert(3.0, unit, wanted)
    else:
        by_pint = REGISTRY.Quantity(3.0, in_pint(unit)).to(in_pint(wanted)).magnitude
        assert convert(3.0, unit, wanted) == pytest.approx(by_pint, rel=1e-11)


def test_each_unit_has_its_own_suffix():
    """No two units end a quantity's key alike."""
    suffixes = [unit.suffix for unit in UNITS.values() if unit.suffix]

    assert sorted(set(suffixes)) == sorted(suffixes)


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        (1.4000000000000001, 1.4),
        (-0.0, 0.0),
        (0.0, 0.0),
        (123456789.04, 123456789.0),
        (-2.00000000001, -2.0),
        (1e-20, 1e-20),
    ],
)
def test_ten_digits_are_kept(value, kept):
    """Noise of the arithmetic goes, and zero has no sign."""
    assert rounded(value) == kept
    assert str(rounded(value)) == str(kept)


@pytest.mark.parametrize("method", FORMULAS, ids=lambda method: f"{method.symbol} = {method.formula}")
@pytest.mark.parametrize("values", [(3.0, 2.0, 5.0, 7.0), (0.5, 40.0, 1.5, 11.0)], ids=["small", "large"])
def test_formula_has_the_dimension_of_its_symbol(method, values):
    """With any numbers in it, the formula's quantity is one of the symbol's unit, and ours is the same number."""
    numbers = dict(zip(method.parsed.names, itertools.cycle(values), strict=False))
    found = evaluate(method.parsed.tree, {name: quantity(name, value) for name, value in numbers.items()})
    ours = method.parsed.evaluate(
        {name: value * UNITS[SYMBOLS[name.partition("__")[0]].unit].factor for name, value in numbers.items()}
    )

    assert_same(found, ours / UNITS[method.target.unit].factor, method.target)


def assert_same(found, ours, symbol):
    if isinstance(found, bool):
        assert (found, symbol.unit) == (bool(ours), "")
    else:
        assert found.to(unit_of(symbol)).magnitude == pytest.approx(ours, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_what_pint_makes_of_it(name):
    """Formula and values of each step, evaluated by pint, give the step's result in the step's unit."""
    for step in assessed(name).steps.values():
        symbol = SYMBOLS[step.symbol]
        assert step.unit == symbol.unit
        for value_name, value in step.values.items():
            if not isinstance(value.value, str):
                assert value.unit == SYMBOLS[value_name.partition("__")[0]].unit, (step.id, value_name)
        if step.formula:
            tree = parse(step.formula).tree
            assert_same(
                evaluate(tree, {key: quantity(key, one.number) for key, one in step.values.items()}),
                step.result,
                symbol,
            )


def test_a_wrong_dimension_would_be_found():
    """The judge itself: volts are not added to amperes, and points on the temperature scale are not multiplied."""
    volts, cold = quantity("voc", 3), quantity("cell_cold", 3)

    with pytest.raises(Exception, match="Cannot convert"):
        evaluate(parse("voc + isc").tree, {"voc": volts, "isc": quantity("isc", 3)})
    with pytest.raises(Exception, match=r"[Oo]ffset unit"):
        evaluate(parse("cell_cold * voc").tree, {"cell_cold": cold, "voc": volts})
    with pytest.raises(Exception, match=r"[Oo]ffset unit"):
        evaluate(parse("cell_cold + coldest").tree, {"cell_cold": cold, "coldest": quantity("coldest", 2)})
