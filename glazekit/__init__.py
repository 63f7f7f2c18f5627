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

# The rooms that hold the public names. A room is opened when one of its names is first used, so that importing glazekit
# itself costs next to nothing.
_NAMES = {
    "ground.cone": "Cone",
    "ground.errors": "GlazekitError",
    "ground.estimate": "Estimate",
    "ground.numbers": "parse_mass_g parse_number",
    "ground.tables": "cite",
    "materials.bags": "read_bag_analyses write_bag_form",
    "materials.material": "Material",
    "materials.stock": "Stock course_stock",
    "recipe.batch": "BatchSheet batch_sheet largest_batch",
    "recipe.cautions": "cautions_for",
    "recipe.pasted": "recipe_from_text",
    "recipe.reading": "demo_recipe demo_recipes read_recipe read_recipes write_recipes",
    "recipe.recipe": "Line Recipe compare",
    "chemistry.analysis": "Analysis analyse frit_of",
    "chemistry.bag_change": "new_bag",
    "chemistry.formulate": "formulate",
    "chemistry.substitute": "substitute",
    "chemistry.swap_by_moles": "mole_swap",
    "chemistry.targets": "glaze_against",
    "chemistry.uncertainty": "sample_unity",
    "chemistry.unity": "UnityFormula unity_formula",
    "water.slip": "slip_density_g_ml",
    "kiln.cones": "cone_temperatures",
    "kiln.firing": "Firing",
    "kiln.heat_work": "heat_work",
    "kiln.schedule": "Schedule",
    "glass.fit": "fit_chance",
    "glass.melt": "temp_of_viscosity viscosity",
    "glass.properties": "properties",
    "glass.run": "slope_run",
    "glass.sums": "elastic_modulus expansion glass_transition",
    "folder.book": "Book",
}
_ROOM_OF = {name: room for room, names in _NAMES.items() for name in names.split()}

__all__ = sorted(_ROOM_OF)


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
