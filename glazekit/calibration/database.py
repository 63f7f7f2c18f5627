"""The database's own files, as they lie in the wheel of glasspy 0.3: compositions and properties of 214,043 glasses.

Only the data files are read (ODbL); none of that package's code is used.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from glazekit.calibration.measurements import KELVIN
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.errors import FileError

FILES = "glasspy/data/datafiles"
LEAST_NAMED = 0.99
MOST_LEAD = 0.001
ISOKOMS = range(13)
"""Column T3 holds the temperature at which log10(viscosity / Pa.s) is 3 [K]."""
TEMPS_K = (773, 873, 973, 1073, 1173, 1273, 1373, 1473, 1573, 1673, 1773, 1873, 2073)
"""Column ViscosityAt1273K holds log10(viscosity / Pa.s) at 1273 K."""

_AS = {"FeO": ("Fe2O3", 0.5), "MnO2": ("MnO", 1.0), "Mn2O3": ("MnO", 2.0)}  # other ways to write an oxide, and moles of it in one


def read_database(folder: Path) -> pd.DataFrame:
    """Lead-free glasses of the 17 oxides: shares by moles with sum 1, properties, ``publication``, ``author``, ``year``.

    Parameters
    ----------
    folder : the unpacked wheel, the folder that holds ``glasspy/``.

    Raises FileError when the files are not there.
    """
    paths = [folder / FILES / f"{name}.csv.xz" for name in ("sciglass", "sciglass_comp")]
    for path in paths:
        if not path.is_file():
            raise FileError(f"{path} is not there; unpack the wheel glasspy-0.3 into {folder}")
    properties, moles = (pd.read_csv(path, low_memory=False) for path in paths)
    if not properties["ID"].equals(moles["ID"]):
        raise FileError("the two files of the database do not list the same glasses")
    moles = moles.drop(columns="ID").apply(pd.to_numeric, errors="coerce").fillna(0.0)
    own = moles[list(MODEL_OXIDES)].copy()
    for written, (oxide, count) in _AS.items():
        own[oxide] += count * moles[written]
    total = moles.sum(axis=1)
    named = (own.sum(axis=1) + 0.5 * moles["FeO"]) / total.where(total > 0)
    fits = (named >= LEAST_NAMED) & (moles["PbO"] <= MOST_LEAD * total)
    about = pd.DataFrame(
        {
            "publication": properties["ID"].str.split("_").str[1].astype(int),
            "author": properties["Author"],
            "year": properties["Year"].astype(int),
        }
    )
    shares = own.div(own.sum(axis=1).where(lambda sums: sums > 0), axis=0)
    return pd.concat([shares, about, properties.drop(columns=["ID", "Author", "Year"])], axis=1)[fits]


def viscosity_points(glasses: pd.DataFrame) -> pd.DataFrame:
    """Every viscosity of the glasses: ``row`` (their index), ``temp_k``, ``log10_pa_s``.

    A point given both ways, as a temperature of a viscosity and as a viscosity at a temperature, stands once.
    """
    temps = [(glasses[f"T{step}"].dropna(), float(step)) for step in ISOKOMS]
    values = [(glasses[f"ViscosityAt{temp_k}K"].dropna(), float(temp_k)) for temp_k in TEMPS_K]
    found = [pd.DataFrame({"row": each.index, "temp_k": each, "log10_pa_s": log10}) for each, log10 in temps]
    found += [pd.DataFrame({"row": each.index, "temp_k": temp_k, "log10_pa_s": each}) for each, temp_k in values]
    points = pd.concat(found, ignore_index=True)
    rounded = points.assign(temp_k=points["temp_k"].round(), log10_pa_s=points["log10_pa_s"].round(1))
    return points[~rounded.duplicated()]


def composition_key(glasses: pd.DataFrame, step_mol_pct: float) -> pd.Series:
    """A word that two glasses share when all their mole percentages agree within ``step_mol_pct``."""
    steps = np.rint(glasses[list(MODEL_OXIDES)].to_numpy() * 100 / step_mol_pct).astype(np.int32)
    return pd.Series([each.tobytes() for each in steps], index=glasses.index)


def celsius(temp_k: pd.Series) -> pd.Series:
    """Kelvin to °C."""
    return temp_k - KELVIN
