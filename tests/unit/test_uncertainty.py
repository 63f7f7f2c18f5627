"""How sure a formula is: against arithmetic of errors, against numpy, the same in every process, nothing when nothing is off."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from math import sqrt
from statistics import stdev

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

import glazekit as gk
from glazekit.chemistry.uncertainty import Ellipse, Weighing, ellipse_of, sample_unity, spread_of
from glazekit.ground.errors import RangeError, RecipeError
from glazekit.materials.material import OxideSpread, analysis_spread
from glazekit.materials.oxides import FLUXES

SIX = gk.Recipe(
    "six materials",
    {"potash feldspar": 30, "whiting": 18, "dolomite": 6, "kaolin": 15, "quartz": 26, "zinc oxide": 5},
)
TWO = gk.Recipe("lime and quartz", {"whiting": 40, "quartz": 60})
MANY = 20_000
Z = 1.6448536269514722


def quantile_error(deviation: float, count: int) -> float:
    """Standard error of the 5 % and 95 % points of a bell-shaped sample."""
    return sqrt(0.05 * 0.95 / count) / stats.norm.pdf(Z) * deviation


def test_nothing_off_gives_the_formula_itself() -> None:
    sample = sample_unity(SIX, weighing=None, widths=None, draws=50)
    for oxide, moles in gk.unity_formula(SIX).pairs:
        assert sample.column(oxide) == pytest.approx([moles] * 50, rel=1e-12)
    ratio = sample.silica_to_alumina
    assert (ratio.median, ratio.low, ratio.high) == pytest.approx([sample.formula.silica_to_alumina_mol] * 3)
    assert sample.ellipse.half_spans == pytest.approx((0, 0), abs=1e-9)
    assert sample.statuses == ()


def test_one_analysis_off_is_the_bell_curve_of_its_width() -> None:
    """Silica over lime is linear in the quartz's figure, so the interval is the figure's own."""
    off = sample_unity(
        TWO,
        draws=MANY,
        weighing=None,
        widths=lambda m: (OxideSpread("SiO2", 4.0, "", "practice", "practice"),) * (m.name == "quartz"),
    )
    spread, middle = off.spread("SiO2"), off.formula["SiO2"]
    deviation = middle * 0.04 / Z
    allowed = 4 * quantile_error(deviation, MANY)
    assert spread.low == pytest.approx(middle * 0.96, abs=allowed)
    assert spread.high == pytest.approx(middle * 1.04, abs=allowed)
    assert spread.median == pytest.approx(middle, abs=4 * 1.2533 * deviation / sqrt(MANY))
    assert stdev(off.column("SiO2")) == pytest.approx(deviation, rel=4 / sqrt(2 * MANY))


@pytest.mark.parametrize(("base_g", "division_g"), [(100, 0.1), (100, 2), (1000, 5), (20, 0.1)])
def test_weighing_alone_follows_the_arithmetic_of_errors(base_g: float, division_g: float) -> None:
    """Relative variances of a quotient add up; an even spread of half width h has variance h squared over 3."""
    sample = sample_unity(TWO, draws=MANY, weighing=Weighing(base_g, division_g), widths=None)
    variance = 0.0
    for share in (0.40, 0.60):
        target_g = share * base_g
        half_g = max(division_g / 2, 0.05, 0.01 * target_g)
        variance += (half_g / target_g) ** 2 / 3
    assert stdev(sample.column("SiO2")) == pytest.approx(sample.formula["SiO2"] * sqrt(variance), rel=0.03)


def test_an_addition_has_its_own_band() -> None:
    """Colour is weighed to 2 %, the base to 1 %: with lime and iron alone the two show in one quotient."""
    red = gk.Recipe("red lime", {"whiting": 100}, {"red iron oxide": 10}, additions_are="parts")
    sample = sample_unity(red, draws=MANY, weighing=Weighing(100, 0.01), widths=None, include_additions=True)
    expected = sample.formula["Fe2O3"] * sqrt((0.01**2 + 0.02**2) / 3)
    assert stdev(sample.column("Fe2O3")) == pytest.approx(expected, rel=0.03)


def numpy_draws(recipe: gk.Recipe, count: int) -> dict[str, np.ndarray]:
    """The same question asked of numpy, written a second time: 100 g of base on a scale of 0.1 g, by the sheet's bands."""
    chance = np.random.default_rng(7)
    moles: dict[str, np.ndarray] = {}
    for line in recipe.base:
        material = gk.course_stock().find(line.material)
        half_g = max(0.05, 0.01 * line.amount)
        mass_g = chance.uniform(line.amount - half_g, line.amount + half_g, count)
        for one in analysis_spread(material):
            figure = chance.normal(material.oxide_wt_pct[one.oxide], one.half_width_wt_pct / Z, count)
            molar_mass = gk.materials.oxides.OXIDES[one.oxide].molar_mass_g_mol
            moles[one.oxide] = moles.get(one.oxide, 0) + mass_g * figure / 100 / molar_mass
    flux = sum(moles[oxide] for oxide in ("Na2O", "K2O", "MgO", "CaO", "ZnO") if oxide in moles)
    return {oxide: amount / flux for oxide, amount in moles.items()}


@pytest.mark.parametrize(
    "recipe", [SIX, gk.demo_recipe("Gangway Clear"), gk.demo_recipe("Bollard Matte").to_100()], ids=lambda r: r.name
)
def test_against_numpy(recipe: gk.Recipe) -> None:
    sample, reference = sample_unity(recipe, draws=MANY), numpy_draws(recipe, 200_000)
    assert set(sample.draws) == set(reference)
    for oxide, column in reference.items():
        ours, deviation = sample.spread(oxide), float(column.std())
        allowed = 4.5 * quantile_error(deviation, MANY)
        low, median, high = np.quantile(column, [0.05, 0.5, 0.95])
        assert (ours.low, ours.median, ours.high) == pytest.approx((low, median, high), abs=allowed), oxide
    theirs = np.cov(reference["SiO2"], reference["Al2O3"])
    ours = sample.ellipse
    assert ours.variance_x == pytest.approx(theirs[0, 0], rel=5 * sqrt(2 / MANY))
    assert ours.variance_y == pytest.approx(theirs[1, 1], rel=5 * sqrt(2 / MANY))
    assert ours.covariance == pytest.approx(theirs[0, 1], abs=5 * sqrt(2 * theirs[0, 0] * theirs[1, 1] / MANY))
    ratio = np.quantile(reference["SiO2"] / reference["Al2O3"], [0.05, 0.95])
    assert (sample.silica_to_alumina.low, sample.silica_to_alumina.high) == pytest.approx(ratio, rel=0.005)


def reach_of(points: np.ndarray, centre: tuple[float, float], covariance: np.ndarray) -> np.ndarray:
    """Squared distance of points from a centre, in units of a covariance."""
    apart = points - np.array(centre)
    return np.einsum("ij,jk,ik->i", apart, np.linalg.inv(covariance), apart)


NINE_IN_TEN = stats.chi2.ppf(0.90, 2)


@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=5, max_size=40, unique=True))
def test_ellipse_against_linear_algebra(points: list[tuple[float, float]]) -> None:
    x, y = zip(*points, strict=True)
    ellipse, covariance = ellipse_of(x, y), np.cov(x, y)
    assert np.square(ellipse.half_spans) == pytest.approx(NINE_IN_TEN * np.diag(covariance), abs=1e-12)
    edge = np.array(ellipse.points(60))
    assert edge[:, 0].max() - np.mean(x) == pytest.approx(ellipse.half_spans[0], rel=1e-6, abs=1e-12)
    if np.linalg.cond(covariance) < 1e8:
        assert reach_of(edge, (np.mean(x), np.mean(y)), covariance) == pytest.approx(NINE_IN_TEN, rel=1e-4)


def test_the_edge_of_an_ellipse_is_drawn_all_round_and_of_a_line_along_it() -> None:
    round_ = Ellipse(0, 0, variance_x=0.04, variance_y=0.01, covariance=0.01).points(8)
    assert len(set(round_)) == 8 and max(y for _, y in round_) == pytest.approx(-min(y for _, y in round_))
    upright = Ellipse(1, 2, variance_x=0.0, variance_y=0.01, covariance=0.0)
    assert {x for x, _ in upright.points(8)} == {1} and max(y for _, y in upright.points(8)) == pytest.approx(
        2 + upright.half_spans[1]
    )


def test_nine_of_ten_draws_lie_in_the_ellipse() -> None:
    sample = sample_unity(SIX, draws=MANY)
    ellipse = sample.ellipse
    covariance = np.array([[ellipse.variance_x, ellipse.covariance], [ellipse.covariance, ellipse.variance_y]])
    drawn = np.column_stack([sample.column("SiO2"), sample.column("Al2O3")])
    inside = reach_of(drawn, (ellipse.centre_x, ellipse.centre_y), covariance) <= NINE_IN_TEN
    assert inside.mean() == pytest.approx(0.90, abs=0.012)
    with pytest.raises(RangeError, match="two"):
        ellipse_of([1.0], [1.0])
    with pytest.raises(RangeError, match="two"):
        spread_of("x", [1.0])


@given(st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=60))
def test_median_and_interval_against_numpy(values: list[float]) -> None:
    spread = spread_of("x", values)
    assert (spread.low, spread.median, spread.high) == pytest.approx(tuple(np.quantile(values, [0.05, 0.5, 0.95])), abs=1e-6)


SCRIPT = """
import json
import glazekit as gk
from glazekit.chemistry.uncertainty import sample_unity
print(json.dumps(dict(sample_unity(gk.demo_recipe("Timetable Satin"), draws=40, seed=11, include_additions=True).draws)))
"""


def test_the_same_draws_in_every_process_and_others_for_another_seed() -> None:
    said = []
    for hash_seed in ("0", "4321"):
        environment = os.environ | {"PYTHONHASHSEED": hash_seed}
        run = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, env=environment, check=True, timeout=60)
        said.append(json.loads(run.stdout))
    here = sample_unity(gk.demo_recipe("Timetable Satin"), draws=40, seed=11, include_additions=True)
    assert said[0] == said[1] == json.loads(json.dumps(dict(here.draws)))
    other = sample_unity(gk.demo_recipe("Timetable Satin"), draws=40, seed=12, include_additions=True)
    assert other.column("SiO2") != here.column("SiO2")


def test_every_draw_is_a_unity_formula() -> None:
    sample = sample_unity(gk.demo_recipe("Deck Green"), draws=100)
    assert [sum(fluxes) for fluxes in zip(*map(sample.column, FLUXES), strict=True)] == pytest.approx([1] * 100)
    assert sample.column("BaO") == (0.0,) * 100
    with pytest.raises(RangeError) as caught:
        sample.column("SiO3")
    assert caught.value.hint == "SiO2"


def test_a_spread_says_its_median_and_its_ends() -> None:
    spread = spread_of("ten silica", [10.0, 20.0, 30.0], "things")
    assert [float(number) for number in re.findall(r"\d+\.\d+", str(spread))] == [20.0, 11.0, 29.0]
    assert str(spread).startswith(spread.quantity) and str(spread).endswith(spread.unit)


def test_one_bag_for_two_lines_of_one_material() -> None:
    twice = gk.Recipe("twice", [("whiting", 40), ("quartz", 30), ("flint", 30)])
    once, split = sample_unity(TWO, weighing=None), sample_unity(twice, weighing=None)
    assert split.column("SiO2") == pytest.approx(once.column("SiO2"))


def test_a_bag_with_its_own_analysis_narrows_the_interval() -> None:
    bag = gk.Material("kaolin", "bag", {"SiO2": 46.5, "Al2O3": 39.5}, loi_wt_pct_raw=13.9, source="bag", status="seen")
    clay = gk.Recipe("clay and lime", {"kaolin": 70, "whiting": 30})
    generic = sample_unity(clay, weighing=None)
    own = sample_unity(clay, weighing=None, stock=gk.course_stock().with_materials([bag]))
    width = [s.spread("Al2O3").high - s.spread("Al2O3").low for s in (generic, own)]
    assert width[1] < 0.7 * width[0]
    assert generic.statuses == ("practice",)
    assert sample_unity(gk.demo_recipe("Gangway Clear")).statuses == ("practice", "invented")


UNRULY = ("wood ash", "rock salt", "silicon carbide")
"""No two lots alike; leaves as vapour; does not burn through."""


def test_every_material_of_the_course_has_widths() -> None:
    for material in gk.course_stock():
        widths = {one.oxide: one for one in analysis_spread(material)}
        assert set(widths) == set(material.oxide_wt_pct)
        for oxide, one in widths.items():
            widest = 0.5 if material.name in UNRULY else 0.15
            assert 0 < one.half_width_wt_pct <= max(0.5, widest * material.oxide_wt_pct[oxide], 2 * (widest == 0.5))
            assert one.status in ("practice", "invented", "memory") and one.reason
    by_name = {one.oxide: one.half_width_wt_pct for one in analysis_spread(gk.course_stock().find("potash feldspar"))}
    assert by_name["K2O"] == pytest.approx(0.12 * 16.92, abs=0.01), "the material's row, not the 2 % of its kind"


def test_a_scale_too_coarse_to_reckon_with() -> None:
    with pytest.raises(RecipeError, match="finer scale"):
        sample_unity(
            gk.Recipe("tiny", {"whiting": 0.1, "quartz": 99.9}),
            weighing=Weighing(1, 50),
            draws=2000,
            widths=lambda m: (OxideSpread("CaO", 5000.0, "", "", ""),) * (m.name == "whiting"),
        )


@pytest.mark.parametrize(
    ("change", "says"),
    [({"draws": 0}, "number of draws"), ({"draws": 10**9}, "number of draws")],
)
def test_numbers_that_make_no_sense(change: dict[str, int], says: str) -> None:
    with pytest.raises(RangeError, match=says):
        sample_unity(SIX, **change)
    with pytest.raises(RangeError, match="base mass"):
        Weighing(base_g=0)
