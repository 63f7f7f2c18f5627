"""Whole publications: which belong together, and how they are dealt into folds.

A glaze of yours is a new laboratory, not a new row of an old table. So a fit is tested only on publications it has never seen.
Rows dealt at random leak: sister glasses of the same laboratory stand on both sides, and every model looks better than it is.
"""

import numpy as np
import pandas as pd

FOLDS = 5


def groups_of(publications: pd.DataFrame) -> dict[int, int]:
    """Publication -> group. Publications of one first author and year are one group: often one work printed twice."""
    key = publications["first_author"].fillna("?") + " " + publications["year"].astype(str)
    return dict(zip(publications["pub"], pd.factorize(key)[0], strict=True))


def deal_groups(group: np.ndarray, folds: int = FOLDS, seed: int = 0) -> np.ndarray:
    """Fold of every row, 0 to ``folds`` - 1, so that no group is parted and the folds are about equally large.

    The largest group goes first, each to the fold that is smallest so far; ``seed`` shuffles groups of equal size.
    """
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
