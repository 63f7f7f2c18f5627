"""Lesson 9, fit: what an oxide adds to the expansion, a whole sum, one flux for another, and the mismatch after cooling."""

from math import fsum

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.unity import oxide_moles, unity_formula
from glazekit.exercises.rules import CLEAR, Numbers, Rules, Solution, Steps, g_mol, one_box, shown
from glazekit.glass.sums import expansion_contributions
from glazekit.ground.numbers import ROOM_C
from glazekit.recipe.recipe import Line, Recipe

RULES = Rules()
PRACTICE_GLASS = {"silica": "SiO2", "alumina": "Al2O3", "lime": "CaO", "soda": "Na2O", "potash": "K2O"}
"""Oxides of the practice glass of 9.3 and 9.4: word -> symbol."""


def shown_factor(oxide: str) -> float:
    """Expansion factor of an oxide as the page prints it, one decimal [1e-6 per K]; sums are reckoned with the printed one."""
    return round(expansion_contributions({oxide: 100.0})[0].factor_1e6_per_k, 1)


@RULES.add("9.2", whiting_g=Steps(10, 20, 1, course=14))
def _one_share(n: Numbers) -> Solution:
    """What lime adds to a Gangway Clear with another amount of whiting."""
    lines = [Line(line.material, n["whiting_g"]) if line.material == "whiting" else line for line in CLEAR.base]
    recipe = Recipe("changed", lines)
    mol_pct = next(row.mol_pct for row in expansion_contributions(recipe) if row.oxide == "CaO")
    wt_pct, unity, factor = analyse(recipe).oxide_wt_pct_fired["CaO"], unity_formula(recipe)["CaO"], shown_factor("CaO")
    wrong = {"weight": factor * wt_pct / 100, "unity": factor * unity, "factor_alone": factor}
    words = shown(2, mol_pct=mol_pct, wt_pct=wt_pct, unity=unity) | shown(1, factor=factor)
    return one_box("adds", factor * mol_pct / 100, wrong, words)


def _glass(n: Numbers) -> tuple[dict[str, float], dict[str, float], dict[str, str | float]]:
    """Share [mol %] and printed factor of each oxide of the practice glass, and words; silica is what is left of 100."""
    shares = {word: n[word] for word in ("alumina", "lime", "soda", "potash")}
    shares = {"silica": 100 - shares["alumina"] - shares["lime"] - shares["soda"] - shares["potash"]} | shares
    factors = {word: shown_factor(oxide) for word, oxide in PRACTICE_GLASS.items()}
    words = shown(1, **{f"{word}_factor": factor for word, factor in factors.items()}) | {"silica": shares["silica"]}
    return shares, factors, words


@RULES.add(
    "9.3",
    alumina=Steps(7, 10, 1, course=8),
    lime=Steps(14, 20, 1, course=18),
    soda=Steps(3, 6, 1, course=4),
    potash=Steps(2, 4, 1, course=4),
)
def _whole_sum(n: Numbers) -> Solution:
    """The expansion of the practice glass."""
    shares, factors, words = _glass(n)
    adds = {word: shares[word] * factors[word] / 100 for word in shares}
    total = fsum(adds.values())
    wrong = {
        "silica_left_out": total - adds["silica"],
        "alkalis_only": adds["soda"] + adds["potash"],
        "plain_average": fsum(factors.values()) / len(factors),
    }
    return one_box("total", total, wrong, words)


@RULES.add("9.4", shares="9.3")
def _other_flux(n: Numbers) -> Solution:
    """The same glass with magnesia in place of its soda."""
    shares, factors, words = _glass(n)
    total, magnesia = fsum(shares[word] * factors[word] for word in shares) / 100, shown_factor("MgO")
    leaves, comes = n["soda"] * factors["soda"] / 100, n["soda"] * magnesia / 100
    wrong = {"nothing_added": total - leaves, "soda_kept": total + comes, "fall_alone": leaves - comes}
    words = words | shown(2, before=total) | shown(1, magnesia_factor=magnesia)
    return one_box("total", total - leaves + comes, wrong, words)


@RULES.add(
    "9.5",
    glaze=Steps(7.2, 8.2, 0.1, course=7.7),
    body=Steps(6.2, 6.8, 0.1, course=6.6),
    set_c=Steps(560, 680, 20, course=600),
    keep=lambda n: 0.8 <= round(n["glaze"] - n["body"], 6) <= 1.7,
)
def _mismatch(n: Numbers) -> Solution:
    """Difference of expansions x drop of temperature, in percent; 1e-6 per K x K = 1e-4 %."""
    difference, drop = n["glaze"] - n["body"], n["set_c"] - ROOM_C
    wrong = {
        "from_zero": difference * n["set_c"] / 10_000,
        "glaze_alone": n["glaze"] * drop / 10_000,
        "body_alone": n["body"] * drop / 10_000,
    }
    return one_box("mismatch_pct", difference * drop / 10_000, wrong, shown(1, difference=difference) | shown(0, drop=drop))


@RULES.add("9.7", whiting_g=Steps(4, 10, 0.5, course=7))
def _talc_for_whiting(n: Numbers) -> Solution:
    """The swap of 7.4 seen from its fit; silica is held there, so the glaze has as many moles as before."""
    total_mol, moved_mol = fsum(oxide_moles(CLEAR).values()), n["whiting_g"] / g_mol("whiting")
    moved_pct = 100 * moved_mol / total_mol
    lime, magnesia = shown_factor("CaO"), shown_factor("MgO")
    by = (magnesia - lime) * moved_pct / 100
    wrong = {"no_sign": -by, "only_lime": -lime * moved_pct / 100}
    words = (
        shown(4, moved_mol=moved_mol, total_mol=total_mol)
        | shown(2, moved_pct=moved_pct)
        | shown(1, lime_factor=lime, magnesia_factor=magnesia)
    )
    return one_box("by", by, wrong, words)
