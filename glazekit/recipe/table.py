"""The recipe table: rows with the columns recipe, part, material, amount, additions_are, cone, atmosphere, note."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from glazekit.ground.cone import Cone
from glazekit.ground.errors import NumberError, RecipeError, name_key, nearest_name, quoted, unknown_name
from glazekit.ground.numbers import decimal_comma_in
from glazekit.ground.textfile import rows_of, unguarded
from glazekit.recipe.amounts import Amount, Draft, basis_of, located, parse_amount
from glazekit.recipe.recipe import Recipe

COLUMNS = ("recipe", "part", "material", "amount", "additions_are", "cone", "atmosphere", "note")
"""Columns of a recipe file, in the order we write them; only material and amount are required."""

_OPTIONAL = tuple(column for column in COLUMNS if column not in ("material", "amount"))

SUMS = ("total", "totals", "sum", "subtotal", "base total", "total base", "grand total")
"""Rows that a spreadsheet adds up; read as a material they would be weighed."""

PARTS_OF_A_RECIPE = {"": "base", "base": "base", "addition": "addition", "additions": "addition"}


def recipes_of_csv(text: str, source: str, default_name: str, additions_are: str | None = None) -> tuple[Recipe, ...]:
    """Recipes of a text in the documented form; ``source`` names it in errors."""
    separator, rows = rows_of(text, source, COLUMNS)
    header_line, header = rows[0]
    columns = _columns(header, f"{source}, line {header_line}")
    records = []
    for line, cells in rows[1:]:
        where = f"{source}, line {line}"
        _check_width(cells, columns, where, separator)
        records.append((where, {column: cell for column, cell in zip(columns, cells, strict=False) if column}))
    return recipes_of_rows(records, source, default_name, additions_are)


def _columns(header: list[str], where: str) -> list[str]:
    columns = [cell.casefold().replace(" ", "_") for cell in header]
    if not any(nearest_name(column, COLUMNS) for column in columns):
        raise RecipeError(f"{where}: the first line has to name the columns (material, amount, if wanted {', '.join(_OPTIONAL)})")
    for given, column in zip(header, columns, strict=True):
        if column and column not in COLUMNS:
            raise unknown_name(RecipeError, "column", given, COLUMNS, where=f"{where}: ")
        if column and columns.count(column) > 1:
            raise RecipeError(f"{where}: the column '{column}' is there twice")
    missing = [column for column in ("material", "amount") if column not in columns]
    if missing:
        raise RecipeError(f"{where}: no column '{missing[0]}'; the first line names the columns, material and amount at least")
    return columns


def _check_width(cells: list[str], columns: list[str], where: str, separator: str) -> None:
    """Every row fills the header's columns; what stands beyond a named column would be lost."""
    homeless = [place for place, cell in enumerate(cells) if cell and (place >= len(columns) or not columns[place])]
    if homeless:
        advice = "; a decimal comma needs quotes or semicolons between the columns" if separator == "," else ""
        raise RecipeError(f"{where}: {quoted(cells[homeless[0]])} stands under no column name{advice}")
    named = max(place for place, column in enumerate(columns) if column) + 1
    if len(cells) < named:
        raise RecipeError(f"{where}: {len(cells)} cells, but the first line names {named} columns; is a separator missing?")
    after = columns.index("amount") + 1
    if separator == "," and after < named and columns[after] in ("note", "atmosphere") and cells[after].isdigit():
        raise RecipeError(f"{where}: is {cells[after - 1]},{cells[after]} one number? Put it in quotes or write a decimal point")


def recipes_of_rows(
    rows: Iterable[tuple[str, Mapping[str, str]]], source: str, default_name: str, additions_are: str | None = None
) -> tuple[Recipe, ...]:
    """Recipes of rows that are already cut: (where, column -> text). A row without a recipe name belongs to the row above."""
    rows = list(rows)
    decimal_comma = decimal_comma_in(row["amount"] for _, row in rows)
    drafts: dict[str, Draft] = {}
    name = default_name
    last = ""
    for where, row in rows:
        name = " ".join(unguarded(row.get("recipe", "")).split()) or name
        key = name_key(name)
        if key in drafts and key != last:
            raise RecipeError(
                f"{where}: '{name}' has rows further up; keep the rows of a recipe together, or give this one its own name"
            )
        draft = drafts.setdefault(key, Draft(name))
        last = key
        _read_row(draft, where, row, decimal_comma)
    if not drafts:
        raise RecipeError(f"{source}: there are columns but no rows below them")
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
    if name_key(material) in SUMS:
        raise RecipeError(f"{where}, material: {quoted(material)} is a sum and no material; delete that row")
    with located(f"{where}, amount"):
        amount, unit = parse_amount(row["amount"], decimal_comma)
    (draft.base if part == "base" else draft.additions).append(Amount(material, amount, unit, where))


def _cone(text: str) -> str:
    try:
        return str(Cone.parse(text))
    except NumberError as problem:
        if re.search(r"[a-z]{3}|\d[-./]\d+[-./]\d", text.casefold().replace("cone", "")):
            raise NumberError(f"{problem}; a spreadsheet may have turned it into a date, so write 'cone 5-6'") from None
        raise
