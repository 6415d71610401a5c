"""Everything that is tried as a cause of readings that do not fit, each with what a meter would then read."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import ceil

from calc.meter.inputs import Setup
from calc.meter.predict import HEALTHY, Reads, Trouble, reads
from calc.model.units import convert
from calc.physics.shade import WELL, Plight
from calc.plan.fault_inputs import Kind, Stand

FITS = "fits"
SUN, HEAT = "low-sun", "heat"
FULL, IDLE = "full-battery", "not-charging"
RANGE, SWAPPED = "wrong-range", "leads-swapped"
STOPS = frozenset({"reversed-string", "reversed-module"})
"""Causes with which nothing may be joined."""


@dataclass(frozen=True, slots=True)
class Case:
    """One thing that is tried: its code, the kind of string it is in (-1 for the whole array), and what is wrong.

    ``free`` names what it lets float besides: sun, heat, or the current that the controller takes.
    """

    code: str
    kind: int = -1
    trouble: Trouble = HEALTHY
    free: str = ""


def cases(setup: Setup) -> Iterator[Case]:
    """Every cause that is tried for a design, the array with nothing wrong first."""
    yield Case(FITS)
    stand = setup.stand
    for place, kind in enumerate(stand.kinds):
        yield from _faults(stand, kind, place)
        for plight in _shades(setup, kind):
            yield Case("shade", place, Trouble(place, plight))
        for ohm in _joints(setup, kind):
            yield Case("joint", place, Trouble(place, string_ohm=ohm))
    yield from _couplers(stand)
    for ohm in _joints(setup, stand.kinds[0]):
        yield Case("run-joint", -1, Trouble(run_ohm=ohm / len(setup.kinds)))
    for free in (SUN, HEAT, FULL, IDLE):
        yield Case(free, free=free)


def _faults(stand: Stand, kind: Kind, place: int) -> Iterator[Case]:
    groups, modules = kind.build.groups, kind.build.modules
    yield Case("open-string", place, Trouble(place, None))
    out = tuple(int(other == place) for other in range(len(stand.kinds)))
    yield Case("blown-fuse" if stand.fuse_A is not None else "open-joint", place, Trouble(place, out=out))
    yield Case("reversed-string", place, Trouble(place, WELL, turned=True))
    if modules > 1:
        yield Case("reversed-module", place, Trouble(place, Plight(turned=1)))
    for missing in range(1, min(modules, 3)):
        yield Case("missing-module", place, Trouble(place, Plight(shorted=groups * missing)))
    if modules == 1:
        yield Case("missing-module", place, Trouble(place, Plight(shorted=groups)))
    for shorted in range(1, groups):
        yield Case("shorted-group", place, Trouble(place, Plight(shorted=shorted)))


def _shades(setup: Setup, kind: Kind) -> Iterator[Plight]:
    groups, modules = kind.build.groups, kind.build.modules
    counts = {1, ceil(groups / 2), groups, groups * modules}
    for lost in setup.book.table("meter_shade_tried").column("lost"):
        for count in sorted(counts):
            yield Plight(shaded=((count, convert(float(lost or 0.0), "%", "")),))


def _joints(setup: Setup, kind: Kind) -> Iterator[float]:
    """Resistances that would use up a share of a string's working voltage in full sun, ohm."""
    reference = kind.build.module.reference.in_series(kind.build.modules)
    volts, amperes = reference.mpp()
    for lost in setup.book.table("meter_joint_tried").column("lost"):
        yield convert(float(lost or 0.0), "%", "") * volts / amperes


def _couplers(stand: Stand) -> Iterator[Case]:
    """Every coupler that joins several strings, cut off with those that hang on it."""
    for _, joined in sorted(set(stand.joined)):
        if joined > 1:
            out, left = [], joined
            for kind in stand.kinds:
                out.append(min(left, kind.count))
                left -= out[-1]
            yield Case("open-coupler", -1, Trouble(out=tuple(out)))


@lru_cache(maxsize=16)
def predicted(setup: Setup, stand: Stand) -> tuple[tuple[Case, tuple[Reads, ...]], ...]:
    """Every case with what the array would read; kept, because the same sun is often asked for again."""
    return tuple((case, reads(setup, stand, case.trouble)) for case in cases(setup))
