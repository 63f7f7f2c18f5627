"""Mishaps at the scale."""

from __future__ import annotations

import pytest
from wording import numbers_in

from glazekit.ground.errors import GlazekitError, RangeError, RecipeError
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import batch_sheet
from glazekit.recipe.recipe import Line, Recipe
from glazekit.recipe.weighing import forgotten_item, over_poured

RECIPE = Recipe("Half Clear", {"soda feldspar": 50, "whiting": 30, "kaolin": 20}, {"tin oxide": 5}, "parts")
SHEET = batch_sheet(RECIPE, 100, 0.1)
FELDSPAR, WHITING, KAOLIN, TIN = range(4)


def test_buried_surplus_makes_the_batch_grow() -> None:
    rescue = over_poured(SHEET, {FELDSPAR: 50, WHITING: 36})
    assert (rescue.action, rescue.sheet.base_g) == ("make more", 120)
    assert {line.line.material: line.add_g for line in rescue.lines} == {
        "soda feldspar": 10,
        "whiting": 0,
        "kaolin": 24,
        "tin oxide": 6,
    }
    assert numbers_in(rescue.words) == [120, 100, 10, 24, 6, 126], "new base, old base, what to add; water goes by the new total"


def test_the_worst_of_several_decides() -> None:
    assert over_poured(SHEET, {FELDSPAR: 60, WHITING: 45}).sheet.base_g == 150
    assert over_poured(SHEET, {FELDSPAR: 60, TIN: 10}).sheet.base_g == 200


def test_the_rescued_batch_is_the_same_glaze() -> None:
    rescue = over_poured(SHEET, {WHITING: 37.3})
    in_the_end = {line.line.material: line.in_cup_g + line.add_g for line in rescue.lines}
    for line in SHEET.lines:
        assert in_the_end[line.material] / (rescue.sheet.base_g / SHEET.base_g) == pytest.approx(line.exact_g, rel=0.02)


def test_a_rescue_keeps_the_shelf_of_its_sheet(stock: Stock) -> None:
    sheet = batch_sheet(Recipe("u", {"attic powder": 60, "quartz": 40}), 100, stock=stock.with_unknown("attic powder"))
    assert over_poured(sheet, {1: 50}).sheet.base_g == 125


def test_on_top_it_is_spooned_out() -> None:
    rescue = over_poured(SHEET, {WHITING: 36}, on_top=True)
    assert (rescue.action, rescue.sheet) == ("spoon out", SHEET)
    assert numbers_in(rescue.words) == [6] and "whiting" in rescue.words


def test_within_the_band_nothing_happens() -> None:
    rescue = over_poured(SHEET, {WHITING: 30.3})
    assert (rescue.action, rescue.sheet) == ("carry on", SHEET)
    assert rescue.lines[1].add_g == 0, "30.3 is close enough to 30: nothing to add or take"


def test_a_big_growth_gets_a_second_thought() -> None:
    assert "starting again" in over_poured(SHEET, {WHITING: 60}).words
    assert "starting again" not in over_poured(SHEET, {WHITING: 36}).words


def test_what_does_not_belong_cannot_be_made_to_fit() -> None:
    sheet = batch_sheet(Recipe("z", {"quartz": 100, "talc": 0}))
    with pytest.raises(RecipeError, match="talc has the amount 0"):
        over_poured(sheet, {1: 5})


def test_too_big_to_save() -> None:
    with pytest.raises(RangeError, match="the base mass"):
        over_poured(batch_sheet(RECIPE, 90_000, 1), {WHITING: 60_000})


def test_a_forgotten_item_goes_in_wet() -> None:
    found = forgotten_item(SHEET, "kaolin", water_ml_per_100g=90)
    assert (found.add_g, found.water_ml) == (20, 18)
    assert numbers_in(found.words) == [20, 18] and "kaolin" in found.words
    assert forgotten_item(SHEET, "China clay").add_g == 20, "synonyms count"


def test_a_forgotten_item_when_some_was_used() -> None:
    found = forgotten_item(SHEET, "kaolin", dry_left_g=42.5)  # 85 g went in without it
    assert found.add_g == 10
    assert "50 %" in found.words
    assert "another glaze" in found.words


def test_a_forgotten_item_is_what_the_sheet_says() -> None:
    """Half up as on the sheet, and with what rounding left over: 18.96 + 33.34 + 45.45 + 2.25 on steps of 0.1 g."""
    sheet = batch_sheet(Recipe("r", {"kaolin": 18.96, "quartz": 45.45, "whiting": 33.34, "talc": 2.25}))
    targets = {line.material: line.target_g for line in sheet.lines}
    assert targets["talc"] == 2.3 and targets["quartz"] == 45.4, "the case is one of rounding"
    for material, target_g in targets.items():
        assert forgotten_item(sheet, material).add_g == target_g, material


def test_water_for_a_forgotten_item_is_a_sensible_number() -> None:
    for wrong in (-5, float("nan"), 1e6):
        with pytest.raises(GlazekitError, match="water"):
            forgotten_item(SHEET, "kaolin", water_ml_per_100g=wrong)


def test_a_forgotten_double_counts_both_lines() -> None:
    sheet = batch_sheet(Recipe("d", [("quartz", 60), ("whiting", 30), ("flint", 10)]))
    assert forgotten_item(sheet, "quartz").add_g == 70


def test_a_forgotten_liquid_needs_no_water() -> None:
    sheet = batch_sheet(Recipe("l", {"quartz": 60, "whiting": 40}, [Line("gum solution", 10, "ml")]))
    found = forgotten_item(sheet, "gum solution", dry_left_g=50)
    assert (found.add_g, found.water_ml) == (5, 0)
    assert numbers_in(found.words)[0] == 5 and "gum solution" in found.words


def test_liquids_are_no_part_of_the_powder_left() -> None:
    sheet = batch_sheet(Recipe("l", {"quartz": 60, "whiting": 40}, [Line("gum solution", 10, "ml")]))
    assert forgotten_item(sheet, "whiting", dry_left_g=30).add_g == 20, "half of it, for 30 g of 60 g quartz"


def test_forgetting_what_cannot_be_forgotten() -> None:
    with pytest.raises(RecipeError) as caught:
        forgotten_item(SHEET, "kaolim")
    assert caught.value.hint == "kaolin"
    with pytest.raises(RecipeError, match="all there is"):
        forgotten_item(batch_sheet(Recipe("q", {"quartz": 1})), "quartz")
    with pytest.raises(RangeError, match="the dry powder left"):
        forgotten_item(SHEET, "kaolin", dry_left_g=200)
