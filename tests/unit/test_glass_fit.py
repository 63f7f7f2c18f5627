"""Fit as a chance: the exact formula against drawing lots, the stress against drawing lots, the reference."""

from __future__ import annotations

import csv
from random import Random

import pytest

import glazekit as gk
from glazekit.glass.fit import chance_below
from glazekit.ground.tables import data_dir

CLEAR = {"SiO2": 64.0, "Al2O3": 8.0, "B2O3": 5.0, "Na2O": 4.0, "K2O": 3.0, "CaO": 16.0}
SODA = CLEAR | {"Na2O": 8.0, "CaO": 12.0}
NORMAL_90 = 1.645
KEY = ("expansion", "studio-like", "all")


def draws(glass: dict[str, float], body: float, body_half: float, count: int = 40_000) -> list[float]:
    """Stress drawn from the intervals of everything it depends on [MPa]."""
    random = Random(9)

    def one(value: float, half: float) -> float:
        return random.gauss(value, half / NORMAL_90)

    alpha, modulus, transition = gk.expansion(glass), gk.elastic_modulus(glass), gk.glass_transition(glass)
    return [
        one(modulus.value, modulus.half_width)
        * (one(alpha.value, alpha.half_width) - one(body, body_half))
        * (one(transition.value, transition.half_width) - 20)
        / (1 - one(0.22, 0.02))
        / 1000
        for _ in range(count)
    ]


def chance_supported() -> float:
    """By hand from the table: of an average studio-like publication 90.0 % lie inside, so that 5.0 % lie on one wrong side."""
    with (data_dir() / "property_accuracy.csv").open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if (row["property"], row["subset"], row["kept"]) == KEY]
    (held,) = [float(row["coverage_publications_pct"]) for row in rows]
    return (100 + held) / 200


def test_no_chance_is_surer_than_the_publications_behind_it() -> None:
    for body in (0.5, 19.0):
        fit = gk.fit_chance(CLEAR, body, 0.1, reference=SODA)
        chances = (fit.tension_chance, fit.squeeze_chance, fit.less_than_reference)
        assert fit.most == pytest.approx(chance_supported(), abs=1e-9) and 0.9 < fit.most < 0.99
        assert all(1 - fit.most - 1e-9 <= chance <= fit.most for chance in chances)


def test_too_much_squeeze_is_the_other_side() -> None:
    alpha, limit = gk.expansion(CLEAR), 2.0
    even = gk.fit_chance(CLEAR, alpha.value + limit, 0.25)
    assert even.squeeze_chance == pytest.approx(0.5) and even.tension_chance < 0.1
    chances = [gk.fit_chance(CLEAR, alpha.value + apart, 0.25).squeeze_chance for apart in (-2.0, 1.0, 2.5, 5.0)]
    assert chances == sorted(chances) and chances[0] < 0.1 < 0.9 < chances[-1]
    assert gk.fit_chance(CLEAR | {"SiO2": 44.0, "CaO": 36.0}, 6.5, 0.25).squeeze_chance is None


@pytest.mark.parametrize(("body", "body_half"), [(5.0, 0.25), (6.0, 0.25), (6.6, 0.5), (7.5, 1.0)])
def test_the_exact_chance_agrees_with_drawing_lots(body: float, body_half: float) -> None:
    lots = draws(CLEAR, body, body_half)
    share = sum(stress > 0 for stress in lots) / len(lots)
    most = chance_supported()
    assert gk.fit_chance(CLEAR, body, body_half).tension_chance == pytest.approx(min(max(share, 1 - most), most), abs=0.01)


@pytest.mark.parametrize(("body", "body_half"), [(5.0, 0.25), (6.6, 0.5)])
def test_the_interval_of_the_stress_agrees_with_drawing_lots(body: float, body_half: float) -> None:
    lots = sorted(draws(CLEAR, body, body_half))
    stress = gk.fit_chance(CLEAR, body, body_half).stress_mpa
    spread = lots[int(0.95 * len(lots))] - lots[int(0.05 * len(lots))]
    assert stress.value == pytest.approx(sum(lots) / len(lots), abs=0.03 * spread)
    assert stress.low == pytest.approx(lots[int(0.05 * len(lots))], abs=0.05 * spread)
    assert stress.high == pytest.approx(lots[int(0.95 * len(lots))], abs=0.05 * spread)


def test_one_millionth_of_expansion_is_about_sixty_megapascals() -> None:
    """As worked out for an ordinary clear while the course was planned: 61 MPa for each 1e-6 per K."""
    near, far = gk.fit_chance(CLEAR, 6.0, 0.25).stress_mpa, gk.fit_chance(CLEAR, 5.0, 0.25).stress_mpa
    assert far.value - near.value == pytest.approx(61, abs=10)
    assert 110 < near.high - near.low < 180 and near.unit == "MPa" and near.status == "fitted"
    assert "Poisson" in near.note and "memory" in near.note


def test_even_chances_on_a_body_that_expands_as_much() -> None:
    alpha = gk.expansion(CLEAR).value
    assert gk.fit_chance(CLEAR, alpha, 0.25).tension_chance == pytest.approx(0.5)
    more, less = gk.fit_chance(CLEAR, alpha + 0.5, 0.25), gk.fit_chance(CLEAR, alpha - 0.5, 0.25)
    assert more.tension_chance + less.tension_chance == pytest.approx(1) and more.tension_chance < 0.5


def test_a_less_certain_body_pulls_the_chance_towards_even() -> None:
    sure, unsure = gk.fit_chance(CLEAR, 7.5, 0.1), gk.fit_chance(CLEAR, 7.5, 3.0)
    assert sure.tension_chance < unsure.tension_chance < 0.5


def test_the_reference_is_judged_by_the_change_not_by_two_estimates() -> None:
    fit = gk.fit_chance(SODA, 6.5, 0.25, reference=CLEAR)
    change = gk.expansion(SODA, reference=CLEAR).change
    random = Random(4)
    sigma = (change.high - change.value) / NORMAL_90
    share = sum(random.gauss(change.value, sigma) < 0 for _ in range(40_000)) / 40_000
    assert share < 0.01 and fit.less_than_reference == pytest.approx(1 - chance_supported(), abs=0.001)
    back = gk.fit_chance(CLEAR, 6.5, 0.25, reference=SODA)
    assert back.less_than_reference == pytest.approx(1 - fit.less_than_reference)
    assert gk.fit_chance(CLEAR, 6.5, 0.25, reference=CLEAR).less_than_reference == 0.5
    assert gk.fit_chance(CLEAR, 6.5, 0.25).less_than_reference is None


def test_outside_the_data_there_is_no_chance_and_a_reason() -> None:
    fit = gk.fit_chance(CLEAR | {"SiO2": 44.0, "CaO": 36.0}, 6.5, 0.25, reference=CLEAR)
    assert fit.tension_chance is fit.less_than_reference is fit.stress_mpa.value is None
    assert not fit.in_range and "lime" in fit.note and "lime" in fit.stress_mpa.note
    grey = gk.fit_chance(CLEAR, 6.5, 0.25, seen=["crystals"])
    assert grey.tension_chance is not None and not grey.in_range and not grey.stress_mpa.in_range


@pytest.mark.parametrize("body", [(-1, 0.25), (25, 0.25), (6, -0.1), (float("nan"), 0.2), (6, float("inf"))])
def test_a_body_must_be_one(body: tuple[float, float]) -> None:
    with pytest.raises(gk.GlazekitError, match="body"):
        gk.fit_chance(CLEAR, *body)


def test_a_number_known_exactly_is_below_or_not() -> None:
    assert (chance_below(2.0, 1.0, 0.0), chance_below(1.0, 2.0, 0.0), chance_below(1.0, 1.0, 0.0)) == (1.0, 0.0, 0.5)
