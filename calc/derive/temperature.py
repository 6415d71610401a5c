"""Cell temperatures on the coldest morning and the hottest afternoon."""

from calc.derive.parts import Strings
from calc.derive.trace import Trace
from calc.model.assessment import Value
from calc.model.design import Given
from calc.model.method import Method

CELL_COLD = Method("cell_cold", "coldest", cites=("690.7(A)",))
RISE = Method(
    "rise",
    "(noct - noct_air) / noct_irradiance * stc_irradiance + mounting_rise",
)
CELL_HOT = Method("cell_hot", "hottest + rise")

METHODS = (CELL_COLD, RISE, CELL_HOT)


def coldest(trace: Trace) -> Value:
    """Lowest expected air temperature, degC: the record low given, else the hardiness zone's lower bound, else assumed.

    A cell at dawn is at air temperature. The zone's bound is an average of yearly lows: half of winters go colder.
    """
    zone = trace.design.text("site.hardiness_zone")
    if trace.design.number("site.coldest") is None and zone is not None:
        lower = trace.book.table("hardiness_zone").cell("C_min", zone=zone)
        note = trace.book.assumptions["site.coldest.from_zone"]
        given = Given(lower.number, lower.unit, f"{lower.number:g} degC")
        trace.assume("site.coldest", given, note.why, safe_side=note.safe_side)
        return trace.cell(lower)
    return trace.value("site.coldest")


def cold_cell(trace: Trace) -> None:
    """Work out the coldest cell, degC.

    Cites:
        690.7(A) (the lowest expected ambient temperature)
    """
    trace.step(CELL_COLD, coldest=coldest(trace))


def hot_cell(trace: Trace, group: Strings) -> None:
    """Work out the hottest cell, degC, of one group's modules.

    Cites:
        NOCT (the rise over air grows linearly with irradiance, from 800 to 1000 W/m2), with the mounting's own addition
    """
    mounting = trace.value("array.mounting")
    conditions = trace.book.table("noct_conditions")
    added = trace.book.table("mounting_rise").cell("rise", mounting=str(mounting.value))
    rise = trace.step(
        RISE,
        part=group.part,
        noct=trace.value(group.module("noct"), general="module.noct"),
        noct_air=trace.cell(conditions.cell("value", quantity="air temperature")),
        noct_irradiance=trace.cell(conditions.cell("value", quantity="irradiance")),
        stc_irradiance=standard(trace, "irradiance"),
        mounting_rise=trace.cell(added),
    )
    trace.step(CELL_HOT, part=group.part, hottest=trace.value("site.hottest"), rise=rise)


def standard(trace: Trace, quantity: str) -> Value:
    """A standard test condition: ``irradiance`` (W/m2) or ``cell temperature`` (degC)."""
    return trace.cell(trace.book.table("stc").cell("value", quantity=quantity))
