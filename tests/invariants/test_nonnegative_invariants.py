"""Least squares without negatives against a numerical library, on ordinary and on awkward problems."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import nnls

from glazekit.chemistry.nonnegative import nonnegative_least_squares

KINDS = ("ordinary", "all positive", "doubled columns", "many zeros", "of low rank", "exact", "nearly alike", "wide scales")


def problem(seed: int) -> tuple[np.ndarray, np.ndarray]:
    random = np.random.default_rng(seed)
    kind = KINDS[seed % len(KINDS)]
    rows, count = int(random.integers(1, 15)), int(random.integers(1, 15))
    matrix = random.normal(size=(rows, count))
    if kind in ("all positive", "exact"):
        matrix = np.abs(matrix)
    if kind == "doubled columns":
        matrix[:, -1] = matrix[:, 0]
        matrix[:, count // 2] = 0.0
    if kind == "many zeros":
        matrix *= random.random(matrix.shape) < 0.4
    if kind == "of low rank":
        rank = int(random.integers(1, 3))
        matrix = random.normal(size=(rows, rank)) @ random.normal(size=(rank, count))
    if kind == "nearly alike":
        matrix = random.normal(size=(rows, 1)) + 1e-5 * matrix
    if kind == "wide scales":
        matrix *= 10.0 ** random.uniform(-3, 3, size=count)
    goal = random.normal(size=rows)
    if kind == "exact":
        goal = matrix @ (random.exponential(size=count) * (random.random(count) < 0.6))
    return matrix, goal


def check(seed: int) -> None:
    matrix, goal = problem(seed)
    amounts, residual = nonnegative_least_squares(matrix.T.tolist(), goal.tolist())
    assert min(amounts) >= 0
    size = 1 + float(np.linalg.norm(goal))
    assert np.linalg.norm(goal - matrix @ amounts - residual) < 1e-8 * size, "the residual is the residual"
    theirs, _ = nnls(matrix, goal, maxiter=1000)
    # Their residual is worked out from their amounts: at low rank the amounts can reach 1e14, and the residual they report
    # is then better than any that exists.
    least = np.linalg.norm(goal - matrix @ theirs)
    assert np.linalg.norm(residual) <= least + 1e-8 * size, (seed, KINDS[seed % len(KINDS)])


def test_300_random_problems_as_near_as_scipy() -> None:
    for seed in range(300):
        check(seed)


@pytest.mark.slow
def test_10_000_random_problems_as_near_as_scipy() -> None:
    for seed in range(300, 10_300):
        check(seed)


@given(
    st.integers(1, 6).flatmap(
        lambda rows: st.tuples(
            st.lists(st.lists(st.integers(-3, 3), min_size=rows, max_size=rows), min_size=1, max_size=7),
            st.lists(st.integers(-3, 3), min_size=rows, max_size=rows),
        )
    )
)
def test_small_whole_numbers_bring_ties_and_still_end_at_the_optimum(case: tuple[list[list[float]], list[float]]) -> None:
    """At the optimum no unused column slopes towards the goal and every used one stands square on the residual."""
    columns, goal = case
    amounts, residual = nonnegative_least_squares(columns, goal)
    for column, amount in zip(columns, amounts, strict=True):
        slope = float(np.dot(column, residual))
        assert amount >= 0
        assert slope < 1e-9
        assert amount == 0 or abs(slope) < 1e-9
