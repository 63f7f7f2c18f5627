"""The open measurements of data/open_glass as arrays, one set for each property, the parts that are told apart, and folds.

A glaze of yours is a new laboratory, not a new row of an old table. So a fit is tested only on publications it has never seen.
Rows dealt at random leak: sister glasses of the same laboratory stand on both sides, and every model looks better than it is.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from functools import cache

import numpy as np
import pandas as pd

from glazekit.glass.composition import MODEL_OXIDES, SUMS
from glazekit.glass.properties import Property, property_named
from glazekit.ground.errors import DataError
from glazekit.ground.numbers import KELVIN
from glazekit.ground.tables import data_dir, read_table

FOLDS = 5
WINDOW_K = (1123.0, 1623.0)
WINDOW_LOG10 = (1.0, 7.0)
_EDGE = 1e-4  # shares are stored to 0.01 mol %, so that the sum of a row may differ from 1 by this much
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
    """Measurements of one property; every array has one entry a measurement. ``shares`` : (n, 17) shares by moles of
    ``MODEL_OXIDES``, each row with sum 1; ``values`` [``fit_unit`` of the property]; ``flagged`` : looks wrong, stays out of a
    fit and in the figures called "all"; ``group`` : publications that may not be parted between fit and test carry one number;
    ``publication``, ``glass`` : their numbers; ``temp_k`` : of a viscosity [K], else NaN."""

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

    def where(self, mask: np.ndarray) -> "Measurements":
        """The measurements for which ``mask`` is true."""
        arrays = (getattr(self, field.name)[mask] for field in fields(self)[1:])
        return Measurements(self.about, *arrays)


@cache
def measured(name: str) -> Measurements:
    """All measurements of a property, flagged ones too; ``name`` as in properties.csv, or "liquidus"; DataError for any other."""
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
    return rows.assign(group=rows["pub"].map(groups_by_publication(_read("publications"))))


def _points() -> pd.DataFrame:
    points = _read("viscosity").rename(columns={"flag": "log10_eta_Pas_flag"})
    return points.merge(_glasses(), on="gid", validate="many_to_one")


def _liquidus() -> pd.DataFrame:
    rows = _read("liquidus").fillna(dict.fromkeys(MODEL_OXIDES, 0.0))
    rows = rows.assign(pub=rows["sciglass_ref"], gid=rows.index)
    return rows.assign(group=rows["pub"].map(groups_by_publication(rows)))


def _read(name: str) -> pd.DataFrame:
    path = data_dir() / "open_glass" / f"{name}.csv.gz"
    if not path.is_file():
        raise DataError(f"{path.name} is missing in {path.parent}; the course in a browser tab does not carry it")
    return pd.read_csv(path)


def in_box(shares: np.ndarray, edge: float = _EDGE) -> np.ndarray:
    """Inside data/glass_box.csv, or outside by no more than ``edge``?"""
    inside = np.ones(len(shares), bool)
    for row in read_table("glass_box"):
        share = share_of(shares, row["what"])
        inside &= (share >= row["min_mol_pct"] / 100 - edge) & (share <= row["max_mol_pct"] / 100 + edge)
    return inside


def scored(sample: Measurements) -> np.ndarray:
    """What the figures are about: all of it, but of the viscosity only the firing range, 850 to 1350 °C and 1 to 7."""
    if not sample.is_melt:
        return everything(sample)
    hot = (sample.temp_k >= WINDOW_K[0]) & (sample.temp_k <= WINDOW_K[1])
    return np.asarray(hot & (sample.values >= WINDOW_LOG10[0]) & (sample.values <= WINDOW_LOG10[1]))


def everything(sample: Measurements) -> np.ndarray:
    """Every measurement."""
    return np.ones(len(sample), bool)


def studio_like(sample: Measurements) -> np.ndarray:
    """Ratios to the sum of the fluxes as glazes have them: the box is mostly display and fibre glass, and glazes are harder."""
    flux, like = sample["R2O"] + sample["RO"], everything(sample)
    for part, least, most in (("SiO2", 1.5, 6.5), ("Al2O3", 0.1, 0.8), ("B2O3", 0.0, 0.9), ("R2O", 0.05, 0.6)):
        ratio = sample[part] / flux
        like &= (ratio >= least) & (ratio <= most)
    return like


SUBSETS: Mapping[str, Callable[[Measurements], np.ndarray]] = {
    "box": everything,
    "studio-like": studio_like,
    "no boron": lambda sample: sample["B2O3"] <= 0.002,
    "boron 0.2 to 2 %": lambda sample: (sample["B2O3"] > 0.002) & (sample["B2O3"] < 0.02),
    "boron 2 to 15 %": lambda sample: (sample["B2O3"] >= 0.02) & (sample["B2O3"] <= 0.15),
    "boron over 15 %": lambda sample: sample["B2O3"] > 0.15,
    "magnesia from 8 %": lambda sample: sample["MgO"] >= 0.08,
    "zinc from 5 %": lambda sample: sample["ZnO"] >= 0.05,
    "lithia from 4 %": lambda sample: sample["Li2O"] >= 0.04,
    "baria + strontia from 5 %": lambda sample: sample["BaO"] + sample["SrO"] >= 0.05,
    "alumina from 10 %": lambda sample: sample["Al2O3"] >= 0.10,
    "lime from 15 %": lambda sample: sample["CaO"] >= 0.15,
    "no alkali": lambda sample: sample["R2O"] <= 0.005,
    "alkali from 15 %": lambda sample: sample["R2O"] >= 0.15,
    "iron from 1 %": lambda sample: sample["Fe2O3"] >= 0.01,
    "titania + zirconia + tin from 2 %": lambda sample: sample["TiO2"] + sample["ZrO2"] + sample["SnO2"] >= 0.02,
}
"""Name -> which measurements belong to it; per cent by moles."""


def groups_by_publication(publications: pd.DataFrame) -> dict[int, int]:
    """Publication -> group. Publications of one first author and year are one group: often one work printed twice."""
    key = publications["first_author"].fillna("?") + " " + publications["year"].astype(str)
    return dict(zip(publications["pub"], pd.factorize(key)[0], strict=True))


def deal_groups(group: np.ndarray, folds: int = FOLDS, seed: int = 0) -> np.ndarray:
    """Fold of every row, 0 to ``folds`` - 1, so that no group is parted and the folds are about equally large. The largest group
    goes first, each to the fold that is smallest so far; ``seed`` shuffles groups of equal size."""
    names, at, sizes = np.unique(group, return_inverse=True, return_counts=True)
    order = np.random.default_rng(seed).permutation(len(names))
    order = order[np.argsort(-sizes[order], kind="stable")]
    fold_of, load = np.empty(len(names), int), np.zeros(folds)
    for each in order:
        fold_of[each] = np.argmin(load)
        load[fold_of[each]] += sizes[each]
    return fold_of[at]


def deal_rows(group: np.ndarray, folds: int = FOLDS, seed: int = 0) -> np.ndarray:
    """Fold of every row, dealt at random: the trap. Sister glasses land on both sides."""
    return np.random.default_rng(seed).permutation(len(group)) % folds


def group_sizes(group: np.ndarray) -> np.ndarray:
    """Number of rows in the group of every row."""
    _, at, sizes = np.unique(group, return_inverse=True, return_counts=True)
    return sizes[at]


def mean_over_groups(values: np.ndarray, group: np.ndarray) -> float:
    """Mean of the groups' means: every group counts once, however many rows it printed."""
    _, at, sizes = np.unique(group, return_inverse=True, return_counts=True)
    return float(np.mean(np.bincount(at, weights=values) / sizes))
