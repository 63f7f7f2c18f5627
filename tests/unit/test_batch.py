"""The batch sheet: rounding, bands, what the scale cannot see, and the largest batch."""

from __future__ import annotations

import copy
import pickle

import pytest
from wording import numbers_in

from glazekit.ground.errors import NumberError, RangeError, RecipeError, UnknownMaterialError
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchLine, BatchSheet, band_g, batch_sheet, largest_batch
from glazekit.recipe.recipe import Line, Recipe

CLEAR = Recipe(
    "Gangway Clear",
    {"soda feldspar": 26, "calcium borosilicate frit": 25, "whiting": 14, "kaolin": 13, "quartz": 22},
    {"red iron oxide": 2},
    "parts",
)
THIRDS = Recipe("thirds", {"quartz": 1, "whiting": 1, "kaolin": 1})


def line_of(sheet: BatchSheet, material: str) -> BatchLine:
    return next(line for line in sheet.lines if line.material == material)


def test_additions_stand_on_top_of_the_base() -> None:
    sheet = batch_sheet(CLEAR, 500)
    assert [(line.material, line.part, line.target_g) for line in sheet.lines] == [
        ("soda feldspar", "base", 130),
        ("calcium borosilicate frit", "base", 125),
        ("whiting", "base", 70),
        ("kaolin", "base", 65),
        ("quartz", "base", 110),
        ("red iron oxide", "addition", 10),
    ]
    assert (sheet.base_total_g, sheet.total_g, sheet.leftover_g, sheet.warnings) == (500, 510, 0, ())


def test_parts_shrink_with_the_base_and_percent_does_not() -> None:
    base = {"quartz": 150, "whiting": 100}
    assert line_of(batch_sheet(Recipe("p", base, {"tin oxide": 5}, "parts"), 1000), "tin oxide").target_g == 20
    assert line_of(batch_sheet(Recipe("p", base, {"tin oxide": 5}, "percent_of_base"), 1000), "tin oxide").target_g == 50


def test_unclear_additions_are_asked_about() -> None:
    with pytest.raises(RecipeError, match=r"250.*tin oxide.*parts.*percent of base"):
        batch_sheet(Recipe("p", {"quartz": 150, "whiting": 100}, {"tin oxide": 5}))


def test_the_leftover_goes_onto_the_largest_base_line() -> None:
    sheet = batch_sheet(Recipe("thirds", {"quartz": 1, "whiting": 1, "kaolin": 1.0001}), 100, 0.1)
    assert [line.target_g for line in sheet.lines] == [33.3, 33.3, 33.4]
    assert sheet.leftover_g == 0.1
    assert sheet.base_total_g == 100


def test_a_negative_leftover_is_taken_from_the_largest() -> None:
    sheet = batch_sheet(Recipe("n", {"quartz": 40.2, "whiting": 20.6, "kaolin": 19.6, "talc": 19.6}), 100, 1)
    assert [line.target_g for line in sheet.lines] == [39, 21, 20, 20]
    assert sheet.leftover_g == -1


def test_the_band_moves_with_the_leftover() -> None:
    kaolin = batch_sheet(Recipe("thirds", {"quartz": 1, "whiting": 1, "kaolin": 1.0001}), 100, 0.1).lines[2]
    assert (kaolin.low_g, kaolin.high_g) == pytest.approx((33.4 * 0.99, 33.4 * 1.01))


@pytest.mark.parametrize(
    ("target_g", "part", "division_g", "low", "high"),
    [
        (13, "base", 0.01, 12.87, 13.13),  # 1 %
        (2, "base", 0.01, 1.95, 2.05),  # 0.05 g
        (2, "base", 0.2, 1.9, 2.1),  # half a division
        (10, "addition", 0.01, 9.8, 10.2),  # 2 %
        (0.4, "addition", 0.01, 0.38, 0.42),  # 0.02 g
        (0.4, "addition", 0.1, 0.35, 0.45),  # half a division
        (0.02, "base", 0.01, 0.0, 0.07),  # never below nothing
    ],
)
def test_bands(target_g: float, part: str, division_g: float, low: float, high: float) -> None:
    assert band_g(target_g, part, division_g) == pytest.approx((low, high))


def test_a_coarse_scale_is_named_with_the_way_out() -> None:
    sheet = batch_sheet(CLEAR, 100, 0.1)  # 2 g of iron on a 0.1 g scale: one step is 5 %
    (iron,) = [line for line in sheet.lines if line.coarse]
    (warning,) = sheet.warnings
    assert iron.part == "addition" and iron.material in warning
    assert numbers_in(warning) == [iron.target_g, 0.1, 2, 250], "2 g, one step, 2 %, the way out"
    assert batch_sheet(CLEAR, 250, 0.1).warnings == (), "the way out it names works"
    assert batch_sheet(CLEAR, 249, 0.1).warnings, "and no smaller one does"


def test_many_coarse_lines_are_counted() -> None:
    (warning,) = batch_sheet(CLEAR, 100, 1).warnings
    assert numbers_in(warning) == [6, 6, 1, 2, 2500], "lines, step, 2 %, the way out"


def test_exactly_two_percent_is_not_coarse() -> None:
    assert not line_of(batch_sheet(Recipe("e", {"quartz": 95, "whiting": 5}), 100, 0.1), "whiting").coarse
    assert line_of(batch_sheet(Recipe("e", {"quartz": 95.1, "whiting": 4.9}), 100, 0.1), "whiting").coarse


def test_a_line_that_rounds_to_nothing_is_never_silent() -> None:
    sheet = batch_sheet(Recipe("r", {"quartz": 100}, {"cobalt carbonate": 0.2}), 100, 1)
    assert line_of(sheet, "cobalt carbonate").target_g == 0
    (warning,) = (one for one in sheet.warnings if one.startswith("cobalt carbonate"))
    assert numbers_in(warning) == [0.2, 0, 1], "its amount, what it rounds to, the step"


def test_an_amount_of_nought_is_said() -> None:
    sheet = batch_sheet(Recipe("z", {"quartz": 100, "talc": 0}))
    (warning,) = sheet.warnings
    assert warning.startswith("talc") and numbers_in(warning) == [0]


def test_a_base_between_two_steps_is_said() -> None:
    sheet = batch_sheet(THIRDS, 1001, 5)
    assert sheet.base_total_g == 1000
    assert [1001, 5, 1000] in map(numbers_in, sheet.warnings)


def test_a_hopeless_scale_never_asks_for_less_than_nothing() -> None:
    ten = Recipe("ten", [("quartz", 1)] * 10)
    sheet = batch_sheet(ten, 5, 1)  # every line is 0.5 g, rounds up to 1, and five of them must give it back
    assert sheet.base_total_g == 5
    assert all(line.target_g >= 0 for line in sheet.lines)
    assert any("scale is too coarse" in warning for warning in sheet.warnings), "a sentence of its own"


def test_doubles_stay_two_lines_and_are_named() -> None:
    sheet = batch_sheet(Recipe("d", [("quartz", 10), ("kaolin", 20), ("flint", 5)]), 350)
    assert [line.target_g for line in sheet.lines] == [100, 200, 50]
    (warning,) = sheet.warnings
    assert warning.startswith("quartz") and numbers_in(warning) == [2] and "base" in warning


def test_one_material_in_base_and_additions_is_no_double() -> None:
    assert batch_sheet(Recipe("d", {"quartz": 80, "whiting": 20}, {"quartz": 20}), 500).warnings == ()


def test_a_synonym_keeps_its_name_and_shows_the_other() -> None:
    line = batch_sheet(Recipe("s", {"China clay": 50, "quartz": 50})).lines[0]
    assert (line.material, line.resolved, line.label) == ("China clay", "kaolin", "China clay (kaolin)")
    assert batch_sheet(Recipe("s", {"Quartz": 50, "kaolin": 50})).lines[0].label == "Quartz"


def test_liquids_are_measured_beside_the_powder() -> None:
    recipe = Recipe("l", {"quartz": 60, "whiting": 40}, [Line("gum solution", 12, "ml"), Line("tin oxide", 5)])
    sheet = batch_sheet(recipe, 250)
    gum = line_of(sheet, "gum solution")
    assert (gum.target_g, gum.unit, gum.dry) == (30, "ml", False)
    assert (gum.low_g, gum.high_g) == pytest.approx((29.4, 30.6))
    assert sheet.total_g == 262.5


def test_halves_round_upwards() -> None:
    lines = batch_sheet(Recipe("h", {"quartz": 100}, {"tin oxide": 0.25, "rutile": 0.35}), 100, 0.1).lines
    assert [line.target_g for line in lines] == [100, 0.3, 0.4]


def test_a_liquid_given_in_grams_does_not_count_as_dry() -> None:
    sheet = batch_sheet(Recipe("l", {"quartz": 60, "whiting": 40}, {"gum solution": 12}), 250)
    assert (line_of(sheet, "gum solution").target_g, sheet.total_g) == (30, 250)
    (warning,) = sheet.warnings
    assert warning.startswith("gum solution") and "liquid" in warning


def test_a_powder_given_in_ml_is_questioned() -> None:
    sheet = batch_sheet(Recipe("l", {"quartz": 60, "whiting": 40}, [Line("tin oxide", 5, "ml")]))
    (warning,) = sheet.warnings
    assert warning.startswith("tin oxide") and "powder" in warning


def test_a_liquid_in_the_base_is_refused() -> None:
    with pytest.raises(RecipeError, match="gum solution is a liquid"):
        batch_sheet(Recipe("l", {"quartz": 60, "gum solution": 40}))


def test_unknown_and_no_oxide_materials_are_weighed(stock: Stock) -> None:
    recipe = Recipe("u", {"attic powder": 60, "quartz": 40}, {"gum": 1})
    with pytest.raises(UnknownMaterialError):
        batch_sheet(recipe)
    sheet = batch_sheet(recipe, 1000, stock=stock.with_unknown("attic powder"))
    assert [line.target_g for line in sheet.lines] == [600, 400, 10]


def test_a_sheet_travels() -> None:
    sheet = batch_sheet(CLEAR, 500)
    for twin in (pickle.loads(pickle.dumps(sheet)), copy.deepcopy(sheet)):
        assert twin == sheet
        assert hash(twin) == hash(sheet)
        assert twin.places("China clay") == (3,)


def test_a_misspelt_name_is_a_hint() -> None:
    with pytest.raises(UnknownMaterialError, match="did you mean 'kaolin'"):
        batch_sheet(Recipe("m", {"kaolim": 50, "quartz": 50}))


@pytest.mark.parametrize("base_g", [0, 0.99, -5, 100_001])
def test_base_masses_that_make_no_sense(base_g: float) -> None:
    with pytest.raises(RangeError, match=r"the base mass is .* allowed is 1 to 100000 g"):
        batch_sheet(CLEAR, base_g)


@pytest.mark.parametrize("division_g", [0, 0.0009, 51, -1])
def test_divisions_that_make_no_sense(division_g: float) -> None:
    with pytest.raises(RangeError, match=r"the scale's division is .* allowed is 0\.001 to 50 g"):
        batch_sheet(CLEAR, 100, division_g)


@pytest.mark.parametrize("base_g", [float("nan"), float("inf"), "100", None, True])
def test_base_masses_that_are_no_numbers(base_g: object) -> None:
    with pytest.raises(NumberError, match="the base mass"):
        batch_sheet(CLEAR, base_g)  # type: ignore[arg-type]


def test_largest_batch_takes_the_tightest_of_several() -> None:
    found = largest_batch(CLEAR, {"soda feldspar": 520, "china clay": 130, "quartz": 9000})
    assert (found.base_g, found.limited_by) == (1000, "kaolin")
    assert found.limits[:2] == (("kaolin", 1000), ("soda feldspar", 2000))
    assert set(found.taken_as_enough) == set(CLEAR.materials()) - {"soda feldspar", "kaolin", "quartz"}
    assert ", ".join(found.taken_as_enough) in found.words


def test_largest_batch_adds_up_base_and_addition() -> None:
    recipe = Recipe("b", {"quartz": 80, "whiting": 20}, {"flint": 20}, "parts")
    assert largest_batch(recipe, {"quartz": 100}).base_g == 100


def test_largest_batch_never_says_more_than_there_is() -> None:
    """100.008 g for 13 of 100: 769.29 g; said as 769.3 g, the bag would run out."""
    assert numbers_in(largest_batch(CLEAR, {"kaolin": 100.008}).words) == [769.2]


def test_largest_batch_with_an_empty_bag() -> None:
    assert largest_batch(CLEAR, {"kaolin": 0}).base_g == 0


def test_largest_batch_names_what_it_did_not_use() -> None:
    assert largest_batch(CLEAR, {"kaolin": 13, "talc": 500}).not_in_recipe == ("talc",)
    with pytest.raises(RecipeError, match="none of the materials listed"):
        largest_batch(CLEAR, {"talc": 500})
    with pytest.raises(UnknownMaterialError, match="kaolin"):
        largest_batch(CLEAR, {"kaolim": 500})
