"""How a fitted curve moves with cell temperature, so that it changes as the datasheet's coefficients say."""

from math import exp

from calc.physics.constants import (
    BANDGAP_SLOPE_PER_K,
    BOLTZMANN_EV_PER_K,
    REFERENCE_CELL_K,
    SATURATION_EXPONENT,
    SILICON_BANDGAP_EV,
)
from calc.physics.diode import Curve

VOC_COEFFICIENT_ROOM = 0.01
"""Share by which the Voc coefficient may be moved to meet the Pmax coefficient: less than rounding to two digits may
have taken from it."""

_STEEPEST_RESISTANCE_PER_K = 0.01
"""Beyond this, series resistance would reach zero on a cold morning."""


def steepness(bandgap_eV: float) -> float:
    """Relative rise of saturation current per relative rise of absolute temperature, at 25 degC, without unit."""
    gap_K = bandgap_eV / BOLTZMANN_EV_PER_K
    return SATURATION_EXPONENT + gap_K / REFERENCE_CELL_K * (1.0 - BANDGAP_SLOPE_PER_K * REFERENCE_CELL_K)


def bandgap(steep: float) -> float:
    """The bandgap in eV that has a steepness."""
    beyond = steepness(SILICON_BANDGAP_EV) - SATURATION_EXPONENT
    return SILICON_BANDGAP_EV * (steep - SATURATION_EXPONENT) / beyond


def steepness_for_voc(curve: Curve, voc: float, beta_voc: float, alpha_A: float) -> float:
    """The steepness at which a curve's Voc changes with temperature as the datasheet says.

    At Voc the current stays zero while the cell warms: the changes through light, diode, ideality and shunt balance.

    Args:
        curve: at 1000 W/m2 and 25 degC.
        voc: open-circuit voltage there, V.
        beta_voc: change of Voc with temperature relative to Voc, 1/K.
        alpha_A: change of photocurrent with temperature, A/K.
    """
    leak = 1.0 / curve.shunt_resistance_ohm
    diode_A = curve.photocurrent_A - leak * voc
    conductance = (diode_A + curve.saturation_current_A) / curve.modified_ideality_V
    balance_A = alpha_A + conductance * voc / REFERENCE_CELL_K - beta_voc * voc * (conductance + leak)
    return REFERENCE_CELL_K * balance_A / diode_A


def steepness_for_sheet(
    curve: Curve, voc: float, peak: tuple[float, float], beta_voc: float, gamma: float | None, alpha_A: float
) -> float:
    """The steepness that meets the Voc coefficient, and as far as that one's rounding allows, the Pmax coefficient.

    Args:
        curve, voc, beta_voc, alpha_A: as in ``steepness_for_voc``.
        peak: voltage and current at the maximum power point, V and A.
        gamma: change of power there with temperature relative to it, 1/K; None where it is not known.
    """
    if gamma is None:
        return steepness_for_voc(curve, voc, beta_voc, alpha_A)
    low, high = (
        steepness_for_voc(curve, voc, beta_voc * (1.0 + side * VOC_COEFFICIENT_ROOM), alpha_A)
        for side in (-1.0, 1.0)
    )
    through_A, lacking_A = _at_peak(curve, peak, gamma, alpha_A)
    return min(max(lacking_A * REFERENCE_CELL_K / through_A, low), high)


def resistance_slope(
    curve: Curve, peak: tuple[float, float], gamma: float | None, alpha_A: float, steep: float
) -> float:
    """Relative change of series resistance with temperature that meets what is left of the Pmax coefficient, 1/K.

    Voc and Isc are the same with any of it. It is held within 1 %/K, so that an odd datasheet cannot turn the curve
    over; then power changes with temperature as nearly as the datasheet says as can be.

    Args:
        curve, peak, gamma, alpha_A: as in ``steepness_for_sheet``.
        steep: the steepness that was chosen, without unit.
    """
    peak_V, peak_A = peak
    series_ohm = curve.series_resistance_ohm
    if gamma is None or series_ohm <= 0.0:
        return 0.0
    through_A, lacking_A = _at_peak(curve, peak, gamma, alpha_A)
    diode_V = peak_V + peak_A * series_ohm
    drives = _conductance(curve, diode_V) * peak_A * series_ohm
    slope = (lacking_A - through_A * steep / REFERENCE_CELL_K) / drives
    return min(max(slope, -_STEEPEST_RESISTANCE_PER_K), _STEEPEST_RESISTANCE_PER_K)


def _conductance(curve: Curve, diode_V: float) -> float:
    """Conductance of diode and shunt at a diode voltage, A/V."""
    a = curve.modified_ideality_V
    return curve.saturation_current_A / a * exp(diode_V / a) + 1.0 / curve.shunt_resistance_ohm


def _at_peak(curve: Curve, peak: tuple[float, float], gamma: float, alpha_A: float) -> tuple[float, float]:
    """The diode's current at the peak in A, and by how much current must fall there through it, A/K.

    At the peak a small shift of voltage costs no power, so power changes with temperature as the current at that
    voltage does. What light and ideality add is known; the fall that is lacking is the saturation current's.
    """
    peak_V, peak_A = peak
    diode_V = peak_V + peak_A * curve.series_resistance_ohm
    a, i0 = curve.modified_ideality_V, curve.saturation_current_A
    power = exp(diode_V / a)
    wanted_A = gamma * peak_A * (1.0 + _conductance(curve, diode_V) * curve.series_resistance_ohm)
    return i0 * (power - 1.0), alpha_A + i0 * power * diode_V / (a * REFERENCE_CELL_K) - wanted_A
