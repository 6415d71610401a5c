"""The order of work for one design: what to do first, what is live meanwhile, where to stop; and taking it down."""

from calc.make.labels import labels_of
from calc.make.look import Look
from calc.make.order_down import taking_down
from calc.make.order_last import battery, close, finish, read
from calc.make.order_steps import (
    check,
    cover,
    fuses_in,
    ground,
    join,
    label,
    meter,
    open_all,
    ready,
    run,
    series,
    uncover,
)
from calc.model.assessment import Assessment, Remark, Value, Verdict
from calc.model.parts import Order
from calc.tables import RuleBook

UP = (
    ready,
    cover,
    series,
    check,
    label,
    open_all,
    join,
    ground,
    run,
    battery,
    uncover,
    meter,
    fuses_in,
    close,
    read,
    finish,
)


def order_of(assessment: Assessment, book: RuleBook) -> Order:
    """In which order is a design put up and taken down without anybody or anything being hurt?

    Decides by what a design has: modules stay covered and every path open until each string has shown its sign and its
    voltage; the battery meets the controller before the array does; the last act is a switch and never a connector.
    Down goes the reverse: the array off first, the battery last.

    Cites:
        690.13, 690.15, 690.33; common practice for the order itself

    Args:
        assessment: the judged design.
        book: tables and assumptions.

    Refuses nothing: a figure that is not known leaves its sentence out.
    """
    look = Look(assessment, book)
    tasks = (step(look) for step in UP)
    return Order(
        about=look.about,
        up=tuple(task for task in tasks if task is not None),
        down=tuple(taking_down(look)),
        labels=labels_of(look),
        cautions=_cautions(look),
    )


def _cautions(look: Look) -> tuple[Remark, ...]:
    """What to beware of, before anything else."""
    found = [Remark("live"), Remark("arc"), Remark("licensed"), Remark("parts-say")]
    touch, cold = look.book.scalar("touch_voltage"), look.step("voc_cold_string_V")
    if cold is not None and cold.number >= touch.number:
        limit = Value(touch.number, touch.unit, touch.origin)
        found.insert(1, Remark("touch", {"voltage": cold, "limit": limit}))
    if look.assessment.verdict is Verdict.FAILS:
        found.insert(0, Remark("design-fails"))
    if look.assessment.verdict is Verdict.NEEDS_INPUT:
        found.insert(0, Remark("design-asks"))
    return tuple(found)
