"""Random swaps: the alkalis keep their share where they can, and nothing nearer exists, judged by scipy."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from random_glazes import FLUXES, SHELF, moles_matrix
from scipy.optimize import linprog, nnls

import glazekit as gk
from glazekit.chemistry.families import FAMILIES, FAMILY, FREE, MAIN, RANKS, SINGLE, STAYS
from glazekit.chemistry.substitute import Substitution, substitute

MORE = ("barium carbonate", "strontium carbonate", "magnesium carbonate light", "petalite", "potash frit")
ALKALIS = ("Li2O", "Na2O", "K2O")


def swaps(count: int, seed: int) -> Iterator[tuple[Substitution, list[str]]]:
    """Random recipes with a powder out and one or two in its place: (what was found, the materials left)."""
    random = np.random.default_rng(seed)
    while count:
        names = [str(name) for name in random.choice((*SHELF, *MORE), int(random.integers(4, 9)), replace=False)]
        recipe = gk.Recipe("any", {name: float(random.exponential()) * 20 + 0.5 for name in names})
        others = [name for name in (*SHELF, *MORE) if name != names[0]]
        candidates = [str(name) for name in random.choice(others, int(random.integers(1, 3)), replace=False)]
        left = list(dict.fromkeys([*names[1:], *candidates]))
        if any(oxide in FLUXES for oxide in moles_matrix(left)[0]):
            count -= 1
            yield substitute(recipe, names[0], candidates), [gk.course_stock().find(name).name for name in left]


def can_keep_the_alkalis(before: gk.UnityFormula, materials: list[str]) -> bool:
    """Is there a mixture of these with the same alkali share that keeps alumina, boric oxide and silica to within a half."""
    oxides, moles = moles_matrix(materials)
    row = {oxide: moles[oxides.index(oxide)] if oxide in oxides else np.zeros(len(materials)) for oxide in {*FLUXES, *RANKS}}
    flux, alkali = sum(row[oxide] for oxide in FLUXES), sum(row[oxide] for oxide in ALKALIS)
    upper, bounds = [], []
    for oxide in RANKS:
        upper += [row[oxide], -row[oxide]]
        bounds += [1.5 * before[oxide] + 0.02, 0.02 - 0.5 * before[oxide]]
    share = sum(before[oxide] for oxide in ALKALIS)
    found = linprog(np.zeros(len(materials)), upper, bounds, [flux, alkali - share * flux], [1, 0], method="highs")
    return bool(found.status == 0)


def test_300_swaps_keep_the_alkali_share_whenever_there_is_a_way() -> None:
    possible = 0
    for swap, materials in swaps(300, seed=11):
        if can_keep_the_alkalis(swap.nearest.before, materials):
            possible += 1
            moved = swap.nearest.after.alkali_share - swap.nearest.before.alkali_share
            assert abs(moved) < 0.02, (swap.recipe, swap.out, materials)
    assert possible > 200


def test_of_300_swaps_every_line_that_moves_by_a_part_has_a_reason() -> None:
    for swap, _ in swaps(300, seed=21):
        size = swap.recipe.base_sum / 100
        candidates = {one.recipe.base[-1].material for one in swap.weight_for_weight}
        named = {swap.out, *candidates, *(way for one in swap.weight_for_weight for way in one.change_parts)}
        told = {reason.material for reason in swap.reasons}
        moved = {name for name, by in swap.nearest.change_parts.items() if abs(by) > 1.001 * size and name not in named}
        assert moved == told - named


def test_no_mixture_is_nearer_says_scipy() -> None:
    """The sum that is to be least, built anew from the analyses; swaps in which a family is lost have another goal and rest."""
    seen = 0
    for swap, materials in swaps(150, seed=31):
        oxides, moles = moles_matrix(materials)
        row = {oxide: moles[oxides.index(oxide)] if oxide in oxides else np.zeros(len(materials)) for oxide in {*FLUXES, *RANKS}}
        before, size = swap.nearest.before, swap.recipe.base_sum
        had = [family for family in FAMILIES if any(before[oxide] for oxide in family)]
        source = moles / moles.sum(axis=0) > 0.08
        has = [family for family in FAMILIES if any(source[oxides.index(oxide)].any() for oxide in family if oxide in oxides)]
        lost_half = any(abs(swap.nearest.unity_change[oxide]) > 0.45 * before[oxide] for oxide in RANKS if before[oxide])
        if not set(had) <= set(has) or lost_half:
            continue
        seen += 1
        kept = [(FLUXES, MAIN), (ALKALIS, MAIN), *((family, FAMILY) for family in has if family != ALKALIS)]
        kept += [((oxide,), weight) for oxide, weight in RANKS.items()]
        kept += [((oxide,), SINGLE) for oxide in oxides if oxide not in RANKS]
        old_oxides, old_moles = moles_matrix([line.material for line in swap.recipe.base])
        old = dict(zip(old_oxides, old_moles @ [line.amount / size for line in swap.recipe.base], strict=True))
        flux = sum(old.get(oxide, 0.0) for oxide in FLUXES)
        all_rows = {oxide: moles[oxides.index(oxide)] for oxide in oxides} | row
        matrix = [weight / flux / 100 * sum(all_rows[oxide] for oxide in group) for group, weight in kept]
        goal = [weight / flux * sum(old.get(oxide, 0.0) for oxide in group) for group, weight in kept]
        was = {gk.course_stock().find(line.material).name: 100 * line.amount / size for line in swap.recipe.base}
        named = {name for one in swap.weight_for_weight for name, by in one.change_parts.items() if by > 0}
        pull = [FREE if name in named else STAYS for name in materials]
        matrix += list(np.diag(pull))
        goal += [weight * was.get(name, 0.0) for weight, name in zip(pull, materials, strict=True)]
        _, least = nnls(np.array(matrix), np.array(goal), maxiter=1000)
        found = {line.material: 100 * line.amount / size for line in swap.nearest.recipe.base}
        ours = np.linalg.norm(np.array(matrix) @ [found.get(name, 0.0) for name in materials] - goal)
        assert ours <= least + 0.1, "lines that moved by less than a thousandth of a part were put back"
    assert seen > 40
