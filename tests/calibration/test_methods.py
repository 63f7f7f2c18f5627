"""The methods themselves, on made-up numbers whose answers are known."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from glazekit.calibration.appraisal import standard_errors
from glazekit.calibration.fits import huber_fit
from glazekit.calibration.intervals import (
    DISTANCE_MOST,
    PAIRS_MOST,
    calibrate_change,
    change_half_widths,
    least,
    pairs_of,
    quantile_line,
)
from glazekit.calibration.measurements import (
    Measurements,
    deal_groups,
    deal_rows,
    group_sizes,
    groups_by_publication,
    mean_over_groups,
)
from glazekit.glass.composition import MODEL_OXIDES
from glazekit.glass.properties import property_named


def made_up(groups: int, of_each: int, seed: int, lab_error: float, row_error: float) -> tuple[Measurements, np.ndarray]:
    """Glasses of two oxides and many laboratories, each with an error of its own; and the true factors."""
    rng = np.random.default_rng(seed)
    group = np.repeat(np.arange(groups), of_each)
    shares = np.zeros((len(group), len(MODEL_OXIDES)))
    soda, lime = rng.uniform(0.05, 0.15, len(group)), rng.uniform(0.05, 0.25, len(group))
    shares[:, MODEL_OXIDES.index("Na2O")], shares[:, MODEL_OXIDES.index("CaO")] = soda, lime
    shares[:, MODEL_OXIDES.index("Al2O3")] = 0.05
    shares[:, 0] = 0.95 - soda - lime
    truth = np.zeros(len(MODEL_OXIDES))
    truth[[0, 1, MODEL_OXIDES.index("Na2O"), MODEL_OXIDES.index("CaO")]] = 2.0, 0.0, 40.0, 15.0
    values = shares @ truth + rng.normal(0, lab_error, groups)[group] + rng.normal(0, row_error, len(group))
    nothing = np.full(len(group), np.nan)
    return Measurements(
        property_named("expansion"), shares, values, np.zeros(len(group), bool), group, group, np.arange(len(group)), nothing
    ), truth


def test_gross_errors_do_not_pull() -> None:
    rng = np.random.default_rng(1)
    features = np.column_stack([np.ones(400), rng.uniform(0, 1, 400)])
    values = features @ [2.0, 3.0] + rng.normal(0, 0.05, 400)
    values[:24] += 8.0
    robust = huber_fit(features, values, np.ones(400))
    plain = np.linalg.lstsq(features, values, rcond=None)[0]
    assert robust == pytest.approx([2.0, 3.0], abs=0.05)
    assert abs(plain[0] - 2.0) > 0.2, "without the method they would"


def test_heavier_rows_count_more() -> None:
    features, values = np.ones((4, 1)), np.array([1.0, 1.0, 1.1, 1.1])
    assert huber_fit(features, values, np.array([1.0, 1.0, 1.0, 1.0]))[0] == pytest.approx(1.05, abs=1e-4)
    assert huber_fit(features, values, np.array([1.0, 1.0, 9.0, 9.0]))[0] > 1.08


def test_nine_in_ten_lie_under_the_quantile_line() -> None:
    rng = np.random.default_rng(2)
    x = rng.uniform(0, 4, 20_000)
    values = rng.uniform(0, 1, len(x)) * (1 + x)
    line = quantile_line(np.column_stack([np.ones(len(x)), x]), values, np.ones(len(x)))
    assert line == pytest.approx([0.9, 0.9], abs=0.03)


def test_the_quantile_line_minds_the_weights() -> None:
    values, weights = np.linspace(0.01, 1, 100), np.where(np.arange(100) < 50, 1.0, 0.01)
    assert quantile_line(np.ones((100, 1)), values, weights)[0] == pytest.approx(0.46, abs=0.03)


@pytest.mark.parametrize("bound", [0.003, 0.37, 5.21])
def test_least_finds_the_first_that_is_enough(bound: float) -> None:
    found = least(lambda width: width >= bound, 0.01)
    assert found >= bound and found - 0.01 < bound + 1e-9


def test_folds_never_part_a_group_and_are_about_equal() -> None:
    group = np.repeat(np.arange(60), np.random.default_rng(3).integers(1, 40, 60))
    fold = deal_groups(group, seed=5)
    assert all(len(set(fold[group == each])) == 1 for each in range(60))
    sizes = np.bincount(fold)
    assert len(sizes) == 5 and sizes.max() - sizes.min() <= 0.1 * len(group)
    assert np.array_equal(fold, deal_groups(group, seed=5)) and not np.array_equal(fold, deal_groups(group, seed=6))
    assert any(len(set(deal_rows(group)[group == each])) > 1 for each in range(60)), "rows dealt at random do part them"


def test_one_author_in_one_year_is_one_group() -> None:
    table = pd.DataFrame({"pub": [1, 2, 3, 4], "first_author": ["A", "A", "A", "B"], "year": [1990, 1990, 1991, 1990]})
    group = groups_by_publication(table)
    assert group[1] == group[2] and len({group[1], group[3], group[4]}) == 3


def test_every_group_counts_once() -> None:
    group = np.array([7, 7, 7, 9])
    assert list(group_sizes(group)) == [3, 3, 3, 1]
    assert mean_over_groups(np.array([1.0, 1.0, 1.0, 0.0]), group) == 0.5


def test_the_standard_error_is_that_of_laboratories_not_of_rows() -> None:
    """Ten sister glasses are not ten witnesses: the error of the mean falls with the number of laboratories."""
    sample, _ = made_up(groups=50, of_each=10, seed=4, lab_error=0.4, row_error=0.02)
    silica_and_lime = standard_errors(sample, 60)
    level = 0.4 / np.sqrt(50)
    soda = MODEL_OXIDES.index("Na2O")
    refits = [np.linalg.lstsq(s.shares[:, [0, 1, 4, 7]], s.values, rcond=None)[0] for s in laboratories(300)]
    assert silica_and_lime[soda] == pytest.approx(np.std(refits, axis=0)[2], rel=0.5)
    assert np.std([each @ [0.7, 0.05, 0.1, 0.15] for each in refits]) == pytest.approx(level, rel=0.2)


def laboratories(count: int) -> list[Measurements]:
    return [made_up(groups=50, of_each=10, seed=100 + each, lab_error=0.4, row_error=0.02)[0] for each in range(count)]


def test_differences_inside_a_laboratory_are_known_better() -> None:
    """Made-up laboratories err by 0.4 on everything they print, and by 0.05 from row to row."""
    sample, truth = made_up(groups=40, of_each=20, seed=6, lab_error=0.4, row_error=0.05)
    said = sample.shares @ truth
    pairs = pairs_of(sample, said)
    assert np.abs(said - sample.values).mean() == pytest.approx(0.4 * 0.8, rel=0.3)
    assert np.abs(pairs.errors).mean() == pytest.approx(0.05 * np.sqrt(2) * 0.8, rel=0.1)
    assert pairs.swapped.max() <= DISTANCE_MOST and np.bincount(pairs.group).max() <= PAIRS_MOST
    assert pairs.swapped.min() > 0


def test_a_change_is_never_surer_than_its_floor_and_less_sure_further_away() -> None:
    sample, truth = made_up(groups=60, of_each=20, seed=7, lab_error=0.4, row_error=0.05)
    rule = calibrate_change(pairs_of(sample, sample.shares @ (truth * 1.2)))
    widths = change_half_widths(rule, np.array([0.0, 5.0, 15.0]))
    assert widths[0] >= rule["floor"] > 0.05 and widths[0] < widths[1] < widths[2]


def test_mol_percent_swapped_is_half_the_sum_of_differences() -> None:
    sample, truth = made_up(groups=1, of_each=2, seed=8, lab_error=0.0, row_error=0.0)
    sample.shares[:] = 0.0
    sample.shares[0, :5], sample.shares[1, :5] = (0.8, 0.1, 0, 0, 0.1), (0.76, 0.14, 0, 0, 0.1)
    assert pairs_of(sample, sample.shares @ truth).swapped == pytest.approx([4.0])
