"""Recipes of a file, and the demo recipes of the course."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from glazekit.ground.errors import RecipeError, name_key, quoted, unknown_name
from glazekit.ground.tables import data_dir
from glazekit.ground.textfile import read_text_file
from glazekit.recipe.recipe import Recipe
from glazekit.recipe.table import recipes_of_csv


def read_recipes(path: str | Path, additions_are: str | None = None) -> tuple[Recipe, ...]:
    """All recipes of a recipe file, in its order.

    Parameters
    ----------
    path : a CSV file with the columns ``recipe, part, material, amount, additions_are, cone, atmosphere, note``; material and
        amount are required, and ``unit`` may hold what else stands behind the amounts. Comma, semicolon or tab between the
        columns, UTF-8, decimal points or decimal commas. A row without a recipe name belongs to the recipe above; without
        any name, the recipe is called like the file.
    additions_are : "parts" or "percent_of_base", for recipes that do not say it themselves.

    Raises FileError, RecipeError or NumberError with file, line and cell.
    """
    path = Path(path)
    source = quoted(path.name, 60)[1:-1]
    name = " ".join("".join(sign for sign in path.stem if sign.isprintable()).split()) or "recipe"
    return recipes_of_csv(read_text_file(path), source, name, additions_are)


def read_recipe(path: str | Path, additions_are: str | None = None) -> Recipe:
    """The one recipe of a recipe file; see ``read_recipes``. RecipeError, with the names, when the file holds several."""
    recipes = read_recipes(path, additions_are)
    if len(recipes) > 1:
        names = ", ".join(quoted(recipe.name) for recipe in recipes[:5]) + (", ..." if len(recipes) > 5 else "")
        raise RecipeError(f"{Path(path).name} holds {len(recipes)} recipes ({names}); one is wanted here")
    return recipes[0]


@cache
def demo_recipes() -> tuple[Recipe, ...]:
    """The invented recipes of the course's evening class."""
    return read_recipes(data_dir() / "recipes.csv")


def demo_recipe(name: str) -> Recipe:
    """A demo recipe by its name; RecipeError with the nearest name when there is none.

    >>> demo_recipe("gangway clear").base_sum
    100.0
    """
    found = {name_key(recipe.name): recipe for recipe in demo_recipes()}.get(name_key(name))
    if found is None:
        raise unknown_name(RecipeError, "demo recipe", name, [recipe.name for recipe in demo_recipes()])
    return found
