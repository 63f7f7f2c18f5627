"""The models fitted: sums over oxides by weighted least squares in which a gross error cannot pull far, the viscosity; rivals.

log10(viscosity) = A + B / (T - C) has 35 coefficients, found by Levenberg and Marquardt's method: B and C are sums over 15 oxides
(tin counts as zirconia, manganese as half an iron oxide) and four products of oxides. The rivals are three classic systems of
expansion factors, mostly from memory, and a model without chemistry.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from glazekit.calibration.measurements import Measurements, group_sizes, scored, studio_like
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.melt import RELATIVES
from glazekit.glass.properties import Property, constant
from glazekit.ground.tables import Row, read_table
from glazekit.materials.oxides import OXIDES

STUDIO_WEIGHT = 3.0
_ROUNDS = 60
_HUBER = 1.345  # in robust standard deviations: from here on an error pulls by its sign only
_RIDGE = 1e-7
OWN_TERMS = tuple(oxide for oxide in MODEL_OXIDES if oxide not in RELATIVES)
B_TERMS = (*OWN_TERMS, "Al2O3*R2O")
C_TERMS = (*OWN_TERMS, "Al2O3*RO", "B2O3*R2O", "Na2O*K2O")
TERMS = (("A", "1"), *(("B", term) for term in B_TERMS), *(("C", term) for term in C_TERMS))
_LEAST_GAP_K = 30.0  # T - C while the fit is still on its way
_MELT_HUBER = 0.3  # log10(Pa.s)
_OUTSIDE_WINDOW, _STUDIO = 0.3, 2.0  # weights
_ENOUGH = 1e-6


def huber_fit(features: np.ndarray, values: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Coefficients b of values = features @ b, by Huber's method: least squares over and over, with less weight for far rows."""
    ridge = np.eye(features.shape[1]) * _RIDGE * len(values)
    pull, coefficients = weights, np.zeros(features.shape[1])
    for _ in range(_ROUNDS):
        weighted = features * pull[:, None]
        new = np.linalg.solve(features.T @ weighted + ridge, weighted.T @ values)
        if np.abs(new - coefficients).max() < 1e-7 * max(1.0, np.abs(new).max()):
            break
        errors = np.abs(values - features @ new)
        reach = _HUBER * 1.4826 * np.median(errors)
        coefficients, pull = new, weights * np.minimum(1.0, reach / np.maximum(errors, 1e-12))
    return new


@dataclass(frozen=True, slots=True)
class SumFit:
    """One factor for each of ``MODEL_OXIDES`` [unit of the property per mole fraction]."""

    coefficients: np.ndarray

    def predict(self, sample: Measurements) -> np.ndarray:
        """The property of every glass."""
        return np.asarray(sample.shares @ self.coefficients)


def fit_sum(sample: Measurements, studio_weight: float = STUDIO_WEIGHT) -> SumFit:
    """Fit to the rows without a flag; a borrower's shares are added to those of its relative. A studio-like glass counts three
    times, and n rows of one group as their square root."""
    clean, borrows = sample.where(~sample.flagged), relatives(sample.about)
    own = [oxide for oxide in MODEL_OXIDES if oxide not in borrows]
    merge = np.array([[float(borrows.get(oxide, oxide) == mine) for mine in own] for oxide in MODEL_OXIDES])
    weights = np.where(studio_like(clean), studio_weight, 1.0) / np.sqrt(group_sizes(clean.group))
    return SumFit(merge @ huber_fit(clean.shares @ merge, clean.values, weights))


def relatives(about: Property) -> dict[str, str]:
    """An oxide too rarely measured for a factor of its own -> the relative whose factor it takes."""
    return dict(pair.split(" as ") for pair in about.borrows.split("; ") if pair)


def melt_features(sample: Measurements) -> tuple[np.ndarray, np.ndarray]:
    """Values of ``B_TERMS`` (n, 16) and of ``C_TERMS`` (n, 18)."""
    own = {oxide: sample[oxide] for oxide in OWN_TERMS}
    for oxide, (relative, part) in RELATIVES.items():
        own[relative] = own[relative] + part * sample[oxide]

    def values(term: str) -> np.ndarray:
        first, _, second = term.partition("*")
        return sample[first] * sample[second] if second else own[first]

    b_features, c_features = (np.column_stack([values(term) for term in terms]) for terms in (B_TERMS, C_TERMS))
    return b_features, c_features


def melt_weights(sample: Measurements) -> np.ndarray:
    """How much a point counts: the window and studio-like glasses more; n points of a glass or n glasses of a group as a root."""
    pairs = np.unique(np.column_stack([sample.group, sample.glass]), axis=0)[:, 0]
    groups, glasses = np.unique(pairs, return_counts=True)
    glasses_of_group = glasses[np.searchsorted(groups, sample.group)]
    counts = np.where(scored(sample), 1.0, _OUTSIDE_WINDOW) * np.where(studio_like(sample), _STUDIO, 1.0)
    return np.asarray(counts / np.sqrt(group_sizes(sample.glass) * glasses_of_group))


@dataclass(frozen=True, slots=True)
class MeltFit:
    """Coefficients in the order of ``TERMS``."""

    coefficients: np.ndarray

    def predict(self, sample: Measurements) -> np.ndarray:
        """log10(viscosity / Pa.s) of every point, with the guards the course uses on B and C."""
        b_features, c_features = melt_features(sample)
        a, b, c = np.split(self.coefficients, [1, 1 + len(B_TERMS)])
        held_b = np.maximum(b_features @ b, constant("vft_b_min"))
        held_c = np.clip(c_features @ c, constant("vft_c_min"), constant("vft_c_max"))
        return np.asarray(a + held_b / np.maximum(sample.temp_k - held_c, 1.0))


def fit_melt(sample: Measurements) -> MeltFit:
    """Fit all coefficients to the points without a flag. A step solves the linearised problem; it is kept if the weighted errors
    shrink, and shortened (``damping``) if not. Far points pull by their sign only."""
    clean = sample.where(~sample.flagged)
    b_features, c_features = melt_features(clean)
    weights, cut = melt_weights(clean), 1 + len(B_TERMS)
    scale = np.concatenate([[1.0], np.full(len(B_TERMS), 2000.0), np.full(len(C_TERMS), 150.0)])
    b_guess, c_guess = (np.where(np.isin(terms, OWN_TERMS), like, 0.0) for terms, like in ((B_TERMS, 5500.0), (C_TERMS, 500.0)))
    now = np.concatenate([[-3.2], b_guess, c_guess])  # a melt like a window glass, whatever its oxides
    damping, before = 1e-2, np.inf

    def said(p: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        c = np.clip(c_features @ p[cut:], 50.0, constant("vft_c_max"))
        gap, b = np.maximum(clean.temp_k - c, _LEAST_GAP_K), b_features @ p[1:cut]
        return p[0] + b / gap, b, gap

    for _ in range(_ROUNDS):
        values, b, gap = said(now)
        errors = values - clean.values
        pull = weights * np.minimum(1.0, _MELT_HUBER / np.maximum(np.abs(errors), 1e-9))
        slopes = np.column_stack([np.ones(len(clean)), b_features / gap[:, None], c_features * (b / gap**2)[:, None]]) * scale
        weighted = slopes * pull[:, None]
        normal, gradient, loss = slopes.T @ weighted, weighted.T @ errors, float(pull @ errors**2)
        for _ in range(10):
            ridge = np.diag(damping * np.diag(normal) + 1e-9)
            tried = now - scale * np.linalg.solve(normal + ridge, gradient)
            if pull @ (said(tried)[0] - clean.values) ** 2 < loss:
                damping, now = max(damping / 4, 1e-8), tried
                break
            damping *= 4
        if abs(before - loss) < _ENOUGH * loss:
            break
        before = loss
    return MeltFit(now)


COUNT = 3
SYSTEMS = ("Winkelmann and Schott, 1894", "English and Turner, 1927", "Appen, 1949")
BY_MOLES = SYSTEMS[2]
CUBIC = SYSTEMS[0]
MOST_UNKNOWN = 0.005
"""A glass with a larger share by moles of oxides without a factor is not covered."""


def predict_classic(system: str, sample: Measurements) -> tuple[np.ndarray, np.ndarray]:
    """Linear expansion [1e-6/K] by a system of ``SYSTEMS``, and for which glasses it has all factors it needs."""
    rows = {row["oxide"]: row for row in read_table("classic_factors") if row["system"] == system}
    known = np.array([oxide in rows for oxide in MODEL_OXIDES])
    covered = sample.shares[:, ~known].sum(axis=1) <= MOST_UNKNOWN
    amounts = sample.shares
    if system != BY_MOLES:
        masses = amounts * [OXIDES[oxide].molar_mass_g_mol for oxide in MODEL_OXIDES]
        amounts = 100 * masses / masses.sum(axis=1, keepdims=True)
    factors = np.column_stack([_factor(rows[oxide], sample) for oxide in MODEL_OXIDES if oxide in rows])
    values = (factors * amounts[:, known]).sum(axis=1)
    return values / 10 / (3 if system == CUBIC else 1), covered


def _factor(row: Row, sample: Measurements) -> np.ndarray:
    """A factor for every glass; where it has a rule, it changes by ``slope`` for each step beyond ``limit``."""
    if row["limit"] is None:
        return np.full(len(sample), row["factor"])
    if row["oxide"] == "B2O3":
        ratio = (sample["R2O+RO"] - sample["Al2O3"]) / np.maximum(sample["B2O3"], 1e-9)
        return np.asarray(np.minimum(row["factor"] + row["slope"] * np.minimum(ratio - row["limit"], 0.0), 0.0))
    return np.asarray(row["factor"] + row["slope"] * np.maximum(100 * sample["SiO2"] - row["limit"], 0.0))


@dataclass(frozen=True, slots=True)
class Neighbours:
    """A model without chemistry, the middle of the three most similar glasses without a flag: how random folds deceive."""

    remembered: Measurements

    def predict(self, sample: Measurements) -> np.ndarray:
        """The median of the ``COUNT`` nearest glasses."""
        known = self.remembered.where(~self.remembered.flagged)
        _, at = cKDTree(known.shares).query(sample.shares, k=COUNT)
        return np.asarray(np.median(known.values[at], axis=1))
