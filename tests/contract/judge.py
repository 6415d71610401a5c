"""A second evaluator of formulas: the same tree, with quantities of pint and its own rules for offset temperatures."""

import math

import pint

from calc.model.formula import Binary, Call, Name, Number, Power
from calc.model.symbols import SYMBOLS
from calc.model.units import UNITS

REGISTRY = pint.UnitRegistry()


def unit_of(symbol):
    """A symbol's unit in pint's spelling; a temperature below a slash, or a difference, is one of pint's deltas."""
    spelled = UNITS[symbol.unit].pint
    return "delta_degC" if symbol.kind == "difference" else spelled.replace("kelvin", "delta_degC")


def quantity(name, value):
    """A value under a formula's name (``isc_string__2``) as a quantity."""
    return REGISTRY.Quantity(float(value), unit_of(SYMBOLS[name.partition("__")[0]]))


def evaluate(node, values):
    """The tree's quantity, or yes and no for a comparison; pint refuses what does not go together."""
    match node:
        case Number(value=value):
            return REGISTRY.Quantity(value, "")
        case Name(text=text):
            return values[text]
        case Power(base=base, exponent=exponent):
            return evaluate(base, values) ** exponent
        case Call(function=function, arguments=arguments):
            return _called(function, [evaluate(argument, values) for argument in arguments])
        case Binary(op=op, left=left, right=right):
            return _binary(op, evaluate(left, values), evaluate(right, values))


def _binary(op, left, right):
    if op in "+-":
        left, right = _beside(left, right)
        return left + right if op == "+" else left - right
    if op == ">":
        return bool(left > right)
    return left * right if op == "*" else left / right


def _beside(left, right):
    """A quotient that is a temperature difference, named as one, so that it may stand beside a point on the scale."""
    if str(left.units) == "degree_Celsius" and right.units != left.units and right.check("[temperature]"):
        return left, right.to("delta_degC")
    return left, right


def _called(function, arguments):
    if function in ("min", "max"):
        units = next((one.units for one in arguments if not one.dimensionless), arguments[0].units)
        arguments = [
            one if one.magnitude or not one.dimensionless else 0 * units for one in arguments
        ]  # nothing is nothing
        found = arguments[0]
        for other in arguments[1:]:
            found = other if (other < found) is (function == "min") else found
        return found
    return {"sqrt": lambda x: x**0.5, "floor": math.floor, "ceil": math.ceil}[function](arguments[0])
