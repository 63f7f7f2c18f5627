"""Right answers of lessons 4 to 8 by the arithmetic of the course book, with molar masses from a chemistry library."""

from functools import cache

import pytest
from molmass import Formula

from glazekit.exercises.bank import exercise
from glazekit.exercises.checking import mark
from glazekit.exercises.draws import draw
from glazekit.exercises.posing import pose, right_answers

MINERALS = {
    "whiting": "CaCO3",
    "kaolin": "Al2Si2O5(OH)4",
    "calcined kaolin": "Al2Si2O7",
    "soda feldspar": "(NaAlSi3O8)2",
    "potash feldspar": "(KAlSi3O8)2",
    "quartz": "SiO2",
    "talc": "Mg3Si4O10(OH)2",
    "dolomite": "CaMg(CO3)2",
    "wollastonite": "CaSiO3",
    "strontium carbonate": "SrCO3",
    "lithium carbonate": "Li2CO3",
    "zinc oxide": "ZnO",
    "magnesite": "MgCO3",
    "soda ash": "Na2CO3",
    "lime": "CaO",
    "magnesia": "MgO",
    "boron oxide": "B2O3",
}
"""As mineralogists write them; feldspars doubled, so that each holds one alkali oxide."""
LIGHT = ("lithium carbonate", "zinc oxide", "magnesite", "whiting", "soda ash", "strontium carbonate")
FRIT = {"SiO2": 51, "Al2O3": 7, "B2O3": 22, "CaO": 17, "Na2O": 2, "K2O": 1}
CLEAR = {"soda feldspar": 26, "frit": 25, "whiting": 14, "kaolin": 13, "quartz": 22}
LOSING = {  # whiting, dolomite, kaolin, talc, lithium carbonate, bentonite in 100 g; bentonite loses 9.3 % by its analysis
    "Gangway Clear": {"whiting": 14, "kaolin": 13},
    "Handrail Clear": {"whiting": 8, "kaolin": 13},
    "Gantry Clear": {"whiting": 20, "kaolin": 16, "talc": 2},
    "Drizzle Rail": {"whiting": 18, "kaolin": 12, "bentonite": 2},
    "Late Boat": {"whiting": 18, "kaolin": 15},
    "Bulkhead Liner": {"whiting": 8, "dolomite": 6, "kaolin": 16, "talc": 2},
    "Deck Green": {"lithium carbonate": 2, "whiting": 12, "kaolin": 10},
}


@cache
def m(name):
    return Formula(MINERALS.get(name, name)).mass


def syenite_mass():
    return 0.75 * m("Na2O") + 0.25 * m("K2O") + 1.1 * m("Al2O3") + 4.5 * m("SiO2")


def lost_pct(name):
    gas = {
        "whiting": ("CO2", 1),
        "dolomite": ("CO2", 2),
        "kaolin": ("H2O", 2),
        "talc": ("H2O", 1),
        "lithium carbonate": ("CO2", 1),
    }
    if name == "bentonite":
        return 9.3
    what, count = gas[name]
    return 100 * count * m(what) / m(name)


def practice(n):
    feldspar, whiting, kaolin = n["feldspar"] / m("potash feldspar"), n["whiting"] / m("whiting"), n["kaolin"] / m("kaolin")
    quartz = (100 - n["feldspar"] - n["whiting"] - n["kaolin"]) / m("quartz")
    return feldspar + whiting, feldspar + kaolin, 6 * feldspar + 2 * kaolin + quartz


def in_frit(grams, oxide):
    return grams * FRIT[oxide] / 100 / m(oxide)


def clear(extra=None):
    """Flux, alumina and silica of 100 g of Gangway Clear with something on top."""
    g = {name: grams + (extra or {}).get(name, 0) for name, grams in CLEAR.items()}
    flux = g["soda feldspar"] / m("soda feldspar") + g["whiting"] / m("whiting")
    flux += sum(in_frit(g["frit"], oxide) for oxide in ("CaO", "Na2O", "K2O"))
    alumina = g["soda feldspar"] / m("soda feldspar") + g["kaolin"] / m("kaolin") + in_frit(g["frit"], "Al2O3")
    silica = 6 * g["soda feldspar"] / m("soda feldspar") + 2 * g["kaolin"] / m("kaolin") + g["quartz"] / m("quartz")
    return flux, alumina, silica + in_frit(g["frit"], "SiO2")


def boron_clear(n):
    flux = n["feldspar"] / m("soda feldspar") + n["whiting"] / m("whiting")
    return in_frit(n["frit"], "B2O3") / (flux + sum(in_frit(n["frit"], oxide) for oxide in ("CaO", "Na2O", "K2O")))


def shopping(n):
    k, al, si = n["potash"], n["alumina"], n["silica"]
    grams = {
        "feldspar_pct": k * m("potash feldspar"),
        "whiting_pct": (1 - k) * m("whiting"),
        "kaolin_pct": (al - k) * m("kaolin"),
    }
    grams["quartz_pct"] = (si - 6 * k - 2 * (al - k)) * m("quartz")
    return {box: 100 * mass / sum(grams.values()) for box, mass in grams.items()}


def after_kaolin(n):
    flux, alumina, silica = clear({"kaolin": n["kaolin_g"]})
    return {"alumina": alumina / flux, "silica": silica / flux}


def after_whiting(n):
    flux, alumina, silica = clear({"whiting": n["whiting_g"]})
    return {"alumina": alumina / flux, "silica": silica / flux, "ratio": silica / alumina}


def after_talc(n):
    flux = clear()[0]
    moved = n["whiting_g"] / m("whiting")
    lime = CLEAR["whiting"] / m("whiting") + in_frit(CLEAR["frit"], "CaO")
    return {"lime": (lime - moved) / flux, "magnesia": moved / flux}


def syenite(n):
    alkali = n["feldspar_g"] / m("soda feldspar")
    return {"syenite_g": alkali * syenite_mass(), "kaolin_g": 0.1 * alkali * m("kaolin"), "quartz_g": 1.7 * alkali * m("quartz")}


ANSWERS = {
    "4.1": lambda n: {"lime_g": n["whiting_g"] * m("lime") / m("whiting")},
    "4.2": lambda n: {"lime_mol": n["whiting_g"] / m("whiting")},
    "4.3": lambda n: {"fired_g": n["kaolin_g"] * m("calcined kaolin") / m("kaolin")},
    "4.4": lambda n: {"silica_mol": 6 * n["feldspar_g"] / m("soda feldspar")},
    "4.5": lambda n: {"boron_mol": n["frit_g"] * 0.22 / m("boron oxide")},
    "4.6": lambda n: {"loss_pct": sum(g * lost_pct(name) / 100 for name, g in list(LOSING.values())[int(n["glaze"])].items())},
    "5.1": lambda n: {"flux_mol": practice(n)[0]},
    "5.2": lambda n: {"silica": practice(n)[2] / practice(n)[0]},
    "5.3": lambda n: {"alumina": practice(n)[1] / practice(n)[0]},
    "5.4": lambda n: {"ratio": practice(n)[2] / practice(n)[1]},
    "5.5": lambda n: {"boron": boron_clear(n)},
    "6.1": lambda n: {"ratio": n["silica"] / n["alumina"]},
    "6.2": after_kaolin,
    "6.3": lambda n: {"ratio": after_kaolin(n)["silica"] / after_kaolin(n)["alumina"]},
    "6.4": after_whiting,
    "6.5": lambda n: {"silica": n["ratio"] * n["alumina"]},
    "7.1": lambda n: {"alkali_pct": 100 * (n["soda"] + n["potash"])},
    "7.2": lambda n: {"strontium_g": n["whiting_g"] / m("whiting") * m("strontium carbonate")},
    "7.3": lambda n: {"times": m(LIGHT[int(n["heavy"])]) / m(LIGHT[int(n["light"])])},
    "7.4": lambda n: {
        "talc_g": n["whiting_g"] / m("whiting") / 3 * m("talc"),
        "quartz_g": n["whiting_g"] / m("whiting") * 4 / 3 * m("quartz"),
    },
    "7.5": after_talc,
    "7.6": lambda n: {"dolomite_g": n["whiting_g"] / m("whiting") * m("dolomite"), "magnesia_mol": n["whiting_g"] / m("whiting")},
    "8.1": shopping,
    "8.2": lambda n: {"kaolin_mol": n["alumina"] - n["potash"]},
    "8.3": syenite,
    "8.4": lambda n: {
        "wollastonite_g": n["whiting_g"] / m("whiting") * m("wollastonite"),
        "quartz_g": n["whiting_g"] / m("whiting") * m("quartz"),
    },
    "8.5": lambda n: {"calcined_g": n["kaolin_g"] / m("kaolin") * m("calcined kaolin")},
}


@pytest.mark.parametrize("name", ANSWERS)
def test_right_answers_follow_the_course_arithmetic(name):
    for learner in range(100):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        assert right_answers(question) == pytest.approx(ANSWERS[name](dict(question.draw.numbers)), rel=3e-4), question.draw


def shown(question, name):
    return float(question.words[name])


def moles(question, powder):
    """Grams over grams per mole, as on paper: four decimals."""
    return round(shown(question, f"{powder}_g") / shown(question, f"{powder}_mass"), 4)


def percent_of_rounded_grams(q):
    k, al, si = (shown(q, name) for name in ("potash", "alumina", "silica"))
    grams = [k * shown(q, "feldspar_mass"), (1 - k) * shown(q, "whiting_mass"), (al - k) * shown(q, "kaolin_mass")]
    grams.append((si - 6 * k - 2 * (al - k)) * shown(q, "quartz_mass"))
    grams = [round(mass, 1) for mass in grams]
    return dict(
        zip(
            ("feldspar_pct", "whiting_pct", "kaolin_pct", "quartz_pct"),
            (round(100 * g / sum(grams), 1) for g in grams),
            strict=True,
        )
    )


def through_the_practice_glaze(q):
    """As on paper: four decimals of every number of moles, three of the answers."""
    f, k, z = shown(q, "feldspar_mol"), shown(q, "kaolin_mol"), shown(q, "quartz_mol")
    flux = round(f + round(shown(q, "whiting") / shown(q, "whiting_mass"), 4), 4)
    silica, alumina = round((6 * f + 2 * k + z) / flux, 3), round((f + k) / flux, 3)
    return {"flux_mol": flux, "silica": silica, "alumina": alumina, "ratio": round(silica / alumina, 2)}


BY_HAND = {
    "4.1": lambda q: {"lime_g": round(shown(q, "whiting_g") * shown(q, "stays_g") / 100, 2)},
    "4.2": lambda q: {"lime_mol": round(shown(q, "whiting_g") / shown(q, "mineral_mass"), 4)},
    "4.4": lambda q: {"silica_mol": 6 * shown(q, "feldspar_mol")},
    "4.5": lambda q: {"boron_mol": round(shown(q, "boric_g") / shown(q, "oxide_mass"), 4)},
    "5.1": lambda q: {"flux_mol": through_the_practice_glaze(q)["flux_mol"]},
    "5.2": lambda q: {"silica": through_the_practice_glaze(q)["silica"]},
    "5.3": lambda q: {"alumina": through_the_practice_glaze(q)["alumina"]},
    "5.4": lambda q: {"ratio": through_the_practice_glaze(q)["ratio"]},
    "5.5": lambda q: {"boron": round(shown(q, "boron_mol") / shown(q, "flux_mol"), 2)},
    "6.2": lambda q: {
        "alumina": round((shown(q, "alumina_mol") + shown(q, "kaolin_g") * shown(q, "al2o3_per_g")) / shown(q, "flux_mol"), 3),
        "silica": round((shown(q, "silica_mol") + shown(q, "kaolin_g") * shown(q, "sio2_per_g")) / shown(q, "flux_mol"), 2),
    },
    "7.4": lambda q: {
        "talc_g": round(moles(q, "whiting") / 3 * shown(q, "talc_mass"), 2),
        "quartz_g": round(moles(q, "whiting") * 4 / 3 * shown(q, "quartz_mass"), 2),
    },
    "7.5": lambda q: {
        "lime": round((shown(q, "lime_mol") - shown(q, "moved_mol")) / shown(q, "flux_mol"), 2),
        "magnesia": round(shown(q, "moved_mol") / shown(q, "flux_mol"), 2),
    },
    "8.1": percent_of_rounded_grams,
    "8.3": lambda q: {
        "syenite_g": round(moles(q, "feldspar") * shown(q, "syenite_mass"), 2),
        "kaolin_g": round(0.1 * moles(q, "feldspar") * shown(q, "kaolin_mass"), 2),
        "quartz_g": round((1.5 + 0.2) * moles(q, "feldspar") * shown(q, "quartz_mass"), 2),
    },
    "8.4": lambda q: {
        "wollastonite_g": round(moles(q, "whiting") * shown(q, "wollastonite_mass"), 2),
        "quartz_g": round(moles(q, "whiting") * shown(q, "quartz_mass"), 2),
    },
}


@pytest.mark.parametrize("name", BY_HAND)
def test_reckoning_on_paper_with_the_numbers_on_the_page_passes(name):
    for learner in range(100):
        question = pose(exercise(name), draw(name, "tuesday", f"learner {learner}"))
        assert mark(question, {box: repr(value) for box, value in BY_HAND[name](question).items()}).state == "right", (
            question.draw
        )
