"""Lesson 8, from a formula to a recipe, and one powder in place of another."""

from collections.abc import Mapping

from glazekit.chemistry.by_hand import HandWork, by_hand
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.exercises.rules import POWDERS, Numbers, Rules, Solution, Steps, g_mol, masses, one_box, shown
from glazekit.materials.oxides import OXIDES

RULES = Rules()


def _shopping(potash: float, alumina: float, silica: float) -> HandWork:
    target = {"K2O": potash, "CaO": round(1 - potash, 6), "Al2O3": alumina, "SiO2": silica}
    return by_hand(target, "potash feldspar", ["whiting"], "kaolin", "quartz")


def _percents(moles: Mapping[str, float]) -> dict[str, float]:
    """Percent by weight of moles of the four powders."""
    grams = {key: moles[key] * g_mol(name) for key, name in POWDERS.items()}
    return {key: 100 * mass / sum(grams.values()) for key, mass in grams.items()}


def _can_be_bought(n: Numbers) -> bool:
    """The four powders make it, with enough of each to be worth weighing, and the fluxes' silica leaves room for quartz."""
    potash, alumina, silica = n["potash"], n["alumina"], n["silica"]
    quartz_if_kaolin_for_all = silica - 6 * potash - 2 * alumina
    return alumina - potash >= 0.05 and quartz_if_kaolin_for_all >= 0.2


@RULES.add(
    "8.1",
    potash=Steps(0.2, 0.34, 0.01, course=0.25),
    alumina=Steps(0.32, 0.5, 0.01, course=0.40),
    silica=Steps(3.2, 4.4, 0.1, course=3.5),
    keep=_can_be_bought,
)
def _four_powders(n: Numbers) -> Solution:
    """Feldspar, whiting, kaolin for what alumina is left, quartz for what silica is left, grams, percent."""
    potash, alumina, silica = n["potash"], n["alumina"], n["silica"]
    recipe = _shopping(potash, alumina, silica).recipe
    found = {line.material: line.amount for line in recipe.base} if recipe else {}
    kaolin = alumina - potash
    quartz = silica - 6 * potash - 2 * kaolin
    moles = {"feldspar": potash, "whiting": 1 - potash, "kaolin": kaolin, "quartz": quartz}
    all_kaolin = moles | {"kaolin": alumina, "quartz": silica - 6 * potash - 2 * alumina}
    clay_silica_forgotten = moles | {"quartz": silica - 6 * potash}
    all_mol = sum(moles.values())
    return Solution(
        right={f"{key}_pct": found.get(name, 0.0) for key, name in POWDERS.items()},
        wrong={
            "kaolin_for_all": {"kaolin_pct": _percents(all_kaolin)["kaolin"]},
            "quartz_for_all": {"quartz_pct": _percents(moles | {"quartz": silica})["quartz"]},
            "clay_silica_forgotten": {"quartz_pct": _percents(clay_silica_forgotten)["quartz"]},
            "grams_as_percent": {
                "feldspar_pct": potash * g_mol(POWDERS["feldspar"]),
                "quartz_pct": quartz * g_mol(POWDERS["quartz"]),
            },
            "moles_as_percent": {"feldspar_pct": 100 * potash / all_mol, "quartz_pct": 100 * quartz / all_mol},
        },
        words=masses(**POWDERS) | shown(2, potash=potash, lime=1 - potash, alumina=alumina, silica=silica),
    )


@RULES.add(
    "8.2",
    potash=Steps(0.25, 0.4, 0.01, course=0.30),
    alumina=Steps(0.15, 0.34, 0.01, course=0.20),
    keep=lambda n: n["potash"] - n["alumina"] >= 0.04,
)
def _impossible(n: Numbers) -> Solution:
    """The feldspar alone brings more alumina than is wanted."""
    potash, alumina = n["potash"], n["alumina"]
    kaolin_mol = next(one.need_mol for one in _shopping(potash, alumina, 3.5).purchases if one.material == "kaolin")
    wrong = {"nothing": 0, "not_taken_off": alumina, "no_sign": -kaolin_mol, "added": potash + alumina}
    return one_box("kaolin_mol", kaolin_mol, wrong, shown(2, over_mol=-kaolin_mol) | {"lime": 1 - potash})


@RULES.add("8.3", feldspar_g=Steps(20, 34, 1, course=26))
def _nepheline(n: Numbers) -> Solution:
    """The same soda and potash, less clay, more quartz."""
    out_g = n["feldspar_g"]
    swap = mole_swap("soda feldspar", "nepheline syenite", out_g, same="Na2O+K2O")
    return Solution(
        right={"syenite_g": swap.into_g, "kaolin_g": -swap.correction_g["kaolin"], "quartz_g": swap.correction_g["quartz"]},
        wrong={
            "weight_for_weight": {"syenite_g": out_g},
            "upside_down": {"syenite_g": out_g * out_g / swap.into_g},
            "clay_silica_forgotten": {"quartz_g": -swap.swap_mol["SiO2"] * OXIDES["SiO2"].molar_mass_g_mol},
            "kaolin_left": {"kaolin_g": 0},
        },
        words=masses(feldspar="soda feldspar", syenite="nepheline syenite", kaolin="kaolin", quartz="quartz"),
    )


@RULES.add("8.4", whiting_g=Steps(8, 20, 1, course=14))
def _wollastonite(n: Numbers) -> Solution:
    """Lime with a silica attached."""
    out_g = n["whiting_g"]
    swap = mole_swap("whiting", "wollastonite", out_g)
    return Solution(
        right={"wollastonite_g": swap.into_g, "quartz_g": -swap.correction_g["quartz"]},
        wrong={
            "gram_for_gram": {"wollastonite_g": out_g},
            "upside_down": {"wollastonite_g": out_g * out_g / swap.into_g},
            "quartz_left": {"quartz_g": 0},
            "quartz_for_grams": {"quartz_g": swap.into_g},
        },
        words=masses(whiting="whiting", wollastonite="wollastonite", quartz="quartz"),
    )


@RULES.add("8.5", kaolin_g=Steps(8, 22, 1, course=13))
def _calcined(n: Numbers) -> Solution:
    """Clay without its water."""
    raw_g = n["kaolin_g"]
    calcined_g = mole_swap("kaolin", "calcined kaolin", raw_g, same="Al2O3").into_g
    wrong = {"gram_for_gram": raw_g, "upside_down": raw_g * raw_g / calcined_g, "the_water": raw_g - calcined_g}
    return one_box("calcined_g", calcined_g, wrong, masses(kaolin="kaolin", calcined="calcined kaolin"))
