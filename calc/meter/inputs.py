"""What a meter sheet is worked out from: the array of a design at any sun and temperature of its cells."""

from dataclasses import dataclass, replace
from functools import lru_cache

from calc.derive import derive
from calc.derive.parts import string_groups
from calc.derive.temperature import coldest, standard
from calc.derive.trace import Trace
from calc.model.assessment import Unknown, Value
from calc.model.design import Given
from calc.model.units import convert
from calc.physics.heat import cell_temperature
from calc.physics.operating import Controller
from calc.physics.shade import Sun
from calc.plan.fault_inputs import Kind, Stand, stand
from calc.tables import RuleBook

ANY_CONTROLLER = {"controller.kind": Given("mppt", "", "mppt")}
"""One that needs no battery: modules, strings and runs do not depend on it."""


@dataclass(frozen=True, eq=False)
class Setup:
    """A design as a meter meets it.

    Args:
        stand: the array in full sun.
        controller: how it takes the array's power; None where ``needs`` says what would have to be given.
        rises_K: rise of the cells over the air in full sun, for each kind of string, K.
        full_sun_Wm2: the sun for which the stand was worked out.
        air_degC: coldest and hottest air at the site.
        absorption_V: the battery's highest charging voltage; None where it is not known.
        book: tables.
    """

    stand: Stand
    controller: Controller | None
    needs: tuple[str, ...]
    rises_K: tuple[float, ...]
    full_sun_Wm2: float
    air_degC: tuple[float, float]
    absorption_V: float | None
    book: RuleBook

    @property
    def kinds(self) -> tuple[int, ...]:
        """The place of the kind of each string, string by string."""
        return tuple(place for place, kind in enumerate(self.stand.kinds) for _ in range(kind.count))

    @property
    def names(self) -> tuple[str, ...]:
        """What each string is called, as in the list of parts."""
        return tuple(f"S{number}" for number in range(1, len(self.kinds) + 1))

    def cells(self, sun_Wm2: float, air_degC: float) -> tuple[float, ...]:
        """Temperature of the cells of each kind in degC, for air in degC."""
        return tuple(cell_temperature(air_degC, sun_Wm2, rise_K) for rise_K in self.rises_K)

    def at(self, sun_Wm2: float, cells_degC: tuple[float, ...]) -> Stand:
        """The array in another sun, W/m2, with its cells at other temperatures, degC."""
        return _at(self.stand, sun_Wm2 / self.full_sun_Wm2, cells_degC)

    def unsure(self, name: str) -> float:
        """How badly something is known on site: a share, or K for air and module."""
        cell = self.book.table("meter_unsure").cell(name)
        return cell.number if cell.unit == "K" else convert(cell.number, cell.unit, "")


@lru_cache(maxsize=64)
def _at(full: Stand, light: float, cells_degC: tuple[float, ...]) -> Stand:
    kinds = tuple(
        replace(kind, sun=Sun(kind.sun.light_Wm2 * light, cell_degC))
        for kind, cell_degC in zip(full.kinds, cells_degC, strict=True)
    )
    return replace(full, kinds=kinds)


def setup(trace: Trace) -> Setup:
    """The array of a design as a meter meets it.

    Refuses (FitError) a module whose values no curve can have.
    """
    found = stand(trace)
    needs: tuple[str, ...] = ()
    controller: Controller | None = None
    if isinstance(found, Unknown):
        needs = found.paths
        found = stand(derive(trace.design.changed(ANY_CONTROLLER), trace.book))
        if isinstance(found, Unknown):
            raise TypeError(f"an array does not need {', '.join(found.paths)}")
    else:
        controller = found.controller
    absorption = trace.find("absorption_V")
    return Setup(
        stand=found,
        controller=controller,
        needs=needs,
        rises_K=tuple(_rise(trace, group.part) for group in string_groups(trace.design)),
        full_sun_Wm2=standard(trace, "irradiance").number,
        air_degC=(coldest(trace).number, trace.value("site.hottest").number),
        absorption_V=absorption.number if isinstance(absorption, Value) else None,
        book=trace.book,
    )


def _rise(trace: Trace, part: str) -> float:
    rise = trace.find(part + "rise_K")
    if isinstance(rise, Unknown):
        raise TypeError("the rise of the cells is worked out for every design")
    return rise.number


__all__ = ["Kind", "Setup", "setup"]
