"""String voltages: standard, coldest, hottest, and where the controller's limit is reached."""

from calc.derive.coefficients import coefficient, given_coefficient, vmp_coefficient
from calc.derive.parts import Strings
from calc.derive.temperature import standard
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.method import Method
from calc.model.units import convert

VOC_STC = Method("voc_stc_string", "modules_in_series * voc", cites=("690.7(A)",))
VOC_COLD = Method(
    "voc_cold_string",
    "modules_in_series * voc * (1 + voc_coefficient * (cell_cold - stc_cell))",
    cites=("690.7(A)",),
)
COLD_FACTOR = Method("cold_factor", how="cold-factor", cites=("690.7(A)",))
VOC_COLD_BY_TABLE = Method("voc_cold_string", "modules_in_series * voc * cold_factor", cites=("690.7(A)",))
COLD_LIMIT = Method(
    "cold_limit",
    "stc_cell + (max_voltage / (modules_in_series * voc) - 1) / voc_coefficient",
    cites=("690.7(A)",),
)
COLD_LIMIT_BY_TABLE = Method("cold_limit", how="cold-limit", cites=("690.7(A)",))
VOC_HOT = Method("voc_hot_string", "modules_in_series * voc * (1 + voc_coefficient * (cell_hot - stc_cell))")
VMP_STC = Method("vmp_stc_string", "modules_in_series * vmp")
VMP_HOT = Method(
    "vmp_hot_string",
    "modules_in_series * vmp * (1 + vmp_coefficient * (cell_hot - stc_cell))",
    cites=("Hot voltage",),
)
HEAT_TAKEN = Method("heat_taken", "vmp_stc_string - vmp_hot_string")
HIGHEST = {
    name: Method(name, f"max({name}__1, {name}__2)")
    for name in ("voc_stc_string", "voc_cold_string", "cold_limit")
}
LOWEST = {
    name: Method(name, f"min({name}__1, {name}__2)")
    for name in ("voc_hot_string", "vmp_stc_string", "vmp_hot_string")
}

METHODS = (
    VOC_STC,
    VOC_COLD,
    COLD_FACTOR,
    VOC_COLD_BY_TABLE,
    COLD_LIMIT,
    COLD_LIMIT_BY_TABLE,
    VOC_HOT,
    VMP_STC,
    VMP_HOT,
    HEAT_TAKEN,
    *HIGHEST.values(),
    *LOWEST.values(),
)


def stc_voltages(trace: Trace, group: Strings) -> None:
    """Work out the voltages of one group's strings at standard test conditions, V."""
    series, part = trace.given(group.series), group.part
    trace.step(VOC_STC, part=part, modules_in_series=series, voc=trace.given(group.module("voc")))
    trace.step(VMP_STC, part=part, modules_in_series=series, vmp=trace.given(group.module("vmp")))


def hot_voltages(trace: Trace, group: Strings) -> None:
    """Work out the voltages of one group's strings on the hottest afternoon, V.

    Cites:
        VMP-COEFF (hot Vmp by the Vmp coefficient)
    """
    series, part = trace.given(group.series), group.part
    voc, vmp = trace.given(group.module("voc")), trace.given(group.module("vmp"))
    stc_cell, hot = standard(trace, "cell temperature"), trace.find(part + "cell_hot_degC")
    trace.step(
        VMP_HOT,
        part=part,
        modules_in_series=series,
        vmp=vmp,
        vmp_coefficient=vmp_coefficient(trace, group),
        cell_hot=hot,
        stc_cell=stc_cell,
    )
    trace.step(
        VOC_HOT,
        part=part,
        modules_in_series=series,
        voc=voc,
        voc_coefficient=coefficient(trace, group, "voc"),
        cell_hot=hot,
        stc_cell=stc_cell,
    )


def cold_voltage(trace: Trace, group: Strings) -> None:
    """Work out the open-circuit voltage of one group's strings on the coldest morning, V.

    Cites:
        690.7(A) (by the maker's coefficient, else by the code's factor table)
    """
    series, voc, part = trace.given(group.series), trace.given(group.module("voc")), group.part
    cold, limit = trace.find("cell_cold_degC"), trace.given("controller.max_voltage")
    of_voc = given_coefficient(trace, group, "voc")
    if isinstance(of_voc, Unknown) and isinstance(cold, Value):
        factor = _factor(trace, cold)
        if isinstance(factor, Value):
            trace.step(VOC_COLD_BY_TABLE, part=part, modules_in_series=series, voc=voc, cold_factor=factor)
            _limit_by_table(trace, part, series, voc, limit)
            return
        of_voc = coefficient(trace, group, "voc")
    stc_cell = standard(trace, "cell temperature")
    trace.step(
        VOC_COLD,
        part=part,
        modules_in_series=series,
        voc=voc,
        voc_coefficient=of_voc,
        cell_cold=cold,
        stc_cell=stc_cell,
    )
    if isinstance(of_voc, Value) and of_voc.number and _reachable(trace, limit, series, voc, of_voc):
        trace.step(
            COLD_LIMIT,
            part=part,
            stc_cell=stc_cell,
            max_voltage=limit,
            modules_in_series=series,
            voc=voc,
            voc_coefficient=of_voc,
        )


def _reachable(trace: Trace, *values: Quantity) -> bool:
    """Whether the controller's limit is reached above absolute zero; below it the temperature would say nothing."""
    known = [value.number for value in values if isinstance(value, Value)]
    if len(known) != len(values):
        return False
    limit, series, voc, percent = known
    rise = (limit / (series * voc) - 1) / convert(percent, "%/K", "1/K")
    return trace.scalar("absolute_zero").number < standard(trace, "cell temperature").number + rise


def _factor(trace: Trace, cold: Value) -> Quantity:
    """The code's cold factor for the coldest cell; Unknown below the last band of the table."""
    cell = trace.book.table("cold_factor").band("factor", cold.number)
    if cell.value is None:
        return Unknown(())
    return trace.note(COLD_FACTOR, cell.number, cell_cold=cold, cold_factor=trace.cell(cell))


def _limit_by_table(trace: Trace, part: str, series: Quantity, voc: Quantity, limit: Quantity) -> None:
    """Note the coldest temperature in the table at which the limit still holds, when the table reaches beyond it."""
    if not (isinstance(series, Value) and isinstance(voc, Value) and isinstance(limit, Value)):
        return
    table = trace.book.table("cold_factor")
    factors = sorted(zip(table.column("factor"), table.column("from_C"), strict=True))
    inside = [
        cold for factor, cold in factors if series.number * voc.number * float(factor or 0) <= limit.number
    ]
    if inside and len(inside) < len(factors):
        trace.note(
            COLD_LIMIT_BY_TABLE,
            float(inside[-1] or 0),
            part=part,
            max_voltage=limit,
            modules_in_series=series,
            voc=voc,
        )


def heat_taken(trace: Trace) -> None:
    """Work out how much of the string's voltage the heat takes, V."""
    trace.step(
        HEAT_TAKEN,
        vmp_stc_string=trace.find("vmp_stc_string_V"),
        vmp_hot_string=trace.find("vmp_hot_string_V"),
    )


def joined_voltages(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """Where strings are unlike, take the highest of the maxima and the lowest of the minima, V and degC."""
    for methods, function in ((HIGHEST, "max"), (LOWEST, "min")):
        for name, method in methods.items():
            found = [(group.number, trace.find(group.part + method.target.key)) for group in groups]
            values = {f"{name}__{number}": value for number, value in found if isinstance(value, Value)}
            if values:
                names = ", ".join(values)
                trace.step(method, values, text=f"{function}({names})" if len(values) > 1 else names)
