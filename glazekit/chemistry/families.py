"""A recipe of other materials that keeps what the eye and the kiln notice: families of fluxes first, single oxides last."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.changed_recipe import STILL_PCT, ChangedRecipe, changed_recipe, resolved_base
from glazekit.chemistry.nonnegative import dot, nearest_mixture
from glazekit.chemistry.unity import SOURCE_FROM, Amounts, ByName, brings, flux_sum_mol, moles_per_g, oxide_moles, unity_formula
from glazekit.materials.material import Material
from glazekit.materials.oxides import ALKALIS, FLUXES, OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

Group = tuple[str, ...]
"""Oxides that are counted together, as one sum."""
Kept = tuple[Group, float]
"""Oxides counted together, and the weight of a miss in them [per mole]."""
FAMILIES: tuple[Group, ...] = (ALKALIS, ("MgO",), ("CaO", "SrO", "BaO"), ("ZnO",), ("PbO",))
"""Fluxes that do much the same in a melt, mole for mole."""
MAIN, FAMILY, SINGLE = 1000.0, 100.0, 0.2
"""Weight of a miss in all fluxes together and in the alkalis; in another family; in one oxide of no rank [per mole]."""
RANKS = {"Al2O3": 30.0, "B2O3": 30.0, "SiO2": 10.0}
"""Weight of a miss in an oxide that is no flux [per mole]."""
STAYS = 0.004
"""Weight of a line that nobody named and that moves [per part in 100]: a single oxide alone hardly moves it."""
FREE = 1e-5
"""The same of a material that was named; it decides only between mixtures of equal oxides."""
WORTH_SAYING = 1.0
"""A line nobody named that moves by more than this gets a reason [parts in 100]."""
HALF, LITTLE_MOL = 0.5, 0.02
"""Traces of alkali are no longer held when that costs so much of alumina, boric oxide or silica [part of it; besides, mol]."""
NOTHING_MOL = 1e-6


@dataclass(frozen=True, slots=True)
class MovedLine:
    """Why a line that nobody named moves. Parameters: material, by_parts, the line, and how far it moves [parts]; holds, of the
    sums that it brings nearer the weightiest, all fluxes only if there is no other; else_mol, how far off that sum would be if
    this line alone were put back, above zero for too much [mol per mol of flux]."""

    material: str
    by_parts: float
    holds: Group
    else_mol: float

    @property
    def words(self) -> str:
        """The reason in words.

        >>> MovedLine("kaolin", 1.66, ("Al2O3",), -0.023).words
        'kaolin +1.66 holds alumina (else 0.02 too little)'
        """
        held = "the fluxes together" if self.holds == FLUXES else " + ".join(OXIDES[oxide].name for oxide in self.holds)
        off = f"{abs(self.else_mol):.2f} too {'much' if self.else_mol > 0 else 'little'}"
        return f"{self.material} {'+' if self.by_parts > 0 else '−'}{abs(self.by_parts):.2f} holds {held} (else {off})"


def keep_families(
    kind: str, recipe: Recipe, materials: Sequence[Material], named: Collection[Material], stock: Stock, old_stock: Stock
) -> tuple[ChangedRecipe, tuple[MovedLine, ...]]:
    """The amounts, none negative, that keep the glaze as it was as far as these materials can.

    minimise  sum over what is kept of (weight x (moles reached - moles before))^2
              + sum over lines of (weight x (parts - parts before))^2

    Kept are, from heavy to light: all fluxes together and the alkalis among them; every other family of fluxes as a sum;
    alumina and boric oxide; silica; every single oxide; and last the lines that nobody named. It is weighed and not done rank by
    rank, since a strict order would give up any amount of silica for the last thousandth of alumina. A family that no material
    left is a source of goes over, mole for mole, to the families of the materials that were named. An oxide that these bring
    in the place of another of its family is no miss, so that no other line moves for it. Where only traces of alkali are left,
    as in clays, they are let go rather than to lose half of the alumina, boric oxide or silica for them.

    Parameters: ``kind`` as in ``ChangedRecipe``; ``materials`` those of the new base, in its order; ``named`` those of them that
    may move freely; ``stock`` and ``old_stock`` hold the analyses after and before.

    Returns the recipe in the parts of the old one, and a reason for each line that nobody named and that moves.
    Raises RecipeError when no flux is left.
    """
    base, size = resolved_base(recipe, old_stock), recipe.base_sum / 100
    before = unity_formula(recipe, stock=old_stock).moles
    flux_mol = flux_sum_mol(oxide_moles(recipe, stock=old_stock)) / size
    like = [base.get(material.name, 0.0) / size for material in materials]
    out = {
        material: parts / size / flux_mol for name, parts in base.items() if (material := old_stock.find(name)) not in materials
    }
    pull = [FREE if material in named else STAYS for material in materials]

    def nearest(traces_count: bool) -> _Nearest:
        kept = _kept(materials, named, before, traces_count)
        return _Nearest(kept, materials, before, _in_place(before, out, named, kept), flux_mol, like, pull)

    found = nearest(traces_count=True)
    if found.loses_half and not (second := nearest(traces_count=False)).loses_half:
        found = second
    moved = [
        (i, material, found.amounts[i] - like[i])
        for i, material in enumerate(materials)
        if material not in named and abs(found.amounts[i] - like[i]) > WORTH_SAYING
    ]
    reasons = tuple(MovedLine(material.name, by * size, *found.held_by(i, by)) for i, material, by in moved)
    lines = zip(materials, found.amounts, like, strict=True)
    new = {one.name: (was if abs(amount - was) <= STILL_PCT else amount) * size for one, amount, was in lines}
    order = dict.fromkeys([*new, *base])
    changed = changed_recipe(kind, recipe, {name: new.get(name, 0.0) for name in order}, stock, old_stock=old_stock)
    return changed, reasons


class _Nearest:
    """The nearest amounts for one choice of what is kept."""

    def __init__(
        self,
        kept: Sequence[Kept],
        materials: Sequence[Material],
        before: ByName,
        single: ByName,
        flux_mol: float,
        like: Sequence[float],
        pull: Sequence[float],
    ) -> None:
        self.kept = kept
        self.brought = {*before, *(oxide for material in materials for oxide in material.oxide_wt_pct)}
        self.rows = [[weight * moles_per_g(one, group) / flux_mol for one in materials] for group, weight in kept]
        wanted = [(group, weight, single if weight == SINGLE else before) for group, weight in kept]
        self.goal = [weight * fsum(moles.get(oxide, 0.0) for oxide in group) for group, weight, moles in wanted]
        self.amounts, self.misses = nearest_mixture(self.rows, self.goal, like, pull)

    @property
    def loses_half(self) -> bool:
        """Is half of the alumina, boric oxide or silica too much or gone."""
        lines = zip(self.kept, self.goal, self.misses, strict=True)
        return any(abs(miss) > HALF * goal + LITTLE_MOL * weight for (group, weight), goal, miss in lines if group[0] in RANKS)

    def held_by(self, line: int, by: float) -> tuple[Group, float]:
        """What a line that moved by so much holds, and how far off that would be if the line were put back."""
        back = [miss + by * row[line] for miss, row in zip(self.misses, self.rows, strict=True)]
        worse = [abs(then) - abs(now) for then, now in zip(back, self.misses, strict=True)]
        told = max(range(1, len(worse)), key=lambda row: worse[row])
        told = told if worse[told] > 0 else 0
        group, weight = self.kept[told]
        present = tuple(oxide for oxide in group if oxide in self.brought)
        return group if group == FLUXES else present, -back[told] / weight


def _kept(materials: Sequence[Material], named: Collection[Material], before: ByName, traces_count: bool) -> list[Kept]:
    """What is kept, the heaviest first."""
    has = [family for family in FAMILIES if any(brings(m, oxide, SOURCE_FROM) for m in materials for oxide in family)]
    lost = [f for f in FAMILIES if f not in has and fsum(before.get(oxide, 0.0) for oxide in f) > NOTHING_MOL]
    into = [family for family in has if any(brings(material, oxide) for material in named for oxide in family)] if lost else []
    kept = [(FLUXES, MAIN), (ALKALIS, MAIN if traces_count or ALKALIS in has else RANKS["Al2O3"])]
    kept += [(family, FAMILY) for family in has if family not in (ALKALIS, *into)]
    if into:
        kept.append((tuple(oxide for family in (*lost, *into) for oxide in family), FAMILY))
    kept += [((oxide,), weight) for oxide, weight in RANKS.items()]
    brought = [o for o in OXIDE_ORDER if o not in RANKS and any(o in material.oxide_wt_pct for material in materials)]
    return kept + [((oxide,), SINGLE) for oxide in brought]


def _in_place(before: ByName, out: Mapping[Material, float], named: Collection[Material], kept: Sequence[Kept]) -> Amounts:
    """The single oxides that are wanted: as before, but of each family what is gone goes over to the named sources of it. They
    bring as many moles as the powders that are ``out`` [g in 100 g of base per mole of its flux], oxide by oxide as nearly as
    they can."""
    wanted = Amounts(before)
    for family in [group for group, _ in kept[1:] if len(group) > 1]:
        sources = [material for material in named if any(brings(material, oxide, SOURCE_FROM) for oxide in family)]
        if not sources:
            continue
        gone = [fsum(grams * moles_per_g(material, (oxide,)) for material, grams in out.items()) for oxide in family]
        rows = [[moles_per_g(material, (oxide,)) for material in sources] for oxide in family]
        total = [FAMILY * moles_per_g(material, family) for material in sources]
        none = [0.0] * len(sources)
        amounts, _ = nearest_mixture([*rows, total], [*gone, FAMILY * fsum(gone)], like=none, pull=none)
        for oxide, moles, row in zip(family, gone, rows, strict=True):
            wanted[oxide] = wanted.get(oxide, 0.0) - moles + dot(row, amounts)
    return wanted


def by_family(group: Group, brought: Collection[str]) -> Group:
    """The oxides of a sum, with those of their families that are brought.

    >>> by_family(("BaO",), ["SrO", "BaO"]), by_family(("SiO2",), ["SiO2"])
    (('SrO', 'BaO'), ('SiO2',))
    """
    families = [family for family in FAMILIES if set(family) & set(group)]
    wider = {*group, *(oxide for family in families for oxide in family if oxide in brought)}
    return tuple(oxide for oxide in OXIDE_ORDER if oxide in wider)
