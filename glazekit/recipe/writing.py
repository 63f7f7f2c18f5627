"""Recipes into files that read back identical and that a spreadsheet opens without doing mischief."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TextIO

from glazekit.ground.errors import FileError, RecipeError, name_key, quoted
from glazekit.ground.numbers import plain_text
from glazekit.ground.textfile import MOST_LINES, write_once
from glazekit.ground.typed_table import csv_text, guarded
from glazekit.recipe.recipe import Recipe
from glazekit.recipe.table import COLUMNS


def recipe_csv_text(recipes: Recipe | Iterable[Recipe]) -> str:
    """Recipes in the documented form: commas, decimal points, one row per line of a recipe, the note on its first row.

    Liquids are written as ``5 ml``, cones as ``cone 06`` so that a spreadsheet keeps the zero; a text that a spreadsheet would
    take for a formula gets an apostrophe, which reading takes off again.

    >>> print(recipe_csv_text(Recipe("Half", {"quartz": 1}, cone="06")).splitlines()[1])
    Half,base,quartz,1,,cone 06,,

    Raises RecipeError for two recipes of one name.
    """
    recipes = (recipes,) if isinstance(recipes, Recipe) else tuple(recipes)
    rows: list[Sequence[str]] = [COLUMNS]
    seen: set[str] = set()
    for recipe in recipes:
        if name_key(recipe.name) in seen:
            raise RecipeError(
                f"two recipes are called {quoted(recipe.name)}; rename one, a file tells recipes apart by their names"
            )
        seen.add(name_key(recipe.name))
        rows += _rows(recipe)
    return csv_text(rows)


def _rows(recipe: Recipe) -> Iterator[list[str]]:
    lines = [("base", line) for line in recipe.base] + [("addition", line) for line in recipe.additions]
    for number, (part, line) in enumerate(lines):
        cone = f"cone {recipe.cone}" if recipe.cone else ""
        note = recipe.note if number == 0 else ""
        texts = [recipe.additions_are or "", cone, guarded(recipe.atmosphere), guarded(note)]
        yield [guarded(recipe.name), part, guarded(line.material), f"{plain_text(line.amount)} {line.unit}".rstrip(), *texts]


def write_recipes(target: str | Path | TextIO, recipes: Recipe | Iterable[Recipe]) -> None:
    """Write recipes to a new file, or to an open text stream; ``read_recipes`` gives them back identical.

    Raises FileError as ``write_once``, and when there are more lines than reading allows.
    """
    text = recipe_csv_text(recipes)
    if text.count("\n") > MOST_LINES:
        raise FileError(f"these are more than the {MOST_LINES:,} lines a recipe file may have; write several files")
    if isinstance(target, str | Path):
        write_once(target, text)
    else:
        target.write(text)
