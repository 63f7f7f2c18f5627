"""Lesson 4, what the kiln leaves: oxide and gas, grams to moles, many oxides in one mineral, the loss of a whole glaze."""

from collections.abc import Mapping
from math import ceil

from glazekit.chemistry.analysis import analyse
from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, g_mol, masses, one_box, powder, shown
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.reading import demo_recipe

RULES = Rules()
WHITING_G, VINEGAR_PCT, PLENTY = 10.0, 5.0, 1.2
"""What the home page asks for; so much more vinegar than would just do that the last grains dissolve too."""
ACID, ACID_PER_CARBONATE = "C2H4O2", 2
"""Vinegar's acid, and how many of it one calcium carbonate takes: CaCO3 + 2 C2H4O2 = calcium acetate + H2O + CO2."""
LOSING = ("Gangway Clear", "Handrail Clear", "Gantry Clear", "Drizzle Rail", "Late Boat", "Bulkhead Liner", "Deck Green")
"""Glazes of exercise 4.6: bases of 100 with whiting and at least one more powder that loses weight."""


def _fired_g(name: str, raw_g: float) -> float:
    return raw_g * sum(wt_pct for _, wt_pct in powder(name).oxides) / 100


def _moles(name: str, oxide: str, raw_g: float) -> float:
    return raw_g * dict(powder(name).moles_per_g)[oxide]


def _oxide_mass(oxide: str) -> dict[str, str | float]:
    return shown(2, oxide_mass=OXIDES[oxide].molar_mass_g_mol)


def _loss_pct(name: str) -> dict[str, str | float]:
    return shown(0, loss_pct=powder(name).loi_wt_pct_raw)


@RULES.add("4.1", whiting_g=Steps(12, 30, 1, course=20))
def _lime_left(n: Numbers) -> Solution:
    """Whiting leaves lime, the rest is gas."""
    raw_g = n["whiting_g"]
    left_g = _fired_g("whiting", raw_g)
    wrong = {"nothing_left": raw_g, "the_gas": raw_g - left_g, "upside_down": raw_g * raw_g / left_g}
    return one_box("lime_g", left_g, wrong, shown(2, stays_g=_fired_g("whiting", 100)) | _loss_pct("whiting"))


@RULES.add("4.2", shares="4.1")
def _lime_moles(n: Numbers) -> Solution:
    """Grams over grams per mole."""
    raw_g = n["whiting_g"]
    moles = _moles("whiting", "CaO", raw_g)
    wrong = {
        "mass_of_lime": raw_g / OXIDES["CaO"].molar_mass_g_mol,
        "multiplied": raw_g * g_mol("whiting"),
        "upside_down": g_mol("whiting") / raw_g,
    }
    return one_box("lime_mol", moles, wrong, masses(mineral="whiting") | _oxide_mass("CaO") | shown(0, thousandths=1000 * moles))


@RULES.add("4.3", kaolin_g=Steps(12, 30, 1, course=20))
def _clay_left(n: Numbers) -> Solution:
    """Clay loses water that no drying takes out."""
    raw_g = n["kaolin_g"]
    left_g = _fired_g("kaolin", raw_g)
    wrong = {"nothing_lost": raw_g, "the_water": raw_g - left_g, "upside_down": raw_g * raw_g / left_g}
    words = masses(mineral="kaolin") | shown(2, water_mass=2 * molar_mass_g_mol("H2O")) | _loss_pct("kaolin")
    return one_box("fired_g", left_g, wrong, words)


@RULES.add("4.4", feldspar_g=Steps(20, 36, 1, course=26))
def _six_silicas(n: Numbers) -> Solution:
    """One feldspar carries six silicas."""
    raw_g = n["feldspar_g"]
    feldspar_mol = raw_g / g_mol("soda feldspar")
    wrong = {
        "of_feldspar": feldspar_mol,
        "as_quartz": raw_g / OXIDES["SiO2"].molar_mass_g_mol,
        "divided_by_six": feldspar_mol / 6,
    }
    words = masses(mineral="soda feldspar") | _oxide_mass("SiO2") | shown(4, feldspar_mol=feldspar_mol)
    return one_box("silica_mol", _moles("soda feldspar", "SiO2", raw_g), wrong, words)


@RULES.add("4.5", frit_g=Steps(15, 42, 1, course=25))
def _boron_in_frit(n: Numbers) -> Solution:
    """By analysis: weight percent over molar mass."""
    raw_g, name = n["frit_g"], "calcium borosilicate frit"
    boric_pct, boric_g_mol = powder(name).oxide_wt_pct["B2O3"], OXIDES["B2O3"].molar_mass_g_mol
    boric_g, moles = raw_g * boric_pct / 100, _moles(name, "B2O3", raw_g)
    wrong = {"whole_frit": raw_g / boric_g_mol, "grams": boric_g, "multiplied": boric_g * boric_g_mol}
    words = _oxide_mass("B2O3") | shown(2, boric_g=boric_g) | shown(0, thousandths=1000 * moles) | {"boric_pct": boric_pct}
    return one_box("boron_mol", moles, wrong, words)


@RULES.add("4.6", glaze=Steps(0, len(LOSING) - 1, 1, course=0))
def _loss_of_glaze(n: Numbers) -> Solution:
    """Each powder's own loss, added up."""
    recipe = demo_recipe(LOSING[int(n["glaze"])])
    losing = {line.material: line.amount for line in recipe.base if powder(line.material).loi_wt_pct_raw > 0.5}
    loss_pct = {name: powder(name).loi_wt_pct_raw for name in losing}
    whiting_loss_g = losing["whiting"] * loss_pct["whiting"] / 100
    wrong = {"whiting_only": whiting_loss_g, "whole_powders": sum(losing.values()), "losses_added": sum(loss_pct.values())}
    words = {
        "name": recipe.name,
        "lines": ", ".join(f"{line.material} {line.amount:g}" for line in recipe.base),
        "losses": ", ".join(f"{name} {show_number(pct, 2)} %" for name, pct in loss_pct.items()),
        "worked": " + ".join(f"{grams:g} × {show_number(loss_pct[name], 2)} ÷ 100" for name, grams in losing.items()),
        "whiting_g": losing["whiting"],
        **shown(2, whiting_loss_g=whiting_loss_g),
    }
    return one_box("loss_pct", analyse(recipe).loi_wt_pct_raw, wrong, words)


def acid_g(whiting_g: float) -> float:
    """Acid that dissolves this much whiting without a rest [g].

    >>> round(acid_g(10), 1)
    12.0
    """
    return ACID_PER_CARBONATE * whiting_g / molar_mass_g_mol("CaCO3") * molar_mass_g_mol(ACID)


def home_figures() -> Mapping[str, str]:
    """Whiting in vinegar."""
    whiting = powder("whiting")
    plenty_g = ceil(PLENTY * acid_g(WHITING_G) / VINEGAR_PCT * 100 / 50) * 50
    line = next(line for line in demo_recipe("Gangway Clear").base if line.material == "whiting")
    return {
        "whiting": f"{WHITING_G:g}",
        "gas": show_number(WHITING_G * whiting.loi_wt_pct_raw / 100, 1),
        "gas_per_100": show_number(whiting.loi_wt_pct_raw, 0),
        "times": f"{100 / WHITING_G:g}",
        "strength": f"{VINEGAR_PCT:g}",
        "vinegar": f"{plenty_g}",
        "in_recipe": f"{line.amount:g}",
        "gas_of_recipe": show_number(line.amount * whiting.loi_wt_pct_raw / 100, 1),
    }
