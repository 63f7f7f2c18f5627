"""A material is out of stock: the exact, the nearest and the gram-for-gram replacement, side by side."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.changed_recipe import ChangedRecipe, changed_recipe, resolved_base
from glazekit.chemistry.families import FAMILIES, LITTLE_MOL, Group, MovedLine, by_family, keep_families
from glazekit.chemistry.nonnegative import dot, nearest_mixture
from glazekit.chemistry.swap_by_moles import oxide_sum
from glazekit.chemistry.unity import Amounts, brings, moles_per_g
from glazekit.ground.errors import RecipeError, unknown_name
from glazekit.materials.material import Material
from glazekit.materials.oxides import FLUXES, OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

SODA_AND_POTASH = ("Na2O", "K2O")
EXACT_MOL = 1e-6
"""Kept oxides may differ by this at most for a swap to be called exact [moles in 100 g of base]."""
LIGHT = 1e-6
"""Weight of leaving the other lines as they are; it only decides what the kept oxides leave open."""


@dataclass(frozen=True, slots=True)
class Substitution:
    """What may stand in for a missing material, side by side.

    ``out`` is missing in ``recipe``. ``exact`` holds the oxides, or sums such as "Na2O+K2O", of ``keep`` and may change the lines
    ``adjusted`` besides; None when there is none, and then ``why_not`` says why. ``by_family`` is, when there is no exact one,
    the one that is exact when fluxes of one family are counted together, if there is, in the sums ``merged``, such as "SrO+BaO".
    For ``nearest`` all lines are free; it keeps families of fluxes as sums first, single oxides last (``keep_families``), and
    ``reasons`` say why it moves lines that nobody named. ``weight_for_weight`` holds one for each candidate, as a warning.

    Limits: the same formula melts, settles and shrinks differently with other materials. Test first.
    """

    recipe: Recipe
    out: str
    keep: tuple[str, ...]
    adjusted: tuple[str, ...]
    exact: ChangedRecipe | None
    why_not: str
    by_family: ChangedRecipe | None
    merged: tuple[str, ...]
    nearest: ChangedRecipe
    reasons: tuple[MovedLine, ...]
    weight_for_weight: tuple[ChangedRecipe, ...]

    @property
    def gone_over(self) -> tuple[Group, Group]:
        """Of the nearest: fluxes whose whole family is gone, and the fluxes that came in their place."""
        moved, after = self.nearest.unity_change, self.nearest.after
        lost = [family for family in FAMILIES if fsum(after[oxide] for oxide in family) < LITTLE_MOL]
        gone = tuple(oxide for family in lost for oxide in family if moved.get(oxide, 0.0) < -LITTLE_MOL)
        return gone, tuple(oxide for oxide in FLUXES if gone and moved.get(oxide, 0.0) > LITTLE_MOL)

    @property
    def reason_words(self) -> tuple[str, ...]:
        """What is to be said of the nearest: which family took the place of another, and why unnamed lines move."""
        gone, came = (" + ".join(OXIDES[oxide].name for oxide in group) for group in self.gone_over)
        over = f"{came} takes the place of {gone}, another family of flux: it melts and colours otherwise"
        return (*([over] if gone and came else ()), *(reason.words for reason in self.reasons))

    @property
    def replacements(self) -> tuple[ChangedRecipe, ...]:
        """All of them in one row."""
        exact = self.exact or self.by_family
        return (*((exact,) if exact else ()), self.nearest, *self.weight_for_weight)


def substitute(
    recipe: Recipe,
    out: str,
    candidates: Sequence[str],
    *,
    keep: Sequence[str] | None = None,
    adjust: Sequence[str] | None = None,
    stock: Stock | None = None,
) -> Substitution:
    """Replace a material of the base.

    Exact: amounts, none negative, of the candidates and the adjusted lines that bring the kept oxides in exactly the moles
    that the material and these lines brought. By family: the same with fluxes of one family counted together, mole for mole.
    Nearest: what ``keep_families`` finds. Weight for weight: the same parts of another material.

    Parameters: recipe, of which only the base is changed; out, material of the base that is missing; candidates, names in the
    stock that may take its place; keep, oxides such as "Al2O3" or sums such as "Na2O+K2O", by default all that out and the
    candidates mainly bring, soda and potash counted together; adjust, lines of the base that may change, by default those that
    bring nothing but kept oxides; stock, analyses to use, the course's if not given.

    >>> clear = Recipe("small clear", {"soda feldspar": 26, "whiting": 14, "kaolin": 13, "quartz": 22})
    >>> swap = substitute(clear, "soda feldspar", ["nepheline syenite"])
    >>> swap.keep, {name: round(parts, 2) for name, parts in swap.exact.change_parts.items()}
    (('Na2O+K2O', 'Al2O3', 'SiO2'), {'soda feldspar': -26.0, 'kaolin': -1.28, 'quartz': 5.06, 'nepheline syenite': 22.44})

    Raises RecipeError when ``out`` is not in the base, a candidate is the material itself or already unknown.
    """
    shelf = stock or course_stock()
    base = resolved_base(recipe, shelf)
    missing = shelf.find(out).need_analysis()
    if missing.name not in base:
        raise unknown_name(RecipeError, "material", missing.name, base, where=f"the base of {recipe.name} has ")
    new = [shelf.find(name).need_analysis() for name in candidates]
    if not new or missing in new:
        raise RecipeError(f"name at least one other material to take the place of {missing.name}")
    groups = _kept_by_default([missing, *new]) if keep is None else [oxide_sum(text) for text in keep]
    for name in adjust or ():
        if shelf.find(name).name not in base:
            raise RecipeError(f"{shelf.find(name).name} is to be adjusted, but it is not in the base of {recipe.name}")
    adjusted = [shelf.find(name) for name in (base if adjust is None else adjust)]
    if adjust is None:
        adjusted = [material for material in adjusted if _may_adjust(material, groups)]
    adjusted = [material for material in adjusted if material != missing and material not in new]

    exact, why_not = _exact(base, missing, new, adjusted, groups)
    brought = [oxide for material in (missing, *new) for oxide in OXIDE_ORDER if brings(material, oxide)]
    wider = list(dict.fromkeys(by_family(group, brought) for group in groups))
    merged = [group for group in wider if group not in groups]
    family = _exact(base, missing, new, adjusted, wider)[0] if merged and not exact else None
    materials = [shelf.find(name) for name in _replaced(base, missing.name, {material.name: 0.0 for material in new})]
    nearest, reasons = keep_families("nearest", recipe, materials, new, shelf, shelf)
    parts = base[missing.name]
    in_place = [_replaced(base, missing.name, {material.name: parts}) for material in new]
    return Substitution(
        recipe=recipe,
        out=missing.name,
        keep=tuple("+".join(group) for group in groups),
        adjusted=tuple(material.name for material in adjusted),
        exact=changed_recipe("exact", recipe, exact, shelf) if exact else None,
        why_not=why_not,
        by_family=changed_recipe("by family", recipe, family, shelf) if family else None,
        merged=tuple("+".join(group) for group in merged) if family else (),
        nearest=nearest,
        reasons=reasons,
        weight_for_weight=tuple(changed_recipe("weight for weight", recipe, other, shelf) for other in in_place),
    )


def _kept_by_default(materials: Sequence[Material]) -> list[Group]:
    """All that these mainly bring, each for itself, soda and potash together where both come."""
    oxides = [oxide for oxide in OXIDE_ORDER if any(brings(material, oxide) for material in materials)]
    both = all(oxide in oxides for oxide in SODA_AND_POTASH)
    return list(dict.fromkeys(SODA_AND_POTASH if both and oxide in SODA_AND_POTASH else (oxide,) for oxide in oxides))


def _may_adjust(material: Material, groups: Sequence[Group]) -> bool:
    """Does it bring something, and nothing but kept oxides."""
    kept = {oxide for group in groups for oxide in group}
    mainly = {oxide for oxide, _ in material.moles_per_g if brings(material, oxide)}
    return bool(mainly) and mainly <= kept


def _exact(
    base: Amounts, missing: Material, new: Sequence[Material], adjusted: Sequence[Material], groups: Sequence[Group]
) -> tuple[Amounts | None, str]:
    """Amounts that hold every kept oxide, or None and the reason."""
    free = [*new, *adjusted]
    size = fsum(base.values()) / 100
    like = [base.get(material.name, 0.0) / size for material in free]  # parts per 100
    rows = [[moles_per_g(material, group) for material in free] for group in groups]
    lost = [base[missing.name] / size * moles_per_g(missing, group) for group in groups]
    goal = [dot(row, like) + moles for row, moles in zip(rows, lost, strict=True)]
    amounts, misses = nearest_mixture(rows, goal, like, [LIGHT] * len(free))
    worst, miss, group = max((abs(miss), miss, group) for miss, group in zip(misses, groups, strict=True))
    if worst > EXACT_MOL:
        word = "too little" if miss > 0 else "too much"
        names = " + ".join(OXIDES[oxide].name for oxide in group)
        held = ", ".join("+".join(group) for group in groups)
        return None, (
            f"{', '.join(material.name for material in free)} cannot hold {held} all at once without going below "
            f"zero somewhere: there would be {word} {names}"
        )
    found = {material.name: amount * size for material, amount in zip(free, amounts, strict=True)}
    return _replaced(base, missing.name, {material.name: found[material.name] for material in new}) | found, ""


def _replaced(base: Amounts, out: str, into: Amounts) -> Amounts:
    """The base with other materials at the place of one; what is in the base already is added to."""
    result: Amounts = {}
    for name, parts in base.items():
        for new, amount in into.items() if name == out else [(name, parts)]:
            result[new] = result.get(new, 0.0) + amount
    return result
