"""The open measurements of data/open_glass as arrays, one sample for each property."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

import numpy as np
import pandas as pd

from glazekit.calibration.groups import groups_of
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.ground.errors import DataError, unknown_name
from glazekit.ground.tables import data_dir

KELVIN = 273.15


@dataclass(frozen=True, slots=True)
class Property:
    """A measured property and how it is fitted.

    Parameters
    ----------
    name : its name in the tables of data/.
    column, offset : where its value stands in glasses.csv.gz, and what is added to it.
    unit : unit of the value after the offset.
    table, factor : table of its factors and the name of the factor's column; "" for viscosity.
    decimals : of printed errors.
    """

    name: str
    column: str
    unit: str
    table: str = ""
    factor: str = ""
    offset: float = 0.0
    decimals: int = 2


PROPERTIES = {
    each.name: each
    for each in (
        Property("expansion", "alpha", "1e-6/K", "expansion_factors", "factor_1e6_per_k"),
        Property("glass_transition", "Tg_C", "K", "glass_transition_factors", "factor_k", offset=KELVIN, decimals=1),
        Property("elastic_modulus", "E_GPa", "GPa", "elastic_modulus_factors", "factor_gpa"),
        Property("viscosity", "log10_eta_Pas", "log10(Pa.s)"),
    )
}
LIQUIDUS = Property("liquidus", "T_liquidus_C", "K", offset=KELVIN, decimals=0)
"""Temperature from which on nothing crystallises: measured, but not offered, since no sum over oxides can tell it."""
ADDITIVE = ("expansion", "glass_transition", "elastic_modulus")


@dataclass(frozen=True, slots=True)
class Sample:
    """Measurements of one property; every array has one entry a measurement.

    Parameters
    ----------
    property : name of what was measured, one of ``PROPERTIES``.
    shares : (n, 17) shares by moles of ``MODEL_OXIDES``, each row with sum 1.
    values : what was measured [unit of the property].
    flagged : looks wrong; stays out of a fit and in the figures called "all".
    group : publications that may not be parted between fit and test carry one number.
    publication, glass : numbers of the publication and of the glass.
    temp_k : temperature of a viscosity [K]; NaN for the other properties.
    """

    property: str
    shares: np.ndarray
    values: np.ndarray
    flagged: np.ndarray
    group: np.ndarray
    publication: np.ndarray
    glass: np.ndarray
    temp_k: np.ndarray

    def __len__(self) -> int:
        return len(self.values)

    def __getitem__(self, oxide: str) -> np.ndarray:
        """Shares of one oxide."""
        return self.shares[:, MODEL_OXIDES.index(oxide)]

    def where(self, mask: np.ndarray) -> Sample:
        """The measurements for which ``mask`` is true."""
        arrays = (getattr(self, field.name)[mask] for field in fields(self)[1:])
        return Sample(self.property, *arrays)


@cache
def measured(name: str) -> Sample:
    """All measurements of a property, ``name`` one of ``PROPERTIES`` or "liquidus"; flagged ones too.

    Raises DataError, with the nearest name, for another property.
    """
    known = {**PROPERTIES, "liquidus": LIQUIDUS}
    if name not in known:
        raise unknown_name(DataError, "measured property", name, known)
    about = known[name]
    rows = _points() if name == "viscosity" else _liquidus() if name == "liquidus" else _glasses()
    rows = rows[rows[about.column].notna()]
    flag = {"viscosity": "flag", "expansion": "alpha_flag"}.get(name)
    flagged = np.zeros(len(rows), bool) if flag is None else rows[flag].notna().to_numpy()
    temp_k = rows["T_C"].to_numpy() + KELVIN if name == "viscosity" else np.full(len(rows), np.nan)
    shares = rows[list(MODEL_OXIDES)].to_numpy()
    return Sample(
        property=name,
        shares=shares / shares.sum(axis=1, keepdims=True),
        values=rows[about.column].to_numpy() + about.offset,
        flagged=flagged,
        group=rows["group"].to_numpy(),
        publication=rows["pub"].to_numpy(),
        glass=rows["gid"].to_numpy(),
        temp_k=temp_k,
    )


@cache
def _glasses() -> pd.DataFrame:
    rows = _read("glasses").fillna(dict.fromkeys(MODEL_OXIDES, 0.0))
    publications = _read("publications")
    return rows.assign(group=rows["pub"].map(groups_of(publications)))


def _points() -> pd.DataFrame:
    return _read("viscosity").merge(_glasses(), on="gid", validate="many_to_one")


def _liquidus() -> pd.DataFrame:
    rows = _read("liquidus").fillna(dict.fromkeys(MODEL_OXIDES, 0.0))
    rows = rows.assign(pub=rows["sciglass_ref"], gid=rows.index)
    return rows.assign(group=rows["pub"].map(groups_of(rows)))


def _read(name: str) -> pd.DataFrame:
    path = data_dir() / "open_glass" / f"{name}.csv.gz"
    if not path.is_file():
        raise DataError(f"{path.name} is missing in {path.parent}; the course in a browser tab does not carry it")
    return pd.read_csv(path)
