"""A glaze as the book keeps it: the recipe and the analyses it was computed from, as plain data, and back again.

Bags change. A batch must stay computable with the analyses it was weighed under, so these travel with it.
"""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from glazekit.ground.cone import Cone
from glazekit.ground.errors import BookError, GlazekitError
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Line, Recipe


def glaze_as_used(recipe: Recipe, stock: Stock | None = None) -> dict[str, Any]:
    """The ``recipe`` and ``analyses`` of a batch entry; write it with ``book.add("batch", **glaze_as_used(recipe), base_g=100)``.
    Parameters: recipe; stock it is weighed from (default: the course's). Raises UnknownMaterialError for a name not in the
    stock."""
    shelf = stock or course_stock()
    used = {material.name: material for material in map(shelf.find, recipe.materials())}
    analyses = [{"label": material.label, **as_data(material)} for material in used.values()]  # labels are for human readers
    return {"recipe": as_data(recipe), "analyses": analyses}


def glaze_from_book(data: Mapping[str, Any]) -> tuple[Recipe, Stock]:
    """The recipe of a batch entry and a stock that holds the analyses of that day, whatever the shelf holds now.

    >>> mix = Recipe("Test", {"quartz": 60, "whiting": 40})
    >>> recipe, stock = glaze_from_book(glaze_as_used(mix))
    >>> recipe == mix, stock.find("quartz") == course_stock().find("quartz")
    (True, True)
    """
    try:
        known = [_known(Material, given) for given in data["analyses"]]
        materials = tuple(Material(**given | {"cautions": tuple(given.get("cautions", ()))}) for given in known)
        written = data["recipe"]
        base, additions = ([Line(**line) for line in lines] for lines in (written["base"], written.get("additions", [])))
        recipe = Recipe(**_known(Recipe, written) | {"base": base, "additions": additions})
        return recipe, Stock(materials=materials, synonyms=course_stock().synonyms)
    except GlazekitError as error:
        raise BookError(f"the batch in the book cannot be used: {error}") from error
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise BookError(f"the batch in the book is incomplete: {error!r}") from error


def as_data(thing: Recipe | Line | Material) -> dict[str, Any]:
    """Every field that is not at its default, as plain data."""
    data: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if field.init and value != field.default:
            if field.name == "oxides":
                value = dict(value)
            elif isinstance(value, tuple):
                value = [as_data(inner) if isinstance(inner, Line) else inner for inner in value]
            data[field.name] = str(value) if isinstance(value, Cone) else value
    return data


def _known(kind: type[Recipe] | type[Material], data: Mapping[str, Any]) -> dict[str, Any]:
    """The fields that hold something and that there are today."""
    names = {field.name for field in fields(kind) if field.init}
    return {name: value for name, value in data.items() if name in names and value not in ("", None)}
