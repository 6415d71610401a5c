"""The meter sheet for several suns at once, for paper: whoever stands there with it measures the sun and takes a column."""

from calc.meter.expected import meter_sheet
from calc.model.assessment import Assessment
from calc.model.design import Design
from calc.model.meter import MeterSheet
from calc.tables import RuleBook


def sheets_by_sun(
    design: Design,
    book: RuleBook,
    assessment: Assessment | None = None,
    *,
    air: float | None = None,
    module: float | None = None,
) -> tuple[MeterSheet, ...]:
    """What should a meter read at this array in weak sun, in full sun, and between?

    One sheet for each sun of the table ``meter_suns``, weakest first; the temperature is the same in all of them.

    Args:
        design: as read.
        book: tables and assumptions.
        assessment: the design's own, where it is known already.
        air: the air's temperature, degC; None where it is not known.
        module: the temperature of a module's back, degC, which then counts instead of the air's.

    Refuses nothing, as ``meter_sheet`` does not.
    """
    return tuple(
        meter_sheet(design, book, assessment, sun=sun, air=air, module=module) for sun in _suns(book)
    )


def _suns(book: RuleBook) -> tuple[float, ...]:
    table = book.table("meter_suns")
    return tuple(table.cell("sun", sun=sun).number for sun in table.column("sun"))
