"""The halves of plug-in connectors: how many come with which parts, how many are bought loose, what they are called."""

from collections import Counter
from collections.abc import Iterable

from calc.model.parts import MINUS_HALF, PLUS_HALF, HalfName, Halves, Net, NetPart
from calc.tables import RuleBook

ORDER = ("string", "fuse-holder", "coupler", "string-lead", "array-lead", "cap", "string-run", "run")
LOOSE = ("string-run", "run")
"""Conductors whose halves are crimped on when the wire is laid; all others come with theirs."""


def halves_of(net: Net) -> tuple[Halves, ...]:
    """How many halves of each kind come with which parts, a string counting those that its modules bring."""
    counted: dict[str, Counter[str]] = {code: Counter() for code in ORDER}
    for part in net.parts.values():
        for kind in _halves(part):
            counted[part.code][kind] += 1
    return tuple(
        Halves(code, found[PLUS_HALF], found[MINUS_HALF], code in LOOSE)
        for code, found in counted.items()
        if found
    )


def _halves(part: NetPart) -> Iterable[str]:
    for port in part.ports:
        if port.kind in (PLUS_HALF, MINUS_HALF):
            yield port.kind
    for _ in range(part.inside):
        yield PLUS_HALF
        yield MINUS_HALF


def half_names(book: RuleBook) -> tuple[HalfName, ...]:
    """What either half is called by sellers, in both ways."""
    table = book.table("connector_names")
    return tuple(
        HalfName(
            kind, str(table.cell("housing", half=kind).value), str(table.cell("contact", half=kind).value)
        )
        for kind in (PLUS_HALF, MINUS_HALF)
    )
