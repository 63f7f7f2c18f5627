"""Slip, bucket and coat."""

from __future__ import annotations

import pytest
from wording import numbers_in

from glazekit.ground.errors import NumberError, RangeError, UnknownMaterialError
from glazekit.materials.stock import course_stock
from glazekit.recipe.recipe import Line, Recipe
from glazekit.water.bucket import DRAW_OFF, bucket_correction, forgotten_water
from glazekit.water.slip import (
    coat_factor_mm_per_root_s,
    coat_mm,
    dry_g_from_weighing,
    powder_density_g_ml_of,
    slip_density_g_ml,
    water_density_g_ml,
    water_ml_per_100g_from_density,
    water_to_reach_density,
    without_density,
)

PLAIN = Recipe("plain", {"soda feldspar": 60, "whiting": 40})
SOLUBLE = Recipe("soluble", {"nepheline syenite": 60, "whiting": 30, "lithium carbonate": 10})


def test_clear_water_is_no_slip() -> None:
    for density in (1.0, 0.9):
        with pytest.raises(RangeError, match=r"above 1 \(clear water\)"):
            water_ml_per_100g_from_density(density)
    with pytest.raises(RangeError, match="clear water"):
        dry_g_from_weighing(98, 100)


def test_nothing_is_heavier_than_its_powder() -> None:
    assert water_ml_per_100g_from_density(2.6) == 0
    with pytest.raises(RangeError, match="solid powder"):
        water_ml_per_100g_from_density(2.7)


def test_grams_per_litre_are_recognised() -> None:
    with pytest.raises(RangeError, match="grams per litre"):
        water_ml_per_100g_from_density(1480)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), "90", True])
def test_no_numbers(bad: object) -> None:
    with pytest.raises(NumberError, match="the water"):
        slip_density_g_ml(bad)  # type: ignore[arg-type]


def test_warm_water_makes_a_lighter_slip() -> None:
    assert slip_density_g_ml(90, water_temp_c=35) < slip_density_g_ml(90, water_temp_c=5) < slip_density_g_ml(90)
    assert dry_g_from_weighing(148, 100, water_temp_c=20) - dry_g_from_weighing(148, 100) == pytest.approx(0.20, abs=0.02)


@pytest.mark.parametrize("temp_c", [-1, 41, float("nan")])
def test_water_temperatures_outside_the_range(temp_c: float) -> None:
    with pytest.raises((RangeError, NumberError), match="the water temperature"):
        water_density_g_ml(temp_c)


def test_water_is_densest_at_four_degrees() -> None:
    steps = [tenth / 10 for tenth in range(401)]
    assert max(steps, key=water_density_g_ml) == pytest.approx(4, abs=0.3)


def test_water_to_add_and_to_take_away() -> None:
    target = slip_density_g_ml(90)
    assert water_to_reach_density(250, 150, target) == pytest.approx(75)
    assert water_to_reach_density(250, 300, target) == pytest.approx(-75)


def test_powder_density_from_materials() -> None:
    recipe = Recipe("p", {"quartz": 50, "whiting": 50}, [Line("gum solution", 30, "ml")])
    assert powder_density_g_ml_of(recipe) == pytest.approx(100 / (50 / 2.65 + 50 / 2.71))
    heavy = Recipe("p", {"quartz": 50, "whiting": 50}, {"zircon": 20})
    assert powder_density_g_ml_of(heavy) > powder_density_g_ml_of(recipe)


def test_materials_without_a_density_count_as_the_default() -> None:
    recipe = Recipe("p", {"calcined kaolin": 60, "bentonite": 40})
    assert powder_density_g_ml_of(recipe) == pytest.approx(2.6)
    assert without_density(recipe) == ("calcined kaolin", "bentonite")
    with pytest.raises(UnknownMaterialError):
        powder_density_g_ml_of(Recipe("p", {"attic powder": 1}))


def test_too_thick_gets_water() -> None:
    found = bucket_correction(1.55, 1.45, 4000, PLAIN)
    # two litres of water weigh what they displace: mix the old slip and the water and weigh again
    assert (1.55 * 4000 + found.water_ml) / (4000 + found.water_ml) == pytest.approx(1.45)
    assert found.action == "add water"
    assert found.recipe_g == 0
    assert f"add {found.water_ml:.0f} mL" in found.words


def test_too_thin_is_drawn_off_or_fed() -> None:
    found = bucket_correction(1.35, 1.45, 4000, PLAIN)
    away_ml, dry_ml = -found.water_ml, found.recipe_g / 2.6
    assert found.action == DRAW_OFF
    assert (1.35 * 4000 - away_ml) / (4000 - away_ml) == pytest.approx(1.45)
    assert (1.35 * 4000 + found.recipe_g) / (4000 + dry_ml) == pytest.approx(1.45)
    assert "draw off" in found.words
    assert "whole recipe" in found.words


def test_soluble_recipes_evaporate_instead() -> None:
    found = bucket_correction(1.35, 1.45, 4000, SOLUBLE)
    assert found.soluble == ("nepheline syenite", "lithium carbonate")
    assert found.action == "let evaporate"
    assert all(name in found.words for name in found.soluble)
    assert "evaporate" in found.words and "settle" not in found.words
    assert found.water_ml == bucket_correction(1.35, 1.45, 4000, PLAIN).water_ml


def test_an_unknown_bucket_says_when_not_to_draw_off() -> None:
    assert "soluble" in bucket_correction(1.35, 1.45, 4000).words
    assert "soluble" not in bucket_correction(1.35, 1.45, 4000, PLAIN).words


def test_nobody_knows_whether_an_unknown_material_dissolves() -> None:
    recipe = Recipe("odd", {"quartz": 60, "whiting": 30, "moon dust": 10})
    found = bucket_correction(1.35, 1.45, 4000, recipe, course_stock().with_unknown("moon dust"))
    assert found.action == "let evaporate" and found.soluble == ()
    assert "moon dust" in found.words and "evaporate" in found.words


def test_a_bucket_is_not_brought_to_solid_powder() -> None:
    with pytest.raises(RangeError, match=r"a slip of 2\.6 g/mL is solid powder"):
        bucket_correction(1.35, 2.6, 1000)


def test_a_liquid_given_in_grams_is_no_powder() -> None:
    dry = Recipe("q", {"quartz": 100})
    wet = Recipe("q", {"quartz": 100}, {"gum solution": 50}, "parts")
    assert powder_density_g_ml_of(wet) == powder_density_g_ml_of(dry) and without_density(wet) == ()


def test_close_enough_is_left_alone() -> None:
    found = bucket_correction(1.452, 1.45, 4000)
    assert (found.action, found.water_ml, found.recipe_g) == ("leave it", 0, 0)
    assert bucket_correction(1.457, 1.45, 4000).action == "add water"


def test_forgotten_water_is_found_again() -> None:
    water = 87.0
    slip_g = 100 * slip_density_g_ml(water)
    found = forgotten_water(505, slip_g, 100)
    assert found.water_ml_per_100g == pytest.approx(water)
    assert found.water_ml == pytest.approx(505 * 0.87)
    assert numbers_in(found.words)[:2] == [87, 100]


def test_four_times_the_dip_is_twice_the_coat() -> None:
    k = coat_factor_mm_per_root_s(0.62, 4)
    assert coat_mm(4, k) == pytest.approx(0.62)
    assert coat_mm(16, k) == pytest.approx(1.24)


@pytest.mark.parametrize(("measured_mm", "dip_s"), [(0, 3), (11, 3), (0.5, 0), (0.5, 121)])
def test_coats_that_make_no_sense(measured_mm: float, dip_s: float) -> None:
    with pytest.raises(RangeError):
        coat_factor_mm_per_root_s(measured_mm, dip_s)
