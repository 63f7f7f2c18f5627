"""Recipes within reach of a learner: those of the course and the CSV files in their own my-recipes/."""

from __future__ import annotations

from pathlib import Path

from glazekit.ground.errors import GlazekitError
from glazekit.recipe.reading import demo_recipes, read_recipes, recipe_csv_text
from glazekit.recipe.recipe import Recipe
from glazekit.teaching.lessons import BAG_FORM
from glazekit.teaching.sheets.prints import save_new

OWN_FOLDER = "my-recipes"


def recipes_at_hand(folder: Path) -> tuple[dict[str, Recipe], tuple[str, ...]]:
    """Recipes by the name to show, and one sentence for each file that could not be read.

    Parameters
    ----------
    folder : the learner's folder.

    A recipe of the learner's own with the name of a course recipe, or of another file, has its file's name behind it.
    """
    found = {recipe.name: recipe for recipe in demo_recipes()}
    problems = []
    for path in sorted((folder / OWN_FOLDER).glob("*.csv")):
        if path.name == BAG_FORM:  # the form for analyses of bags lies in the same folder and is no recipe
            continue
        try:
            for recipe in read_recipes(path):
                found[recipe.name if recipe.name not in found else f"{recipe.name} ({path.name})"] = recipe
        except GlazekitError as error:
            problems.append(f"{path.name}: {error}")
    return found, tuple(problems)


def save_recipe(folder: Path, recipe: Recipe) -> Path:
    """Write a recipe as CSV into my-recipes/, into a new file; an existing one is never touched."""
    return save_new(folder / OWN_FOLDER, recipe.name, ".csv", recipe_csv_text((recipe,)))
