"""The composition a property model reads: shares by moles of the oxides it knows, and what was left out."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from math import fsum, isfinite

from glazekit.chemistry.unity import UnityFormula, oxide_moles, stand_in_notes
from glazekit.glass.properties import constant
from glazekit.ground.errors import GlazekitError, RangeError, RecipeError, quoted, unknown_name
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe

MODEL_OXIDES = (
    *("SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO"),
    *("TiO2", "ZrO2", "Fe2O3", "P2O5", "SnO2", "MnO"),
)
"""The oxides of the open measurements, in the order every ``fractions`` tuple has. All iron counts as Fe2O3."""

ALKALIS = ("Li2O", "Na2O", "K2O")
EARTHS = ("MgO", "CaO", "SrO", "BaO", "ZnO", "MnO")
SUMS = {"R2O": ALKALIS, "RO": EARTHS, "R2O+RO": (*ALKALIS, *EARTHS)}
"""Sums of oxides by the names they have in the tables of data/."""
_PLACE = {oxide: place for place, oxide in enumerate(MODEL_OXIDES)}
SUM_SLACK_MOL_PCT = 0.5

Glaze = Recipe | UnityFormula | Mapping[str, float]
"""What a property can be asked of: a recipe, a unity formula, or oxide -> mol % with a sum of 100."""


@dataclass(frozen=True, slots=True)
class Composition:
    """A glaze as the models see it.

    Parameters
    ----------
    name : the recipe's name, or "" when only oxides were given.
    fractions : shares by moles of ``MODEL_OXIDES``, sum 1.
    left_out : (oxide, share of all moles) of oxides the models do not know, such as CuO [mol %].
    notes : sentences about what the numbers depend on, such as additions that are not counted or a borrowed analysis.
    doubts : sentences about why this is not a clear glass, such as much opacifier.

    Limits: the models are for clear, homogeneous glass. What has not melted, or has crystallised, is not in the glass,
    whatever the analysis says.
    """

    name: str
    fractions: tuple[float, ...]
    left_out: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    def __getitem__(self, part: str) -> float:
        """Share of one of the model's oxides, or of one of ``SUMS`` [0 to 1]."""
        place = _PLACE.get(part)
        return self.shares()[part] if place is None else self.fractions[place]

    def shares(self) -> dict[str, float]:
        """Shares of the model's oxides and of ``SUMS``, by name [0 to 1]."""
        own = dict(zip(MODEL_OXIDES, self.fractions, strict=True))
        return own | {name: sum([own[oxide] for oxide in oxides]) for name, oxides in SUMS.items()}

    @property
    def called(self) -> str:
        """Its name where it is what another glaze is compared with."""
        return self.name or "the reference glaze"

    def swapped_mol_pct(self, other: Composition) -> float:
        """How far apart two glazes are: half the sum of the differences of all mole percentages [mol %]."""
        return 50 * sum(abs(mine - its) for mine, its in zip(self.fractions, other.fractions, strict=True))


def composition_of(glaze: Glaze, *, include_additions: bool = False, stock: Stock | None = None) -> Composition:
    """Moles of everything, iron gathered as Fe2O3, divided by the sum of the oxides the models know.

    Parameters
    ----------
    glaze : a Recipe, a UnityFormula, or a mapping oxide -> mol % with a sum of 100 within 0.5.
    include_additions : count a recipe's additions too, as if all of them dissolved.
    stock : where a recipe's materials are looked up; the course's when None.

    Raises RangeError for a sum that is not 100, a negative amount or an unknown oxide; RecipeError for a glaze of nothing;
    UnknownMaterialError and NoAnalysisError as ``oxide_moles``.

    >>> from glazekit.recipe.recipe import Recipe
    >>> practice = composition_of(Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}))
    >>> round(practice["SiO2"], 3), round(practice["R2O"], 3)
    (0.706, 0.053)
    """
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    if isinstance(glaze, Recipe):
        name, moles = glaze.name, oxide_moles(glaze, include_additions=include_additions, stock=stock)
        if glaze.additions and not include_additions:
            notes = (f"additions are not counted: {', '.join(line.material for line in glaze.additions)}",)
        if stock:
            notes += stand_in_notes(glaze, include_additions, stock)
        doubts = _opacifier_doubt(glaze, moles, stock)
    elif isinstance(glaze, UnityFormula):
        name, moles, notes = "", dict(glaze.pairs), glaze.notes
    elif isinstance(glaze, Mapping):
        name, moles = "", _checked(glaze)
    else:
        raise RangeError(f"{quoted(glaze)} is no glaze; give a Recipe, a UnityFormula, or oxide -> mol %")
    moles = gathered(moles)
    amounts = [moles.pop(oxide, 0.0) for oxide in MODEL_OXIDES]
    known = sum(amounts)
    if not known > 0:
        raise RecipeError(f"{name or 'this glaze'}: there is nothing in it that makes a glass")
    left_out: tuple[tuple[str, float], ...] = ()
    if moles:
        total = known + sum(moles.values())
        left_out = tuple((oxide, 100 * amount / total) for oxide, amount in moles.items() if amount)
    return Composition(name, tuple([amount / known for amount in amounts]), left_out, notes, doubts)


def gathered(moles: Mapping[str, float]) -> dict[str, float]:
    """The same moles with all iron as Fe2O3."""
    rest = dict(moles)
    if iron_two := rest.pop("FeO", 0.0):
        rest["Fe2O3"] = rest.get("Fe2O3", 0.0) + iron_two / 2
    return rest


def _checked(mol_pct: Mapping[str, float]) -> dict[str, float]:
    for oxide, amount in mol_pct.items():
        if oxide not in OXIDES:
            raise unknown_name(RangeError, "oxide", oxide, OXIDES)
        if isinstance(amount, bool) or not isinstance(amount, int | float) or not isfinite(amount) or amount < 0:
            raise RangeError(f"{oxide} is {amount!r} mol %; a number of 0 or more is needed")
    total = fsum(mol_pct.values())
    if abs(total - 100) > SUM_SLACK_MOL_PCT:
        raise RangeError(f"the mol % total {total:g}, not 100; complete the composition first")
    return dict(mol_pct)


def _opacifier_doubt(recipe: Recipe, moles: Mapping[str, float], stock: Stock | None) -> tuple[str, ...]:
    """A sentence when a recipe holds more opacifier than dissolves, additions included even where they are not counted.

    Much zircon, tin oxide or titania stays as grains or crystals, whatever the analysis says.

    ``moles`` are those already counted. Zirconia is weighed as zircon, which is how it comes into a recipe. An addition whose
    amount or analysis is not known says nothing here.
    """
    if recipe.additions:
        with suppress(GlazekitError):
            moles = oxide_moles(recipe, include_additions=True, stock=stock)
    zircon = OXIDES["ZrO2"].molar_mass_g_mol + OXIDES["SiO2"].molar_mass_g_mol
    mass_g = moles.get("ZrO2", 0.0) * zircon
    mass_g += sum(moles.get(oxide, 0.0) * OXIDES[oxide].molar_mass_g_mol for oxide in ("SnO2", "TiO2"))
    share_pct, most_pct = 100 * mass_g / recipe.base_sum, constant("opacifier_pct")
    if share_pct <= most_pct + 1e-9:
        return ()
    why = "zircon and tin oxide stay as grains, titania crystallises again"
    return (f"opacifier {share_pct:.2g} % of the base, above {most_pct:g} %: {why}, so it is no clear glass",)
