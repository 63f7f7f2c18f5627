"""The open measurements of data/open_glass as arrays, one set for each property."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cache

import numpy as np
import pandas as pd

from glazekit.calibration.groups import groups_of
from glazekit.glass.composition import MODEL_OXIDES, SUMS
from glazekit.glass.properties import Property, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.tables import data_dir

KELVIN = 273.15
LIQUIDUS = replace(
    property_named("glass_transition"),
    name="liquidus",
    quantity="liquidus",
    measured_as="T_liquidus_C",
    factor_table="",
    borrows="",
    decimals=0,
)
"""Temperature from which on nothing crystallises: measured, but not offered, since no sum over oxides can tell it."""


def share_of(shares: np.ndarray, part: str) -> np.ndarray:
    """Share of an oxide, or of one of ``SUMS``, in every row of shares of ``MODEL_OXIDES`` [0 to 1]."""
    places = [MODEL_OXIDES.index(oxide) for oxide in SUMS.get(part, (part,))]
    return np.asarray(shares[:, places].sum(axis=1))


@dataclass(frozen=True, slots=True)
class Measurements:
    """Measurements of one property; every array has one entry a measurement.

    Parameters
    ----------
    about : what was measured.
    shares : (n, 17) shares by moles of ``MODEL_OXIDES``, each row with sum 1.
    values : what was measured [``fit_unit`` of the property].
    flagged : looks wrong; stays out of a fit and in the figures called "all".
    group : publications that may not be parted between fit and test carry one number.
    publication, glass : numbers of the publication and of the glass.
    temp_k : temperature of a viscosity [K]; NaN for the other properties.
    """

    about: Property
    shares: np.ndarray
    values: np.ndarray
    flagged: np.ndarray
    group: np.ndarray
    publication: np.ndarray
    glass: np.ndarray
    temp_k: np.ndarray

    def __len__(self) -> int:
        return len(self.values)

    def __getitem__(self, part: str) -> np.ndarray:
        """Shares of one oxide, or of one of ``SUMS``."""
        return share_of(self.shares, part)

    @property
    def is_melt(self) -> bool:
        """Viscosities, each at its temperature?"""
        return self.about.model == "melt"

    def where(self, mask: np.ndarray) -> Measurements:
        """The measurements for which ``mask`` is true."""
        arrays = (getattr(self, field.name)[mask] for field in fields(self)[1:])
        return Measurements(self.about, *arrays)


@cache
def measured(name: str) -> Measurements:
    """All measurements of a property, flagged ones too; ``name`` as in properties.csv, or "liquidus".

    Raises DataError, with the nearest name, for another property.
    """
    about = LIQUIDUS if name == LIQUIDUS.name else property_named(name)
    rows = _points() if about.model == "melt" else _liquidus() if about is LIQUIDUS else _glasses()
    rows = rows[rows[about.measured_as].notna()]
    flag = f"{about.measured_as}_flag"
    shares = rows[list(MODEL_OXIDES)].to_numpy()
    return Measurements(
        about,
        shares=shares / shares.sum(axis=1, keepdims=True),
        values=rows[about.measured_as].to_numpy() - about.offset,
        flagged=rows[flag].notna().to_numpy() if flag in rows else np.zeros(len(rows), bool),
        group=rows["group"].to_numpy(),
        publication=rows["pub"].to_numpy(),
        glass=rows["gid"].to_numpy(),
        temp_k=rows["T_C"].to_numpy() + KELVIN if "T_C" in rows else np.full(len(rows), np.nan),
    )


@cache
def _glasses() -> pd.DataFrame:
    rows = _read("glasses").fillna(dict.fromkeys(MODEL_OXIDES, 0.0))
    return rows.assign(group=rows["pub"].map(groups_of(_read("publications"))))


def _points() -> pd.DataFrame:
    points = _read("viscosity").rename(columns={"flag": "log10_eta_Pas_flag"})
    return points.merge(_glasses(), on="gid", validate="many_to_one")


def _liquidus() -> pd.DataFrame:
    rows = _read("liquidus").fillna(dict.fromkeys(MODEL_OXIDES, 0.0))
    rows = rows.assign(pub=rows["sciglass_ref"], gid=rows.index)
    return rows.assign(group=rows["pub"].map(groups_of(rows)))


def _read(name: str) -> pd.DataFrame:
    path = data_dir() / "open_glass" / f"{name}.csv.gz"
    if not path.is_file():
        raise DataError(f"{path.name} is missing in {path.parent}; the course in a browser tab does not carry it")
    return pd.read_csv(path)
