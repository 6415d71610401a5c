"""How near power comes to a reference when only the datasheet is known: random rows of an open list, random conditions."""

import random

from benches import AT_LEAST, AT_MOST, Figure
from calc.physics import fit

CASES, SEED = 2_000, 20_190_305
IRRADIANCE, CELL = (50.0, 1200.0), (-30.0, 75.0)
KEEPS_ISC, KEEPS_BETA = 0.001, 0.02
NEAR = 0.005
FIVE = ("alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_sh_ref", "R_s", "Adjust")


def measure_sheets(rows: list[dict[str, str]]) -> dict[str, Figure]:
    """Fit 2,000 random rows that keep their own sheet and compare power with the reference's own model of each.

    A row keeps its sheet when its model gives back its Isc within 0.1 % and its Voc coefficient within 2 %.

    Args:
        rows: of crystalline silicon, as texts by the list's own column names.
    """
    misses = [abs(miss) for miss in _misses([row for row in rows if _keeps(row)])]
    share = 100.0 * sum(miss < NEAR for miss in misses) / len(misses)
    return {
        "sheet_power_near_percent": Figure(round(share, 2), 99.9, AT_LEAST, "%"),
        "sheet_power_worst_percent": Figure(round(100.0 * max(misses), 2), 0.7, AT_MOST, "%"),
    }


def _misses(rows: list[dict[str, str]]) -> list[float]:
    """By how much the power of each drawn row, fitted from its sheet, is off, as a share."""
    from pvlib import pvsystem  # type: ignore[import-untyped]

    rng, found = random.Random(SEED), []  # noqa: S311 -- the same draw each time
    for _ in range(CASES):
        row = rows[rng.randrange(len(rows))]
        light, cell = rng.uniform(*IRRADIANCE), rng.uniform(*CELL)
        value = {
            name: float(text) for name, text in row.items() if name.endswith(("_ref", "_oc", "_sc", "_r"))
        }
        model = fit(
            value["V_oc_ref"],
            value["I_sc_ref"],
            value["V_mp_ref"],
            value["I_mp_ref"],
            beta_voc=value["beta_oc"] / value["V_oc_ref"],
            alpha_isc=value["alpha_sc"] / value["I_sc_ref"],
            gamma_pmax=value["gamma_r"] / 100.0,
        )
        vmp, imp = model.at(light, cell).mpp()
        reference = pvsystem.max_power_point(*_five(row, light, cell), method="newton")
        found.append(vmp * imp / float(reference["p_mp"]) - 1.0)
    return found


def _keeps(row: dict[str, str]) -> bool:
    """Whether a row's own model keeps its sheet."""
    from pvlib import pvsystem

    isc = pvsystem.i_from_v(0.0, *_five(row, 1000.0, 25.0))
    warm, cool = (pvsystem.v_from_i(0.0, *_five(row, 1000.0, cell)) for cell in (25.5, 24.5))
    keeps_isc = abs(isc / float(row["I_sc_ref"]) - 1.0) < KEEPS_ISC
    return bool(keeps_isc and abs((warm - cool) / float(row["beta_oc"]) - 1.0) < KEEPS_BETA)


def _five(row: dict[str, str], light: float, cell: float) -> tuple[float, ...]:
    """The five parameters of a row's own model at a condition."""
    from pvlib import pvsystem

    return tuple(pvsystem.calcparams_cec(light, cell, *(float(row[name]) for name in FIVE)))
