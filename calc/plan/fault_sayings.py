"""Rules of thumb about shade, held against what a layout really does."""

from calc.model.faults import FaultCase, FaultLayout, Saying
from calc.model.units import convert
from calc.plan.fault_inputs import Stand
from calc.tables import RuleBook

WEAKEST, ONLY_SHADED = "weakest", "only-shaded"
HELD_ALL = ("held", "held-low", "held-at", "string-dim")
"""Reasons that say that the shaded cells set the current of everything."""


def sayings(layout: FaultLayout, stand: Stand, book: RuleBook) -> tuple[Saying, ...]:
    """In which cases of shade are the two best known rules of thumb true, and in which not?

    "The weakest module limits all" is true where the shaded cells set the current of the whole array. "In parallel only
    what is shaded is lost" is true where no more power is lost than light, up to a margin.
    """
    shades = [case for case in layout.cases if case.light_lost is not None and case.light_lost < 1.0]
    found = [_saying(WEAKEST, shades, {case.id for case in shades if case.reason.code in HELD_ALL})]
    if stand.strings > 1:
        margin = convert(book.scalar("saying_margin").number, "%", "")
        fair = {case.id for case in shades if _loss(case) <= (case.light_lost or 0.0) + margin}
        found.append(_saying(ONLY_SHADED, shades, fair))
    return tuple(found)


def _loss(case: FaultCase) -> float:
    return 1.0 - (case.left.share or 0.0)


def _saying(code: str, shades: list[FaultCase], true: set[str]) -> Saying:
    ids = [case.id for case in shades]
    return Saying(
        code,
        tuple(one for one in ids if one in true),
        tuple(one for one in ids if one not in true),
    )
