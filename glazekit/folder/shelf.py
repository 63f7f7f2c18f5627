"""What is within reach of a learner: the recipes of the course and of their own my-recipes/, the bags of their my-bags/."""

from pathlib import Path

from glazekit.ground.errors import GlazekitError
from glazekit.ground.textfile import read_text_file
from glazekit.ground.writer import save_new
from glazekit.materials.bags import bag_form, bags_csv_text, bags_from_text
from glazekit.materials.material import Material
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.reading import demo_recipes, read_recipes, recipe_csv_text
from glazekit.recipe.recipe import Recipe

OWN_FOLDER, BAG_FOLDER = "my-recipes", "my-bags"


def recipes_at_hand(folder: Path) -> tuple[dict[str, Recipe], tuple[str, ...]]:
    """Recipes by the name to show, and one sentence for each file that could not be read. A recipe of the learner's own with the
    name of a course recipe, or of another file, has its file's name behind it."""
    found = {recipe.name: recipe for recipe in demo_recipes()}
    problems = []
    for path in sorted((folder / OWN_FOLDER).glob("*.csv")):
        try:
            for recipe in read_recipes(path):
                found[recipe.name if recipe.name not in found else f"{recipe.name} ({path.name})"] = recipe
        except GlazekitError as error:
            problems.append(f"{path.name}: {error}")
    return found, tuple(problems)


def save_recipe(folder: Path, recipe: Recipe) -> Path:
    """Write a recipe as CSV into my-recipes/, into a new file; an existing one is never touched."""
    return save_new(folder / OWN_FOLDER, recipe.name, ".csv", recipe_csv_text((recipe,)))


def bags_at_hand(folder: Path) -> tuple[tuple[Material, ...], tuple[str, ...]]:
    """The analyses of a learner's bags, file by file in the order of their names, and one sentence for each unreadable file. A
    form with no bag on it is no fault."""
    bags: list[Material] = []
    problems = []
    for path in sorted((folder / BAG_FOLDER).glob("*.csv")):
        try:
            text = read_text_file(path)
            if "\n" in text.strip():
                bags += bags_from_text(text, path.name)
        except GlazekitError as error:
            problems.append(str(error))
    return tuple(bags), tuple(problems)


def stock_with_bags(folder: Path) -> tuple[Stock, tuple[str, ...]]:
    """The course's materials with the learner's own bags in their place, and one sentence for each unreadable file. Of several
    bags of one powder the one with the latest date is used, among those without a date the last file."""
    bags, problems = bags_at_hand(folder)
    return course_stock().with_materials(sorted(bags, key=lambda bag: bag.analysed_on)), problems


def save_bag(folder: Path, bag: Material) -> Path:
    """Write a bag's analysis as CSV into my-bags/, into a new file; an existing one is never touched."""
    return save_new(folder / BAG_FOLDER, f"{bag.name} {bag.lot}".strip(), ".csv", bags_csv_text((bag,)))


def save_bag_form(folder: Path) -> Path:
    """Write the empty form for bag analyses into my-bags/, into a new file."""
    return save_new(folder / BAG_FOLDER, "bag-analyses", ".csv", bag_form())
