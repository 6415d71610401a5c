"""How fast curves are: against a reference library in the same process, and over every module of an open list."""

import csv
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from benches import AT_LEAST, AT_MOST, Figure
from benches.core import others
from benches.sheets import measure_sheets
from calc import Design, assess, load_book, read_design
from calc.model.assessment import Assessment
from calc.model.design import Given
from calc.physics import Curve, FitError, fit
from calc.plan.curves import curves_of
from calc.plan.faults import faults_of
from floor import ROOT, Stop

POINTS, ROUNDS = 101, 60
AGREE = 1e-6
SILICON = ("Mono-c-Si", "Multi-c-Si")
LINES_BEFORE_ROWS = 2  # units, and the table's own names
EXAMPLE = ROOT / "scenarios" / "examples" / "bee-yard.toml"
SHEET = {
    "voc": ("V_oc_ref", "V"),
    "isc": ("I_sc_ref", "A"),
    "vmp": ("V_mp_ref", "V"),
    "imp": ("I_mp_ref", "A"),
}


def measure_curves() -> dict[str, Figure]:
    """Time a curve against the reference, the open list, and a design's faults, by the processor's own clock."""
    return {
        "curve_speed_ratio": Figure(speed_ratio(), 5, AT_LEAST, "times"),
        "open_list_s": Figure(open_list_seconds(), 60, AT_MOST, "s"),
        **measure_sheets(list(_rows())),
        **_of_a_design(),
    }


def speed_ratio() -> float:
    """One call of the reference's solver over the time of our curve of 101 points with its peak, agreeing in each."""
    import numpy as np
    from pvlib import pvsystem  # type: ignore[import-untyped]

    curve = fit(22.4, 6.3, 18.2, 6.04, beta_voc=-0.0030, alpha_isc=0.0005).at(800.0, 45.0)
    five = (
        curve.photocurrent_A,
        curve.saturation_current_A,
        curve.series_resistance_ohm,
        curve.shunt_resistance_ohm,
        curve.modified_ideality_V,
    )
    volts, amperes = (np.array(column) for column in zip(*curve.points(POINTS), strict=True))
    apart = float(np.abs(pvsystem.i_from_v(volts, *five) - amperes).max())
    peak = pvsystem.singlediode(*five)
    apart = max(apart, abs(float(peak["p_mp"]) - curve.mpp()[0] * curve.mpp()[1]))
    if apart > AGREE:
        raise Stop(f"Our curve and the reference's differ by {apart:g}; nothing was measured.")

    def ours() -> None:
        curve.points(POINTS)
        curve.mpp()

    return round(_middle(lambda: pvsystem.singlediode(*five)) / _middle(ours), 1)


def _middle(work: Callable[[], object]) -> float:
    """The middle time of many runs, in seconds."""
    work()
    seconds = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        seconds.append(time.process_time() - start)
    return statistics.median(seconds)


def open_list_seconds() -> float:
    """Time every row of crystalline silicon through fit, curve and check; a row is fitted, or refused with a reason."""
    design, book = _example(), load_book()
    rows = list(_rows())
    start = time.process_time()
    for row in rows:
        _curve(row)
        values = {f"module.{name}": _given(row[column], unit) for name, (column, unit) in SHEET.items()}
        assess(design.changed(values), book)
    return round(time.process_time() - start, 1)


def _rows() -> Iterator[dict[str, str]]:
    """Rows of the open list that lies inside the reference library."""
    import pvlib

    (path,) = (Path(pvlib.__file__).parent / "data").glob("*cec-modules*.csv")
    with path.open(encoding="utf-8", newline="") as file:
        for number, row in enumerate(csv.DictReader(file)):
            if number >= LINES_BEFORE_ROWS and row["Technology"] in SILICON:
                yield row


def _curve(row: dict[str, str]) -> Curve | None:
    """Fit a row and work out its curve; None where no curve can have its values, which must be said."""
    voc, isc, vmp, imp = (float(row[column]) for column, _ in SHEET.values())
    beta, alpha = float(row["beta_oc"]) / voc, float(row["alpha_sc"]) / isc
    gamma = float(row["gamma_r"]) / 100.0
    try:
        curve = fit(voc, isc, vmp, imp, beta_voc=beta, alpha_isc=alpha, gamma_pmax=gamma).at(1000.0, 60.0)
    except FitError as error:
        if not error.reason:
            raise Stop("A module was refused without a reason.") from error
        return None
    curve.points(POINTS)
    return curve


def _given(text: str, unit: str) -> Given:
    return Given(float(text), unit, f"{text} {unit}")


def _example() -> Design:
    design = read_design(EXAMPLE.read_text(encoding="utf-8"))
    if not isinstance(design, Design):
        raise Stop(f"{EXAMPLE.name} cannot be read.")
    return design


def _of_a_design() -> dict[str, Figure]:
    """What shade and faults of four modules in every layout take, and the curves of their own layout."""
    book = load_book()
    asked = (assess(design, book) for design in others(_example()))

    def middle(work: Callable[[Assessment], object]) -> float:
        known = [next(asked) for _ in range(ROUNDS + 1)]
        return _middle(lambda: work(known.pop()))

    faults = middle(lambda known: faults_of(known.design, book, known))
    curves = middle(lambda known: curves_of(known.design, book, known))
    return {
        "faults_ms": Figure(round(1000 * faults, 2), 60, AT_MOST, "ms"),
        "curves_ms": Figure(round(1000 * curves, 2), 20, AT_MOST, "ms"),
    }
