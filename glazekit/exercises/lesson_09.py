"""Lesson 9, fit: what an oxide adds to the expansion, a whole sum, one flux for another, and the mismatch after cooling."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.reckoning import oxide_moles
from glazekit.chemistry.unity import unity_formula
from glazekit.exercises.rules import Numbers, Range, Rule, Solution
from glazekit.glass.expansion import expansion_contributions
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Line, Recipe

PRACTICE_GLASS = {"silica": "SiO2", "alumina": "Al2O3", "lime": "CaO", "soda": "Na2O", "potash": "K2O"}
"""Oxides of the practice glass of 9.3 and 9.4: word -> symbol."""
ROOM_C = 20


def shown_factor(oxide: str) -> float:
    """Expansion factor of an oxide as the page prints it, one decimal [1e-6 per K]; sums are reckoned with the printed one."""
    return round(expansion_contributions({oxide: 100.0})[0].factor_1e6_per_k, 1)


def _one_share(n: Numbers) -> Solution:
    """9.2: what lime adds to a Gangway Clear with another amount of whiting."""
    base = demo_recipe("Gangway Clear").base
    recipe = Recipe("changed", [Line(line.material, n["whiting_g"]) if line.material == "whiting" else line for line in base])
    mol_pct = next(row.mol_pct for row in expansion_contributions(recipe) if row.oxide == "CaO")
    wt_pct, unity = analyse(recipe).oxide_wt_pct_fired["CaO"], unity_formula(recipe)["CaO"]
    factor = shown_factor("CaO")
    return Solution(
        right={"adds": factor * mol_pct / 100},
        wrong={
            "weight": {"adds": factor * wt_pct / 100},
            "unity": {"adds": factor * unity},
            "factor_alone": {"adds": factor},
        },
        words={
            "mol_pct": show_number(mol_pct, 2),
            "wt_pct": show_number(wt_pct, 2),
            "unity": show_number(unity, 2),
            "factor": show_number(factor, 1),
        },
    )


def _glass(n: Numbers) -> tuple[dict[str, float], dict[str, float]]:
    """Share [mol %] and printed factor of each oxide of the practice glass; silica is what is left of 100."""
    shares = {"silica": 100 - n["alumina"] - n["lime"] - n["soda"] - n["potash"]}
    shares |= {word: n[word] for word in ("alumina", "lime", "soda", "potash")}
    return shares, {word: shown_factor(oxide) for word, oxide in PRACTICE_GLASS.items()}


def _words(shares: Mapping[str, float], factors: Mapping[str, float]) -> dict[str, str | float]:
    return {"silica": shares["silica"]} | {f"{word}_factor": show_number(factor, 1) for word, factor in factors.items()}


def _whole_sum(n: Numbers) -> Solution:
    """9.3: the expansion of the practice glass."""
    shares, factors = _glass(n)
    adds = {word: shares[word] * factors[word] / 100 for word in shares}
    total = fsum(adds.values())
    return Solution(
        right={"total": total},
        wrong={
            "silica_left_out": {"total": total - adds["silica"]},
            "alkalis_only": {"total": adds["soda"] + adds["potash"]},
            "plain_average": {"total": fsum(factors.values()) / len(factors)},
        },
        words=_words(shares, factors) | {f"{word}_adds": show_number(value, 2) for word, value in adds.items()},
    )


def _other_flux(n: Numbers) -> Solution:
    """9.4: the same glass with magnesia in place of its soda."""
    shares, factors = _glass(n)
    total = fsum(shares[word] * factors[word] for word in shares) / 100
    magnesia = shown_factor("MgO")
    leaves, comes = n["soda"] * factors["soda"] / 100, n["soda"] * magnesia / 100
    return Solution(
        right={"total": total - leaves + comes},
        wrong={
            "nothing_added": {"total": total - leaves},
            "soda_kept": {"total": total + comes},
            "fall_alone": {"total": leaves - comes},
        },
        words=_words(shares, factors)
        | {
            "before": show_number(total, 2),
            "magnesia_factor": show_number(magnesia, 1),
            "leaves": show_number(leaves, 2),
            "comes": show_number(comes, 2),
        },
    )


def _mismatch(n: Numbers) -> Solution:
    """9.5: difference of expansions x drop of temperature, in percent; 1e-6 per K x K = 1e-4 %."""
    difference, drop = n["glaze"] - n["body"], n["set_c"] - ROOM_C
    return Solution(
        right={"mismatch_pct": difference * drop / 10_000},
        wrong={
            "from_zero": {"mismatch_pct": difference * n["set_c"] / 10_000},
            "glaze_alone": {"mismatch_pct": n["glaze"] * drop / 10_000},
            "body_alone": {"mismatch_pct": n["body"] * drop / 10_000},
        },
        words={"difference": show_number(difference, 1), "drop": show_number(drop, 0)},
    )


def _talc_for_whiting(n: Numbers) -> Solution:
    """9.7: the swap of 7.4 seen from its fit; silica is held there, so the glaze has as many moles as before."""
    total_mol = fsum(oxide_moles(demo_recipe("Gangway Clear")).values())
    moved_mol = n["whiting_g"] / molar_mass_g_mol(course_stock().find("whiting").formula)
    moved_pct = 100 * moved_mol / total_mol
    lime, magnesia = shown_factor("CaO"), shown_factor("MgO")
    by = (magnesia - lime) * moved_pct / 100
    return Solution(
        right={"by": by},
        wrong={"no_sign": {"by": -by}, "only_lime": {"by": -lime * moved_pct / 100}},
        words={
            "moved_mol": show_number(moved_mol, 4),
            "total_mol": show_number(total_mol, 4),
            "moved_pct": show_number(moved_pct, 2),
            "lime_factor": show_number(lime, 1),
            "magnesia_factor": show_number(magnesia, 1),
        },
    )


_GLASS_RANGES = {
    "alumina": Range(7, 10, 1),
    "lime": Range(14, 20, 1),
    "soda": Range(3, 6, 1),
    "potash": Range(2, 4, 1),
}
_GLASS_COURSE = {"alumina": 8, "lime": 18, "soda": 4, "potash": 4}

RULES: Mapping[str, Rule] = {
    "9.2": Rule(_one_share, {"whiting_g": Range(10, 20, 1)}, {"whiting_g": 14}),
    "9.3": Rule(_whole_sum, _GLASS_RANGES, _GLASS_COURSE),
    "9.4": Rule(_other_flux, shares="9.3"),
    "9.5": Rule(
        _mismatch,
        {"glaze": Range(7.2, 8.2, 0.1), "body": Range(6.2, 6.8, 0.1), "set_c": Range(560, 680, 20)},
        {"glaze": 7.7, "body": 6.6, "set_c": 600},
        keep=lambda n: 0.8 <= round(n["glaze"] - n["body"], 6) <= 1.7,
    ),
    "9.7": Rule(_talc_for_whiting, {"whiting_g": Range(4, 10, 0.5)}, {"whiting_g": 7}),
}
