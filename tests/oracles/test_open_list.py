"""Curves and fits judged by a reference library (pvlib) over the open list of modules; see conftest.py beside this."""

import random

import numpy as np
import pytest
from pvlib import pvsystem
from pvlib.ivtools.sdm import fit_desoto_batzelis

from calc.physics import Curve, FitError, ModuleModel, fit

SEED = 20_190_305
CASES = 2_000
IRRADIANCE, CELL = (50.0, 1200.0), (-30.0, 75.0)
LIMITED = {"", "shunt", "series"}


def conditions(rng, n):
    """Irradiances in W/m2 and cell temperatures in degC, n of each, over the whole range, its corners among them."""
    light = np.array([*IRRADIANCE, *IRRADIANCE, *(rng.uniform(*IRRADIANCE) for _ in range(n - 4))])
    cell = np.array([*CELL, *reversed(CELL), *(rng.uniform(*CELL) for _ in range(n - 4))])
    return light, cell


@pytest.fixture(scope="module")
def drawn(well_behaved):
    """2,000 well-behaved rows drawn with a fixed seed, each at its own condition: rows, parameters, our curves."""
    rng = random.Random(SEED)
    rows = well_behaved[np.array(rng.choices(range(len(well_behaved)), k=CASES))]
    parameters = rows.parameters(*conditions(rng, CASES))
    columns = [np.broadcast_to(column, CASES).astype(float) for column in parameters]
    return rows, columns, [Curve(*map(float, five)) for five in zip(*columns, strict=True)]


@pytest.fixture(scope="module")
def fitted(well_behaved):
    """The model fitted from the sheet of each well-behaved row."""
    sheets = [well_behaved.sheet(k) for k in range(len(well_behaved))]
    return [fit(*four, **rest) for four, rest in sheets]


@pytest.mark.parametrize("share", [-0.5, 0.0, 0.3, 0.6, 0.8, 0.9, 1.0, 1.1, 1.5])
def test_current_at_a_voltage_agrees_with_the_reference_solver(drawn, share):
    """At a share of Voc, below zero and above open circuit too, current is within 1e-6 of the reference's."""
    _, columns, curves = drawn
    volts = share * pvsystem.v_from_i(0.0, *columns)
    expected = pvsystem.i_from_v(volts, *columns)
    found = [curve.current(float(v)) for curve, v in zip(curves, volts, strict=True)]
    assert found == pytest.approx(expected, abs=1e-6, rel=1e-6 if share > 1 else 0)


@pytest.mark.parametrize("share", [-0.5, 0.0, 0.5, 0.9, 1.0, 1.1])
def test_voltage_at_a_current_agrees_with_the_reference_solver(drawn, share):
    """At a share of Isc, pushed back and beyond short circuit too, voltage is within 1e-6 of the reference's."""
    _, columns, curves = drawn
    amperes = share * pvsystem.i_from_v(0.0, *columns)
    expected = pvsystem.v_from_i(amperes, *columns)
    found = [curve.voltage(float(i)) for curve, i in zip(curves, amperes, strict=True)]
    assert found == pytest.approx(expected, abs=1e-6, rel=1e-6 if share > 1 else 0)


def test_the_peak_agrees_with_the_reference_solver(drawn):
    """Voltage, current and power at the peak are within 1e-6 of the reference's."""
    _, columns, curves = drawn
    expected = pvsystem.max_power_point(*columns, method="newton")
    peaks = [(v, i, v * i) for v, i in (curve.mpp() for curve in curves)]
    for name, found in zip(("v_mp", "i_mp", "p_mp"), zip(*peaks, strict=True), strict=True):
        assert list(found) == pytest.approx(expected[name], abs=1e-6)


def test_translation_agrees_with_the_reference(well_behaved):
    """At any irradiance and cell temperature the five parameters are the reference's."""
    rng = random.Random(SEED)
    light, cell = conditions(rng, 40)
    for k in rng.sample(range(len(well_behaved)), 50):
        row = well_behaved[np.array([k])]
        at_reference = [float(column) for column in np.ravel(row.parameters(1000.0, 25.0)[:2])]
        model = ModuleModel(
            Curve(*at_reference, row["R_s"][0], row["R_sh_ref"][0], row["a_ref"][0]),
            row["alpha_sc"][0] * (1 - row["Adjust"][0] / 100),
        )
        expected = np.broadcast_arrays(*row.parameters(light, cell))
        for n, (g, t) in enumerate(zip(light, cell, strict=True)):
            curve = model.at(g, t)
            found = (
                curve.photocurrent_A,
                curve.saturation_current_A,
                curve.series_resistance_ohm,
                curve.shunt_resistance_ohm,
                curve.modified_ideality_V,
            )
            assert found == pytest.approx([column[n] for column in expected], rel=1e-8)


def test_the_light_for_a_voltage_agrees_with_the_reference(well_behaved, fitted):
    """At the irradiance said to reach a voltage, the reference's open-circuit voltage is that voltage."""
    rng = random.Random(SEED)
    for k in rng.sample(range(len(well_behaved)), 100):
        model, cell = fitted[k], rng.uniform(*CELL)
        wanted = model.at(1000.0, cell).voc() * rng.uniform(0.8, 1.0)
        light = model.irradiance_for_voc(wanted, cell)
        ref = model.reference
        parameters = pvsystem.calcparams_desoto(
            light,
            cell,
            model.alpha_isc_A_per_K,
            ref.modified_ideality_V,
            ref.photocurrent_A,
            ref.saturation_current_A,
            ref.shunt_resistance_ohm,
            ref.series_resistance_ohm,
            EgRef=model.bandgap_eV,
        )
        assert pvsystem.v_from_i(0.0, *parameters) == pytest.approx(wanted, rel=1e-8)


def test_every_row_of_the_list_is_fitted_and_keeps_its_sheet(open_list):
    """Every crystalline-silicon row is fitted, none refused; Voc, Isc, Vmp, Imp and the Voc coefficient are kept."""
    refused = {}
    for k in range(len(open_list)):
        (voc, isc, vmp, imp), rest = open_list.sheet(k)
        try:
            model = fit(voc, isc, vmp, imp, **rest)
        except FitError as error:
            refused[k] = error.reason
            continue
        curve = model.reference
        # The issue asks for 0.1 %; nothing but rounding is left.
        assert (curve.voc(), curve.isc(), *curve.mpp()) == pytest.approx((voc, isc, vmp, imp), rel=1e-9)
        slope = (model.at(1000.0, 25.01).voc() - model.at(1000.0, 24.99).voc()) / 0.02 / voc
        assert slope == pytest.approx(rest["beta_voc"], rel=1e-6)
        assert model.limited_by in LIMITED
        assert min(curve.series_resistance_ohm, curve.shunt_resistance_ohm) >= 0
    assert refused == {}


def test_every_row_is_fitted_with_its_pmax_coefficient_too(open_list):
    """With the Pmax coefficient every row is fitted, its four points stay, its Voc coefficient moves by 1 % at most.

    Nine rows in ten then lose power to heat as their sheet says, to a hundredth of it. In the others the sheet's two
    coefficients are too far apart for one curve, and power comes as near as it can.
    """
    meets = []
    for k in range(len(open_list)):
        (voc, isc, vmp, imp), rest = open_list.whole_sheet(k)
        model = fit(voc, isc, vmp, imp, **rest)
        curve = model.reference
        assert (curve.voc(), curve.isc(), *curve.mpp()) == pytest.approx((voc, isc, vmp, imp), rel=1e-9)
        warm, cool = model.at(1000.0, 25.05), model.at(1000.0, 24.95)
        assert (warm.voc() - cool.voc()) / 0.1 / voc == pytest.approx(rest["beta_voc"], rel=0.01 + 1e-5)
        loses = (np.prod(warm.mpp()) - np.prod(cool.mpp())) / 0.1 / (vmp * imp)
        meets.append(abs(loses / rest["gamma_pmax"] - 1) < 0.01)
    assert np.mean(meets) > 0.88


def power_misses(well_behaved, models, which):
    """How far power is from the row's own model, as a share, for some rows at 24 conditions each."""
    rng = random.Random(SEED)
    light, cell = conditions(rng, 24)
    found = np.array(
        [
            [np.prod(models[k].at(float(g), float(t)).mpp()) for g, t in zip(light, cell, strict=True)]
            for k in which
        ]
    )
    rows = well_behaved[np.asarray(which)]
    expected = np.array(
        [
            pvsystem.max_power_point(*rows.parameters(g, t), method="newton")["p_mp"]
            for g, t in zip(light, cell, strict=True)
        ]
    ).T
    return found / expected - 1


def test_power_from_the_sheet_is_within_half_a_percent_where_the_row_keeps_its_coefficient(
    well_behaved, fitted
):
    """Fitted from the sheet, power is within 0.5 % at 50-1200 W/m2 and -30-75 degC.

    This holds where the row's own model keeps its sheet's Voc coefficient within 0.5 %.
    """
    keeps = np.flatnonzero(np.abs(well_behaved.beta_of_model() - 1) < 0.005)
    assert len(keeps) > 100
    assert np.abs(power_misses(well_behaved, fitted, keeps)).max() < 0.005


def test_power_from_the_whole_sheet_is_within_half_a_percent(well_behaved):
    """Fitted from the whole sheet, power of 2,000 random rows, each at its own condition, is within 0.5 %.

    All but one or two of the 2,000 are; these miss by 0.7 % at most, in weak light and heat, because their row's own
    model strays from the Pmax coefficient of its sheet.
    """
    rng = random.Random(SEED)
    misses = []
    for _ in range(CASES):
        k, light, cell = rng.randrange(len(well_behaved)), rng.uniform(*IRRADIANCE), rng.uniform(*CELL)
        four, rest = well_behaved.whole_sheet(k)
        found = np.prod(fit(*four, **rest).at(light, cell).mpp())
        row = well_behaved[np.array([k])].parameters(light, cell)
        misses.append(abs(found / pvsystem.max_power_point(*row, method="newton")["p_mp"][0] - 1))
    assert np.mean(np.array(misses) < 0.005) > 0.999
    assert max(misses) < 0.007


def test_the_whole_sheet_also_serves_at_the_ends_of_the_range(well_behaved):
    """At 24 conditions that have the range's corners among them, 99 of 100 misses are under 0.5 %, none over 0.9 %."""
    whole = [fit(*four, **rest) for four, rest in map(well_behaved.whole_sheet, range(len(well_behaved)))]
    misses = np.abs(power_misses(well_behaved, whole, range(len(well_behaved))))
    assert np.mean(misses < 0.005) > 0.99
    assert misses.max() < 0.0091


def test_power_from_the_sheet_over_all_well_behaved_rows(well_behaved, fitted):
    """Without the Pmax coefficient, nine misses in ten are under 0.5 % over every row, and none is over 1.6 %.

    Rows whose model strays up to 2 % from their sheet's Voc coefficient show it at 75 degC and at 50 W/m2. The
    reference's own explicit fit from the same sheets misses by more.
    """
    misses = np.abs(power_misses(well_behaved, fitted, range(len(well_behaved))))
    assert np.mean(misses < 0.005) > 0.9
    assert misses.max() < 0.016
    names = ("V_mp_ref", "I_mp_ref", "V_oc_ref", "I_sc_ref", "alpha_sc", "beta_oc")
    explicit = fit_desoto_batzelis(*(well_behaved[name] for name in names))
    rng = random.Random(SEED)
    theirs = []
    for g, t in zip(*conditions(rng, 24), strict=True):
        found = pvsystem.max_power_point(*pvsystem.calcparams_desoto(g, t, **explicit), method="newton")[
            "p_mp"
        ]
        expected = pvsystem.max_power_point(*well_behaved.parameters(g, t), method="newton")["p_mp"]
        theirs.append(np.abs(found / expected - 1))
    assert misses.mean() < np.mean(theirs)


def test_a_fit_with_the_coefficients_of_the_rows_model_finds_that_model(well_behaved):
    """Told the coefficients the row's model really has, power is within 0.05 % of it everywhere."""
    true_beta = well_behaved.beta_of_model()
    which = random.Random(SEED).sample(range(len(well_behaved)), 150)
    models = {}
    for k in which:
        four, rest = well_behaved.sheet(k)
        rest["beta_voc"] *= float(true_beta[k])
        rest["alpha_isc"] *= 1 - float(well_behaved["Adjust"][k]) / 100
        models[k] = fit(*four, **rest)
    assert np.abs(power_misses(well_behaved, models, which)).max() < 0.0005


def test_cold_open_circuit_voltage_agrees_with_the_rows_model(well_behaved, fitted):
    """At -40 degC and full sun the fitted curve's Voc is within 0.7 % of the row's own model for every row."""
    expected = well_behaved.voc(1000.0, -40.0)
    found = [model.at(1000.0, -40.0).voc() for model in fitted]
    assert found == pytest.approx(expected, rel=0.007)


def test_the_curve_is_never_above_the_datasheets_straight_line_in_the_cold(well_behaved, fitted):
    """At -40 degC the straight line by the sheet's coefficient is above the curve: a limit checked by it is safe.

    So it is with the Pmax coefficient known, although the Voc coefficient may then be moved a little.
    """
    for k in range(len(well_behaved)):
        four, rest = well_behaved.whole_sheet(k)
        straight = four[0] * (1 + rest["beta_voc"] * (-40.0 - 25.0))
        for model in (fitted[k], fit(*four, **rest)):
            assert model.at(1000.0, -40.0).voc() <= straight
