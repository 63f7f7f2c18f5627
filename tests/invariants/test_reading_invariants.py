"""Whatever comes in, a recipe or one clear error comes out; and what is written reads back identical."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glazekit.ground.errors import GlazekitError, RecipeError
from glazekit.ground.numbers import parse_mass_g, parse_number, parse_volume_ml, plain_text, show_g, show_number
from glazekit.ground.textfile import decoded
from glazekit.ground.typed_table import guarded, unguarded
from glazekit.recipe.pasted import recipe_from_text
from glazekit.recipe.reading import read_recipes, recipe_csv_text, recipes_of_csv, write_recipes
from glazekit.recipe.recipe import Line, Recipe

PLAIN_WORDS = """whiting/quartz/tin oxide/Material/amount/recipe/part/note/cone/Cone 06/^6/Total/total 100/Additions:/plus/add
base/parts/% of base/Name:/Note:/oxidation/red/addition/18,40/18.4/1,250/1 250/-5/½/nan/inf/1e999/0/100/%/g/kg/ml/oz"""
WORDS = [
    *PLAIN_WORDS.split("/"),
    *("1/2", ",", ";", "\t", "|", ".....", "…", "\n", "\r\n", "\n\n", " ", "  ", "- ", "* ", "1. ", "2) "),
    *('"', "'", "=", "+", "(", ")", ":", "\u00a0", "\ufeff"),
]
SCRAPS = st.lists(st.sampled_from(WORDS) | st.text(max_size=3), max_size=40)
ANY_TEXT = st.text(max_size=300) | SCRAPS.map("".join) | SCRAPS.map(" ".join) | st.text(st.characters(), max_size=50)


def one_clear_line(problem: GlazekitError) -> None:
    assert str(problem) and "\n" not in str(problem) and len(str(problem)) < 400


def read_or_refuse(text: str) -> None:
    try:
        recipe = recipe_from_text(text)
    except GlazekitError as problem:
        one_clear_line(problem)
    else:
        assert recipe.base_sum > 0


@given(ANY_TEXT)
@settings(max_examples=200, deadline=1000)
def test_any_text_gives_a_recipe_or_one_clear_line(text: str) -> None:
    read_or_refuse(text)


@pytest.mark.slow
@given(ANY_TEXT)
@settings(max_examples=10_000, deadline=1000)
def test_any_text_many_times(text: str) -> None:
    read_or_refuse(text)


@given(ANY_TEXT)
@settings(max_examples=100, deadline=1000)
def test_any_text_as_a_table(text: str) -> None:
    for given_text in (text, "material,amount,note\n" + text, "recipe;part;amount;material\n" + text):
        try:
            recipes = recipes_of_csv(given_text if given_text.strip() else "x", "file", "name")
        except GlazekitError as problem:
            one_clear_line(problem)
        else:
            assert all(recipe.base_sum > 0 for recipe in recipes)


@given(st.binary(max_size=300) | ANY_TEXT.map(lambda text: ("material,amount\n" + text).encode("utf-8", "surrogatepass")))
@settings(max_examples=150, deadline=1000)
def test_any_bytes_as_a_file(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "some.csv"
        path.write_bytes(content)
        try:
            assert read_recipes(path)
        except GlazekitError as problem:
            one_clear_line(problem)
    try:
        assert decoded(content, "some.csv").strip()
    except GlazekitError as problem:
        one_clear_line(problem)


@given(st.text(max_size=45) | st.text("0123456789.,'/ -+eE%gkml½\u00a0", max_size=15), st.sampled_from([None, True, False]))
@settings(max_examples=200)
def test_any_text_as_a_number(text: str, decimal_comma: bool | None) -> None:
    for parse in (parse_number, parse_mass_g, parse_volume_ml):
        try:
            value = parse(text, "answer", decimal_comma)
        except GlazekitError as problem:
            one_clear_line(problem)
        else:
            assert abs(value) < float("inf")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_written_for_a_file_is_exact(value: float) -> None:
    assert parse_number(plain_text(value)) == value
    assert parse_number(plain_text(value).replace(".", ","), decimal_comma=True) == value


@given(st.floats(0, 1e6), st.sampled_from([0.01, 0.05, 0.1, 0.2, 0.5, 1, 2, 5]))
def test_shown_grams_are_a_multiple_of_the_division_and_the_nearest(mass_g: float, division_g: float) -> None:
    shown = parse_number(show_g(mass_g, division_g))
    assert abs(shown - mass_g) <= division_g / 2 * (1 + 1e-6)
    assert shown / division_g == pytest.approx(round(shown / division_g), abs=1e-6)


@given(st.floats(-1e9, 1e9), st.integers(0, 6))
def test_shown_numbers_are_the_nearest(value: float, decimals: int) -> None:
    assert abs(float(show_number(value, decimals)) - value) <= 0.5 * 10**-decimals * (1 + 1e-9) + 1e-7


@given(st.text())
def test_the_guard_against_formulas_comes_off_exactly(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@"))


ODD_TEXTS = [
    "=1+1",
    "'=x",
    "''@",
    "'",
    '"',
    'a"b',
    "a,b;c\td",
    "Grün",
    "\u202e釉薬",
    "#N/A",
    "nan",
    "base",
    "cone 6",
    "two\nlines",
    " a  b ",
]
TEXTS = st.text(min_size=1, max_size=20) | st.sampled_from(ODD_TEXTS)
AMOUNTS = st.floats(0, 1e6) | st.sampled_from([0.1, 1 / 3, 1.25, 1250, 1.125, 12.5, 1e-7, 100])
LINES = st.lists(st.tuples(TEXTS, AMOUNTS), min_size=1, max_size=5)
LIQUIDS = st.lists(st.tuples(TEXTS, AMOUNTS, st.sampled_from(["", "ml"])), max_size=3)
CONES = st.sampled_from([None, "06", "6", "5-6", "022", "10", "06-04"])


@st.composite
def recipes(draw: st.DrawFn) -> Recipe | None:
    """An arbitrary recipe, or None where these words make none."""
    try:
        return Recipe(
            draw(TEXTS),
            draw(LINES),
            [Line(*liquid) for liquid in draw(LIQUIDS)],
            draw(st.sampled_from([None, "parts", "percent_of_base"])),
            draw(CONES),
            draw(TEXTS | st.just("")),
            draw(TEXTS | st.just("")),
        )
    except RecipeError:
        return None


@given(st.lists(recipes(), min_size=1, max_size=4))
@settings(max_examples=100, deadline=2000)
def test_what_is_written_reads_back_identical(given_recipes: list[Recipe | None]) -> None:
    wanted = tuple(recipe for recipe in given_recipes if recipe)
    try:
        text = recipe_csv_text(wanted)
    except RecipeError as problem:
        assert "two recipes are called" in str(problem)
        return
    if wanted:
        assert recipes_of_csv(text, "file", "name") == wanted
        with tempfile.TemporaryDirectory() as folder:
            write_recipes(Path(folder) / "some.csv", wanted)
            assert read_recipes(Path(folder) / "some.csv") == wanted


@given(recipes())
@settings(max_examples=50, deadline=2000)
def test_a_data_frame_saved_gives_the_recipe_back(recipe: Recipe | None) -> None:
    if recipe:
        assert recipes_of_csv(recipe.as_frame().to_csv(index=False), "file", "name") == (recipe,)


@given(
    st.lists(
        st.tuples(st.sampled_from(["whiting", "quartz", "ball clay", "red iron oxide"]), st.integers(1, 99_999)),
        min_size=1,
        max_size=6,
    )
)
@settings(deadline=1000)
def test_a_plain_list_is_read_the_same_with_points_and_commas(pairs: list[tuple[str, int]]) -> None:
    lines = [(name, f"{hundredths / 100:.2f}") for name, hundredths in pairs]
    by_point = recipe_from_text("\n".join(f"{name} {amount}" for name, amount in lines))
    by_comma = recipe_from_text("\n".join(f"{amount.replace('.', ',')} % {name}" for name, amount in lines))
    assert by_point == by_comma
    assert [line.amount for line in by_point.base] == [float(amount) for _, amount in lines]
