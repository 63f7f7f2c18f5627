"""The viscosity of the melt, log10(viscosity) = A + B / (T - C): 35 coefficients by Levenberg and Marquardt's method.

B and C are sums over 15 oxides (tin counts as zirconia, manganese as half an iron oxide) and four products of oxides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glazekit.calibration.groups import group_sizes
from glazekit.calibration.measurements import Sample
from glazekit.calibration.subsets import alkali, earths, studio_like
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.constants import constant

OWN_TERMS = MODEL_OXIDES[:15]
B_TERMS = (*OWN_TERMS, "Al2O3*R2O")
C_TERMS = (*OWN_TERMS, "Al2O3*RO", "B2O3*R2O", "Na2O*K2O")
TERMS = (("A", "1"), *(("B", term) for term in B_TERMS), *(("C", term) for term in C_TERMS))

WINDOW_K = (1123.0, 1623.0)
WINDOW_LOG10 = (1.0, 7.0)
ROUNDS = 60
_LEAST_GAP_K = 30.0  # T - C while the fit is still on its way
_HUBER = 0.3  # log10(Pa.s)
_OUTSIDE_WINDOW, _STUDIO = 0.3, 2.0  # weights
_ENOUGH = 1e-6


def in_window(sample: Sample) -> np.ndarray:
    """The firing range, 850 to 1350 °C and 1 to 7: the points that count most and that the figures are about."""
    hot = (sample.temp_k >= WINDOW_K[0]) & (sample.temp_k <= WINDOW_K[1])
    return hot & (sample.values >= WINDOW_LOG10[0]) & (sample.values <= WINDOW_LOG10[1])


def melt_features(sample: Sample) -> tuple[np.ndarray, np.ndarray]:
    """Values of ``B_TERMS`` (n, 16) and of ``C_TERMS`` (n, 18)."""
    own = sample.shares[:, :15].copy()
    own[:, OWN_TERMS.index("ZrO2")] += sample["SnO2"]
    own[:, OWN_TERMS.index("Fe2O3")] += sample["MnO"] / 2
    fluxes, lime_kin = alkali(sample.shares), earths(sample.shares)
    alumina, boron = sample["Al2O3"], sample["B2O3"]
    return (
        np.column_stack([own, alumina * fluxes]),
        np.column_stack([own, alumina * lime_kin, boron * fluxes, sample["Na2O"] * sample["K2O"]]),
    )


def melt_weights(sample: Sample) -> np.ndarray:
    """How much a point counts: the window and studio-like glasses more; n points of a glass or n glasses of a group as a root."""
    pairs = np.unique(np.column_stack([sample.group, sample.glass]), axis=0)[:, 0]
    groups, glasses = np.unique(pairs, return_counts=True)
    glasses_of_group = glasses[np.searchsorted(groups, sample.group)]
    counts = np.where(in_window(sample), 1.0, _OUTSIDE_WINDOW) * np.where(studio_like(sample), _STUDIO, 1.0)
    return counts / np.sqrt(group_sizes(sample.glass) * glasses_of_group)


@dataclass(frozen=True, slots=True)
class MeltFit:
    """Coefficients in the order of ``TERMS``."""

    coefficients: np.ndarray

    def predict(self, sample: Sample) -> np.ndarray:
        """log10(viscosity / Pa.s) of every point, with the guards the course uses on B and C."""
        b_features, c_features = melt_features(sample)
        a, b, c = np.split(self.coefficients, [1, 1 + len(B_TERMS)])
        held_b = np.maximum(b_features @ b, constant("vft_b_min"))
        held_c = np.clip(c_features @ c, constant("vft_c_min"), constant("vft_c_max"))
        return a + held_b / np.maximum(sample.temp_k - held_c, 1.0)


def fit_melt(sample: Sample, start: MeltFit | None = None) -> MeltFit:
    """Fit all coefficients to the points without a flag.

    A step solves the linearised problem; it is kept if the weighted errors shrink, and shortened (``damping``) if not. Far points
    pull by their sign only, as in ``huber_fit``.
    """
    clean = sample.where(~sample.flagged)
    b_features, c_features = melt_features(clean)
    weights, cut = melt_weights(clean), 1 + len(B_TERMS)
    scale = np.concatenate([[1.0], np.full(len(B_TERMS), 2000.0), np.full(len(C_TERMS), 150.0)])
    now = _first_guess() if start is None else start.coefficients
    damping, before = 1e-2, np.inf

    def said(p: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        c = np.clip(c_features @ p[cut:], 50.0, constant("vft_c_max"))
        gap, b = np.maximum(clean.temp_k - c, _LEAST_GAP_K), b_features @ p[1:cut]
        return p[0] + b / gap, b, gap

    for _ in range(ROUNDS):
        values, b, gap = said(now)
        errors = values - clean.values
        pull = weights * np.minimum(1.0, _HUBER / np.maximum(np.abs(errors), 1e-9))
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


def _first_guess() -> np.ndarray:
    """A melt like a window glass, whatever its oxides."""
    b = np.where(np.isin(B_TERMS, OWN_TERMS), 5500.0, 0.0)
    c = np.where(np.isin(C_TERMS, OWN_TERMS), 500.0, 0.0)
    return np.concatenate([[-3.2], b, c])
