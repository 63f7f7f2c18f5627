"""From a formula to a recipe by hand: shop for one oxide after the other and keep a table of what is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from glazekit.chemistry.allowed import Allowed
from glazekit.chemistry.formulate import Target, read_target, share_out
from glazekit.chemistry.swap_by_moles import DUST_MOL
from glazekit.chemistry.unity import ByName, UnityFormula, Weighed, flux_symbols, grams_per_mol, moles_in
from glazekit.ground.errors import RecipeError
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe

ENOUGH_MOL = 0.02
"""What may be missing or come along before the shopping counts as failed, as traces in clays do [mol] (practice)."""
MAIN_FLUX = 0.5
"""A carbonate is bought for any flux it brings at least so much of, compared with its most plentiful one."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """One step of the shopping: a material, bought for one oxide, and the table (oxide, wanted, so far, left) after it [mol].

    grams = bought_mol x grams_per_mol, per mole of flux [g];  bought_mol = need_mol, or nothing when earlier purchases brought
    so much of the oxide that less than nothing of it is still needed [mol]
    """

    material: str
    for_oxide: str
    need_mol: float
    bought_mol: float
    grams_per_mol: float
    grams: float
    rows: tuple[tuple[str, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class HandWork:
    """The whole shopping for a target, purchases in order. Parameters: recipe, what was bought, as a base of 100, None when the
    formula is impossible with these minerals bought this way; problems, sentences that tell what was overshot and what is still
    missing."""

    target: UnityFormula
    purchases: tuple[Purchase, ...]
    recipe: Recipe | None
    problems: tuple[str, ...]


def by_hand(
    target: Target,
    feldspar: str | None,
    carbonates: Sequence[str],
    clay: str,
    silica: str,
    *,
    stock: Stock | None = None,
    name: str = "worked by hand",
) -> HandWork:
    """Shop in order: feldspar for its alkali, carbonates for the other fluxes, clay for the alumina left, silica last.

    Each purchase brings everything else in the mineral along, so the table "wanted, so far, left" is brought up to date
    after every one. A negative left-over means that these minerals cannot make the formula: nothing can be taken back out.

    Parameters: target, unity formula, or oxide, or a sum such as "Na2O+K2O", -> moles per mole of flux; feldspar, or another
    alkali source, None to begin with the carbonates; carbonates, sources of the other fluxes in the order in which they are
    bought; clay, silica, sources of alumina and of silica; stock, the course's if not given; name, of the recipe.

    >>> work = by_hand({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.2, "SiO2": 3.5}, "potash feldspar", ["whiting"], "kaolin", "quartz")
    >>> round(work.purchases[2].need_mol, 2), work.recipe is None
    (-0.1, True)

    Raises RecipeError when a material does not bring what it is bought for.
    """
    shelf = stock or course_stock()
    names = [*([feldspar] if feldspar else []), *carbonates, clay, silica]
    target, *_ = share_out(target, Allowed(tuple(shelf.find(material).need_analysis() for material in dict.fromkeys(names))))
    wanted, _ = read_target(target)
    bought: list[Weighed] = []
    purchases: list[Purchase] = []

    def buy(material: Material, oxide: str) -> None:
        per_mol_g = grams_per_mol(material, oxide, "be bought for it")
        need_mol = wanted[oxide] - moles_in(bought).get(oxide, 0.0)
        bought_mol = max(need_mol, 0.0) if abs(need_mol) > DUST_MOL else 0.0
        bought.append(Weighed(material, bought_mol * per_mol_g))
        rows = _table(wanted, moles_in(bought))
        purchases.append(Purchase(material.name, oxide, need_mol, bought_mol, per_mol_g, bought[-1].mass_g, rows))

    for flux_source in ([feldspar] if feldspar else []) + list(carbonates):
        material = shelf.find(flux_source).need_analysis()
        buy(material, _flux_for(material, wanted, moles_in(bought)))
    buy(shelf.find(clay).need_analysis(), "Al2O3")
    buy(shelf.find(silica).need_analysis(), "SiO2")

    problems = _problems(purchases)
    total = fsum(line.mass_g for line in bought)
    lines = [(line.material.name, 100 * line.mass_g / total) for line in bought if line.mass_g]
    return HandWork(wanted, tuple(purchases), None if problems else Recipe(name, lines).merged(), problems)


def _flux_for(material: Material, wanted: UnityFormula, so_far: ByName) -> str:
    """The flux a material is bought for: of those it mainly brings, the one that is filled first."""
    fluxes = flux_symbols(wanted.colour_fluxes_counted)
    per_g = {oxide: moles for oxide, moles in material.moles_per_g if oxide in fluxes}
    if not per_g:
        raise RecipeError(f"{material.name} brings no flux; buy it as clay or as silica")
    main = [oxide for oxide, moles in per_g.items() if moles >= MAIN_FLUX * max(per_g.values())]
    return min(main, key=lambda oxide: (wanted[oxide] - so_far.get(oxide, 0.0)) / per_g[oxide])


def _table(wanted: UnityFormula, so_far: ByName) -> tuple[tuple[str, float, float, float], ...]:
    rows = []
    for oxide in OXIDE_ORDER:
        want, got = wanted[oxide], so_far.get(oxide, 0.0)
        if want or got:
            rows.append((oxide, want, got, 0.0 if abs(want - got) < DUST_MOL else want - got))
    return tuple(rows)


def _problems(purchases: Sequence[Purchase]) -> tuple[str, ...]:
    """Sentences for every purchase that would have to be negative and every oxide that did not come out even."""
    over = {purchase.for_oxide: purchase for purchase in purchases if purchase.need_mol < -DUST_MOL}
    found = [
        f"{OXIDES[oxide].name} was already {-one.need_mol:.3f} moles over before the {one.material}, which would have to be "
        f"{one.need_mol:.3f}: these minerals cannot make this formula"
        for oxide, one in over.items()
    ]
    for oxide, _, _, left in purchases[-1].rows:
        if oxide in over or abs(left) <= ENOUGH_MOL:
            continue
        end = "are still missing" if left > 0 else "too much came along"
        found.append(f"{abs(left):.3f} moles of {OXIDES[oxide].name} ({oxide}) {end}")
    return tuple(found)
