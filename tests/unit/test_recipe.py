"""A recipe keeps what was written; normalising, scaling and merging are steps somebody asks for."""

from __future__ import annotations

import copy
import pickle

import pytest

from glazekit.ground.cone import Cone
from glazekit.ground.errors import NumberError, RecipeError
from glazekit.recipe.recipe import Line, Recipe, compare

SATIN = Recipe("Satin", {"soda feldspar": 30, "quartz": 75.5}, {"tin oxide": 5}, additions_are="parts", cone="6")


def test_nothing_is_renormalised_by_itself() -> None:
    assert SATIN.base_sum == 105.5
    assert [line.amount for line in SATIN.base] == [30, 75.5]


def test_parts_shrink_with_the_base_and_percent_of_base_stays() -> None:
    parts = SATIN.to_100()
    percent = SATIN.with_additions_are("percent_of_base").to_100()
    assert parts.base_sum == pytest.approx(100, abs=1e-12)
    assert parts.additions[0].amount == pytest.approx(5 * 100 / 105.5)
    assert percent.additions[0].amount == 5


def test_percent_of_base_becomes_parts_of_the_base_as_written() -> None:
    percent = SATIN.with_additions_are("percent_of_base")
    assert percent.lines_in_parts()[-1].amount == pytest.approx(5 * 1.055)
    assert len(percent.lines_in_parts(include_additions=False)) == 2


def test_additions_on_a_base_that_does_not_total_100_must_say_what_they_are() -> None:
    silent = Recipe("Silent", {"quartz": 90}, {"tin oxide": 5})
    for ask in (silent.to_100, silent.lines_in_parts, lambda: silent.scaled(2)):
        with pytest.raises(RecipeError, match=r"parts .* or percent of base"):
            ask()
    assert Recipe("Silent", {"quartz": 100}, {"tin oxide": 5}).to_100().additions[0].amount == 5
    assert Recipe("No additions", {"quartz": 90}).to_100().base_sum == pytest.approx(100)


def test_a_scaled_recipe_still_knows_what_its_additions_are() -> None:
    tenfold = Recipe("Silent", {"quartz": 100}, {"tin oxide": 5}).scaled(10)
    assert [line.amount for line in tenfold.lines_in_parts()] == [1000, 50]
    assert tenfold.to_100().additions[0].amount == pytest.approx(5)
    assert Recipe("No additions", {"quartz": 90}).scaled(2).additions_are is None


def test_doubles_are_kept_and_merged_when_asked() -> None:
    double = Recipe("Double", [("quartz", 20), ("whiting", 40), ("Quartz", 40)])
    assert double.doubles == ("Quartz",)
    assert len(double.base) == 3
    assert [(line.material, line.amount) for line in double.merged().base] == [("quartz", 60), ("whiting", 40)]


def test_the_same_material_in_base_and_addition_is_no_double() -> None:
    assert Recipe("x", {"kaolin": 10, "quartz": 90}, {"kaolin": 3}).doubles == ()


@pytest.mark.parametrize(
    ("base", "says"),
    [
        ({}, "no lines"),
        ({"quartz": 0}, "is 0"),
        ({"quartz": -1}, "quartz: the amount is -1"),
        ({"quartz": float("nan")}, "finite"),
        ({"quartz": float("inf")}, "finite"),
        ({"": 3}, "no material name"),
        ({"quartz": "three"}, "not a number"),
        ([Line("gum solution", 5, "ml"), Line("quartz", 5)], "liquids as additions"),
        ({"quartz": 1e308, "kaolin": 1e308}, "too large"),
    ],
)
def test_bad_bases_are_refused_in_words(base: object, says: str) -> None:
    with pytest.raises(RecipeError, match=says):
        Recipe("Bad", base)  # type: ignore[arg-type]


def test_bad_words_are_refused() -> None:
    with pytest.raises(RecipeError, match="'parts' or 'percent_of_base'"):
        Recipe("Bad", {"quartz": 1}, additions_are="percent")
    with pytest.raises(RecipeError, match="needs a name"):
        Recipe("  ", {"quartz": 1})
    with pytest.raises(RecipeError, match="scale by 0"):
        SATIN.scaled(0)


def test_a_recipe_is_a_value() -> None:
    twin = Recipe("Satin", {"soda feldspar": 30, "quartz": 75.5}, {"tin oxide": 5}, additions_are="parts", cone="6")
    assert twin == SATIN and hash(twin) == hash(SATIN)
    assert pickle.loads(pickle.dumps(SATIN)) == SATIN == copy.deepcopy(SATIN)
    with pytest.raises(AttributeError):
        SATIN.name = "other"  # type: ignore[misc]


def test_compare_puts_two_recipes_on_a_base_of_100() -> None:
    other = Recipe("Other", {"soda feldspar": 50, "whiting": 50}, {"tin oxide": 5})
    rows = {row[1]: row for row in compare(SATIN, other)}
    assert rows["soda feldspar"][2:] == pytest.approx((30 / 1.055, 50, 50 - 30 / 1.055))
    assert rows["whiting"][2] == 0 and rows["quartz"][3] == 0
    assert rows["tin oxide"][0] == "addition"


def test_compare_knows_trade_names() -> None:
    first = Recipe("a", {"quartz": 20, "flint": 10, "china clay": 20, "grandmother's ash": 50})
    second = Recipe("b", {"silica": 40, "kaolin": 20, "Grandmother's Ash": 40})
    assert [(name, old, new) for _, name, old, new, _ in compare(first, second)] == [
        ("quartz", 30, 40),
        ("china clay", 20, 20),
        ("grandmother's ash", 50, 40),
    ]


@pytest.mark.parametrize(
    ("text", "shown"),
    [("6", "6"), ("06", "06"), (" Cone 06", "06"), ("5-6", "5-6"), ("5 to 6", "5-6"), ("08–04", "08-04")],
)
def test_cones_as_written(text: str, shown: str) -> None:
    assert str(Cone.parse(text)) == shown


def test_digits_of_any_script_are_digits() -> None:
    assert Cone.parse("٠٦") == Cone.parse("06") and Cone.parse("٣").high == "3"


@pytest.mark.parametrize(
    "text",
    ["0", "000", "007", "0-6", "1e308", "9" * 5000, "six", "6-5", "04-06", "99", "023", "-6", "6.5", ""],
)
def test_no_cones(text: str) -> None:
    with pytest.raises(NumberError, match="cone"):
        Cone.parse(text)


def test_cones_stand_in_order() -> None:
    names = ["6", "06", "022", "1", "01", "10", "05"]
    assert [str(cone) for cone in sorted(Cone.parse(name) for name in names)] == ["022", "06", "05", "01", "1", "6", "10"]


def test_as_frame_shows_every_line() -> None:
    frame = SATIN.as_frame()
    assert list(frame["material"]) == ["soda feldspar", "quartz", "tin oxide"]
    assert list(frame["part"]) == ["base", "base", "addition"]


def test_a_cone_given_as_a_number_is_a_cone() -> None:
    assert Recipe("x", {"quartz": 1}, cone=6).cone == Cone.parse("6")
    for wrong in (6.5, True, 99):
        with pytest.raises(NumberError, match="not a cone"):
            Recipe("x", {"quartz": 1}, cone=wrong)  # type: ignore[arg-type]


def test_a_line_is_a_name_and_an_amount() -> None:
    with pytest.raises(RecipeError, match="None is no material name"):
        Recipe("x", {None: 5})  # type: ignore[dict-item]
    for lines in ("quartz", [("quartz",)], [5], [("quartz", 1, "", 2)]):
        with pytest.raises(RecipeError, match="a line is a material and an amount"):
            Recipe("x", lines)  # type: ignore[arg-type]
