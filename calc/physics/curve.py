"""A module's curve at any irradiance and cell temperature, fitted from the values on its datasheet."""

from dataclasses import dataclass
from math import exp, expm1, inf

from calc.physics.constants import (
    BANDGAP_SLOPE_PER_K,
    BOLTZMANN_EV_PER_K,
    BRIGHTEST_WM2,
    REFERENCE_CELL_K,
    REFERENCE_IRRADIANCE_WM2,
    SATURATION_EXPONENT,
    SILICON_BANDGAP_EV,
    ZERO_CELSIUS_K,
)
from calc.physics.datasheet import FitError, FourPoints, refuse_impossible
from calc.physics.diode import Curve
from calc.physics.warmth import bandgap, resistance_slope, steepness, steepness_for_sheet

__all__ = ["Curve", "FitError", "ModuleModel", "fit"]

_IDEALITY_PASSES = 4
"""Each pass leaves less than a hundredth of the error in the ideality; the first is already within 1 %."""

_MOST_CHANGE = 1.5
"""A pass may not change the ideality by more than this factor, so that an odd datasheet cannot throw it about."""

_LARGEST_BANDGAP_EV = 10.0
"""Beyond this, voltage would fall with heat as in no semiconductor; the oddest listed module asks for 6.4 eV."""

_LEAST_SATURATION_A = 1e-290
"""Kept above what a float can divide by, for temperatures far below any on earth."""

_LARGEST_EXPONENT = 600.0
"""An open-circuit voltage this many idealities high is out of reach of any light."""


@dataclass(frozen=True, slots=True)
class ModuleModel:
    """What curve a module has at any irradiance and cell temperature.

    Args:
        reference: the curve at 1000 W/m2 and 25 degC.
        alpha_isc_A_per_K: change of photocurrent with temperature, A/K.
        bandgap_eV: sets how fast voltage falls with heat; silicon's where the datasheet allows it.
        cells: cells in series, where known.
        limited_by: empty where one ordinary curve met all five values of the datasheet, else the resistance ("shunt"
            or "series") that would have come out negative and was held at its end.
        resistance_slope_per_K: relative change of series resistance with temperature, 1/K; 0 where nothing asks for it.
    """

    reference: Curve
    alpha_isc_A_per_K: float
    bandgap_eV: float = SILICON_BANDGAP_EV
    cells: int | None = None
    limited_by: str = ""
    resistance_slope_per_K: float = 0.0

    def at(self, irradiance_Wm2: float, cell_degC: float) -> Curve:
        """The curve at an irradiance and a cell temperature.

        Photocurrent and shunt conductance follow the light, ideality the absolute temperature, saturation current its
        cube and the bandgap. Series resistance changes evenly with temperature where the Pmax coefficient asks for it.

        Cites:
            De Soto, Klein, Beckman 2006 (the translation; as written out in pvlib 0.16.1)

        Args:
            irradiance_Wm2: in the plane of the module, the same on every cell, W/m2.
            cell_degC: cell temperature, degC.

        Refuses (ValueError) an irradiance below zero and a temperature at or below absolute zero.
        """
        cell_K = cell_degC + ZERO_CELSIUS_K
        if not (irradiance_Wm2 >= 0.0 and cell_K > 0.0):
            raise ValueError(f"no curve at {irradiance_Wm2} W/m2 and {cell_degC} degC")
        light = irradiance_Wm2 / REFERENCE_IRRADIANCE_WM2
        warmth = cell_K / REFERENCE_CELL_K
        ref, rise_K = self.reference, cell_K - REFERENCE_CELL_K
        gap_K = self.bandgap_eV / BOLTZMANN_EV_PER_K
        exponent = gap_K / REFERENCE_CELL_K - gap_K * (1.0 + BANDGAP_SLOPE_PER_K * rise_K) / cell_K
        saturation_A = ref.saturation_current_A * warmth**SATURATION_EXPONENT * exp(exponent)
        return Curve(
            max(light * (ref.photocurrent_A + self.alpha_isc_A_per_K * rise_K), 0.0),
            max(saturation_A, _LEAST_SATURATION_A),
            ref.series_resistance_ohm * max(1.0 + self.resistance_slope_per_K * rise_K, 0.0),
            ref.shunt_resistance_ohm / light if light else inf,
            ref.modified_ideality_V * warmth,
        )

    def imp_coefficient(self) -> float:
        """Change of current at the maximum power point with temperature relative to it, at 25 degC in full sun, 1/K."""
        warm, cool = (
            self.at(REFERENCE_IRRADIANCE_WM2, REFERENCE_CELL_K - ZERO_CELSIUS_K + side).mpp()[1]
            for side in (0.5, -0.5)
        )
        return 2.0 * (warm - cool) / (warm + cool)

    def irradiance_for_voc(
        self, voltage_V: float, cell_degC: float, *, brightest_Wm2: float = BRIGHTEST_WM2
    ) -> float | None:
        """The irradiance in W/m2 at which open-circuit voltage reaches a voltage; None above the brightest.

        Explicit: at open circuit the light's current equals the diode's and the shunt's, and both the light's current
        and the shunt's conductance are proportional to irradiance.

        Args:
            voltage_V: at one module's own terminals, V.
            cell_degC: cell temperature, degC.
            brightest_Wm2: the most light to reckon with, W/m2.
        """
        if voltage_V <= 0.0:
            return 0.0
        bright = self.at(brightest_Wm2, cell_degC)
        spare_A = bright.photocurrent_A - voltage_V / bright.shunt_resistance_ohm
        exponent = voltage_V / bright.modified_ideality_V
        if spare_A <= 0.0 or exponent > _LARGEST_EXPONENT:
            return None
        share = bright.saturation_current_A * expm1(exponent) / spare_A
        return share * brightest_Wm2 if share <= 1.0 else None

    def ideality(self) -> float | None:
        """The diode's ideality factor per cell, without unit; None where the number of cells is not known."""
        if self.cells is None:
            return None
        return self.reference.modified_ideality_V / (self.cells * BOLTZMANN_EV_PER_K * REFERENCE_CELL_K)


def fit(
    voc: float,
    isc: float,
    vmp: float,
    imp: float,
    *,
    beta_voc: float,
    alpha_isc: float,
    gamma_pmax: float | None = None,
    cells: int | None = None,
) -> ModuleModel:
    """Which single-diode model has a datasheet's four points and its coefficients?

    In three documented steps, without a general solver:

    1. The ideality comes explicitly from the two coefficients, then is sharpened in a few damped passes that count the
       shunt in, so that Voc changes with temperature at 25 degC as the datasheet says.
    2. For that ideality, photocurrent, saturation current and shunt follow linearly from Isc, Voc and (Vmp, Imp), and
       the series resistance is the one root that puts the peak of power at Vmp. Each of the four values is met.
    3. Where shunt or series resistance would come out negative, the ideality is lowered to the largest at which
       neither does, and the bandgap is raised so that Voc still changes with temperature as the datasheet says.

    Where the Pmax coefficient is given too, the Voc coefficient is moved to meet it, by no more than a hundredth of
    itself (less than its rounding to two digits), and the rest is left to a series resistance that changes with
    temperature.

    Cites:
        Batzelis, Papathanassiou 2016, doi:10.1109/TSTE.2015.2503435 (the ideality; as written out in pvlib 0.16.1)
        De Soto, Klein, Beckman 2006 (the five conditions; as written out in pvlib 0.16.1)

    Args:
        voc: open-circuit voltage at 1000 W/m2 and 25 degC, V.
        isc: short-circuit current there, A.
        vmp: voltage at the maximum power point there, V.
        imp: current at the maximum power point there, A.
        beta_voc: change of Voc with temperature relative to Voc, 1/K, below zero.
        alpha_isc: change of Isc with temperature relative to Isc, 1/K.
        gamma_pmax: change of power with temperature relative to power, 1/K, below zero; None where it is not given.
        cells: cells in series, kept only to tell the ideality per cell.

    Refuses (FitError) values that no single-diode curve can have; its message says which and why.

    Departs: the published explicit resistances miss Voc by about 0.15 % and power by about 0.3 %, so step 2 stands in
    their place. Step 3 is our own: one row in five of a large open list of modules needs it. So is the way the Pmax
    coefficient is met.
    """
    refuse_impossible(voc, isc, vmp, imp, beta_voc, alpha_isc, gamma_pmax)
    points, peak = FourPoints(voc, isc, vmp, imp), (vmp, imp)
    silicon, alpha_A = steepness(SILICON_BANDGAP_EV), alpha_isc * isc
    a = voc * (1.0 - beta_voc * REFERENCE_CELL_K) / (silicon - alpha_isc * REFERENCE_CELL_K)
    limited_by = points.limit(a)
    for _ in range(_IDEALITY_PASSES):
        if limited_by:
            break
        change = steepness_for_sheet(points.curve(a), voc, peak, beta_voc, gamma_pmax, alpha_A) / silicon
        a *= min(max(change, 1.0 / _MOST_CHANGE), _MOST_CHANGE)
        limited_by = points.limit(a)
    if limited_by:
        a, limited_by = points.largest_ideality(a)
    reference = points.curve(a)
    steep = steepness_for_sheet(reference, voc, peak, beta_voc, gamma_pmax, alpha_A)
    bandgap_eV = bandgap(steep)
    if not 0.0 < bandgap_eV <= _LARGEST_BANDGAP_EV:
        raise FitError("voc-coefficient", f"Voc coefficient {beta_voc} 1/K does not go with the four values")
    slope = resistance_slope(reference, peak, gamma_pmax, alpha_A, steep)
    return ModuleModel(reference, alpha_A, bandgap_eV, cells, limited_by, slope)
