"""Each run's resistance, drop and loss, and what one size larger would save."""

from calc.derive.sizes import AWG, larger_sizes, split_size
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.method import Method

PER_LENGTH = Method(
    "resistance_per_length",
    "resistance_table * (1 + resistance_coefficient * (conductor_temperature - reference_temperature))",
)
RESISTANCE = Method("resistance", "2 * length * resistance_per_length")
DROP = Method("drop", "resistance * carried_hot")
DROP_PERCENT = Method("drop_percent", "drop / vmp_hot_string")
DROP_PERCENT_BATTERY = Method("drop_percent", "drop / absorption")
LOSS = Method("loss", "resistance * carried_hot ** 2")
LOSS_STRINGS = Method("loss", "strings_in_parallel * resistance * carried_hot ** 2")
SIZE_NEXT = Method("size_next", how="size-next")
SAVED = Method("saved", "loss * (1 - resistance_table__2 / resistance_table__1)")

METHODS = (
    PER_LENGTH,
    RESISTANCE,
    DROP,
    DROP_PERCENT,
    DROP_PERCENT_BATTERY,
    LOSS,
    LOSS_STRINGS,
    SIZE_NEXT,
    SAVED,
)


def per_length(trace: Trace, material: str, size: str, part: str) -> dict[str, Quantity]:
    """What the resistance of a size per length, ohm/km, is worked out from."""
    number, system = split_size(size)
    book = trace.book
    temperature = book.table("resistance_temperature")
    if system == AWG:
        table = book.table("resistance_us").cell(material, size=number)
        coefficient, reference = temperature.cell("alpha75", material=material), "us"
    else:
        column = "cl5_tinned" if material == "copper" else "al_cl2"
        table = book.table("resistance_iec").cell(column, size=float(number))
        coefficient, reference = temperature.cell("alpha20", material=material), "iec"
    if table.value is None:
        return {"resistance_table": Unknown((part + "size",))}
    reference_cell = book.table("resistance_reference").cell("temperature", table=reference)
    return {
        "resistance_table": trace.cell(table),
        "resistance_coefficient": trace.cell(coefficient),
        "conductor_temperature": trace.value(
            part + "conductor_temperature", general="run.conductor_temperature"
        ),
        "reference_temperature": trace.cell(reference_cell),
    }


def resistance(trace: Trace, part: str, material: str) -> None:
    """Work out a run's resistance, out and back, ohm.

    Args:
        trace: the working so far.
        part: prefix of the run's steps and inputs.
        material: ``copper`` or ``aluminium``.

    Cites:
        Chapter 9 Table 8, IEC 60228
    """
    size, length = trace.given(part + "size"), trace.given(part + "length")
    values = (
        {"resistance_table": size}
        if isinstance(size, Unknown)
        else per_length(trace, material, str(size.value), part)
    )
    each = trace.step(PER_LENGTH, values, part=part)
    trace.step(RESISTANCE, part=part, length=length, resistance_per_length=each)


def drop_and_loss(trace: Trace, part: str, carries: str, hot: Quantity) -> None:
    """Work out a run's drop out and back, V and %, and its loss, W.

    Args:
        trace: the working so far, with the run's resistance.
        part: prefix of the run's steps and inputs.
        carries: ``string``, ``array`` or ``battery``.
        hot: the operating current in the heat, A.

    Cites:
        Voltage drop
    """
    resistance = trace.find(part + "resistance_ohm")
    drop = trace.step(DROP, part=part, resistance=resistance, carried_hot=hot)
    if carries == "battery":
        trace.step(DROP_PERCENT_BATTERY, part=part, drop=drop, absorption=trace.find("absorption_V"))
    else:
        trace.step(DROP_PERCENT, part=part, drop=drop, vmp_hot_string=trace.find("vmp_hot_string_V"))
    if carries == "string":
        count = trace.find("string_count")
        trace.step(LOSS_STRINGS, part=part, strings_in_parallel=count, resistance=resistance, carried_hot=hot)
    else:
        trace.step(LOSS, part=part, resistance=resistance, carried_hot=hot)


def next_size(trace: Trace, part: str, material: str) -> None:
    """What one size larger would save, W: the loss goes with the resistance."""
    size, loss = trace.given(part + "size"), trace.find(part + "loss_W")
    larger = larger_sizes(trace.book, str(size.value), material) if isinstance(size, Value) else ()
    if not isinstance(size, Value) or not larger:
        return
    here, there = (
        per_length(trace, material, one, part)["resistance_table"] for one in (str(size.value), larger[0])
    )
    if isinstance(here, Value):
        trace.note(SIZE_NEXT, larger[0], part=part, size=size)
        trace.step(SAVED, part=part, loss=loss, resistance_table__2=there, resistance_table__1=here)
