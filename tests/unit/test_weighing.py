"""At the scale: readings in any order, and the recipe as weighed."""

from __future__ import annotations

import pytest

from glazekit.ground.errors import RangeError, RecipeError
from glazekit.recipe.batch import batch_sheet
from glazekit.recipe.recipe import Line, Recipe
from glazekit.recipe.weighing import check_weighings

RECIPE = Recipe("Half Clear", {"soda feldspar": 50, "whiting": 30, "kaolin": 20}, {"tin oxide": 5}, cone="6", note="mine")
SHEET = batch_sheet(RECIPE, 200, 0.01)
FELDSPAR, WHITING, KAOLIN, TIN = range(4)


def test_the_order_does_not_matter() -> None:
    one = check_weighings(SHEET, {TIN: 10, WHITING: 60, FELDSPAR: 99.2})
    two = check_weighings(SHEET, {FELDSPAR: 99.2, TIN: 10, WHITING: 60})
    assert one == two
    assert [line.word for line in one.lines] == ["in band", "in band", "not yet", "in band"]
    assert (one.running_total_g, one.done) == (169.2, False)


@pytest.mark.parametrize(
    ("reading_g", "word", "difference_g"),
    [(60, "in band", 0), (59.4, "in band", -0.6), (60.6, "in band", 0.6), (59.39, "under", -0.61), (60.61, "over", 0.61)],
)
def test_words(reading_g: float, word: str, difference_g: float) -> None:
    whiting = check_weighings(SHEET, {WHITING: reading_g}).lines[1]
    assert (whiting.word, whiting.difference_g) == (word, difference_g)


def test_course_readings_of_thirteen_grams_of_kaolin() -> None:
    sheet = batch_sheet(Recipe("k", {"quartz": 87, "kaolin": 13}), 100, 0.01)
    words = {reading: check_weighings(sheet, {1: reading}).lines[1].word for reading in (12.90, 13.12, 13.20, 12.60)}
    assert words == {12.90: "in band", 13.12: "in band", 13.20: "over", 12.60: "under"}


def test_one_line_under_or_over_and_nothing_is_done() -> None:
    check = check_weighings(SHEET, {FELDSPAR: 90, WHITING: 60, KAOLIN: 41, TIN: 10})
    assert [(line.word, line.difference_g) for line in check.lines][::2] == [("under", -10), ("over", 1)]
    assert not check.done


def test_done_when_every_line_is_in_its_band() -> None:
    assert check_weighings(SHEET, {0: 100, 1: 60.1, 2: 40, 3: 9.9}).done


def test_none_is_not_weighed_yet() -> None:
    assert check_weighings(SHEET, {WHITING: None}).lines[1].word == "not yet"
    assert check_weighings(SHEET, {WHITING: 0}).lines[1].word == "under"


def test_a_synonym_finds_its_line() -> None:
    (kaolin,), (whiting,) = SHEET.places("China clay"), SHEET.places("calcite")
    check = check_weighings(SHEET, {kaolin: 40, whiting: 60})
    assert [line.reading_g for line in check.lines] == [None, 60, 40, None]


def test_liquids_stay_out_of_the_running_total() -> None:
    sheet = batch_sheet(Recipe("l", {"quartz": 60, "whiting": 40}, [Line("gum solution", 10, "ml")]))
    check = check_weighings(sheet, {2: 10, 0: 60})
    assert check.running_total_g == 60


def test_a_double_has_two_lines_with_a_reading_each() -> None:
    sheet = batch_sheet(Recipe("d", [("quartz", 60), ("whiting", 30), ("flint", 10)]))
    check = check_weighings(sheet, dict(zip(sheet.places("quartz"), (60, 11), strict=True)))
    assert [line.reading_g for line in check.lines] == [60, None, 11]


def test_readings_that_cannot_be_placed() -> None:
    with pytest.raises(RecipeError) as caught:
        SHEET.places("kaolim")
    assert caught.value.hint == "kaolin"
    for beyond in (4, -1):
        with pytest.raises(RecipeError, match="counted from 0 to 3"):
            check_weighings(SHEET, {beyond: 40})
    with pytest.raises(RangeError, match="the reading of kaolin is -1 g"):
        check_weighings(SHEET, {KAOLIN: -1})
