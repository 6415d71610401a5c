"""Quantities that follow from a design: each worked out once, with its formula and origins."""

from collections.abc import Callable, Iterator
from functools import partial

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
from calc.derive.parts import Strings, runs_carrying, string_groups
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


Stage = Callable[[Trace, tuple[Strings, ...]], object]
"""One part of the working: it adds steps to a trace, from the design and from the steps of the stages before it.

The smaller the parts, the less is done again after a change.
"""


def stages(design: Design) -> Iterator[Stage]:
    """The working of a design, part by part and in order; only the parts that repeat decide which there are."""
    kinds = range(max(design.strings, 1))
    yield _of_all(temperature.cold_cell)
    for kind in kinds:
        yield _of_group(temperature.hot_cell, kind)
        yield _of_group(voltage.stc_voltages, kind)
        yield _of_group(voltage.cold_voltage, kind)
        yield _of_group(voltage.hot_voltages, kind)
        yield _of_group(current.stc_currents, kind)
        yield _of_group(current.hot_current, kind)
        yield _of_group(current.largest_currents, kind)
    if len(kinds) > 1:
        yield voltage.joined_voltages
    yield _of_all(voltage.heat_taken)
    for name in current.SUMMED:
        yield partial(current.summed, name=name)
    yield current.array_design
    yield joining.counts
    yield _of_all(battery.battery_voltages)
    for carries in cable.CARRIED:
        for name in design.runs:
            yield _of_run(cable.run, name, carries)
            yield _of_run(cable.resistance, name, carries)
            yield _of_run(cable.lost, name, carries)
            yield _of_run(cable.saved, name, carries)
    yield _of_all(battery.at_controller)
    yield _of_all(battery.charging)
    for kind in kinds:
        yield _of_one(protection.reverse_current, kind)
    yield protection.string_fuse
    yield joining.couplers
    yield _of_all(joining.grounding)
    yield curves.wake_hot
    yield curves.wake_cold
    yield curves.unlike


def _of_run(work: Callable[[Trace, str, str], None], name: str, carries: str) -> Stage:
    """What is worked out of a run if that is what it carries."""

    def stage(trace: Trace, _: tuple[Strings, ...]) -> None:
        if name in runs_carrying(trace.design, carries):
            work(trace, name, carries)

    return stage


def _of_group(work: Callable[[Trace, Strings], None], place: int) -> Stage:
    """What is worked out of one group of alike strings."""
    return lambda trace, groups: work(trace, groups[place])


def _of_one(work: Callable[[Trace, Strings, tuple[Strings, ...]], None], place: int) -> Stage:
    """What is worked out of one group of alike strings beside the others."""
    return lambda trace, groups: work(trace, groups[place], groups)


def _of_all(work: Callable[[Trace], None]) -> Stage:
    """What needs no more than the trace."""
    return lambda trace, _: work(trace)


def derive(design: Design, book: RuleBook) -> Trace:
    """Work out every quantity of ``design`` that its inputs allow; what is missing is left out, never guessed."""
    trace, groups = Trace(design, book), string_groups(design)
    for stage in stages(design):
        stage(trace, groups)
    return trace
