"""Numbers and events that texts of lessons 4 to 8 tell are those the package computes: nothing is typed twice unchecked."""

import pytest
from told import block, numbers, sentence
from wording import text_of

import glazekit as gk
from glazekit.chemistry.by_hand import by_hand
from glazekit.chemistry.formulate import formulate
from glazekit.chemistry.silica_alumina import applies_to_yours, study
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.exercises.bank import exercise, prediction
from glazekit.ground.errors import RecipeError
from glazekit.ground.tables import read_table
from glazekit.materials.formula import molar_mass_g_mol

STOCK = gk.course_stock()
CLEAR = gk.demo_recipe("Gangway Clear")


def said(prediction_id):
    one = prediction(prediction_id)
    return " ".join([one.text, *(f"{answer.text}. {answer.reply}" for answer in one.answers)])


def with_line(recipe, name, grams):
    return gk.unity_formula(gk.Recipe("changed", [*recipe.base, gk.Line(name, grams)]))


def test_lesson_4_gum_leaves_and_black_iron_gains():
    told = block("04_what_the_kiln_leaves", "break-it")
    assert told.index("gum.") < told.index("All of") and STOCK.find("gum").loi_wt_pct_raw == 100
    loss = STOCK.find("black iron oxide").loi_wt_pct_raw
    assert numbers(sentence(told, "Its loss")) == [f"{loss:.1f}"] and loss < 0


def test_lesson_4_predictions():
    whiting, feldspar = STOCK.find("whiting").oxide_wt_pct, STOCK.find("soda feldspar").oxide_wt_pct
    assert numbers(sentence(said("4g"), "whiting leave")) == ["20", f"{20 * whiting['CaO'] / 100:.1f}"]
    silica, alumina, soda = (feldspar[oxide] / 10 for oxide in ("SiO2", "Al2O3", "Na2O"))
    assert numbers(sentence(said("4h"), "g alumina")) == ["10", *(f"{grams:.0f}" for grams in (silica, alumina, soda))]
    assert numbers(sentence(said("4h"), "is soda")) == [f"{feldspar['Na2O']:.0f}"]
    strontium, lithium = molar_mass_g_mol("SrCO3"), molar_mass_g_mol("Li2CO3")
    assert numbers(sentence(said("4i"), "One mole")) == [f"{strontium:.1f}", f"{lithium:.1f}"]
    assert strontium / lithium == pytest.approx(2, abs=0.01)
    copper = mole_swap("copper carbonate", "copper oxide", 2, same="CuO").into_g
    assert numbers(sentence(said("4j"), "same copper.")) == [f"{copper:.1f}"]


@pytest.mark.parametrize(("box", "name"), [("first", "Gangway Clear"), ("second", "Turnstile Matte"), ("third", "Overboard")])
def test_lesson_5_opens_with_formulas_of_demo_glazes(box, name):
    unity = gk.unity_formula(gk.demo_recipe(name))
    label = next(one.label for one in exercise("5.0").boxes if one.id == box)
    told = [f"{unity['Al2O3']:.2f}", f"{unity['SiO2']:.2f}", f"{unity.silica_to_alumina_mol:.1f}"]
    assert numbers(label) == ["1", *told] and label.index("alumina") < label.index("silica")


def test_lesson_5_formula_of_the_prediction_is_the_clears():
    unity = gk.unity_formula(CLEAR)
    listed = sentence(said("5a"), "formula lists")
    names = {"Na2O": "soda", "K2O": "potash", "CaO": "lime", "Al2O3": "alumina", "SiO2": "silica"}
    assert sorted(names.values(), key=listed.index) == list(names.values())
    assert numbers(listed) == [f"{unity[oxide]:.2f}" for oxide in names]


def test_lesson_5_kaolin_and_quartz_have_no_formula():
    name = "05_unity_formula"
    assert numbers(sentence(block(name, "break-it"), "no flux,")) == ["1"]
    with pytest.raises(RecipeError, match="no flux"):
        gk.unity_formula(gk.Recipe("clay and sand", {"kaolin": 50, "quartz": 50}))
    card = [f"{line.amount:g}" for line in gk.recipe_from_text(text_of("parts.movable_glaze.practice")).base]
    for told in (block(name, "fill-the-trays"), block(name, "once-by-hand-the-divisor").partition("Potash:")[0]):
        assert numbers(sentence(told, "feldspar 40")) == card == ["40", "20", "15", "25"]


CHART_PAGE = "06_silica_and_alumina_chart"


def test_lesson_6_the_study_of_1914_says_no_whatever_the_fire():
    handrail = gk.unity_formula(gk.demo_recipe("Handrail Clear"))
    assert numbers(exercise("6.6").text) == ["1914", f"{gk.demo_recipe('Handrail Clear').cone}"]
    assert numbers(sentence(block(CHART_PAGE, "break-it"), "study of"))[0] == "1914"
    for cone in ("6", "11"):
        applies = applies_to_yours(handrail, cone, "Stull & Howat 1914")
        assert applies.word == "no" and f"{handrail['B2O3']:.2f}" in applies.reasons[1]
    assert "not what its surface looks like" in study("Stull & Howat 1914").shows
    assert gk.unity_formula(gk.Recipe("glass", {"whiting": 30, "quartz": 70})).silica_to_alumina_mol is None


def test_lesson_6_the_fields_and_what_melted_first():
    first, second = study("Seger 1886"), study("Stull & Howat 1914")
    told = block(CHART_PAGE, "where-the-map-comes-from")
    assert numbers(sentence(told, "Seger melted")) == [f"{len(first.points)}", "1886", f"{len(second.points)}", "1914"]
    (lowest,) = [point for point in first.points if "lowest" in point.melted]
    told = block(CHART_PAGE, "the-one-that-melts-first")
    assert numbers(sentence(told, "first of all was")) == [f"{lowest.alumina_mol:g}", f"{lowest.silica_mol:g}"]
    nearer = [p for p in first.points if p.silica_mol < lowest.silica_mol and p.alumina_mol <= lowest.alumina_mol]
    assert len(nearer) == 8, "two of Seger's four smaller silica groups, and all of them needed more heat"


def test_lesson_6_what_surfaces_were_at_two_cones():
    told = block(CHART_PAGE, "the-map-follows-the-fire")
    rows = read_table("surface_fields")
    cones = [numbers(sentence(told, cue))[0] for cue in ("small middle", "had grown")]
    assert cones == [row["cone"] for row in rows] and {row["status"] for row in rows} == {"seen"}
    assert numbers(sentence(told, "A study of")) == [row["study"].split()[1] for row in rows][:1] == ["1921"]


def test_lesson_6_the_three_moves():
    start = gk.unity_formula(CLEAR)
    assert numbers(exercise("6.7").text) == [f"{start.silica_to_alumina_mol:.1f}"]
    kaolin, quartz, whiting = (with_line(CLEAR, name, 5) for name in ("kaolin", "quartz", "whiting"))
    up, across = kaolin["Al2O3"] - start["Al2O3"], kaolin["SiO2"] - start["SiO2"]
    assert up > 0 and across == pytest.approx(2 * up) and kaolin.silica_to_alumina_mol < start.silica_to_alumina_mol
    assert quartz["Al2O3"] == pytest.approx(start["Al2O3"]) and quartz["SiO2"] > start["SiO2"]
    assert whiting["SiO2"] < start["SiO2"] and whiting.silica_to_alumina_mol == pytest.approx(start.silica_to_alumina_mol)


def test_lesson_6_ratio_by_weight_and_by_count():
    ratio = (50 / molar_mass_g_mol("SiO2")) / (10 / molar_mass_g_mol("Al2O3"))
    assert numbers(sentence(said("6e"), "by count"))[-1] == f"{ratio:.1f}" == numbers(sentence(said("6e"), "The ratio"))[0]
    assert molar_mass_g_mol("Al2O3") / molar_mass_g_mol("SiO2") == pytest.approx(1.7, abs=0.01)


def test_lesson_7_feldspar_cannot_bring_so_much_soda():
    start = gk.unity_formula(CLEAR)
    wish = {"Na2O": 0.9, "CaO": 0.1, "Al2O3": start["Al2O3"], "SiO2": start["SiO2"]}
    found = formulate(wish, ["soda feldspar", "whiting", "kaolin", "quartz"])
    told = block("07_fluxes_and_boron", "break-it")
    assert numbers(sentence(told, "ask for")) == [f"{wish['Na2O']:g}"]
    assert not found.feasible and {"Na2O", "Al2O3"} <= set(found.why_not.oxides)


def test_lesson_7_predictions():
    lithium, whiting = molar_mass_g_mol("Li2CO3"), molar_mass_g_mol("CaCO3")
    assert sentence(said("7c"), "a third") and whiting / lithium == pytest.approx(4 / 3, abs=0.05)
    assert sentence(said("7c"), "three quarters") and lithium / whiting == pytest.approx(3 / 4, abs=0.02)


def test_lesson_8_weight_for_weight():
    swapped = gk.Recipe(
        "swapped",
        [gk.Line("nepheline syenite" if one.material == "soda feldspar" else one.material, one.amount) for one in CLEAR.base],
    )
    before, after = gk.unity_formula(CLEAR), gk.unity_formula(swapped)
    told = next(option.text for option in exercise("8.6").boxes[0].options if option.id == "both")
    assert [numbers(part) for part in told.split(", ")] == [
        [f"{100 * one.alkali_share:.0f}" for one in (before, after)],
        [f"{one['SiO2']:.2f}" for one in (before, after)],
        [f"{one.silica_to_alumina_mol:.1f}" for one in (before, after)],
    ]
    assert told.index("alkali") < told.index("silica") < told.index("silica to")
    alkali = 26 / mole_swap("soda feldspar", "nepheline syenite", 26, same="Na2O+K2O").into_g
    mistaken = {mistake.id: mistake.text for mistake in exercise("8.6").mistakes}
    assert sentence(mistaken["a_feldspar"], "a sixth") and alkali - 1 == pytest.approx(1 / 6, abs=0.01)
    syenite, feldspar = map(float, numbers(mistaken["more_silica"]))
    assert syenite == pytest.approx(4.5 / 1.1, abs=0.05) and feldspar == 6


def test_lesson_8_the_impossible_wish():
    wish = {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.2, "SiO2": 3.5}
    work = by_hand(wish, "potash feldspar", ["whiting"], "kaolin", "quartz")
    kaolin = next(one for one in work.purchases if one.for_oxide == "Al2O3")
    told = block("08_formula_to_recipe", "break-it")
    assert numbers(sentence(told, "The table")) == [f"{kaolin.need_mol:.2f}"] and work.recipe is None
    assert [float(number) for number in numbers(sentence(told, "ask for"))] == list(wish.values())
    found = formulate(wish, ["potash feldspar", "whiting", "kaolin", "quartz"])
    assert not found.feasible and {"K2O", "Al2O3"} <= set(found.why_not.oxides)
    assert formulate(wish, ["potash feldspar", "pearl ash", "whiting", "kaolin", "quartz"]).feasible, "the way out of 8.7"


def test_lesson_8_wollastonite_of_the_prediction():
    swap = mole_swap("whiting", "wollastonite", 14)
    found = numbers(sentence(said("8c"), "Mole for"))
    assert found == [f"{swap.into_g:.1f}", f"{-swap.correction_g['quartz']:.1f}"]
