"""What the oracle tests share: the open list of modules that lies inside the reference library, read as a plain table.

The list is the California Energy Commission's of 2019-03-05; rows are known by their place in it, never by name.
"""

import csv
from pathlib import Path

import numpy as np
import pvlib
import pytest
from pvlib import pvsystem

CRYSTALLINE_SILICON = {"Mono-c-Si", "Multi-c-Si"}
LINES_BEFORE_ROWS = 2  # units, and the table's own names


class Rows:
    """Columns of the list as arrays, by the list's own column names; ``rows[mask]`` keeps some."""

    def __init__(self, columns):
        self.columns = columns

    def __getitem__(self, which):
        if isinstance(which, str):
            return self.columns[which]
        return Rows({name: column[which] for name, column in self.columns.items()})

    def __len__(self):
        return len(self["V_oc_ref"])

    def sheet(self, k):
        """What a datasheet says of row k, as arguments of ``calc.physics.fit``."""
        voc, isc, vmp, imp, beta, alpha, cells = (
            float(self[name][k])
            for name in ("V_oc_ref", "I_sc_ref", "V_mp_ref", "I_mp_ref", "beta_oc", "alpha_sc", "N_s")
        )
        return (voc, isc, vmp, imp), {"beta_voc": beta / voc, "alpha_isc": alpha / isc, "cells": int(cells)}

    def whole_sheet(self, k):
        """The same with the Pmax coefficient, which nearly every datasheet prints too."""
        four, rest = self.sheet(k)
        return four, rest | {"gamma_pmax": float(self["gamma_r"][k]) / 100}

    def parameters(self, irradiance, cell):
        """The five parameters of every row's own model (photocurrent, saturation, series, shunt, ideality)."""
        names = ("alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_sh_ref", "R_s", "Adjust")
        return pvsystem.calcparams_cec(irradiance, cell, *(self[name] for name in names))

    def voc(self, irradiance, cell):
        """Open-circuit voltage of every row's own model."""
        return pvsystem.v_from_i(0.0, *self.parameters(irradiance, cell))

    def beta_of_model(self):
        """The change of Voc per kelvin of every row's own model as a share of the one its sheet states."""
        return (self.voc(1000.0, 25.5) - self.voc(1000.0, 24.5)) / self["beta_oc"]


@pytest.fixture(scope="session")
def open_list() -> Rows:
    """Every crystalline-silicon row of the list."""
    (path,) = (Path(pvlib.__file__).parent / "data").glob("*cec-modules*.csv")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))[LINES_BEFORE_ROWS:]
    rows = [row for row in rows if row["Technology"] in CRYSTALLINE_SILICON]
    names = [
        name
        for name in rows[0]
        if name.endswith("_ref") or name in {"N_s", "alpha_sc", "beta_oc", "gamma_r", "R_s", "Adjust"}
    ]
    return Rows({name: np.array([float(row[name]) for row in rows]) for name in names})


@pytest.fixture(scope="session")
def well_behaved(open_list) -> Rows:
    """Rows whose own model gives back their Isc within 0.1 % and their Voc coefficient within 2 %."""
    isc = pvsystem.i_from_v(0.0, *open_list.parameters(1000.0, 25.0))
    keeps_isc = np.abs(isc / open_list["I_sc_ref"] - 1) < 0.001
    keeps_beta = np.abs(open_list.beta_of_model() - 1) < 0.02
    rows = open_list[keeps_isc & keeps_beta]
    assert len(rows) > 700
    return rows
