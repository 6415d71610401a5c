"""Records of an array's curves: cold and hot, before and after shade, as the controller sees them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.model.design import Design
from calc.model.faults import FaultCase

Points = tuple[tuple[float, float], ...]
"""Voltage at the controller in V, each with the array's current in A."""


@dataclass(frozen=True, slots=True)
class Rest:
    """Where a controller holds the array on a curve: how (as in faults), V, A and W."""

    way: str
    voltage_V: float
    current_A: float
    power_W: float


@dataclass(frozen=True, slots=True)
class Sweep:
    """One curve from short circuit to open circuit.

    ``peaks`` are the local peaks of power, from open circuit on. ``rest`` is where the controller takes most, None
    where it takes nothing; ``first`` where a tracker may stay instead, None where that is the same.
    """

    name: str
    light_Wm2: float
    cell_degC: float
    points: Points
    open_V: float
    short_A: float
    peaks: Points
    rest: Rest | None
    first: Rest | None


@dataclass(frozen=True, slots=True)
class Drop:
    """One thing that takes voltage on the way from the modules to the controller.

    ``what`` is ``heat`` or ``run``, ``name`` the run's; ``length_m`` is the run's, None for heat.
    """

    what: str
    name: str
    length_m: float | None
    taken_V: float


@dataclass(frozen=True, slots=True)
class Along:
    """The working voltage on a hot afternoon from the label to the controller, and what charging needs."""

    label_V: float
    drops: tuple[Drop, ...]
    arrives_V: float
    needed_V: float | None


@dataclass(frozen=True, slots=True)
class CurveReport:
    """Every curve of one design.

    ``needs`` and ``reason`` say why there are none, as in faults. ``sweeps`` are ``cold``, ``hot`` and ``shaded`` by
    name. ``least_V`` is what charging needs, ``limit_V`` the controller's highest voltage, None where not known.
    ``shade`` is the case of the shaded sweep. ``along`` is None where a run is not known.
    """

    design: Design
    needs: tuple[str, ...] = ()
    reason: str = ""
    mppt: bool = True
    sweeps: Mapping[str, Sweep] = field(default_factory=dict)
    least_V: float | None = None
    limit_V: float | None = None
    shade: FaultCase | None = None
    along: Along | None = None
