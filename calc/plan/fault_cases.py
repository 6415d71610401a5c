"""Which shade and which single faults are looked at in a layout, and the array that each leaves."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

from calc.physics.arrays import Array
from calc.physics.shade import WELL, Plight
from calc.physics.shade import string as string_in
from calc.physics.strings import String
from calc.physics.strings import backwards as turned_about
from calc.plan.fault_inputs import Kind, Stand
from calc.tables import RuleBook

SHADES = ("group", "half", "module", "string")
_HUNDRED = 100.0

standing = lru_cache(maxsize=1024)(string_in)
"""A string with what has befallen it; the same ones come up in many cases."""


@dataclass(frozen=True, slots=True)
class Case:
    """One thing that befalls a layout.

    ``place`` is the kind of string it befalls; ``plight`` what one such string suffers, None where it is cut off.
    ``turned`` says that its ends are exchanged. ``out`` has the strings of each kind that are cut off. ``count`` groups
    are shaded, and lose ``lost`` % of their light.
    """

    id: str
    kind: str
    number: float | None
    place: int
    plight: Plight | None
    turned: bool = False
    out: tuple[int, ...] = ()
    count: int = 0
    lost: float = 0.0


def healthy(stand: Stand) -> Array:
    """The array with nothing wrong."""
    return Array(
        tuple((standing(kind.build, kind.sun, WELL), kind.count) for kind in stand.kinds), stand.run_ohm
    )


def at_cell(stand: Stand, cell_degC: float) -> Stand:
    """The same layout with its cells at another temperature, degC."""
    kinds = tuple(replace(kind, sun=replace(kind.sun, cell_degC=cell_degC)) for kind in stand.kinds)
    return replace(stand, kinds=kinds)


def affected(stand: Stand, case: Case) -> String | None:
    """The string that a case befalls, as it then is; None where strings are only cut off."""
    if case.plight is None:
        return None
    kind = stand.kinds[case.place]
    found = standing(kind.build, kind.sun, case.plight)
    return turned_about(found) if case.turned else found


def left_of(stand: Stand, case: Case) -> Array | None:
    """The array that is left, the string in trouble first; None where every string is cut off."""
    string = affected(stand, case)
    kinds = [] if string is None else [(string, 1)]
    for place, kind in enumerate(stand.kinds):
        gone = case.out[place] if case.out else int(place == case.place and string is not None)
        if kind.count > gone:
            kinds.append((standing(kind.build, kind.sun, WELL), kind.count - gone))
    return Array(tuple(kinds), stand.run_ohm) if kinds else None


def without(stand: Stand, case: Case) -> Array | None:
    """The array after the fuse of the string in trouble has opened."""
    return left_of(stand, _out(stand, case.id, case.kind, case.place))


Shades = tuple[tuple[int, float], ...]
"""Cases of shade that were asked for: groups of cells of one string, and the share of their light that is lost, %."""


def cases(stand: Stand, book: RuleBook, shades: Shades = ()) -> Iterator[Case]:
    """Every case of a layout, kind of string by kind of string, then what befalls several strings at once.

    Shade that was asked for comes after that of the table, where a string has so many groups of cells.
    A case that would be the same as one before is left out: half of a module of one group, the string of one module.
    """
    for place, kind in enumerate(stand.kinds):
        yield from _shades(kind, place, book)
        yield from _asked(kind, place, shades)
        yield from _faults(stand, kind, place)
    yield from _couplers(stand)


def _shades(kind: Kind, place: int, book: RuleBook) -> Iterator[Case]:
    groups, modules = kind.build.groups, kind.build.modules
    counts = {"module": groups}
    if groups > 1:
        counts["group"] = 1
    if ceil(groups / 2) > 1:
        counts["half"] = ceil(groups / 2)
    if modules > 1:
        counts["string"] = groups * modules
    table = book.table("shade_cases")
    for what in SHADES:
        for lost in table.column("lost", what=what) if what in counts else ():
            percent, count = float(lost or 0.0), counts[what]
            yield Case(
                id=f"{_prefix(kind)}shade-{what}-{percent:g}",
                kind=f"shade-{what}",
                number=percent,
                place=place,
                plight=Plight(shaded=((count, percent / _HUNDRED),)),
                count=count,
                lost=percent,
            )


def _asked(kind: Kind, place: int, shades: Shades) -> Iterator[Case]:
    """The cases of shade that were asked for."""
    for count, percent in shades:
        if count <= kind.build.groups * kind.build.modules:
            plight = Plight(shaded=((count, percent / _HUNDRED),))
            name = f"{_prefix(kind)}shade-some-{count}-{percent:g}"
            yield Case(name, "shade-some", percent, place, plight, count=count, lost=percent)


def _faults(stand: Stand, kind: Kind, place: int) -> Iterator[Case]:
    groups, modules, prefix = kind.build.groups, kind.build.modules, _prefix(kind)
    yield _out(stand, f"{prefix}open-module", "open-module", place)
    if groups > 1:
        yield Case(f"{prefix}shorted-group", "shorted-group", None, place, Plight(shorted=1))
    yield Case(f"{prefix}shorted-module", "shorted-module", None, place, Plight(shorted=groups))
    if modules > 1:
        yield Case(f"{prefix}reversed-module", "reversed-module", None, place, Plight(turned=1))
    yield Case(f"{prefix}reversed-string", "reversed-string", None, place, WELL, turned=True)
    if stand.fuse_A is not None:
        yield _out(stand, f"{prefix}blown-fuse", "blown-fuse", place)


def _out(stand: Stand, name: str, what: str, place: int) -> Case:
    """One string of a kind cut off."""
    out = tuple(int(other == place) for other in range(len(stand.kinds)))
    return Case(name, what, None, place, None, out=out)


def _couplers(stand: Stand) -> Iterator[Case]:
    """The first coupler of the chain and the last one; those in between cut off as many strings as they join."""
    chosen = {stand.joined[place] for place in (0, -1)} if stand.joined else set()
    for number, joined in sorted(chosen):
        out, left = [], joined
        for kind in stand.kinds:
            out.append(min(left, kind.count))
            left -= out[-1]
        yield Case(f"open-coupler-{number}", "open-coupler", float(number), 0, None, out=tuple(out))


def _prefix(kind: Kind) -> str:
    return f"string-{kind.number}-" if kind.number else ""
