"""Recipe files, in and out: what is written reads back identical, and a spreadsheet opens it without doing mischief."""

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TextIO

from glazekit.ground.cone import Cone
from glazekit.ground.errors import (
    AmbiguousNumberError,
    FileError,
    NumberError,
    RecipeError,
    located,
    name_key,
    quoted,
    unknown_name,
)
from glazekit.ground.numbers import plain_text
from glazekit.ground.tables import data_dir, read_table
from glazekit.ground.textfile import MOST_FILE_LINES, read_text_file, write_once
from glazekit.ground.typed_table import csv_text, typed_table, unguarded
from glazekit.recipe.amounts import Amount, Draft, basis_of, decimal_sign, parse_amount
from glazekit.recipe.items import amount_only
from glazekit.recipe.recipe import Recipe

COLUMNS = ("recipe", "part", "material", "amount", "additions_are", "cone", "atmosphere", "note")
"""Columns of a recipe file, in the order we write them; only material and amount are required."""
READ_COLUMNS = (*COLUMNS, "unit")
"""Columns that are read: ``unit`` may hold what else stands behind the amounts."""
SUM = r"(?:(?:(?:base|batch|grand|sub)[\s-]*)?(?:totals?|sum)\b(?:\s+(?:base|weight|wt))?(?:\s*[(\[][^\d)\]]*[)\]])?)"
"""The name of a row that a spreadsheet adds up; read as a material it would be weighed."""
PARTS_OF_A_RECIPE = {"": "base", "base": "base", "addition": "addition", "additions": "addition"}


def read_recipes(path: str | Path, additions_are: str | None = None) -> tuple[Recipe, ...]:
    """All recipes of a recipe file, in its order.

    Parameters: path, of a CSV file with the columns ``recipe, part, material, amount, additions_are, cone, atmosphere, note``;
    additions_are, "parts" or "percent_of_base", for recipes that do not say it themselves.

    Material and amount are required, and ``unit`` may hold what else stands behind the amounts. Comma, semicolon or tab between
    the columns, UTF-8, decimal points or decimal commas. A row without a recipe name belongs to the recipe above; without any
    name, the recipe is called like the file.

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


def name_of_today(name: str) -> str:
    """The name a demo recipe has now, for one that it had before: old settings hold that one. Every other name stays.

    >>> name_of_today("Deck Paint"), name_of_today("My Blue")
    ('Deck Green', 'My Blue')
    """
    former = {name_key(row["formerly"]): row["recipe"] for row in read_table("recipe_facts") if row["formerly"]}
    return str(former.get(name_key(name), name))


def faulty_on_purpose(name: str) -> bool:
    """Was the demo recipe of this name, or of one it had before, written to go wrong?

    >>> faulty_on_purpose("overboard"), faulty_on_purpose("My Blue")
    (True, False)
    """
    faulty = {name_key(row["recipe"]) for row in read_table("recipe_facts") if row["fault_on_purpose"] == "yes"}
    return name_key(name_of_today(name)) in faulty


def demo_recipe(name: str) -> Recipe:
    """A demo recipe by its name or one it had before; RecipeError with the nearest name when there is none.

    >>> demo_recipe("gangway clear").base_sum
    100.0
    """
    recipes = {name_key(recipe.name): recipe for recipe in demo_recipes()}
    found = recipes.get(name_key(name)) or recipes.get(name_key(name_of_today(name)))
    if found is None:
        raise unknown_name(RecipeError, "demo recipe", name, [recipe.name for recipe in demo_recipes()])
    return found


def recipes_of_csv(text: str, source: str, default_name: str, additions_are: str | None = None) -> tuple[Recipe, ...]:
    """Recipes of a text in the documented form; ``source`` names it in errors. A row without a recipe name belongs to the row
    above; a column ``unit`` may hold what else stands behind the amounts."""
    table = typed_table(text, source, READ_COLUMNS, ("material", "amount"), RecipeError)
    decimal_comma = decimal_sign([(f"{where}, amount", row["amount"]) for where, row in table.rows])
    behind = next(iter(table.columns[table.columns.index("amount") + 1 :]), "") if table.separator == "," else ""
    drafts: dict[str, Draft] = {}
    name, last = default_name, ""
    for where, row in table.rows:
        if behind and row["amount"].isdigit() and amount_only(row[behind]):
            number, other = quoted(f"{row['amount']},{row[behind]}"), "'cone 6'" if behind == "cone" else "words"
            raise AmbiguousNumberError(
                f"{where}: is {number} one number? Then put it in quotes or write a decimal point; else {other} under {behind}"
            )
        name = " ".join(unguarded(row.get("recipe", "")).split()) or name
        key = name_key(name)
        if key in drafts and key != last:
            raise RecipeError(
                f"{where}: '{name}' has rows further up; keep the rows of a recipe together, or give this one its own name"
            )
        last = key
        _read_row(drafts.setdefault(key, Draft(name)), where, row, decimal_comma)
    return tuple(draft.finished(source, additions_are) for draft in drafts.values())


def _read_row(draft: Draft, where: str, row: Mapping[str, str], decimal_comma: bool | None) -> None:
    part = PARTS_OF_A_RECIPE.get(row.get("part", "").casefold())
    if part is None:
        raise RecipeError(f"{where}, part: {quoted(row['part'])} is neither 'base' nor 'addition'")
    for fact, read in (("additions_are", basis_of), ("cone", _cone), ("atmosphere", unguarded), ("note", unguarded)):
        if row.get(fact):
            with located(f"{where}, {fact}"):
                value = read(row[fact])
            draft.say(fact, value, where)
    material = unguarded(row["material"])
    if not material:
        raise RecipeError(f"{where}, material: the amount {quoted(row['amount'])} has no material")
    if re.fullmatch(rf"{SUM}[\s:=.]*", material, re.IGNORECASE):
        raise RecipeError(f"{where}, material: {quoted(material)} is a sum and no material; delete that row")
    unit = row.get("unit", "")
    if any(sign.isnumeric() for sign in unit):
        raise NumberError(f"{where}, unit: {quoted(unit)} is no unit; a number stands under amount, all of it")
    with located(f"{where}, amount"):
        amount, unit = parse_amount(f"{row['amount']} {unit}", decimal_comma)
    (draft.base if part == "base" else draft.additions).append(Amount(material, amount, unit, where))


def _cone(text: str) -> str:
    try:
        return str(Cone.parse(text))
    except NumberError as problem:
        if re.search(r"[a-z]{3}|\d[-./]\d+[-./]\d", text.casefold().replace("cone", "")):
            raise NumberError(f"{problem}; a spreadsheet may have turned it into a date, so write 'cone 5-6'") from None
        raise


def recipe_csv_text(recipes: Recipe | Iterable[Recipe]) -> str:
    """Recipes in the documented form: commas, decimal points, one row per line of a recipe, the note on its first row.

    Rows as ``Recipe.rows``, liquids as ``5 ml``; reading takes the apostrophe off again that guards against a spreadsheet.

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
        for number, row in enumerate(recipe.rows()):
            row["amount"] = f"{plain_text(row['amount'])} {row['unit']}".rstrip()
            row["note"] = row["note"] if number == 0 else ""
            rows.append([row[column] for column in COLUMNS])
    return csv_text(rows)


def write_recipes(target: str | Path | TextIO, recipes: Recipe | Iterable[Recipe]) -> None:
    """Write recipes to a new file, or to an open text stream; ``read_recipes`` gives them back identical.

    Raises FileError as ``write_once``, and when there are more lines than reading allows.
    """
    text = recipe_csv_text(recipes)
    if text.count("\n") > MOST_FILE_LINES:
        raise FileError(f"these are more than the {MOST_FILE_LINES:,} lines a recipe file may have; write several files")
    if isinstance(target, str | Path):
        write_once(target, text)
    else:
        target.write(text)
