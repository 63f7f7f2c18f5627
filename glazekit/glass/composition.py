"""The composition a property model reads: shares by moles of the oxides it knows, and what was left out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import fsum, isfinite
from typing import NamedTuple

from glazekit.chemistry.unity import UnityFormula, brings, known_oxide, oxide_moles, stand_in_notes, unity_from_moles
from glazekit.glass.properties import constant
from glazekit.ground.errors import RangeError, RecipeError, quoted
from glazekit.ground.tables import read_table
from glazekit.materials.oxides import ALKALIS, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import air_of
from glazekit.recipe.recipe import Line, Recipe

MODEL_OXIDES = (
    *("SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO"),
    *("TiO2", "ZrO2", "Fe2O3", "P2O5", "SnO2", "MnO"),
)
"""The oxides of the open measurements, in the order every ``fractions`` tuple has. All iron counts as Fe2O3."""
EARTHS = ("MgO", "CaO", "SrO", "BaO", "ZnO", "MnO")
SUMS = {"R2O": ALKALIS, "RO": EARTHS, "R2O+RO": (*ALKALIS, *EARTHS)}
"""Sums of oxides by the names they have in the tables of data/."""
_PLACE = {oxide: place for place, oxide in enumerate(MODEL_OXIDES)}
COLOURS = ("Fe2O3", "MnO", "CoO", "CuO", "NiO", "Cr2O3", "V2O5")
SUM_SLACK_MOL_PCT = 0.5
OPACIFIERS = ("TiO2", "ZrO2", "SnO2")
"""Measured where they had dissolved; out of a powder laid on top of a glaze much of them stays as grains."""
Glaze = Recipe | UnityFormula | Mapping[str, float]
"""What a property can be asked of: a recipe, a unity formula, or oxide -> mol % with a sum of 100."""


class Reason(NamedTuple):
    """Why a number is uncertain, or what it depends on: a key for tables and tests, and the words for people."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Composition:
    """A glaze as the models see it.

    Parameters: name, the recipe's, "" when only oxides were given; fractions, shares by moles of ``MODEL_OXIDES``, sum 1;
    left_out, (oxide, share of all moles) of oxides the models do not know, such as CuO [mol %]; notes, what the numbers depend
    on, such as additions that are not counted or a borrowed analysis; doubts, why this is not a clear glass in air, such as much
    opacifier or iron in reduction.

    Limits: the models are for clear, homogeneous glass. What has not melted, or has crystallised, is not in the glass,
    whatever the analysis says.
    """

    name: str
    fractions: tuple[float, ...]
    left_out: tuple[tuple[str, float], ...] = ()
    notes: tuple[Reason, ...] = ()
    doubts: tuple[Reason, ...] = ()

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

    def swapped_mol_pct(self, other: "Composition") -> float:
        """How far apart two glazes are: half the sum of the differences of all mole percentages [mol %]."""
        return 50 * sum(abs(mine - its) for mine, its in zip(self.fractions, other.fractions, strict=True))


def composition_of(glaze: Glaze, *, include_additions: bool | None = None, stock: Stock | None = None) -> Composition:
    """Moles of everything, iron gathered as Fe2O3, divided by the sum of the oxides the models know.

    Parameters: glaze, a Recipe, a UnityFormula, or a mapping oxide -> mol % with a sum of 100 within 0.5; include_additions, of a
    recipe, None counts those whose oxides were measured in glass, such as red iron oxide, and leaves out opacifiers and
    unmeasured colours, True counts all of them, as if they dissolved, False none; stock, the course's when None.

    Raises RangeError for a sum that is not 100, a negative amount or an unknown oxide; RecipeError for a glaze of nothing;
    UnknownMaterialError and NoAnalysisError as ``oxide_moles``.

    >>> from glazekit.recipe.recipe import Recipe
    >>> practice = composition_of(Recipe("practice", {"potash feldspar": 40, "whiting": 20, "kaolin": 15, "quartz": 25}))
    >>> round(practice["SiO2"], 3), round(practice["R2O"], 3)
    (0.706, 0.053)
    """
    notes: tuple[Reason, ...] = ()
    doubts: tuple[Reason, ...] = ()
    if isinstance(glaze, Recipe):
        counted = glaze if include_additions else with_counted(glaze, include_additions, stock)
        name, moles = glaze.name, oxide_moles(counted, include_additions=True, stock=stock)
        if left := [line.material for line in glaze.additions if line not in counted.additions]:
            notes = (Reason("additions_left_out", f"additions are not counted: {', '.join(left)}"),)
        notes += _borrowed(stand_in_notes(counted, True, stock))
        everything, unknown = _everything(glaze, moles, stock or course_stock())
        doubts = (*unknown, *_opacifier_doubt(everything, glaze.base_sum), *_colour_doubts(glaze, moles, everything))
    elif isinstance(glaze, UnityFormula):
        name, moles, notes = "", dict(glaze.pairs), _borrowed(glaze.notes)
        doubts = _opacifier_doubt(moles)
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


def with_counted(recipe: Recipe, include_additions: bool | None = None, stock: Stock | None = None) -> Recipe:
    """The recipe with those additions alone that are counted; ``include_additions`` as in ``composition_of``."""
    if include_additions or not recipe.additions:
        return recipe
    kept: tuple[Line, ...] = ()
    if include_additions is None and (recipe.additions_are or recipe.totals_100):  # else nobody knows how much was meant
        kept = tuple(line for line in recipe.additions if not line.unit and _is_measured(line.material, stock or course_stock()))
    return replace(recipe, additions=kept)


def counted_formula(recipe: Recipe, include_additions: bool | None = None, stock: Stock | None = None) -> UnityFormula:
    """Unity formula of what is counted, for a reference or a chart; parameters as in ``composition_of``."""
    counted = with_counted(recipe, include_additions, stock)
    moles, notes = oxide_moles(counted, include_additions=True, stock=stock), stand_in_notes(counted, True, stock)
    return unity_from_moles(moles, notes=notes)


def _is_measured(name: str, stock: Stock) -> bool:
    """Does a powder bring hardly anything but oxides whose part in the melt was measured; one without analysis does not."""
    if name not in stock or not (brought := stock.find(name).moles_per_g):
        return False
    measured = {*MODEL_OXIDES, "FeO"} - set(OPACIFIERS)
    return not any(brings(stock.find(name), oxide) for oxide, _ in brought if oxide not in measured)


def _borrowed(sentences: tuple[str, ...]) -> tuple[Reason, ...]:
    return tuple(Reason("analysis", sentence) for sentence in sentences)


def gathered(moles: Mapping[str, float]) -> dict[str, float]:
    """The same moles with all iron as Fe2O3."""
    rest = dict(moles)
    if iron_two := rest.pop("FeO", 0.0):
        rest["Fe2O3"] = rest.get("Fe2O3", 0.0) + iron_two / 2
    return rest


def _checked(mol_pct: Mapping[str, float]) -> dict[str, float]:
    for oxide, amount in mol_pct.items():
        known_oxide(oxide)
        if isinstance(amount, bool) or not isinstance(amount, int | float) or not isfinite(amount) or amount < 0:
            raise RangeError(f"{oxide} is {amount!r} mol %; a number of 0 or more is needed")
    total = fsum(mol_pct.values())
    if abs(total - 100) > SUM_SLACK_MOL_PCT:
        raise RangeError(f"the mol % total {total:g}, not 100; complete the composition first")
    return dict(mol_pct)


def _everything(recipe: Recipe, counted: Mapping[str, float], stock: Stock) -> tuple[Mapping[str, float], tuple[Reason, ...]]:
    """All moles with every addition whose amount and analysis are known; and why there may be more in it than they tell."""
    said = recipe.additions_are or recipe.totals_100
    unknown, known = [], []
    for line in recipe.additions:
        made_of = stock.find(line.material) if line.material in stock else None
        if not made_of or made_of.kind == "unknown" or (not said and made_of.moles_per_g):
            unknown.append(line.material)
        elif said:
            known.append(line)
    moles = oxide_moles(replace(recipe, additions=tuple(known)), include_additions=True, stock=stock) if known else counted
    doubts: tuple[Reason, ...] = ()
    if unknown:
        doubts = (Reason("additions_unknown", f"nobody knows how much of what comes in with {', '.join(unknown)}"),)
    foaming = [name for name in recipe.materials() if name in stock and "foam" in stock.find(name).cautions]
    if foaming:
        doubts += (Reason("foam", f"{', '.join(foaming)} gives gas in the melt: it foams and craters, and is no clear glass"),)
    return moles, doubts


def _colour_doubts(recipe: Recipe, moles: Mapping[str, float], everything: Mapping[str, float]) -> tuple[Reason, ...]:
    """Colouring oxides on top that are not counted although there is more than a trace, and iron fired in reduction."""
    full = gathered(everything)
    total, counted = sum(full.values()), gathered(moles)
    missing = {
        oxide: 100 * (amount - counted.get(oxide, 0.0)) / total
        for oxide, amount in full.items()
        if oxide in COLOURS and amount - counted.get(oxide, 0.0) > 1e-12
    }
    doubts: tuple[Reason, ...] = ()
    if sum(missing.values()) > constant("trace"):
        told = ", ".join(f"{OXIDES[oxide].name} {mol_pct:.2g} mol %" for oxide, mol_pct in missing.items())
        doubts = (Reason("additions_matter", f"it is more than a trace, and counted as nothing: {told}"),)
    iron_pct = 100 * full.get("Fe2O3", 0.0) / total if total else 0.0
    if air_of(recipe.atmosphere) == "reduction" and iron_pct >= 100 * constant("melt_iron_from"):
        said = f"iron oxide {iron_pct:.2g} mol % in reduction: the measurements were made in air"
        doubts += (Reason("iron_in_reduction", f"{said}; as FeO iron is a flux, and the glaze runs more than this"),)
    return doubts


def _opacifier_doubt(moles: Mapping[str, float], base_g: float | None = None) -> tuple[Reason, ...]:
    """A sentence when a glaze holds more than dissolves of what makes it white or dull, additions included even if not counted.
    data/opacity_limits.csv has the borders; several oxides, each as a share of its own border, may come to 1 in all. ``base_g``
    is the base as weighed; of a formula all its oxides are taken for that, since about as much burns off."""
    if base_g is None:
        base_g = sum(amount * OXIDES[oxide].molar_mass_g_mol for oxide, amount in moles.items())
    held = []
    for row in read_table("opacity_limits"):
        mass_g_mol = sum(OXIDES[oxide].molar_mass_g_mol for oxide in (row["oxide"], row["weighed_with"]) if oxide)
        if amount := moles.get(row["oxide"], 0.0):
            held.append((row, 100 * amount * mass_g_mol / base_g))
    if sum(pct / row["most_pct"] for row, pct in held) <= 1 + 1e-9:
        return ()
    over = [(row, pct) for row, pct in held if pct > row["most_pct"]] or held
    told = (f"{row['said']} {pct:.2g} % of the base (alone, above {row['most_pct']:g} % it {row['why']})" for row, pct in over)
    return (Reason("opacifier", f"{'; '.join(told)}: it is no clear glass"),)
