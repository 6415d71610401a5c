"""The last steps of the work: the battery to the controller, the switch, the first readings."""

from calc.make.look import Look
from calc.make.order_words import about, live, switch
from calc.model.assessment import Remark
from calc.model.parts import Task


def battery(look: Look) -> Task:
    """The battery to the controller while the array is still off, so that the controller knows what it charges."""
    does = (
        Remark("battery-polarity"),
        *about(look, "battery-device", size="battery.device"),
        Remark("close-battery"),
        *about(look, "set-charging", voltage="absorption_V"),
    )
    return Task(
        "battery", does, live(look, "battery-side", nominal="battery.nominal"), (Remark("battery-first"),)
    )


def close(look: Look) -> Task:
    """The switch closed: the one act that starts the current."""
    return Task("close", (Remark(f"close-{switch(look)}"), Remark("watch")), live(look, "everything"))


def read(look: Look) -> Task:
    """Current of each string and of the array, against what may be expected."""
    does = (
        *(about(look, "clamp-strings", current="imp_string_A") if len(look.strings) > 1 else ()),
        *about(look, "clamp-array", current="imp_array_A", most="current_max_array_A"),
        *_working(look),
        Remark("full-battery"),
        Remark("write-down"),
    )
    return Task("read", does, live(look, "everything"))


def finish(look: Look) -> Task:
    """Boxes closed, leads tied up, papers left at the site."""
    return Task(
        "finish", (Remark("close-boxes"), Remark("tie-up"), Remark("leave-papers")), live(look, "everything")
    )


def _working(look: Look) -> tuple[Remark, ...]:
    """The voltage at which the array works, by the kind of controller."""
    if look.design.text("controller.kind") == "pwm":
        return (Remark("working-voltage-pwm"),)
    return about(look, "working-voltage", voltage="vmp_hot_at_controller_V", standard="vmp_stc_string_V")
