"""What a meter should read: against points of a reference library, plain proportion, and what is not known."""

from pathlib import Path

import pytest

from calc.meter.expected import meter_sheet
from calc.read import read_design
from calc.tables import load_book

ROOT = Path(__file__).resolve().parents[2] / "scenarios"
BOOK = load_book()

# Voc at an irradiance over Voc at 1000 W/m2, cells at 25 degC: 5th and 95th percentile of 3,000 crystalline modules
# of an open list (2019), computed with pvlib 0.16.1 (calcparams_cec and singlediode).
VOC_SHARES = {800: (0.9897, 0.9914), 500: (0.9681, 0.9734), 200: (0.9260, 0.9382), 100: (0.8942, 0.9116)}
WITHIN = 0.002
"""The tolerance that stands beside these figures."""
ORDINARY = """
[module]
voc = "37.2 V"
isc = "8.70 A"
vmp = "30.2 V"
imp = "8.20 A"
voc_coefficient = "-0.34 %/degC"
isc_coefficient = "0.05 %/degC"
cells = 60
bypass_groups = 3
[array]
modules_in_series = 2
strings_in_parallel = 2
"""
"""Made up, with the median coefficient of the same list: a module whose cells are ordinary ones."""


def design(name="examples/stock-water-pump"):
    return read_design((ROOT / f"{name}.toml").read_text(encoding="utf-8"))


def sheet(name="examples/stock-water-pump", **known):
    return meter_sheet(design(name), BOOK, **known)


@pytest.mark.parametrize("sun", VOC_SHARES)
def test_voc_falls_with_the_sun_as_modules_do(sun):
    """The string's open-circuit voltage falls with the sun by the share that a large list of modules shows."""
    low, high = VOC_SHARES[sun]
    made_up = read_design(ORDINARY)
    dim, full = (meter_sheet(made_up, BOOK, sun=one, module=25).rows[0].voc.value for one in (sun, 1000))

    assert low - WITHIN <= dim / full <= high + WITHIN


@pytest.mark.parametrize("sun", [100, 350, 820])
def test_isc_is_proportional_to_the_sun(sun):
    """A module's short-circuit current follows the light (the definition of irradiance by a reference cell)."""
    found, full = (sheet(sun=one, module=25).rows[0].isc.value for one in (sun, 1000))

    assert found / full == pytest.approx(sun / 1000, rel=1e-3)


def test_the_datasheet_is_met_where_it_was_measured():
    """At 1000 W/m2 and 25 degC a string reads its modules' Voc, times their number, and one module's Isc."""
    read, row = design(), sheet(sun=1000, module=25).rows[0]

    assert row.voc.value == pytest.approx(read.number("module.voc") * 3, rel=1e-3)
    assert row.isc.value == pytest.approx(read.number("module.isc"), rel=1e-3)


def test_the_array_adds_up():
    """The joined array's current is the sum of its strings', and its open voltage theirs."""
    found = sheet(sun=700, air=10)
    array = {one.quantity: one for one in found.array}

    assert array["array-current"].value == pytest.approx(sum(row.current.value for row in found.rows))
    assert array["array-open"].value == pytest.approx(found.rows[0].voc.value)


def test_cells_are_hotter_than_the_air_and_as_hot_as_the_module():
    """From the air the rise of a cell in this sun is added (Ross 1980); the back of a module counts as it is."""
    assert sheet(sun=800, air=20).cell_degC[0] == pytest.approx(20 + (45 - 20) / 800 * 800, abs=0.01)
    assert sheet(sun=800, air=20, module=41).cell_degC == (41,)


@pytest.mark.parametrize("known", [{"sun": 820, "air": 20}, {"sun": 400, "module": 50}, {"air": 5}, {}])
def test_every_band_is_its_parts_added_up(known):
    """Low and high lie below and above the value by the sum of the shares that are told."""
    found = sheet(**known)
    every = [one for row in found.rows for one in (row.voc, row.isc, row.current) if one] + list(found.array)
    assert every
    for one in every:
        assert one.low == pytest.approx(one.value * (1 - sum(part.below for part in one.bands)))
        assert one.high == pytest.approx(one.value * (1 + sum(part.above for part in one.bands)))
        assert one.low < one.value < one.high


def test_the_bands_stay_within_field_practice():
    """With sun and module's heat read, Voc is held within 10 % and Isc within 20 % (common practice, no source)."""
    row = sheet(sun=820, module=41).rows[0]

    assert max(row.voc.high / row.voc.value - 1, 1 - row.voc.low / row.voc.value) < row.voc.practice == 0.10
    assert max(row.isc.high / row.isc.value - 1, 1 - row.isc.low / row.isc.value) < row.isc.practice == 0.20


def test_without_the_sun_no_current_is_foretold():
    """Where the sun is not known there is a voltage with a wider band, and no current at all."""
    known, unknown = sheet(sun=650, air=20), sheet(air=20)

    assert unknown.rows[0].isc is None
    assert unknown.rows[0].current is None
    assert [one.quantity for one in unknown.array] == ["array-open", "array-voltage"]
    assert unknown.rows[0].voc.high - unknown.rows[0].voc.low > known.rows[0].voc.high - known.rows[0].voc.low


def test_without_a_temperature_the_band_reaches_over_the_year():
    """From the site's coldest to its hottest air, at the sun of the moment."""
    found = sheet(sun=800).rows[0].voc
    read = design()
    cold, hot = (
        sheet(sun=800, air=read.number(f"site.{one}")).rows[0].voc.value for one in ("coldest", "hottest")
    )

    assert found.low < hot < cold < found.high


def test_a_missing_battery_is_asked_for_and_the_rest_told():
    """A controller that joins array and battery works at the battery's voltage; before joining nothing is missing."""
    text = (ROOT / "examples/stock-water-pump.toml").read_text(encoding="utf-8")
    found = meter_sheet(
        read_design(text.partition("[battery]")[0].replace('kind = "mppt"', 'kind = "pwm"')),
        BOOK,
        sun=800,
        air=20,
    )

    assert found.needs_after
    assert found.rows[0].isc is not None
    assert found.rows[0].current is None


def test_a_module_that_no_curve_fits_is_refused_with_its_reason():
    """Nothing is foretold of it, and nothing breaks."""
    found = sheet("gallery/no-curve", sun=800, air=20)

    assert found.reason
    assert found.rows == ()


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.toml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("known", [{"sun": 820, "air": 20}, {}], ids=["known", "unknown"])
def test_every_design_has_its_sheet(path, known):
    """Each design that can be read has as many rows as strings, or says why not."""
    read = read_design(path.read_text(encoding="utf-8"))
    found = meter_sheet(read, BOOK, **known)

    assert found.rows or found.reason


def test_no_band_reaches_the_other_way_round():
    """A band wider than its reading ends at nothing: a current or voltage of the healthy array has no minus sign."""
    found = sheet("examples/roadside-stand", sun=1000.0)
    rows = [one for row in found.rows for one in (row.voc, row.isc, row.current) if one is not None]

    assert all(one.low >= 0.0 for one in (*rows, *found.array))
    assert any(one.low == 0.0 < one.value for one in (*rows, *found.array))


@pytest.mark.parametrize(
    "name", ["examples/gate-opener", "gallery/wrong-modules-for-pwm", "guide/controller-kinds"]
)
@pytest.mark.parametrize("known", [{"sun": 820, "air": 20}, {"sun": 400, "module": 50}, {"air": 5}, {}])
def test_sun_and_heat_do_not_move_a_voltage_that_the_battery_holds(name, known):
    """A PWM controller holds the array at the battery's voltage: both bands are 0 itself, not what rounding leaves."""
    found = sheet(name, **known)
    array = {one.quantity: one for one in found.array}
    bands = {
        quantity: {band.code: (band.below, band.above) for band in array[quantity].bands}
        for quantity in array
    }

    assert found.way == "joined"
    assert (bands["array-voltage"]["sun"], bands["array-voltage"]["heat"]) == ((0.0, 0.0), (0.0, 0.0))
    assert min(bands["array-open"]["sun"]) > 0.0
    assert min(bands["array-open"]["heat"]) > 0.0
    assert min(bands["array-voltage"]["meter"]) > 0.0
