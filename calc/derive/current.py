"""Currents of a string and of the array: short-circuit, operating, the code's maximum and the design current."""

from calc.derive.coefficients import coefficient, power
from calc.derive.parts import Strings
from calc.derive.temperature import standard
from calc.derive.trace import Trace
from calc.model.assessment import Quantity
from calc.model.method import Method

ISC_STRING = Method("isc_string", "isc * (1 + rear_gain)")
IMP_STRING = Method("imp_string", "imp")
IMP_HOT_STRING = Method("imp_hot_string", "imp * (1 + imp_coefficient * (cell_hot - stc_cell))")
CURRENT_MAX_STRING = Method("current_max_string", "continuous_factor * isc_string", cites=("690.8(A)",))
CURRENT_DESIGN_STRING = Method(
    "current_design_string", "design_factor * current_max_string", cites=("690.8(B)",)
)
CURRENT_DESIGN_ARRAY = Method(
    "current_design_array", "design_factor * current_max_array", cites=("690.8(B)",)
)
POWER_STC = Method("power_stc", "strings_in_parallel * modules_in_series * pmax")
SUMMED = {
    name: Method(f"{name}_array", f"strings_in_parallel * {name}_string", cites=("690.8(A)",))
    for name in ("isc", "imp", "imp_hot", "current_max")
}
LARGEST = {
    name: Method(name, f"max({name}__1, {name}__2)")
    for name in ("isc_string", "imp_string", "imp_hot_string", "current_max_string", "current_design_string")
}

METHODS = (
    ISC_STRING,
    IMP_STRING,
    IMP_HOT_STRING,
    CURRENT_MAX_STRING,
    CURRENT_DESIGN_STRING,
    *SUMMED.values(),
    CURRENT_DESIGN_ARRAY,
    POWER_STC,
    *LARGEST.values(),
)


def stc_currents(trace: Trace, group: Strings) -> None:
    """Work out the currents of one string of a group at standard test conditions, with rear-side light in Isc, A."""
    part = group.part
    gain = trace.value(group.module("rear_gain"), general="module.rear_gain")
    trace.step(ISC_STRING, part=part, isc=trace.given(group.module("isc")), rear_gain=gain)
    trace.step(IMP_STRING, part=part, imp=trace.given(group.module("imp")))


def hot_current(trace: Trace, group: Strings) -> None:
    """Work out the operating current of one string of a group on the hottest afternoon, A."""
    part = group.part
    trace.step(
        IMP_HOT_STRING,
        part=part,
        imp=trace.given(group.module("imp")),
        imp_coefficient=coefficient(trace, group, "imp"),
        cell_hot=trace.find(part + "cell_hot_degC"),
        stc_cell=standard(trace, "cell temperature"),
    )


def largest_currents(trace: Trace, group: Strings) -> None:
    """Work out the code's currents of one string of a group, A.

    Cites:
        690.8(A) (maximum current: 1.25 times Isc, with rear-side light in Isc)
        690.8(B) (design current: 1.25 times that; the trade rounds 1.5625 to 1.56, we do not)
    """
    part, isc = group.part, trace.find(group.part + "isc_string_A")
    largest = trace.step(
        CURRENT_MAX_STRING, part=part, continuous_factor=trace.scalar("continuous_factor"), isc_string=isc
    )
    trace.step(
        CURRENT_DESIGN_STRING,
        part=part,
        design_factor=trace.scalar("design_factor"),
        current_max_string=largest,
    )


def summed(trace: Trace, groups: tuple[Strings, ...], name: str) -> None:
    """Add one of the strings' currents, of ``SUMMED``, A.

    Cites:
        690.8(A) (an output circuit carries the sum of its strings)
    """
    text, values = _over(trace, groups, f"{name}_string")
    trace.step(SUMMED[name], values, text=text)


def array_design(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """Work out the array's design current, A, its power, W, and of unlike strings the largest of each current, A."""
    trace.step(
        CURRENT_DESIGN_ARRAY,
        design_factor=trace.scalar("design_factor"),
        current_max_array=trace.find("current_max_array_A"),
    )
    text, values = _power(trace, groups)
    trace.step(POWER_STC, values, text=text)
    if len(groups) == 1:
        return
    for name, method in LARGEST.items():
        found = {f"{name}__{group.number}": trace.find(group.part + method.target.key) for group in groups}
        trace.step(method, found, text=f"max({', '.join(found)})")


def counted(trace: Trace, group: Strings) -> Quantity:
    """How many strings of this kind there are: given, else one, noted as an assumption."""
    if group.design.strings:
        return trace.value(group.parallel, general="string.strings_in_parallel")
    return trace.given(group.parallel)


def _over(trace: Trace, groups: tuple[Strings, ...], name: str) -> tuple[str, dict[str, Quantity]]:
    """Formula and values that add ``name`` over all groups: plain for one group, indexed for several."""
    found = [(group, counted(trace, group), trace.find(f"{group.part}{name}_A")) for group in groups]
    if len(groups) == 1:
        _, count, current = found[0]
        return "", {"strings_in_parallel": count, name: current}
    terms: list[str] = []
    values: dict[str, Quantity] = {}
    for group, count, current in found:
        terms.append(f"strings_in_parallel__{group.number} * {name}__{group.number}")
        values |= {f"strings_in_parallel__{group.number}": count, f"{name}__{group.number}": current}
    return " + ".join(terms), values


def _power(trace: Trace, groups: tuple[Strings, ...]) -> tuple[str, dict[str, Quantity]]:
    """Formula and values of the array's power: plain for one group, indexed for several."""
    names = ("strings_in_parallel", "modules_in_series", "pmax")
    terms: list[str] = []
    values: dict[str, Quantity] = {}
    for group in groups:
        found = (counted(trace, group), trace.given(group.series), power(trace, group))
        keys = names if len(groups) == 1 else tuple(f"{name}__{group.number}" for name in names)
        terms.append(" * ".join(keys))
        values |= dict(zip(keys, found, strict=True))
    return " + ".join(terms), values
