"""Recipes into files that read back identical and that a spreadsheet opens without doing mischief."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TextIO

from glazekit.ground.errors import FileError, RecipeError, name_key, quoted
from glazekit.ground.numbers import plain_text
from glazekit.ground.textfile import LONGEST_CELL, MOST_LINES, guarded
from glazekit.recipe.recipe import Line, Recipe
from glazekit.recipe.table import COLUMNS

_NEEDS_QUOTES = re.compile(r'[,;\t"\r\n]|^\s|\s$')


def recipe_csv_text(recipes: Recipe | Iterable[Recipe]) -> str:
    """Recipes in the documented form: commas, decimal points, one row per line of a recipe, the note on its first row.

    Liquids are written as ``5 ml``, cones as ``cone 06`` so that a spreadsheet keeps the zero; a text that a spreadsheet would
    take for a formula gets an apostrophe, which reading takes off again.

    >>> print(recipe_csv_text(Recipe("Half", {"quartz": 1}, cone="06")).splitlines()[1])
    Half,base,quartz,1,,cone 06,,

    Raises RecipeError for two recipes of one name.
    """
    recipes = (recipes,) if isinstance(recipes, Recipe) else tuple(recipes)
    rows = [",".join(COLUMNS)]
    seen: set[str] = set()
    for recipe in recipes:
        if name_key(recipe.name) in seen:
            raise RecipeError(
                f"two recipes are called {quoted(recipe.name)}; rename one, a file tells recipes apart by their names"
            )
        seen.add(name_key(recipe.name))
        rows += [",".join(_quoted(cell) for cell in cells) for cells in _rows(recipe)]
    return "\n".join(rows) + "\n"


def _rows(recipe: Recipe) -> Iterator[list[str]]:
    lines = [("base", line) for line in recipe.base] + [("addition", line) for line in recipe.additions]
    for number, (part, line) in enumerate(lines):
        cone = f"cone {recipe.cone}" if recipe.cone else ""
        note = recipe.note if number == 0 else ""
        texts = [recipe.additions_are or "", cone, guarded(recipe.atmosphere), guarded(note)]
        yield [guarded(recipe.name), part, guarded(line.material), _amount(line), *texts]


def _amount(line: Line) -> str:
    return f"{plain_text(line.amount)} {line.unit}".rstrip()


def _quoted(cell: str) -> str:
    if len(cell) > LONGEST_CELL:
        raise RecipeError(f"{quoted(cell)} is longer than the {LONGEST_CELL:,} characters a cell may have")
    return '"' + cell.replace('"', '""') + '"' if _NEEDS_QUOTES.search(cell) else cell


def write_recipes(target: str | Path | TextIO, recipes: Recipe | Iterable[Recipe]) -> None:
    """Write recipes to a new file, or to an open text stream; ``read_recipes`` gives them back identical.

    A file with letters beyond ASCII starts with a byte order mark, so that spreadsheets show them right.

    Raises FileError when the file exists already (nothing is ever overwritten) or cannot be made.
    """
    text = recipe_csv_text(recipes)
    if text.count("\n") > MOST_LINES:
        raise FileError(f"these are more than the {MOST_LINES:,} lines a recipe file may have; write several files")
    if not isinstance(target, str | Path):
        target.write(text)
        return
    path = Path(target)
    try:
        with path.open("x", encoding="utf-8" if text.isascii() else "utf-8-sig", newline="") as stream:
            stream.write(text)
    except FileExistsError:
        raise FileError(f"{quoted(path, 200)} exists already; choose another name, files are never overwritten") from None
    except (OSError, ValueError) as problem:
        raise FileError(f"{quoted(path, 200)} cannot be written: {getattr(problem, 'strerror', None) or problem}") from None
