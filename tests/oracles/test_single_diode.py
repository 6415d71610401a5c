"""Single-diode points printed by a reference library, in single_diode.toml beside this file with their source."""

import tomllib
from dataclasses import astuple
from pathlib import Path

import pytest

from calc.physics import Curve, ModuleModel, fit

DATA = tomllib.loads(
    Path(__file__).with_suffix("").with_name("single_diode.toml").read_text(encoding="utf-8")
)
HALF_A_UNIT = (
    0.51 * 10 ** -DATA["source"]["digits"]
)  # the reference's own peak search leaves a hundredth more
PARAMETERS = (
    "photocurrent_A",
    "saturation_current_A",
    "series_resistance_ohm",
    "shunt_resistance_ohm",
    "modified_ideality_V",
)


def named(module, point):
    where = f"{point['irradiance_Wm2']:g} W/m2, {point['cell_degC']:g} degC, {point['translation']}"
    return pytest.param(module, point, id=f"{module['name']}, {where}")


POINTS = [named(module, point) for module in DATA["module"] for point in module["point"]]
WITH_PARAMETERS = [case for case in POINTS if "photocurrent_A" in case.values[1]]


def model(module, point):
    """The module's parameters as the reference gave them; one translation adjusts the current coefficient."""
    adjust = module["adjust_percent"] / 100 if point["translation"] == "cec" else 0.0
    return ModuleModel(
        Curve(*(module[name] for name in PARAMETERS)), module["alpha_isc_A_per_K"] * (1 - adjust)
    )


@pytest.mark.parametrize(("module", "point"), WITH_PARAMETERS)
def test_the_points_of_a_curve_are_the_references(module, point):
    """From the same five parameters come the same short circuit, open circuit, peak and two points between."""
    curve = Curve(*(point[name] for name in PARAMETERS))
    vmp, imp = curve.mpp()
    found = {
        "isc_A": curve.isc(),
        "voc_V": curve.voc(),
        "vmp_V": vmp,
        "imp_A": imp,
        "pmp_W": vmp * imp,
        "current_at_half_voc_A": curve.current(curve.voc() / 2),
        "current_halfway_to_voc_A": curve.current((curve.voc() + vmp) / 2),
    }
    assert found == pytest.approx({name: point[name] for name in found}, abs=HALF_A_UNIT, rel=0)


@pytest.mark.parametrize(("module", "point"), WITH_PARAMETERS)
def test_translation_to_another_condition_is_the_references(module, point):
    """Irradiance and cell temperature turn the reference parameters into the same five parameters."""
    curve = model(module, point).at(point["irradiance_Wm2"], point["cell_degC"])
    assert astuple(curve) == pytest.approx([point[name] for name in PARAMETERS], rel=1e-8)


@pytest.mark.parametrize(("module", "point"), POINTS)
def test_points_at_another_condition_are_the_references(module, point):
    """Translation and curve together give the printed points, also where the parameters between are not printed."""
    curve = model(module, point).at(point["irradiance_Wm2"], point["cell_degC"])
    vmp, imp = curve.mpp()
    found = {"isc_A": curve.isc(), "voc_V": curve.voc(), "vmp_V": vmp, "imp_A": imp, "pmp_W": vmp * imp}
    assert found == pytest.approx({name: point[name] for name in found}, abs=HALF_A_UNIT, rel=0)


@pytest.mark.parametrize(("module", "point"), POINTS)
def test_a_fit_from_the_sheet_gives_the_references_power(module, point):
    """Fitted from the sheet alone, power is within 0.5 % of the reference at every printed condition."""
    gamma = module.get("pmax_percent_per_K")
    voc, isc = module["voc_V"], module["isc_A"]
    fitted = fit(
        voc,
        isc,
        module["vmp_V"],
        module["imp_A"],
        beta_voc=module["beta_voc_V_per_K"] / voc,
        alpha_isc=module["alpha_isc_A_per_K"] / isc,
        gamma_pmax=None if gamma is None else gamma / 100,
        cells=module["cells"],
    )
    vmp, imp = fitted.at(point["irradiance_Wm2"], point["cell_degC"]).mpp()
    assert vmp * imp == pytest.approx(point["pmp_W"], rel=0.005)
