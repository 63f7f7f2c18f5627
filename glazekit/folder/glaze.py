"""A glaze as the book keeps it: the recipe and the analyses it was computed from, as plain data, and back again.

Bags change. A batch must stay computable with the analyses it was weighed under, so these travel with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from glazekit.ground.errors import BookError, GlazekitError
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Line, Recipe


def glaze_as_used(recipe: Recipe, stock: Stock | None = None) -> dict[str, Any]:
    """The ``recipe`` and ``analyses`` of a batch entry; write it with ``book.add("batch", **glaze_as_used(recipe), base_g=100)``.

    Parameters: recipe; stock it is weighed from (default: the course's). Raises UnknownMaterialError for a name not in the stock.
    """
    shelf = stock or course_stock()
    used = {material.name: material for material in map(shelf.find, recipe.materials())}
    return {
        "recipe": recipe_as_data(recipe),
        "analyses": [_material_as_data(material) for material in used.values()],
    }


def glaze_from_book(data: Mapping[str, Any]) -> tuple[Recipe, Stock]:
    """The recipe of a batch entry and a stock that holds the analyses of that day, whatever the shelf holds now.

    >>> mix = Recipe("Test", {"quartz": 60, "whiting": 40})
    >>> recipe, stock = glaze_from_book(glaze_as_used(mix))
    >>> recipe == mix, stock.find("quartz") == course_stock().find("quartz")
    (True, True)
    """
    try:
        materials = [_material_from_data(given) for given in data["analyses"]]
        return recipe_from_data(data["recipe"]), Stock(materials=tuple(materials), synonyms=course_stock().synonyms)
    except GlazekitError as error:
        raise BookError(f"the batch in the book cannot be used: {error}") from error
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise BookError(f"the batch in the book is incomplete: {error!r}") from error


def recipe_as_data(recipe: Recipe) -> dict[str, Any]:
    """A recipe as plain data; additions, cone, atmosphere and note only where there are any."""
    data: dict[str, Any] = {"name": recipe.name, "base": _lines_as_data(recipe.base)}
    optional = {
        "additions": _lines_as_data(recipe.additions),
        "additions_are": recipe.additions_are,
        "cone": str(recipe.cone) if recipe.cone else "",
        "atmosphere": recipe.atmosphere,
        "note": recipe.note,
    }
    return data | {name: value for name, value in optional.items() if value}


def recipe_from_data(data: Mapping[str, Any]) -> Recipe:
    """The recipe again, as ``recipe_as_data`` wrote it."""
    return Recipe(
        data["name"],
        [Line(**line) for line in data["base"]],
        [Line(**line) for line in data.get("additions", [])],
        data.get("additions_are"),
        data.get("cone") or None,
        data.get("atmosphere", ""),
        data.get("note", ""),
    )


def _lines_as_data(lines: tuple[Line, ...]) -> list[dict[str, Any]]:
    return [{"material": line.material, "amount": line.amount} | ({"unit": line.unit} if line.unit else {}) for line in lines]


def _material_as_data(material: Material) -> dict[str, Any]:
    """Every field that is not at its default; the label as printed that day comes first, for the human reader."""
    data: dict[str, Any] = {"label": material.label}
    for field in fields(Material):
        value = getattr(material, field.name)
        if field.init and value != field.default:
            data[field.name] = dict(value) if field.name == "oxides" else list(value) if isinstance(value, tuple) else value
    return data


def _material_from_data(data: Mapping[str, Any]) -> Material:
    known = {field.name for field in fields(Material) if field.init}
    given = {name: value for name, value in data.items() if name in known}
    return Material(**given | {"cautions": tuple(given.get("cautions", ()))})
