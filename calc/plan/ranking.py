"""The order of layouts: by stated columns, each counting only where all before it are equal."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.model.assessment import Assessment, Finding, Verdict
from calc.model.layouts import (
    CODE_BROKEN,
    COLUMNS,
    DAMAGE_DONE,
    ENERGY_LOST,
    MORE,
    NOTHING_FAILS,
    WITH_WIRE,
    Column,
    Key,
    Reason,
    Tried,
)
from calc.plan.searching import key_of

HARM = {"energy": ENERGY_LOST, "code": CODE_BROKEN, "damage": DAMAGE_DONE}
DIGITS = 3
"""Digits that count when two layouts are compared: a difference that no reader sees decides nothing."""
MINUTE = 60


@dataclass(frozen=True, slots=True)
class Standing:
    """What the check says of one layout: as its file stands, and with the wire it needs."""

    stands: Assessment
    wired: Assessment

    @property
    def counted(self) -> Assessment:
        """The one that is ranked: the file's own where nothing fails in it, else with the wire it needs."""
        return self.wired if _fails(self.stands) or _fails(self.wired) else self.stands

    def columns(self) -> dict[str, float | None]:
        """The columns that follow from the findings."""
        counted = self.counted
        worst = max((HARM[one.harm] for one in _fails(counted)), default=NOTHING_FAILS)
        verdicts = [one.verdict for one in counted.findings]
        return {
            "harm": float(worst or (WITH_WIRE if _fails(self.stands) else NOTHING_FAILS)),
            "failing": float(len(_fails(counted))),
            "unanswered": float(verdicts.count(Verdict.NEEDS_INPUT)),
            "tight": float(Verdict.TIGHT in verdicts),
        }


def _fails(assessment: Assessment) -> list[Finding]:
    return [one for one in assessment.findings if one.verdict is Verdict.FAILS]


def least_room(assessment: Assessment) -> tuple[Key, float | None]:
    """The limit with the least room as a share of it, among those that can be tight and do not fail."""
    found = [
        (one.margin / abs(one.limit.number), place)
        for place, one in enumerate(assessment.findings)
        if one.verdict in (Verdict.HOLDS, Verdict.TIGHT)
        and one.tight_below
        and one.margin is not None
        and one.limit is not None
    ]
    if not found:
        return ("", ""), None
    share, place = min(found)
    return key_of(assessment.findings[place]), share


def ranked(layouts: Iterable[Tried]) -> tuple[Tried, ...]:
    """Best first; layouts that are equal in every column stand with the longer strings first.

    Args:
        layouts: in any order; the result does not depend on it.
    """
    return tuple(
        sorted(
            layouts,
            key=lambda one: (*(_place(one, column) for column in COLUMNS), -one.series, -one.parallel),
        )
    )


def reason(layouts: tuple[Tried, ...]) -> Reason | None:
    """Why the first comes before the second, and where the second is better; None with a single layout.

    ``by`` is empty where the two are equal in every column.
    """
    if not layouts[1:]:
        return None
    first, second = layouts[:2]
    by = next((one.code for one in COLUMNS if _place(first, one) != _place(second, one)), "")
    known = [
        one for one in COLUMNS if first.columns[one.code] is not None and second.columns[one.code] is not None
    ]
    better = tuple(one.code for one in known if _place(second, one) < _place(first, one))
    return Reason(by, better)


def _place(layout: Tried, column: Column) -> tuple[bool, float]:
    """What a layout has in one column, as far as it counts; what is not known comes last."""
    value = layout.columns[column.code]
    if value is None:
        return True, 0.0
    counted = round(value * MINUTE) if column.unit == "h" else float(f"{value:.{DIGITS}g}")
    return False, -counted if column.better == MORE else counted
