"""Glazekit: from a recipe to a weighed, watered and understood batch of glaze.

>>> import glazekit as gk
>>> clear = gk.demo_recipe("Gangway Clear")
>>> sheet = gk.batch_sheet(clear, base_g=100)
>>> [(line.material, line.target_g) for line in sheet.lines][:2]
[('soda feldspar', 26.0), ('calcium borosilicate frit', 25.0)]
>>> round(gk.unity_formula(clear).silica_to_alumina_mol, 1)
8.3
"""

from typing import Any

__version__ = "0.1.0"

# The public names and the room each lives in. A room is opened when one of its names is first used,
# so that importing glazekit itself costs next to nothing.
_ROOM_OF = {
    "Analysis": "chemistry.analysis",
    "BatchSheet": "recipe.batch",
    "Book": "folder.book",
    "Cone": "ground.cone",
    "Firing": "kiln.firing",
    "Estimate": "ground.estimate",
    "GlazekitError": "ground.errors",
    "Line": "recipe.recipe",
    "Material": "materials.material",
    "Recipe": "recipe.recipe",
    "Schedule": "kiln.schedule",
    "Stock": "materials.stock",
    "UnityFormula": "chemistry.unity",
    "analyse": "chemistry.analysis",
    "batch_sheet": "recipe.batch",
    "cautions_for": "recipe.cautions",
    "cite": "ground.tables",
    "compare": "recipe.recipe",
    "cone_temperatures": "kiln.cones",
    "course_stock": "materials.stock",
    "demo_recipe": "recipe.reading",
    "demo_recipes": "recipe.reading",
    "elastic_modulus": "glass.setting",
    "expansion": "glass.expansion",
    "fit_chance": "glass.fit",
    "formulate": "chemistry.formulate",
    "frit_of": "chemistry.analysis",
    "glass_transition": "glass.setting",
    "glaze_against": "chemistry.targets",
    "heat_work": "kiln.heat_work",
    "largest_batch": "recipe.batch",
    "mole_swap": "chemistry.swap_by_moles",
    "new_bag": "chemistry.bag_change",
    "parse_mass_g": "ground.numbers",
    "parse_number": "ground.numbers",
    "properties": "glass.properties",
    "read_bag_analyses": "materials.bags",
    "read_recipe": "recipe.reading",
    "read_recipes": "recipe.reading",
    "recipe_from_text": "recipe.pasted",
    "sample_unity": "chemistry.uncertainty",
    "slip_density_g_ml": "water.slip",
    "slope_run": "glass.run",
    "substitute": "chemistry.substitute",
    "temp_of_viscosity": "glass.melt",
    "unity_formula": "chemistry.unity",
    "viscosity": "glass.melt",
    "write_bag_form": "materials.bags",
    "write_recipes": "recipe.reading",
}

__all__ = list(_ROOM_OF)


def __getattr__(name: str) -> Any:
    """Open the room of a public name at its first use."""
    if name not in _ROOM_OF:
        raise AttributeError(f"glazekit has no public name '{name}'")
    from importlib import import_module

    thing = getattr(import_module(f"glazekit.{_ROOM_OF[name]}"), name)
    globals()[name] = thing
    return thing


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
