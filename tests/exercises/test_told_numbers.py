"""Numbers and events that texts of lessons 4 to 8 tell are those the package computes: nothing is typed twice unchecked."""

import re

import pytest

import glazekit as gk
from glazekit.chemistry.by_hand import by_hand
from glazekit.chemistry.formulate import formulate
from glazekit.chemistry.mole_swap import mole_swap
from glazekit.chemistry.silica_alumina import applies_to_yours
from glazekit.exercises import exercise, prediction
from glazekit.ground.errors import RecipeError
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.words.texts import lesson_text

STOCK = gk.course_stock()
CLEAR = gk.demo_recipe("Gangway Clear")


def story(lesson, name="break_it"):
    return lesson_text(lesson)["story"][name]


def said(prediction_id):
    one = prediction(prediction_id)
    return " ".join([one.text, *(f"{answer.text} {answer.reply}" for answer in one.answers)])


def with_line(recipe, name, grams):
    return gk.unity_formula(gk.Recipe("changed", [*recipe.base, gk.Line(name, grams)]))


def test_lesson_4_gum_leaves_and_black_iron_gains():
    assert "All of it leaves" in story(4) and STOCK.find("gum").loi_wt_pct_raw == 100
    loss = STOCK.find("black iron oxide").loi_wt_pct_raw
    assert f"{loss:.1f} %".replace("-", "−") in story(4) and loss < 0


def test_lesson_4_predictions():
    whiting, feldspar = STOCK.find("whiting").oxide_wt_pct, STOCK.find("soda feldspar").oxide_wt_pct
    assert f"{20 * whiting['CaO'] / 100:.1f} g of lime" in said("4g")
    silica, alumina, soda = (feldspar[oxide] / 10 for oxide in ("SiO2", "Al2O3", "Na2O"))
    told = f"about {silica:.0f} g is silica, {alumina:.0f} g alumina and {soda:.0f} g soda"
    assert told in said("4h") and f"about {feldspar['Na2O']:.0f} % of it is soda" in said("4h")
    strontium, lithium = molar_mass_g_mol("SrCO3"), molar_mass_g_mol("Li2CO3")
    assert f"weighs {strontium:.1f} g" in said("4i") and f"{lithium:.1f} g" in said("4i")
    assert strontium / lithium == pytest.approx(2, abs=0.01)
    copper = mole_swap("copper carbonate", "copper oxide", 2, same="CuO").into_g
    assert f"About {copper:.1f} g" in said("4j")


@pytest.mark.parametrize(("box", "name"), [("first", "Gangway Clear"), ("second", "Turnstile Matte"), ("third", "Overboard")])
def test_lesson_5_opens_with_formulas_of_demo_glazes(box, name):
    unity = gk.unity_formula(gk.demo_recipe(name))
    label = next(one.label for one in exercise("5.0").boxes if one.id == box)
    ratio = unity.silica_to_alumina_mol
    assert label == f"Fluxes 1, alumina {unity['Al2O3']:.2f}, silica {unity['SiO2']:.2f}: silica to alumina {ratio:.1f}"


def test_lesson_5_formula_of_the_prediction_is_the_clears():
    unity = gk.unity_formula(CLEAR)
    assert f"soda {unity['Na2O']:.2f}, potash {unity['K2O']:.2f}, lime {unity['CaO']:.2f}" in said("5a")
    assert f"alumina {unity['Al2O3']:.2f}, silica {unity['SiO2']:.2f}" in said("5a")


def test_lesson_5_kaolin_and_quartz_have_no_formula():
    assert "nothing to set to 1" in story(5)
    with pytest.raises(RecipeError, match="nothing to set to 1"):
        gk.unity_formula(gk.Recipe("clay and sand", {"kaolin": 50, "quartz": 50}))
    text = re.findall(r"[a-z ]+ (\d+)", story(5, "practice"))
    assert text == ["40", "20", "15", "25"] and sum(map(int, text)) == 100


def test_lesson_6_the_old_map_says_no_at_any_cone():
    handrail = gk.unity_formula(gk.demo_recipe("Handrail Clear"))
    assert f"boric oxide {handrail['B2O3']:.2f}" in exercise("6.6").text
    assert applies_to_yours(handrail, "6").word == applies_to_yours(handrail, "11").word == "no"
    assert "melts early" in applies_to_yours(handrail, "11").reasons[1]
    assert gk.unity_formula(gk.Recipe("glass", {"whiting": 30, "quartz": 70})).silica_to_alumina_mol is None


def test_lesson_6_the_three_moves():
    start = gk.unity_formula(CLEAR)
    assert f"a ratio of {start.silica_to_alumina_mol:.1f}" in exercise("6.7").text
    kaolin, quartz, whiting = (with_line(CLEAR, name, 5) for name in ("kaolin", "quartz", "whiting"))
    up, across = kaolin["Al2O3"] - start["Al2O3"], kaolin["SiO2"] - start["SiO2"]
    assert up > 0 and across == pytest.approx(2 * up) and kaolin.silica_to_alumina_mol < start.silica_to_alumina_mol
    assert quartz["Al2O3"] == pytest.approx(start["Al2O3"]) and quartz["SiO2"] > start["SiO2"]
    assert whiting["SiO2"] < start["SiO2"] and whiting.silica_to_alumina_mol == pytest.approx(start.silica_to_alumina_mol)


def test_lesson_6_ratio_by_weight_and_by_count():
    ratio = (50 / molar_mass_g_mol("SiO2")) / (10 / molar_mass_g_mol("Al2O3"))
    assert f"about {ratio:.1f}" in said("6e")
    assert molar_mass_g_mol("Al2O3") / molar_mass_g_mol("SiO2") == pytest.approx(1.7, abs=0.01)


def test_lesson_7_feldspar_cannot_bring_so_much_soda():
    start = gk.unity_formula(CLEAR)
    wish = {"Na2O": 0.9, "CaO": 0.1, "Al2O3": start["Al2O3"], "SiO2": start["SiO2"]}
    found = formulate(wish, ["soda feldspar", "whiting", "kaolin", "quartz"])
    assert "soda 0.9" in story(7) and not found.feasible and {"Na2O", "Al2O3"} <= set(found.why_not.oxides)


def test_lesson_7_predictions():
    lithium, whiting = molar_mass_g_mol("Li2CO3"), molar_mass_g_mol("CaCO3")
    assert "a third more flux" in said("7c") and whiting / lithium == pytest.approx(4 / 3, abs=0.05)
    assert "three quarters" in said("7c") and lithium / whiting == pytest.approx(3 / 4, abs=0.02)


def test_lesson_8_weight_for_weight():
    swapped = gk.Recipe(
        "swapped",
        [gk.Line("nepheline syenite" if one.material == "soda feldspar" else one.material, one.amount) for one in CLEAR.base],
    )
    before, after = gk.unity_formula(CLEAR), gk.unity_formula(swapped)
    told = next(option.text for option in exercise("8.6").boxes[0].options if option.id == "both")
    assert told == (
        f"alkali share up from {100 * before.alkali_share:.0f} to {100 * after.alkali_share:.0f} %, "
        f"silica down from {before['SiO2']:.2f} to {after['SiO2']:.2f}, "
        f"silica to alumina down from {before.silica_to_alumina_mol:.1f} to {after.silica_to_alumina_mol:.1f}"
    )
    alkali = 26 / mole_swap("soda feldspar", "nepheline syenite", 26, same="Na2O+K2O").into_g
    mistaken = {mistake.id: mistake.text for mistake in exercise("8.6").mistakes}
    assert "about a sixth more alkali" in mistaken["a_feldspar"] and alkali - 1 == pytest.approx(1 / 6, abs=0.01)
    assert "4.1 where feldspar has 6" in mistaken["more_silica"] and pytest.approx(4.1, abs=0.05) == 4.5 / 1.1


def test_lesson_8_the_impossible_wish():
    work = by_hand({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.2, "SiO2": 3.5}, "potash feldspar", ["whiting"], "kaolin", "quartz")
    kaolin = next(one for one in work.purchases if one.for_oxide == "Al2O3")
    assert f"alumina {kaolin.need_mol:.2f} left".replace("-", "−") in story(8) and not work.possible
    wish = {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.2, "SiO2": 3.5}
    found = formulate(wish, ["potash feldspar", "whiting", "kaolin", "quartz"])
    assert not found.feasible and {"K2O", "Al2O3"} <= set(found.why_not.oxides)
    assert formulate(wish, ["potash feldspar", "pearl ash", "whiting", "kaolin", "quartz"]).feasible, "the way out of 8.7"


def test_lesson_8_wollastonite_of_the_prediction():
    swap = mole_swap("whiting", "wollastonite", 14)
    assert f"{swap.into_g:.1f} g, and {-swap.correction_g['quartz']:.1f} g of quartz out" in said("8c")
