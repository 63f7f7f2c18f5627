"""Lesson 5, the unity formula by hand: the flux sum, dividing by it, the ratio, and boron that stays outside the sum."""

from math import fsum

from glazekit.chemistry.unity import UnityFormula, flux_sum_mol, oxide_moles, unity_formula, unity_from_moles
from glazekit.exercises.rules import POWDERS, Numbers, Rules, Solution, Steps, counted, g_mol, masses, one_box, shown
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Recipe

RULES = Rules()


def _grams(n: Numbers) -> dict[str, float]:
    """The practice glaze; quartz makes it up to 100."""
    grams = {key: n[key] for key in ("feldspar", "whiting", "kaolin")}
    return grams | {"quartz": 100 - grams["feldspar"] - grams["whiting"] - grams["kaolin"]}


def _minerals(n: Numbers) -> tuple[dict[str, float], dict[str, str | float]]:
    """Moles of each powder, and the words of the question: grams, formula masses, moles."""
    grams = _grams(n)
    moles = {key: grams[key] / g_mol(name) for key, name in POWDERS.items()}
    return moles, masses(**POWDERS) | shown(4, **{f"{key}_mol": mol for key, mol in moles.items()}) | {"quartz": grams["quartz"]}


def _formula(n: Numbers) -> tuple[dict[str, float], float, UnityFormula]:
    """Moles of each oxide, the flux sum, the unity formula."""
    moles = oxide_moles(Recipe("practice", {name: _grams(n)[key] for key, name in POWDERS.items()}))
    return moles, flux_sum_mol(moles), unity_from_moles(moles)


@RULES.add(
    "5.1",
    feldspar=Steps(35, 45, 1, course=40),
    whiting=Steps(15, 24, 1, course=20),
    kaolin=Steps(10, 20, 1, course=15),
)
def _flux_sum(n: Numbers) -> Solution:
    """Only fluxes go into the divisor."""
    moles, flux_mol, _ = _formula(n)
    minerals, words = _minerals(n)
    wrong = {
        "every_oxide": fsum(moles.values()),
        "with_alumina": flux_mol + moles["Al2O3"],
        "feldspar_only": minerals["feldspar"],
        "whiting_only": minerals["whiting"],
        "every_powder": fsum(minerals.values()),
    }
    return one_box("flux_mol", flux_mol, wrong, words)


@RULES.add("5.2", shares="5.1")
def _silica(n: Numbers) -> Solution:
    """Silica from three powders, divided by the flux sum."""
    moles, flux_mol, unity = _formula(n)
    minerals, words = _minerals(n)
    feldspar, kaolin, quartz = minerals["feldspar"], minerals["kaolin"], minerals["quartz"]
    wrong = {
        "all_moles": moles["SiO2"] / fsum(moles.values()),
        "kaolin_forgotten": (6 * feldspar + quartz) / flux_mol,
        "feldspar_once": (feldspar + 2 * kaolin + quartz) / flux_mol,
        "not_divided": moles["SiO2"],
        "quartz_only": quartz / flux_mol,
    }
    return one_box("silica", unity["SiO2"], wrong, words)


@RULES.add("5.3", shares="5.1")
def _alumina(n: Numbers) -> Solution:
    """Alumina from two powders."""
    moles, flux_mol, unity = _formula(n)
    minerals, words = _minerals(n)
    wrong = {
        "feldspar_only": minerals["feldspar"] / flux_mol,
        "kaolin_only": minerals["kaolin"] / flux_mol,
        "not_divided": moles["Al2O3"],
    }
    return one_box("alumina", unity["Al2O3"], wrong, words | shown(4, flux_mol=flux_mol))


@RULES.add("5.4", shares="5.1")
def _ratio(n: Numbers) -> Solution:
    """Moles of silica over moles of alumina."""
    _, _, unity = _formula(n)
    silica, alumina = unity["SiO2"], unity["Al2O3"]
    by_weight = silica * OXIDES["SiO2"].molar_mass_g_mol / (alumina * OXIDES["Al2O3"].molar_mass_g_mol)
    wrong = {"by_weight": by_weight, "upside_down": alumina / silica, "multiplied": silica * alumina}
    return one_box("ratio", silica / alumina, wrong, _minerals(n)[1] | shown(3, silica=silica, alumina=alumina))


@RULES.add(
    "5.5",
    frit=Steps(36, 46, 1, course=42),
    feldspar=Steps(12, 20, 1, course=16),
    whiting=Steps(5, 11, 1, course=8),
    kaolin=Steps(10, 16, 1, course=13),
)
def _boron(n: Numbers) -> Solution:
    """Boron is divided by the flux sum and stays out of it."""
    powders = {
        "calcium borosilicate frit": n["frit"],
        "soda feldspar": n["feldspar"],
        "whiting": n["whiting"],
        "kaolin": n["kaolin"],
        "quartz": 100 - n["frit"] - n["feldspar"] - n["whiting"] - n["kaolin"],
    }
    recipe = Recipe("boron clear", powders)
    moles, boron = counted(recipe), unity_formula(recipe)["B2O3"]
    flux_mol, boron_mol, silica_mol = moles["flux"], moles["B2O3"], moles["SiO2"]
    wrong = {"boron_as_flux": boron_mol / (flux_mol + boron_mol), "not_divided": boron_mol, "upside_down": 1 / boron}
    words = shown(4, flux_mol=flux_mol, boron_mol=boron_mol, silica_mol=silica_mol)
    words |= shown(2, silica=silica_mol / flux_mol, silica_if_flux=silica_mol / (flux_mol + boron_mol))
    return one_box("boron", boron, wrong, words)
