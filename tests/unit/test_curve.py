"""Laws of the single-diode curve and of the fit from a datasheet, and what the fit refuses.

What stands outside the project is the equation itself, put in here in its implicit form, and common practice for a
datasheet's shape. Figures of a reference library are in tests/oracles.
"""

from math import cos, exp, inf, isfinite, log

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from calc.physics import Curve, FitError, ModuleModel, diode, fit
from calc.physics.constants import SILICON_BANDGAP_EV
from calc.physics.datasheet import refuse_impossible
from calc.physics.lambert import lambert_w_exp
from calc.physics.root import bracketed_root

SHEET = {"voc": 22.4, "isc": 6.3, "vmp": 18.2, "imp": 5.9, "beta_voc": -0.0030, "alpha_isc": 0.0005}
MODULE = fit(**SHEET, cells=36)
CURVE = MODULE.reference

lights = st.floats(20, 1400)
cells = st.floats(-45, 90)
shares = st.floats(-1, 1.6)


@st.composite
def sheets(draw):
    """Datasheets as makers print them, from a single cell to a large module (ranges: common practice, no source)."""
    voc, isc = draw(st.floats(0.6, 150)), draw(st.floats(0.05, 25))
    return {
        "voc": voc,
        "isc": isc,
        "vmp": voc * draw(st.floats(0.72, 0.87)),
        "imp": isc * draw(st.floats(0.85, 0.965)),
        "beta_voc": draw(st.floats(-0.0045, -0.0022)),
        "alpha_isc": draw(st.floats(-0.0005, 0.0015)),
    }


def power_slope(model):
    """Change of the peak's power with temperature at 25 degC relative to it, 1/K."""
    warm, cool = (v * i for v, i in (model.at(1000, 25 + side).mpp() for side in (0.01, -0.01)))
    return (warm - cool) / 0.01 / (warm + cool)


def residual(curve, voltage, current):
    """What the implicit single-diode equation leaves over at a point, in A."""
    diode = voltage + current * curve.series_resistance_ohm
    through = curve.saturation_current_A * (exp(diode / curve.modified_ideality_V) - 1)
    return curve.photocurrent_A - through - diode / curve.shunt_resistance_ohm - current


@given(st.floats(-600, 1e6))
def test_lambert_w_of_an_exponential_solves_its_equation(x):
    """The logarithm of w plus w is x again, whether the exponential of x is tiny or far beyond a float."""
    w = lambert_w_exp(x)
    assert log(w) + w == pytest.approx(x, rel=1e-13, abs=1e-13)


def test_lambert_w_keeps_its_digits_wherever_it_begins():
    """From where the exponential alone is enough to beyond its last starting value, in steps of a hundredth."""
    steps = [k / 100 for k in range(-4000, 4001)]
    left = [abs(log(w) + w - x) for x in steps for w in (lambert_w_exp(x),)]

    assert max(left) < 3e-14


@given(light=lights, cell=cells, share=shares)
def test_current_satisfies_the_single_diode_equation(light, cell, share):
    """The explicit current at any voltage, reverse and beyond open circuit too, solves the implicit equation."""
    curve = MODULE.at(light, cell)
    voltage = share * curve.voc()
    current = curve.current(voltage)
    # An error of the last digit in the current is multiplied by the diode's steepness.
    steep = 1 - curve.slope(voltage) * 1e3
    assert residual(curve, voltage, current) == pytest.approx(0, abs=1e-12 * steep * max(1, abs(current)))


@given(light=lights, cell=cells, share=st.floats(-2, 1.2))
def test_voltage_is_the_reverse_of_current(light, cell, share):
    """The voltage at a current, put into the curve, gives that current back."""
    curve = MODULE.at(light, cell)
    current = share * curve.isc()
    assert curve.current(curve.voltage(current)) == pytest.approx(current, abs=1e-9)


@given(light=lights, cell=cells, share=st.floats(0, 1))
def test_no_point_has_more_power_than_the_peak(light, cell, share):
    """Power at the maximum power point is at least the power at any other voltage."""
    curve = MODULE.at(light, cell)
    vmp, imp = curve.mpp()
    voltage = share * curve.voc()
    assert voltage * curve.current(voltage) <= vmp * imp * (1 + 1e-12)
    assert imp == pytest.approx(curve.current(vmp), rel=1e-10)


@given(light=lights, cell=cells, low=shares, high=shares)
def test_current_falls_with_voltage_as_its_slope_says(light, cell, low, high):
    """Between two voltages the current falls, by no less than the gentler and no more than the steeper slope says."""
    curve = MODULE.at(light, cell)
    low, high = (share * curve.voc() for share in sorted((low, high)))
    assume(high - low > 1e-6)
    chord = (curve.current(high) - curve.current(low)) / (high - low)
    assert curve.slope(high) * (1 + 1e-6) - 1e-8 <= chord <= curve.slope(low) * (1 - 1e-6) + 1e-8


@given(n=st.integers(1, 40), light=lights, cell=cells, share=shares)
def test_alike_in_series_and_parallel_scale(n, light, cell, share):
    """Alike in series multiply the voltage at the same current; in parallel, the current at the same voltage."""
    one = MODULE.at(light, cell)
    voltage = share * one.voc()
    current = one.current(voltage)
    assert one.in_series(n).current(n * voltage) == pytest.approx(current, rel=1e-9, abs=1e-9)
    assert one.in_parallel(n).current(voltage) == pytest.approx(n * current, rel=1e-9, abs=1e-9)
    peak, string, array = one.mpp(), one.in_series(n).mpp(), one.in_parallel(n).mpp()
    assert string == pytest.approx((n * peak[0], peak[1]), rel=1e-9)
    assert array == pytest.approx((peak[0], n * peak[1]), rel=1e-9)


@given(light=lights, cell=cells, ohm=st.floats(0, 3), share=st.floats(-1, 1.2))
def test_a_wire_is_more_series_resistance(light, cell, ohm, share):
    """At the end of a wire there is at every current the voltage before it less what the wire drops (Ohm's law)."""
    curve = MODULE.at(light, cell)
    wired, current = curve.behind(ohm), share * curve.isc()
    left = curve.voltage(current) - current * ohm

    assert wired.voltage(current) == pytest.approx(left, rel=1e-12, abs=1e-12)
    assert wired.current(left) == pytest.approx(current, rel=1e-9, abs=1e-9)
    assert wired.point(current)[1] == pytest.approx(curve.point(current)[1] + ohm, rel=1e-12)
    assert wired.voc() == curve.voc()


def test_two_modules_of_20_volts_and_5_amperes_make_200_watts_either_way():
    """Two 20 V 5 A modules give 40 V 5 A in series, 20 V 10 A in parallel, 200 W both (common practice, no source)."""
    one = fit(24.3, 5.35, 20.0, 5.0, beta_voc=-0.003, alpha_isc=0.0005).reference
    assert one.in_series(2).mpp() == pytest.approx((40.0, 5.0))
    assert one.in_parallel(2).mpp() == pytest.approx((20.0, 10.0))


def test_points_run_evenly_from_short_to_open_circuit():
    """The points begin at 0 V and Isc, end at Voc and no current, and are evenly spaced in voltage."""
    points = CURVE.points(101)
    voltages = [voltage for voltage, _ in points]
    assert len(points) == 101
    assert points[0] == (0.0, CURVE.isc())
    assert points[-1] == pytest.approx((CURVE.voc(), 0.0), abs=1e-12)
    assert voltages == pytest.approx([CURVE.voc() * k / 100 for k in range(101)])
    assert all(current == CURVE.current(voltage) for voltage, current in points)


@pytest.mark.parametrize("cell", [-40.0, 25.0, 90.0])
def test_in_the_dark_nothing_is_given(cell):
    """Without light there is neither voltage nor current, and a voltage from outside drives current backwards."""
    dark = MODULE.at(0.0, cell)
    assert dark.mpp() == (0.0, 0.0)
    assert (dark.voc(), dark.isc()) == pytest.approx((0.0, 0.0), abs=1e-12)
    assert dark.current(20.0) < 0
    assert dark.current(dark.voltage(-1.0)) == pytest.approx(-1.0)


def test_without_shunt_no_voltage_drives_more_than_the_light_sets_free():
    """With nothing leaking, current beyond photocurrent and saturation current has no voltage: minus infinity."""
    sealed = Curve(6.0, 1e-10, 0.2, inf, 0.9)
    assert sealed.voltage(6.1) == -inf
    assert sealed.point(6.1) == (-inf, inf)
    assert isfinite(sealed.voltage(5.9999))
    assert sealed.current(-5.0) == pytest.approx(6.0)
    assert Curve(6.0, 0.25, 0.2, inf, 0.9).voltage(6.25) == -inf  # just all of both


def test_without_series_resistance_the_equation_is_explicit():
    """With no series resistance the current is the diode's law itself, and a voltage out of all bounds is infinite."""
    bare = Curve(6.0, 1e-10, 0.0, 100.0, 0.9)
    assert bare.current(20.0) == pytest.approx(6.0 - 1e-10 * (exp(20.0 / 0.9) - 1) - 0.2)
    assert bare.slope(20.0) == pytest.approx(-(1e-10 / 0.9 * exp(20.0 / 0.9) + 0.01))
    assert bare.current(1000.0) == -inf
    assert bare.slope(1000.0) == -inf


@given(sheets())
def test_a_fit_keeps_the_four_points_and_the_voltage_coefficient(sheet):
    """The fitted curve has the sheet's four values and Voc coefficient at 25 degC; no resistance is negative."""
    model = fit(**sheet)
    curve = model.reference
    four = [sheet[name] for name in ("voc", "isc", "vmp", "imp")]
    assert [curve.voc(), curve.isc(), *curve.mpp()] == pytest.approx(four, rel=1e-9)
    slope = (model.at(1000, 25.01).voc() - model.at(1000, 24.99).voc()) / 0.02 / sheet["voc"]
    assert slope == pytest.approx(sheet["beta_voc"], rel=1e-4)
    assert curve.series_resistance_ohm >= 0
    assert curve.shunt_resistance_ohm > 0


@given(sheets(), st.floats(0.9, 1.25))
def test_a_fit_loses_power_to_heat_as_its_sheet_says(sheet, ratio):
    """Told the Pmax coefficient, the curve has it, and keeps its four points and, within 1 %, its Voc coefficient.

    Where series resistance would have to change by more than 1 %/K for it, the curve comes nearer than without.
    """
    plain = fit(**sheet)
    gamma = ratio * power_slope(plain)
    assume(-0.01 <= gamma < 0)
    model = fit(**sheet, gamma_pmax=gamma)
    curve = model.reference
    four = [sheet[name] for name in ("voc", "isc", "vmp", "imp")]
    assert [curve.voc(), curve.isc(), *curve.mpp()] == pytest.approx(four, rel=1e-9)
    slope = (model.at(1000, 25.01).voc() - model.at(1000, 24.99).voc()) / 0.02 / sheet["voc"]
    assert slope == pytest.approx(sheet["beta_voc"], rel=0.01 + 1e-4)
    if abs(model.resistance_slope_per_K) < 0.01 and not model.limited_by:
        assert power_slope(model) == pytest.approx(gamma, rel=1e-4)
    else:
        assert abs(power_slope(model) - gamma) <= abs(power_slope(plain) - gamma) + 1e-9


def test_a_pmax_coefficient_that_the_curve_has_anyway_changes_nothing():
    """The curve's own coefficient, given back to the fit, gives the same curve at every temperature."""
    again = fit(**SHEET, gamma_pmax=power_slope(MODULE))
    for cell in (-40.0, 25.0, 75.0):
        assert again.at(600, cell).mpp() == pytest.approx(MODULE.at(600, cell).mpp(), rel=1e-6)


def test_a_module_that_loses_more_power_has_less_voltage_left_when_hot():
    """Of two sheets alike but for the Pmax coefficient, the steeper one has the lower Vmp when hot, not when at 25."""
    mild, steep = (fit(**SHEET, gamma_pmax=gamma) for gamma in (-0.0038, -0.0043))
    assert steep.at(1000, 70).mpp()[0] < mild.at(1000, 70).mpp()[0] - 0.1
    assert steep.at(1000, 25).mpp() == pytest.approx(mild.at(1000, 25).mpp())


def test_the_current_coefficient_at_the_peak_is_that_of_the_curve():
    """It lies below Isc's own, near none (common practice, no source), and tells the current at another temperature."""
    own = MODULE.imp_coefficient()
    assert -0.0005 < own < SHEET["alpha_isc"]
    hot = MODULE.at(1000, 30).mpp()[1] / MODULE.at(1000, 25).mpp()[1] - 1
    assert hot == pytest.approx(5 * own, abs=5e-5)


@given(sheets(), st.floats(0.01, 100), st.floats(0.01, 100))
def test_a_fit_scales_with_volts_and_amperes(sheet, volts, amperes):
    """A sheet with every voltage and every current multiplied gives the same curve, multiplied."""
    one = fit(**sheet)
    scaled = {name: sheet[name] * volts for name in ("voc", "vmp")}
    scaled |= {name: sheet[name] * amperes for name in ("isc", "imp")}
    other = fit(**(sheet | scaled))
    voltage, current = one.at(700, 50).mpp()
    assert other.at(700, 50).mpp() == pytest.approx((voltage * volts, current * amperes), rel=1e-5)
    assert other.limited_by == one.limited_by


@pytest.mark.parametrize(
    ("limit", "change"),
    [
        ("", {}),
        ("shunt", {"imp": 6.10, "vmp": 18.5}),
        ("series", {"vmp": 19.9, "imp": 5.2}),
    ],
)
def test_a_sharp_corner_holds_a_resistance_at_its_end(limit, change):
    """Where a resistance would be negative it is held at its end, the bandgap carries the slope, the points stay."""
    sheet = SHEET | change
    model = fit(**sheet, cells=36)
    assert model.limited_by == limit
    assert (model.bandgap_eV > 1.2) == bool(limit)
    assert model.reference.mpp() == pytest.approx((sheet["vmp"], sheet["imp"]))
    if limit == "shunt":  # the shunt then costs one part in ten thousand of the current
        assert model.reference.shunt_resistance_ohm == pytest.approx(
            1e4 * sheet["voc"] / sheet["isc"], rel=1e-6
        )
    if limit == "series":
        assert model.reference.series_resistance_ohm == pytest.approx(0, abs=1e-6)


def test_the_ideality_of_an_ordinary_module_is_near_one():
    """An ordinary module's diode has an ideality between 0.8 and 1.3 a cell (common practice, no source)."""
    assert 0.8 < MODULE.ideality() < 1.3
    assert fit(**SHEET).ideality() is None


@pytest.mark.parametrize(
    ("change", "reason", "message"),
    [
        ({"voc": 0.0}, "not-a-quantity", "Voc is 0.0; give a value above zero"),
        ({"imp": float("nan")}, "not-a-quantity", "Imp is nan; give a value above zero"),
        ({"vmp": -inf}, "not-a-quantity", "Vmp is -inf; give a value above zero"),
        ({"isc": inf}, "not-a-quantity", "Isc is inf; give a value above zero"),
        ({"vmp": 22.4}, "peak-outside", "Vmp 22.4 V is not below Voc 22.4 V"),
        ({"imp": 6.4}, "peak-outside", "Imp 6.4 A is not below Isc 6.3 A"),
        ({"vmp": 11.2}, "peak-too-low", "Vmp 11.2 V is not above half of Voc 22.4 V"),
        ({"imp": 3.1}, "peak-too-low", "Imp 3.1 A is not above half of Isc 6.3 A"),
        ({"beta_voc": 0.0}, "voc-coefficient", "Voc coefficient 0.0 1/K is not between -0.01 and 0 1/K"),
        ({"gamma_pmax": 0.0}, "pmax-coefficient", "Pmax coefficient 0.0 1/K is not between -0.01 and 0 1/K"),
        ({"beta_voc": 0.003}, "voc-coefficient", "Voc coefficient 0.003 1/K is not between -0.01 and 0 1/K"),
        (
            {"beta_voc": -0.067},
            "voc-coefficient",
            "Voc coefficient -0.067 1/K is not between -0.01 and 0 1/K",
        ),
        (
            {"alpha_isc": 0.05},
            "isc-coefficient",
            "Isc coefficient 0.05 1/K is not between -0.01 and 0.01 1/K",
        ),
        (
            {"gamma_pmax": 0.001},
            "pmax-coefficient",
            "Pmax coefficient 0.001 1/K is not between -0.01 and 0 1/K",
        ),
        (
            {"imp": 6.29999, "vmp": 11.3},
            "no-curve",
            "no single-diode curve passes through these four values; check them",
        ),
        (
            {"imp": 6.23, "vmp": 17.4, "beta_voc": -0.0099},
            "voc-coefficient",
            "Voc coefficient -0.0099 1/K does not go with the four values",
        ),
    ],
)
def test_an_impossible_sheet_is_refused_with_the_value_at_fault(change, reason, message):
    """A sheet that no single-diode curve can have is refused, with a word for the catalogue and the whole reason."""
    with pytest.raises(FitError) as refusal:
        fit(**(SHEET | change))
    assert (refusal.value.reason, str(refusal.value)) == (reason, message)


@pytest.mark.parametrize(
    "four",
    [
        {},
        {"voc": 0.62, "isc": 8.0, "vmp": 0.46, "imp": 7.0},
        {"voc": 0.62, "isc": 0.08, "vmp": 0.5, "imp": 0.072},
        {"voc": 140.0, "isc": 1.2, "vmp": 115.0, "imp": 1.1},
    ],
)
def test_the_four_points_are_met_to_the_last_digits(four):
    """From one cell in the shade of a leaf to a large module; power peaks there, not only passes."""
    sheet = SHEET | four
    curve = fit(**sheet).reference

    assert curve.isc() == pytest.approx(sheet["isc"], rel=1e-13)
    assert curve.current(sheet["voc"]) == pytest.approx(0.0, abs=1e-13 * sheet["isc"])
    assert curve.mpp() == pytest.approx((sheet["vmp"], sheet["imp"]), rel=1e-12)
    assert curve.series_resistance_ohm > 0.0


@pytest.mark.parametrize("coefficient", [{"beta_voc": -0.01}, {"gamma_pmax": -0.01}])
def test_a_coefficient_at_the_end_of_its_range_is_not_refused_for_it(coefficient):
    """One percent per kelvin is the most that any module has (common practice, no source)."""
    assert fit(**SHEET | coefficient).reference.isc() == pytest.approx(SHEET["isc"])


@pytest.mark.parametrize("alpha_isc", [-0.01, 0.01])
def test_a_current_coefficient_at_the_end_of_its_range_is_fitted(alpha_isc):
    """The ends of the range that is named in the refusal belong to it."""
    model = fit(**(SHEET | {"alpha_isc": alpha_isc}))
    assert model.alpha_isc_A_per_K == pytest.approx(alpha_isc * SHEET["isc"])


@given(
    voc=st.floats(1e-6, 1e6),
    isc=st.floats(1e-6, 1e6),
    vmp=st.floats(0.4, 1.1),
    imp=st.floats(0.4, 1.1),
    beta_voc=st.floats(-0.011, 0.001),
    alpha_isc=st.floats(-0.011, 0.011),
    gamma_pmax=st.none() | st.floats(-0.011, 0.001),
    condition=st.tuples(st.floats(0, 2000), st.floats(-273, 2000)),
)
def test_any_sheet_is_fitted_or_refused_and_any_condition_has_a_curve(
    voc, isc, vmp, imp, beta_voc, alpha_isc, gamma_pmax, condition
):
    """Whatever the sheet says, it is fitted or refused; a fitted model has finite points at any sun and temperature."""
    try:
        model = fit(
            voc,
            isc,
            vmp * voc,
            imp * isc,
            beta_voc=beta_voc,
            alpha_isc=alpha_isc,
            gamma_pmax=gamma_pmax,
        )
    except FitError:
        return
    curve = model.at(*condition)
    numbers = [curve.voc(), curve.isc(), *curve.mpp(), *sum(curve.points(5), ()), curve.voltage(-curve.isc())]
    assert all(map(isfinite, numbers))


@pytest.mark.parametrize(
    ("light", "cell"), [(-1.0, 25.0), (1000.0, -273.15), (float("nan"), 25.0), (1000.0, float("nan"))]
)
def test_a_condition_that_cannot_be_is_refused(light, cell):
    """Less than no light, absolute zero or not a number has no curve."""
    with pytest.raises(ValueError, match=r"no curve at .* W/m2 and .* degC"):
        MODULE.at(light, cell)


@given(light=st.floats(1, 1499), cell=cells)
def test_the_light_for_a_voltage_gives_that_voltage(light, cell):
    """The irradiance at which Voc reaches the Voc of a condition is that condition's irradiance."""
    assert MODULE.irradiance_for_voc(MODULE.at(light, cell).voc(), cell) == pytest.approx(light, rel=1e-9)


def test_a_voltage_out_of_reach_has_no_light():
    """A voltage above what 1500 W/m2 gives has no irradiance; no voltage at all needs none."""
    most = MODULE.at(1500.0, 60.0).voc()
    assert MODULE.irradiance_for_voc(most + 0.01, 60.0) is None
    assert MODULE.irradiance_for_voc(most - 0.01, 60.0) < 1500.0
    assert MODULE.irradiance_for_voc(1e6, 60.0) is None
    assert MODULE.irradiance_for_voc(0.0, 60.0) == 0.0
    leaky = ModuleModel(Curve(6.0, 1e-10, 0.2, 3.0, 0.9), 0.003)
    assert leaky.irradiance_for_voc(20.0, 25.0) is None


@pytest.mark.parametrize("voltage", [0.05, 0.5, 0.99, 5.0])
def test_little_light_and_a_small_module_are_reckoned_with_too(voltage):
    """A tenth of an ampere in full sun, and voltages far below the nameplate's."""
    small = fit(**SHEET | {"isc": 0.1, "imp": 0.094})
    light = small.irradiance_for_voc(voltage, 25.0)

    assert small.at(light, 25.0).voc() == pytest.approx(voltage, rel=1e-9)
    assert 0.0 < light < 1000.0


def test_no_light_is_enough_where_the_shunt_takes_all_of_it():
    """Light's current and what the shunt lets through are alike at this voltage, in any light: the diode gets nothing."""
    leaky = ModuleModel(Curve(2.0, 1e-9, 0.1, 8.0, 1.0), 0.0)
    assert leaky.irradiance_for_voc(16.0, 25.0) is None
    assert leaky.irradiance_for_voc(15.9, 25.0) is not None


def test_the_least_ideality_is_tried_before_a_datasheet_is_refused():
    """A corner so sharp that only idealities near the least one, a 200th of Voc, pass through it is still met."""
    voc, isc, vmp, imp = 127.57413, 6.6261404, 88.487213, 6.5316194
    model = fit(voc, isc, vmp, imp, beta_voc=-0.0040321, alpha_isc=0.0014256)

    assert voc / 200 < model.reference.modified_ideality_V < voc / 160
    assert model.limited_by == "shunt"
    for volts, amperes in ((voc, 0.0), (0.0, isc), (vmp, imp)):
        assert residual(model.reference, volts, amperes) == pytest.approx(0.0, abs=1e-9)
    assert model.reference.mpp()[0] == pytest.approx(vmp, rel=1e-6)


def test_no_curve_has_less_than_the_least_ideality():
    """Of ever sharper corners the last are refused: what is met has an ideality of a 200th of Voc or more."""
    shares, refused = [], []
    for step in range(60):
        try:
            model = fit(20.0, 6.0, 17.0 + step * 0.05, 5.95, beta_voc=-0.003, alpha_isc=0.0005)
            shares.append(model.reference.modified_ideality_V / 20.0)
        except FitError as refusal:
            refused.append(refusal.reason)

    assert 1 / 200 <= min(shares) < 1 / 180
    assert set(refused) == {"no-curve"}


def test_the_resistance_that_is_named_is_the_one_at_its_end():
    """Where first the one and then the other would be negative, it is the last one that is held."""
    model = fit(80.324972, 19.586775, 67.718477, 19.016284, beta_voc=-0.0063483, alpha_isc=0.00028926)

    assert model.reference.series_resistance_ohm > 0.1
    assert model.reference.shunt_resistance_ohm == pytest.approx(1e4 * 80.324972 / 19.586775)
    assert model.limited_by == "shunt"


def test_the_least_quantity_is_one():
    """A millionth of a volt or ampere is read; anything below it is not a quantity of a module."""
    least = {"voc": 1.5e-6, "vmp": 1e-6, "isc": 1.5e-6, "imp": 1e-6, "beta_voc": -0.003, "alpha_isc": 0.0005}
    refuse_impossible(**least)
    with pytest.raises(FitError, match="give a value above zero"):
        refuse_impossible(**least | {"imp": 0.9e-6})


def test_half_a_kelvin_above_absolute_zero_there_still_is_a_curve():
    """Nothing but absolute zero is the end."""
    assert isfinite(MODULE.at(1000.0, -272.65).voc())


def test_the_pmax_coefficient_moves_the_voc_coefficient_by_its_rounding_and_leaves_the_bandgap():
    """A hundredth at most, as far as the Pmax coefficient asks for it; the bandgap is silicon's with and without."""
    for gamma, moved in ((None, 1.0), (-0.0030, 0.99), (-0.0040, 1.01)):
        model = fit(**SHEET, gamma_pmax=gamma)
        warm, cool = (model.at(1000, 25 + side).voc() for side in (0.01, -0.01))
        assert (warm - cool) / 0.01 / (warm + cool) == pytest.approx(moved * SHEET["beta_voc"], rel=1e-6)
        assert model.bandgap_eV == pytest.approx(SILICON_BANDGAP_EV, rel=1e-9)


def test_hot_cells_need_more_light_for_the_same_voltage():
    """A hotter cell reaches the same open-circuit voltage only in more light (common practice, no source)."""
    assert MODULE.irradiance_for_voc(19.0, -10.0) < MODULE.irradiance_for_voc(19.0, 45.0)


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6))
def test_a_bracketed_root_is_found_to_the_last_digits(root, width):
    """The root of a steep, lopsided function is found wherever in the bracket it lies."""
    found = bracketed_root(lambda x: (x - root) ** 3 + (x - root), root - width, root + 3 * width)
    assert found == pytest.approx(root, rel=1e-13, abs=1e-12)


@pytest.mark.parametrize(
    ("f", "low", "high", "root"),
    [
        (lambda x: cos(x) - x, 0.0, 1.0, 0.7390851332151607),  # from memory, as is the next
        (lambda x: x**3 - 2 * x - 5, 2.0, 3.0, 2.0945514815423265),
        (lambda x: exp(x) - 1e4, 0.0, 20.0, log(1e4)),
        (lambda x: 5 - x - x**3 / 7, -3.0, 9.0, 2.5713199314253803),
        (lambda x: 5 - 1e-9 * (exp(x / 0.9) - 1), 0.0, 22.0, 0.9 * log(5e9 + 1)),
    ],
)
def test_a_root_is_found_in_few_steps(f, low, high, root):
    """A quarter of what halving would take, to the last digits, whichever end comes first."""
    for ends in ((low, high), (high, low)):
        asked = []
        found = bracketed_root(lambda x, asked=asked: asked.append(x) or f(x), *ends)

        assert found == pytest.approx(root, rel=4e-16)
        assert len(asked) <= 13  # halving: 52 and more
        assert all(low <= x <= high for x in asked)


def test_a_root_that_is_met_is_found_and_a_bracket_without_one_is_refused():
    """An end or a point between that is itself the root is given back; without a change of sign there is nothing to find."""
    assert bracketed_root(lambda x: x - 1, 1.0, 2.0) == 1.0
    assert bracketed_root(lambda x: x - 2, 1.0, 2.0) == 2.0
    assert bracketed_root(lambda x: x - 1, 0.0, 4.0) == 1.0
    with pytest.raises(ValueError, match="no change of sign between 1"):
        bracketed_root(lambda x: x, 1.0, 2.0)


@given(light=lights, cell=cells, n=st.integers(1, 36))
@example(light=1000.0, cell=25.0, n=36)
def test_steps_along_the_tangent_find_the_peak_that_a_bracket_finds(light, cell, n):
    """Both ways end at the same digits, for a cell as for a module, and the quick one is never given up in daylight."""
    curve = MODULE.at(light, cell).in_series(1 / n)
    quick = curve._peak_by_tangents(curve.voc())
    slow = bracketed_root(curve._power_slope, 0.0, curve.voc())

    assert quick is not None
    assert quick == pytest.approx(slow, rel=1e-12)


@given(
    light=st.floats(1.0, 1500.0), cell=st.floats(-40.0, 90.0), n=st.integers(1, 12), wire=st.floats(0.0, 0.4)
)
def test_an_ordinary_peak_is_not_bracketed(light, cell, n, wire):
    """In any light that charges anything the peak comes by tangents alone, even behind a wire of two fifths of Voc / Isc.

    A bracket costs several times as much, and finds the same.
    """
    curve = MODULE.at(light, cell).in_series(n)
    curve = curve.behind(wire * curve.voc() / curve.isc())
    slow = curve._through(bracketed_root(curve._power_slope, 0.0, curve.voc()))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(diode, "bracketed_root", None)
        _, amps = curve.mpp()

    assert amps == pytest.approx(slow, rel=1e-9)


@pytest.mark.parametrize("light", [1e-11, 1e-9, 5e-8])
def test_in_hardly_any_light_the_peak_is_bracketed(light):
    """Open circuit is below a tenth of the ideality there, and the curve almost a straight line: its middle."""
    curve = MODULE.at(light, 60.0)
    volts, amps = curve.mpp()

    assert curve._peak_by_tangents(curve.voc()) is None
    assert (volts, amps) == pytest.approx((curve.voc() / 2, curve.isc() / 2), rel=0.02)
    for beside in (0.9, 1.1):
        assert curve.current(volts * beside) * volts * beside < volts * amps


@pytest.mark.parametrize("light_A", [1e-19, 1e-25, 2e-30])
@pytest.mark.parametrize("shunt", [50.0, 300.0])
def test_light_of_which_only_rounding_is_left_has_no_peak(light_A, shunt):  # noqa: N803 - A is the unit
    """Beside a large saturation current it changes no digit: whatever sign open circuit then has, there is no power."""
    volts, amps = Curve(light_A, 1e-4, 0.2, shunt, 0.9).mpp()

    assert abs(volts * amps) < 1e-30


def test_no_light_has_no_peak():
    """Nothing flows, and nothing is asked of the root finder."""
    assert MODULE.at(0.0, 25.0).mpp() == (0.0, 0.0)


@pytest.mark.parametrize("shunt", [1e6, 1e9, 1e14, inf])
def test_a_module_that_hardly_leaks_keeps_its_digits(shunt):
    """Its voltage is that of one that does not leak at all, to what leaks: a ln(1 + I/I0) and the series drop."""
    curve = Curve(6.0, 1e-9, 0.2, shunt, 0.9)
    whole = 0.9 * log(1 + 3.0 / 1e-9) - 3.0 * 0.2

    assert curve.voltage(3.0) == pytest.approx(whole, abs=1e-11 + 0.9 * 25 / shunt)
    assert curve.current(curve.voltage(3.0)) == pytest.approx(3.0, rel=1e-12)
