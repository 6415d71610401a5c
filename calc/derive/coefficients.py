"""Temperature coefficients of a module, as a share per kelvin, however the datasheet gives them."""

from calc.derive.parts import Strings
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.method import Method

RELATIVE = {
    "voc": Method("voc_coefficient", "voc_coefficient_absolute / voc"),
    "isc": Method("isc_coefficient", "isc_coefficient_absolute / isc"),
    "vmp": Method("vmp_coefficient", "vmp_coefficient_absolute / vmp"),
    "imp": Method("imp_coefficient", "imp_coefficient_absolute / imp"),
    "pmax": Method("pmax_coefficient", "pmax_coefficient_absolute / pmax"),
}
VMP_FROM_POWER = Method("vmp_coefficient", "pmax_coefficient - isc_coefficient", cites=("Hot voltage",))
VMP_FROM_POWER_AND_IMP = Method(
    "vmp_coefficient", "pmax_coefficient - imp_coefficient", cites=("Hot voltage",)
)
PMAX = Method("pmax", "vmp * imp")

METHODS = (*RELATIVE.values(), VMP_FROM_POWER, VMP_FROM_POWER_AND_IMP, PMAX)

SHARE = "%/K"


def given_coefficient(trace: Trace, group: Strings, name: str) -> Quantity:
    """The coefficient of ``name`` (voc, isc, vmp, imp, pmax) in %/K when the datasheet gives one, else Unknown."""
    path = group.module(f"{name}_coefficient")
    given = trace.given(path)
    if isinstance(given, Unknown) or given.unit == SHARE:
        return given
    base = power(trace, group) if name == "pmax" else trace.given(group.module(name))
    return trace.step(RELATIVE[name], {f"{name}_coefficient_absolute": given, name: base}, part=group.part)


def coefficient(trace: Trace, group: Strings, name: str) -> Quantity:
    """The coefficient of ``name`` in %/K: the datasheet's, else the unfavourable default, noted as an assumption."""
    given = given_coefficient(trace, group, name)
    if isinstance(given, Value):
        return given
    return trace.value(group.module(f"{name}_coefficient"), general=f"module.{name}_coefficient")


def vmp_coefficient(trace: Trace, group: Strings) -> Quantity:
    """The Vmp coefficient in %/K: given, else power's less current's, else the default on the low side.

    Never the Voc coefficient: Vmp falls about 1.3 times as fast in percent.

    Cites:
        VMP-COEFF
    """
    given = given_coefficient(trace, group, "vmp")
    if isinstance(given, Value):
        return given
    of_power = given_coefficient(trace, group, "pmax")
    if isinstance(of_power, Unknown):
        return coefficient(trace, group, "vmp")
    of_imp = given_coefficient(trace, group, "imp")
    if isinstance(of_imp, Value):
        return trace.step(
            VMP_FROM_POWER_AND_IMP, part=group.part, pmax_coefficient=of_power, imp_coefficient=of_imp
        )
    of_isc = coefficient(trace, group, "isc")
    return trace.step(VMP_FROM_POWER, part=group.part, pmax_coefficient=of_power, isc_coefficient=of_isc)


def power(trace: Trace, group: Strings) -> Quantity:
    """Power of one module at standard test conditions, W: the datasheet's, else Vmp times Imp."""
    given = trace.given(group.module("pmax"))
    if isinstance(given, Value):
        return given
    return trace.step(
        PMAX, part=group.part, vmp=trace.given(group.module("vmp")), imp=trace.given(group.module("imp"))
    )
