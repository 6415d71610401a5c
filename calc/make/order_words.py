"""What the steps of the order of work share: which switch there is, what is live, and what a meter should show."""

from collections.abc import Iterable

from calc.make.look import Look, OneString
from calc.model.assessment import Remark, Value
from calc.model.parts import Reading

COLD = "voc_cold_string_V"


def live(look: Look, code: str, **more: str) -> Remark:
    """What is live, with the highest voltage it can have; ``more`` names values and the steps or inputs they are."""
    values = {"voltage": look.step(COLD)} | {
        name: look.step(source) or look.given(source) for name, source in more.items()
    }
    known = {name: value for name, value in values.items() if value is not None}
    return Remark(code if len(known) == len(values) else f"{code}-unknown", known)


def switch(look: Look) -> str:
    """What the last act is done with: both, the disconnect, or the breaker."""
    if look.disconnect and look.breaker:
        return "breaker-and-disconnect"
    return "disconnect" if look.disconnect else "breaker"


def marks(strings: Iterable[OneString]) -> tuple[str, ...]:
    """The strings' marks."""
    return tuple(one.mark for one in strings)


def readings(look: Look) -> tuple[Reading, ...]:
    """Open-circuit voltage of every string, alike ones together."""
    found = []
    for group in look.groups:
        mine = [one for one in look.strings if one.group.number == group.number]
        standard = look.number(group.part + "voc_stc_string_V")
        if standard is not None:
            hot, cold = (look.number(f"{group.part}voc_{when}_string_V") for when in ("hot", "cold"))
            found.append(Reading(marks(mine), mine[0].series, standard, hot, cold))
    return tuple(found)


def given_or(look: Look, *sources: str) -> Value | None:
    """The first of some steps and inputs that is known."""
    return next((value for source in sources if (value := look.step(source) or look.given(source))), None)


def about(look: Look, code: str, **sources: str) -> tuple[Remark, ...]:
    """A sentence with figures, or nothing when one of them is not known."""
    values = {name: given_or(look, source) for name, source in sources.items()}
    known = {name: value for name, value in values.items() if value is not None}
    return (Remark(code, known),) if len(known) == len(values) else ()
