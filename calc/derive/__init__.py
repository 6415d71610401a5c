"""Quantities that follow from a design: each worked out once, with its formula and origins."""

from calc.derive import (
    battery,
    cable,
    coefficients,
    current,
    curves,
    drop,
    joining,
    protection,
    temperature,
    voltage,
)
from calc.derive.parts import string_groups
from calc.derive.trace import Trace
from calc.model.design import Design
from calc.model.method import Method
from calc.tables import RuleBook

METHODS: tuple[Method, ...] = (
    *temperature.METHODS,
    *coefficients.METHODS,
    *voltage.METHODS,
    *current.METHODS,
    *cable.METHODS,
    *drop.METHODS,
    *battery.METHODS,
    *protection.METHODS,
    *joining.METHODS,
    *curves.METHODS,
)


def derive(design: Design, book: RuleBook) -> Trace:
    """Work out every quantity of ``design`` that its inputs allow; what is missing is left out, never guessed."""
    trace = Trace(design, book)
    groups = string_groups(design)
    temperature.cold_cell(trace)
    for group in groups:
        temperature.hot_cell(trace, group)
        voltage.string_voltages(trace, group)
        current.string_currents(trace, group)
    if len(groups) > 1:
        voltage.joined_voltages(trace, groups)
    voltage.heat_taken(trace)
    current.array_currents(trace, groups)
    joining.counts(trace, groups)
    battery.battery_voltages(trace)
    cable.runs(trace)
    battery.at_controller(trace)
    battery.charging(trace)
    for group in groups:
        protection.reverse_current(trace, group, groups)
    protection.string_fuse(trace, groups)
    joining.couplers(trace, groups)
    joining.grounding(trace)
    curves.curves(trace, groups)
    return trace
