"""Lesson 6, the silica and alumina chart: the ratio, and where a point goes when clay or whiting is added."""

from glazekit.chemistry.unity import oxide_moles, unity_formula, unity_from_moles
from glazekit.exercises.rules import CLEAR, Numbers, Rules, Solution, Steps, counted, on_top, one_box, shown
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.recipe import Recipe

RULES = Rules()


def _clear_words(name: str) -> dict[str, str | float]:
    """What 100 g of the clear and 1 g of the powder bring, and the formula of the clear."""
    moles, own = counted(CLEAR), oxide_moles(Recipe("one gram", {name: 1}))
    alumina, silica = moles["Al2O3"] / moles["flux"], moles["SiO2"] / moles["flux"]
    return {
        **shown(4, flux_mol=moles["flux"], alumina_mol=moles["Al2O3"], silica_mol=moles["SiO2"]),
        **shown(3, alumina_was=alumina),
        **shown(2, silica_was=silica, ratio_was=silica / alumina),
        **shown(5, **{f"{oxide.lower()}_per_g": per_g for oxide, per_g in own.items()}),
    }


@RULES.add("6.1", silica=Steps(2.6, 4.4, 0.02, course=3.54), alumina=Steps(0.34, 0.52, 0.002, course=0.424))
def _read_ratio(n: Numbers) -> Solution:
    """Silica over alumina."""
    silica, alumina = n["silica"], n["alumina"]
    by_weight = OXIDES["SiO2"].molar_mass_g_mol / OXIDES["Al2O3"].molar_mass_g_mol
    ratio = unity_from_moles({"CaO": 1.0, "Al2O3": alumina, "SiO2": silica}).silica_to_alumina_mol or 0.0
    wrong = {"upside_down": alumina / silica, "multiplied": silica * alumina, "by_weight": ratio * by_weight}
    return one_box("ratio", ratio, wrong)


@RULES.add("6.2", kaolin_g=Steps(5, 15, 1, course=10))
def _add_kaolin(n: Numbers) -> Solution:
    """Clay brings one alumina and two silica."""
    kaolin_g, moles = n["kaolin_g"], counted(CLEAR)
    changed = unity_formula(on_top(CLEAR, "kaolin", kaolin_g))
    own_mol = oxide_moles(Recipe("clay", {"kaolin": kaolin_g}))["Al2O3"]
    bucket = (100 + kaolin_g) / 100
    return Solution(
        right={"alumina": changed["Al2O3"], "silica": changed["SiO2"]},
        wrong={
            "silica_unchanged": {"silica": moles["SiO2"] / moles["flux"]},
            "one_to_one": {"silica": (moles["SiO2"] + own_mol) / moles["flux"]},
            "by_the_total": {"alumina": changed["Al2O3"] / bucket, "silica": changed["SiO2"] / bucket},
            "not_divided": {"alumina": moles["Al2O3"] + own_mol, "silica": moles["SiO2"] + 2 * own_mol},
        },
        words=_clear_words("kaolin") | shown(4, added_mol=own_mol) | {"total_g": 100 + kaolin_g},
    )


@RULES.add("6.3", shares="6.2")
def _ratio_after_kaolin(n: Numbers) -> Solution:
    """The ratio moves towards that of the clay."""
    before, changed = unity_formula(CLEAR), unity_formula(on_top(CLEAR, "kaolin", n["kaolin_g"]))
    silica, alumina = changed["SiO2"], changed["Al2O3"]
    unchanged = before["SiO2"] / before["Al2O3"]
    wrong = {"unchanged": unchanged, "upside_down": alumina / silica, "alumina_only": unchanged * before["Al2O3"] / alumina}
    return one_box("ratio", silica / alumina, wrong, _clear_words("kaolin"))


@RULES.add("6.4", whiting_g=Steps(5, 15, 1, course=10))
def _add_whiting(n: Numbers) -> Solution:
    """More flux in the divisor: both numbers shrink alike."""
    before, changed = unity_formula(CLEAR), unity_formula(on_top(CLEAR, "whiting", n["whiting_g"]))
    grown, ratio = before["Al2O3"] / changed["Al2O3"], changed["SiO2"] / changed["Al2O3"]
    return Solution(
        right={"alumina": changed["Al2O3"], "silica": changed["SiO2"], "ratio": ratio},
        wrong={
            "unchanged": {"alumina": before["Al2O3"], "silica": before["SiO2"]},
            "grown": {"alumina": before["Al2O3"] * grown, "silica": before["SiO2"] * grown},
            "ratio_shrunk": {"ratio": ratio / grown},
            "upside_down": {"ratio": 1 / ratio},
        },
        words=_clear_words("whiting"),
    )


@RULES.add("6.5", ratio=Steps(5, 10, 0.5, course=8), alumina=Steps(0.3, 0.55, 0.01, course=0.45))
def _stay_on_line(n: Numbers) -> Solution:
    """Silica for a given alumina on a line of equal ratio."""
    ratio, alumina = n["ratio"], n["alumina"]
    wrong = {"divided": ratio / alumina, "upside_down": alumina / ratio, "added": ratio + alumina}
    return one_box("silica", ratio * alumina, wrong)
