"""Lesson 2, from recipe to batch: to 100, additions in parts, scaling, the largest batch from what is left."""

from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, one_box
from glazekit.recipe.recipe import Recipe

RULES = Rules()


def _shows_the_mistake(n: Numbers) -> bool:
    """Near 100 a forgotten division hides in the rounding, so those base sums are left out."""
    return not 97 <= n["base_sum"] <= 103


def _page(n: Numbers) -> Recipe:
    """The notebook page: all base lines but the feldspar are one line here, only their sum matters."""
    base = {"soda feldspar": n["feldspar"], "quartz": n["base_sum"] - n["feldspar"]}
    return Recipe("Lantern Satin", base, {"tin oxide": n["tin"], "rutile": n["rutile"]}, additions_are="parts")


def _in_batch(recipe: Recipe, material: str, base: float) -> float:
    """What a batch with so much base holds of a material, in the same unit."""
    lines = recipe.scaled(base / recipe.base_sum).lines_in_parts()
    return next(line.amount for line in lines if line.material == material)


def _grand_total(n: Numbers) -> float:
    return n["base_sum"] + n["tin"] + n["rutile"]


def _words(n: Numbers) -> dict[str, float]:
    return {"grand_total": _grand_total(n), "rest": n["base_sum"] - n["feldspar"]}


@RULES.add(
    "2.1",
    feldspar=Steps(24, 36, 0.5, course=30),
    base_sum=Steps(88, 112, 0.5, course=105.5),
    tin=Steps(3, 8, 0.5, course=5),
    rutile=Steps(1, 4, 0.5, course=2),
    base_kg=Steps(1.5, 4, 0.5, course=2.5),
    left_g=Steps(200, 448, 4, course=312),
    keep=_shows_the_mistake,
)
def _feldspar_share(n: Numbers) -> Solution:
    """Percent of the base."""
    feldspar, base_sum = n["feldspar"], n["base_sum"]
    wrong = {
        "as_written": feldspar,
        "grand_total": 100 * feldspar / _grand_total(n),
        "multiplied": feldspar * base_sum / 100,
        "upside_down": base_sum / feldspar,
    }
    return one_box("feldspar_pct", _in_batch(_page(n), "soda feldspar", 100), wrong, _words(n))


@RULES.add("2.2", shares="2.1")
def _tin_share(n: Numbers) -> Solution:
    """An addition in parts, as percent of the base."""
    tin = n["tin"]
    wrong = {"as_written": tin, "grand_total": 100 * tin / _grand_total(n), "multiplied": tin * n["base_sum"] / 100}
    return one_box("tin_pct", _in_batch(_page(n), "tin oxide", 100), wrong, _words(n))


@RULES.add("2.3", shares="2.1")
def _tin_grams(n: Numbers) -> Solution:
    """Grams of the addition for a base in kg."""
    tin, base_sum, base_g = n["tin"], n["base_sum"], 1000 * n["base_kg"]
    right_g = _in_batch(_page(n), "tin oxide", base_g)
    wrong = {
        "as_written": base_g * tin / 100,
        "grand_total": base_g * tin / _grand_total(n),
        "multiplied": base_g * tin * base_sum / 1e4,
        "kilograms": right_g / 1000,
        "percent_times_kg": 100 * tin / base_sum * n["base_kg"],
    }
    return one_box("tin_g", right_g, wrong, _words(n) | {"base_g": base_g})


@RULES.add("2.4", shares="2.1")
def _largest_base(n: Numbers) -> Solution:
    """How far the feldspar that is left will go."""
    feldspar, left_g = n["feldspar"], n["left_g"]
    wrong = {
        "as_written": 100 * left_g / feldspar,
        "grand_total": left_g * _grand_total(n) / feldspar,
        "multiplied": left_g * feldspar / n["base_sum"],
    }
    return one_box("base_g", 100 * left_g / _in_batch(_page(n), "soda feldspar", 100), wrong, _words(n))


@RULES.add(
    "2.5",
    iron=Steps(7, 10, 0.5, course=9),
    base_sum=Steps(88, 112, 0.5, course=98),
    batch_g=Steps(300, 800, 50, course=400),
    keep=_shows_the_mistake,
)
def _iron_grams(n: Numbers) -> Solution:
    """Another recipe whose base is not 100."""
    iron, base_sum, batch_g = n["iron"], n["base_sum"], n["batch_g"]
    recipe = Recipe("Winch Brown", {"potash feldspar": base_sum}, {"red iron oxide": iron}, additions_are="parts")
    wrong = {
        "as_percent": batch_g * iron / 100,
        "grand_total": batch_g * iron / (base_sum + iron),
        "multiplied": batch_g * iron * base_sum / 1e4,
        "as_written": iron,
    }
    return one_box("iron_g", _in_batch(recipe, "red iron oxide", batch_g), wrong, {"grand_total": base_sum + iron})
