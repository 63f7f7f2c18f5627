"""The fit ladder: five glazes in order, equally stiff, a real step apart; and the sheet that tells how to use them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from page_reader import Reader, rows_of, told
from wording import spoken, text_of

import glazekit as gk
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.glass.ladder import ALIKE, MATERIALS, MELT_LOG10_PA_S, fit_ladder
from glazekit.glass.melt import viscosity
from glazekit.ground.errors import RangeError
from glazekit.kiln.schedule import Ramp, Schedule
from glazekit.recipe.cautions import cautions_for
from glazekit.sheets.fit_sheets import fit_ladder_html
from glazekit.sheets.frame import words


@pytest.mark.parametrize("peak_c", [1222, 1243, 1285])
def test_five_glazes_equally_stiff_each_shrinking_less_than_the_one_before(peak_c: float) -> None:
    rungs = fit_ladder(peak_c)
    for rung in rungs:
        assert sum(line.amount for line in rung.recipe.base) == pytest.approx(100)
        assert viscosity(rung.recipe, peak_c).value == pytest.approx(MELT_LOG10_PA_S, abs=ALIKE)
        assert rung.expansion.in_range and rung.melt.in_range
    values = [gk.expansion(rung.recipe).value for rung in rungs]
    assert all(0.2 < before - after < 0.8 for before, after in pairwise(values)) and values[0] - values[-1] > 1.4


def test_alkali_goes_out_and_lime_comes_in() -> None:
    formulas = [gk.unity_formula(rung.recipe) for rung in fit_ladder(1222)]
    for before, after in pairwise(formulas):
        assert after.alkali_share < before.alkali_share and after["CaO"] > before["CaO"]
        assert after["B2O3"] == pytest.approx(before["B2O3"], abs=0.01)


def test_over_two_rungs_the_sum_knows_the_way_by_itself() -> None:
    rungs = [rung.recipe for rung in fit_ladder(1222)]
    for upper, lower in zip(rungs, rungs[2:], strict=False):
        change = gk.expansion(lower, upper).change
        assert change and change.value < 0 and change.direction_known


def test_a_firing_in_which_they_cannot_be_equally_stiff_or_clear_is_refused() -> None:
    for peak_c in (900, 1200, 1500):
        with pytest.raises(RangeError):
            fit_ladder(peak_c)


def test_the_sheet_tells_what_to_weigh_for_the_firing_it_is_made_for() -> None:
    own = Schedule([Ramp(1140, 150), Ramp(1243, 60)])
    for html, peak_c in ((fit_ladder_html(), 1222), (fit_ladder_html(own), 1243)):
        rungs = fit_ladder(peak_c)
        table = {row[0]: row[1:] for row in rows_of(html, "card-table")}
        for name in MATERIALS:
            amounts = [next((f"{one.amount:.1f}" for one in rung.recipe.base if one.material == name), "–") for rung in rungs]
            assert table[name] == amounts
        assert table[text_of("sheets.fit_ladder.alpha")] == [f"{rung.expansion.value:.1f}" for rung in rungs]
        said = spoken("sheets.fit_ladder.fire", html)
        assert said and said["peak"] == f"{peak_c}"


def test_the_peak_stands_with_the_cone_and_the_climb_it_belongs_to() -> None:
    """By the course's cone table cone 6 bends at 1222 °C at 60 °C an hour, at 1243 °C at 150 °C an hour."""
    table = {(one.cone, one.rate_c_per_h): one for one in gk.cone_temperatures()}
    assert spoken("sheets.fit_ladder.fire", fit_ladder_html())["cone"] == table["6", 60].text()
    fast = Schedule([Ramp(1243, 150)])
    assert spoken("sheets.fit_ladder.fire", fit_ladder_html(fast))["cone"] == table["6", 150].text()


def test_the_ladder_is_mixed_under_the_cautions_of_all_its_powders_with_its_water() -> None:
    page = Reader(fit_ladder_html())
    every = gk.Recipe("all of them", dict.fromkeys(MATERIALS, 1.0))
    for moment in ("weighing", "mixing"):
        assert all(caution.text[1:] in page.text for caution in cautions_for(every, moment=moment))
    assert any(caution.key == "soluble" for caution in cautions_for(every, moment="mixing"))
    assert spoken("sheets.fit_ladder.mix", page.text) == {"start": "60", "helping": "10"}
    said = told(fit_ladder_html(), "sheets.fit_ladder.settles")
    poor = [
        str(n)
        for n, rung in enumerate(fit_ladder(1222), 1)
        if sum(x.amount for x in rung.recipe.base if x.material == "kaolin") < PLASTIC_CLAY_PCT
    ]
    assert said["rungs"].split(", ") == poor == ["1", "2"]


def test_the_sheet_has_a_box_for_each_look_and_warns_before_the_boiling_water() -> None:
    page = Reader(fit_ladder_html())
    labels = [box["aria-label"] for box in page.all("span") if box.get("role") == "img"]
    looks = words("fit_ladder.look_columns")[1:-1]
    assert len(labels) == len(set(labels)) == 5 * len(looks)
    (scalds,) = words("fit_ladder.cautions")
    assert page.text.index(scalds) < page.text.index(text_of("sheets.fit_ladder.look"))
