"""Lesson 2, from recipe to batch: to 100, additions in parts, scaling, the largest batch from what is left."""

from __future__ import annotations

from collections.abc import Mapping

from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.recipe.recipe import Recipe

BASE_SUM = Range(88, 112, 0.5)


def _shows_the_mistake(n: Numbers) -> bool:
    """Near 100 a forgotten division hides in the rounding, so those base sums are left out."""
    return not 97 <= n["base_sum"] <= 103


def _page(n: Numbers) -> Recipe:
    """The notebook page: all base lines but the feldspar are one line here, only their sum matters."""
    base = {"soda feldspar": n["feldspar"], "quartz": n["base_sum"] - n["feldspar"]}
    return Recipe("Timetable Satin", base, {"tin oxide": n["tin"], "rutile": n["rutile"]}, additions_are="parts")


def _amount(recipe: Recipe, material: str) -> float:
    return next(line.amount for line in recipe.lines_in_parts() if line.material == material)


def _exact_g(recipe: Recipe, material: str, base_g: float) -> float:
    return _amount(recipe.scaled(base_g / recipe.base_sum), material)


def _words(n: Numbers) -> dict[str, str | float]:
    return {"grand_total": n["base_sum"] + n["tin"] + n["rutile"], "rest": n["base_sum"] - n["feldspar"]}


def _feldspar_share(n: Numbers) -> Solution:
    """2.1: percent of the base."""
    feldspar, base_sum = n["feldspar"], n["base_sum"]
    return Solution(
        right={"feldspar_pct": _amount(_page(n).to_100(), "soda feldspar")},
        wrong={
            "as_written": {"feldspar_pct": feldspar},
            "grand_total": {"feldspar_pct": 100 * feldspar / (base_sum + n["tin"] + n["rutile"])},
            "multiplied": {"feldspar_pct": feldspar * base_sum / 100},
            "upside_down": {"feldspar_pct": base_sum / feldspar},
        },
        words=_words(n),
    )


def _tin_share(n: Numbers) -> Solution:
    """2.2: an addition in parts, as percent of the base."""
    tin, base_sum = n["tin"], n["base_sum"]
    return Solution(
        right={"tin_pct": _amount(_page(n).to_100(), "tin oxide")},
        wrong={
            "as_written": {"tin_pct": tin},
            "grand_total": {"tin_pct": 100 * tin / (base_sum + tin + n["rutile"])},
            "multiplied": {"tin_pct": tin * base_sum / 100},
        },
        words=_words(n),
    )


def _tin_grams(n: Numbers) -> Solution:
    """2.3: grams of the addition for a base in kg."""
    tin, base_sum, base_kg = n["tin"], n["base_sum"], n["base_kg"]
    right_g = _exact_g(_page(n), "tin oxide", 1000 * base_kg)
    return Solution(
        right={"tin_g": right_g},
        wrong={
            "as_written": {"tin_g": 1000 * base_kg * tin / 100},
            "grand_total": {"tin_g": 1000 * base_kg * tin / (base_sum + tin + n["rutile"])},
            "multiplied": {"tin_g": 1000 * base_kg * tin * base_sum / 1e4},
            "kilograms": {"tin_g": right_g / 1000},
            "percent_times_kg": {"tin_g": 100 * tin / base_sum * base_kg},
        },
        words=_words(n) | {"base_g": 1000 * base_kg},
    )


def _largest_base(n: Numbers) -> Solution:
    """2.4: how far the feldspar that is left will go."""
    feldspar, base_sum, left_g = n["feldspar"], n["base_sum"], n["left_g"]
    return Solution(
        right={"base_g": 100 * left_g / _amount(_page(n).to_100(), "soda feldspar")},
        wrong={
            "as_written": {"base_g": 100 * left_g / feldspar},
            "grand_total": {"base_g": left_g * (base_sum + n["tin"] + n["rutile"]) / feldspar},
            "multiplied": {"base_g": left_g * feldspar / base_sum},
        },
        words=_words(n),
    )


def _iron_grams(n: Numbers) -> Solution:
    """2.5: another recipe whose base is not 100."""
    iron, base_sum, batch_g = n["iron"], n["base_sum"], n["batch_g"]
    recipe = Recipe("Anchor Chain", {"potash feldspar": base_sum}, {"red iron oxide": iron}, additions_are="parts")
    return Solution(
        right={"iron_g": _exact_g(recipe, "red iron oxide", batch_g)},
        wrong={
            "as_percent": {"iron_g": batch_g * iron / 100},
            "grand_total": {"iron_g": batch_g * iron / (base_sum + iron)},
            "multiplied": {"iron_g": batch_g * iron * base_sum / 1e4},
            "as_written": {"iron_g": iron},
        },
        words={"grand_total": base_sum + iron},
    )


RULES: Mapping[str, Rule] = {
    "2.1": Rule(
        _feldspar_share,
        {
            "feldspar": Range(24, 36, 0.5),
            "base_sum": BASE_SUM,
            "tin": Range(3, 8, 0.5),
            "rutile": Range(1, 4, 0.5),
            "base_kg": Range(1.5, 4, 0.5),
            "left_g": Range(200, 448, 4),
        },
        {"feldspar": 30, "base_sum": 105.5, "tin": 5, "rutile": 2, "base_kg": 2.5, "left_g": 312},
        keep=_shows_the_mistake,
    ),
    "2.2": Rule(_tin_share, shares="2.1"),
    "2.3": Rule(_tin_grams, shares="2.1"),
    "2.4": Rule(_largest_base, shares="2.1"),
    "2.5": Rule(
        _iron_grams,
        {"iron": Range(7, 10, 0.5), "base_sum": BASE_SUM, "batch_g": Range(300, 800, 50)},
        {"iron": 9, "base_sum": 98, "batch_g": 400},
        keep=_shows_the_mistake,
    ),
}
