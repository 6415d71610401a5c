"""A string as it stands: alike modules in sun, with groups of cells in shade and what single faults do to it."""

from dataclasses import dataclass, field
from functools import lru_cache

from calc.physics.cells import Backwards, Cells, Part
from calc.physics.curve import Curve, ModuleModel
from calc.physics.strings import String


@dataclass(frozen=True, slots=True)
class Sun:
    """Light and heat of the cells.

    Args:
        light_Wm2: on cells that are not in shade, W/m2.
        cell_degC: temperature of the cells, those in shade too, degC.
    """

    light_Wm2: float
    cell_degC: float


@dataclass(frozen=True, slots=True)
class Build:
    """How a string is built.

    Args:
        module: one module.
        modules: in series.
        groups: of cells in each module, each with a bypass diode across it.
        bypass_V: drop of one bypass diode when it conducts, V.
        wire_ohm: the string's own wire, out and back, ohm.
    """

    module: ModuleModel
    modules: int
    groups: int
    bypass_V: float
    wire_ohm: float = 0.0


@dataclass(frozen=True, slots=True)
class Plight:
    """What has befallen a string.

    Args:
        shaded: how many groups of cells are in shade, and the share of the light that each loses.
        shorted: groups that are shorted, by a failed bypass diode or in the module.
        turned: modules that are joined the wrong way round.
    """

    shaded: tuple[tuple[int, float], ...] = field(default=())
    shorted: int = 0
    turned: int = 0


WELL = Plight()


def string(build: Build, sun: Sun, plight: Plight = WELL) -> String:
    """How does a string stand in the sun, with what has befallen it?

    Shade is taken as even over a group of cells. One darker cell in a group does nearly the same, because the group's
    current is that of its darkest cell. Shaded cells are taken as warm as the others.

    Args:
        build: modules, groups, diodes and wire.
        sun: light and heat.
        plight: shade and faults; none when left out.

    Refuses (ValueError) more groups in trouble than there are.
    """
    full = _curve(build.module, sun.light_Wm2, sun.cell_degC)
    lit = build.modules * build.groups - plight.shorted - plight.turned * build.groups
    parts: list[Part] = []
    for count, lost in plight.shaded:
        lit -= count
        dim = _curve(build.module, sun.light_Wm2 * (1.0 - lost), sun.cell_degC)
        parts.append(_cells(build, dim, count))
    if lit < 0:
        raise ValueError(f"{build.modules} modules of {build.groups} groups cannot suffer {plight}")
    if plight.turned:
        parts.append(Backwards(_cells(build, full, plight.turned * build.groups)))
    if lit:
        parts.append(_cells(build, full, lit))
    return String(tuple(parts), build.wire_ohm)


_curve = lru_cache(maxsize=256)(ModuleModel.at)


def _cells(build: Build, curve: Curve, count: int) -> Cells:
    return Cells(curve.in_series(count / build.groups), count * build.bypass_V)
