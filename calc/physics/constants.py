"""Physical constants and reference conditions of the single-diode model, each with its source."""

from typing import Final

ZERO_CELSIUS_K: Final = 273.15
"""0 degC in kelvin (exact by definition; BIPM, SI brochure, 9th edition; from memory)."""

BOLTZMANN_EV_PER_K: Final = 1.380649e-23 / 1.602176634e-19
"""Boltzmann's constant in eV/K, from its exact SI value and the exact elementary charge (BIPM 2019; from memory)."""

REFERENCE_CELL_DEGC: Final = 25.0
"""Cell temperature of a datasheet's standard test conditions, degC (IEC 60904-3; from memory)."""

REFERENCE_CELL_K: Final = REFERENCE_CELL_DEGC + ZERO_CELSIUS_K
"""The same in kelvin."""

REFERENCE_IRRADIANCE_WM2: Final = 1000.0
"""Irradiance of a datasheet's standard test conditions, W/m2 (IEC 60904-3; from memory)."""

BRIGHTEST_WM2: Final = 1500.0
"""More light than a fixed module is ever given, cloud edges and snow included, W/m2 (common practice, no source)."""

SILICON_BANDGAP_EV: Final = 1.121
"""Bandgap of crystalline silicon at 25 degC, eV (De Soto, Klein, Beckman 2006, as quoted in pvlib 0.16.1)."""

BANDGAP_SLOPE_PER_K: Final = -0.0002677
"""Relative change of that bandgap with temperature, 1/K (De Soto, Klein, Beckman 2006, as quoted in pvlib 0.16.1)."""

SATURATION_EXPONENT: Final = 3
"""Power of the absolute temperature in the saturation current (De Soto, Klein, Beckman 2006, as in pvlib 0.16.1)."""
