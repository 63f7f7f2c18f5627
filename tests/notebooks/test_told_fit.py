"""Numbers and events that the texts of lesson 9 tell are those the package computes: nothing is typed twice unchecked."""

import re

import pytest
from told import block, numbers, sentence

import glazekit as gk
from glazekit.exercises.bank import exercise, prediction
from glazekit.glass.composition import composition_of
from glazekit.glass.domain import reasons_for
from glazekit.glass.melt import viscosity
from glazekit.glass.sums import expansion, expansion_contributions
from glazekit.materials.oxides import OXIDES

NAME = "09_fit"
CLEAR, LAMP = gk.demo_recipe("Gangway Clear"), gk.demo_recipe("Cracked Lamp")
MOVES = {  # exercise 9.6, as its options say
    "quartz": {"nepheline syenite": -16, "quartz": 16},
    "more_syenite": {"nepheline syenite": 8, "quartz": -8},
    "quartz_talc": {"nepheline syenite": -16, "quartz": 8, "talc": 8},
    "kaolin": {"kaolin": 10},
}
PEAK_C = 1222


def moved(recipe, changes):
    base = {line.material: line.amount for line in recipe.base}
    for material, by in changes.items():
        base[material] = base.get(material, 0) + by
    return gk.Recipe("moved", {material: amount for material, amount in base.items() if amount})


def factor(oxide):
    return expansion_contributions({oxide: 100.0})[0].factor_1e6_per_k


def half(change):
    return (change.high - change.low) / 2


def test_what_soda_adds():
    soda = next(row for row in expansion_contributions(CLEAR) if row.oxide == "Na2O")
    factor_told, mol_told = f"{soda.factor_1e6_per_k:.1f}", f"{soda.mol_pct:.2f}"
    told = block(NAME, "by-hand")
    assert numbers(sentence(told, "Gangway Clear")) == [mol_told, "100", factor_told]
    assert numbers(sentence(told, "soda adds")) == [factor_told, mol_told, "100", f"{soda.contribution_1e6_per_k:.2f}"]


def test_the_order_of_the_factors():
    """Potash, soda, lithia; then strontia, lime, magnesia far below; then silica and boric oxide; alumina last."""
    oxides = [["K2O", "Na2O"], ["Li2O"], ["SrO", "CaO", "MgO"], ["SiO2", "B2O3"], ["Al2O3"]]
    names = [OXIDES[oxide].name for group in oxides for oxide in group]
    said = block(NAME, "every-oxide-adds-its-share").casefold()
    assert sorted(names, key=said.index) == names
    low = [min(map(factor, group)) for group in oxides]
    high = [max(map(factor, group)) for group in oxides]
    assert all(low[i] > high[i + 1] for i in range(4))
    assert low[1] - high[2] > 5 and low[4] < 0.5


def test_the_change_is_known_better_than_the_number():
    alone = expansion(CLEAR, LAMP)
    told = block(NAME, "what-you-saw-on-the-gauge")
    assert numbers(sentence(told, "lower, give")) == [f"{-alone.change.value:.1f}", f"{half(alone.change):.1f}"]
    assert numbers(sentence(told, "By itself")) == [f"{alone.value:.1f}", f"{alone.half_width:.1f}"]
    assert sentence(told, "known better") and half(alone.change) < alone.half_width
    assert alone.change.high < 0, "its direction is known"


def test_the_lamp_and_the_clear():
    lamp, clear = gk.unity_formula(LAMP), gk.unity_formula(CLEAR)
    told = sentence(block(NAME, "what-you-saw-on-the-gauge"), "among its fluxes")
    assert told.index("Lamp") < told.index("soda") < told.index("potash") < told.index("Gangway")
    assert numbers(told) == [f"{100 * glaze[oxide]:.0f}" for glaze in (lamp, clear) for oxide in ("Na2O", "K2O")]


def test_gram_for_gram_raises_the_expansion():
    """Course exercise 8.6: 26 g of nepheline syenite for 26 g of feldspar."""
    swapped = moved(CLEAR, {"soda feldspar": -26, "nepheline syenite": 26})
    change = expansion(swapped, CLEAR).change
    said = block(NAME, "if-you-like-old-swaps-new-eyes")
    assert numbers(sentence(said, "rises by")) == [f"{change.value:.1f}", f"{half(change):.1f}"]
    assert numbers(sentence(said, "Do it")) == ["26"] and sentence(said, "No promise")
    assert change.value > 0 > change.low
    before, after = (expansion(one, LAMP).change for one in (CLEAR, swapped))
    told = [f"{number:.1f}" for one in (before, after) for number in (one.value, half(one))]
    assert numbers(sentence(said, "goes from")) == told


def test_what_the_story_breaks():
    mooring, liner = gk.demo_recipe("Mooring White"), gk.demo_recipe("Bulkhead Liner")
    said = block(NAME, "break-it")
    outside = reasons_for(composition_of(mooring)).outside
    assert sentence(said, "more alumina") == sentence(said, "less flux")
    assert any(one.key == "outside_Al2O3_more" for one in outside)
    assert any(one.key == "outside_R2O+RO_less" for one in outside)
    assert expansion(mooring).value is None
    grey = expansion(liner)
    assert grey.value is not None and not grey.in_range and "opacifier" in grey.why
    zircon = next(line.amount for line in liner.additions if line.material == "zircon")
    assert numbers(sentence(said, "zircon")) == [f"{100 * zircon / liner.base_sum:g}"]


def test_the_cures_of_9_6_are_those_that_lower_it_enough():
    box = exercise("9.6").boxes[0]
    wanted = float(re.search(r"by (\d\.\d) millionths", exercise("9.6").text)[1])
    falls = {name: -expansion(moved(LAMP, changes), LAMP).change.value for name, changes in MOVES.items()}
    assert {name for name, fall in falls.items() if fall >= wanted} == set(box.right)
    assert all(abs(fall - wanted) > 0.1 for fall in falls.values()), "nobody has to read the gauge to the last digit"
    assert falls["more_syenite"] < 0 < falls["kaolin"]
    for name, text in ((option.id, option.text) for option in box.options):
        grams = {float(number) for number in re.findall(r"(\d+) g", text)}
        assert grams == {abs(by) for by in MOVES[name].values()}
        assert all(material.split()[-1] in text for material in MOVES[name])


def test_the_first_step_of_9_6_is_its_first_change():
    card = {line.material: line.amount for line in LAMP.base}
    step = exercise("9.6").first_step
    changes = MOVES["quartz"]
    assert step.index("syenite") < step.index("quartz") and list(changes) == ["nepheline syenite", "quartz"]
    assert numbers(step) == [f"{grams:g}" for name, by in changes.items() for grams in (card[name], card[name] + by)]
    assert expansion(moved(LAMP, {"whiting": 8, "quartz": -8}), LAMP).change.value > 0, "the twin goes up"


def test_less_alkali_and_more_quartz_is_a_stiffer_melt():
    """What the page warns of beside 9.6."""
    card, quartz, talc = (
        viscosity(one, PEAK_C).value for one in (LAMP, *(moved(LAMP, MOVES[way]) for way in ("quartz", "quartz_talc")))
    )
    assert talc < quartz and card < quartz


def test_a_percent_of_a_hundred_millimetres():
    assert numbers(sentence(exercise("9.5").right_text, "as many")) == ["100"]


def test_talc_for_whiting_points_down_and_promises_nothing():
    swapped = moved(CLEAR, {"whiting": -7, "talc": 8.84, "quartz": -5.60})  # grams of exercise 7.4
    change = expansion(swapped, CLEAR).change
    assert change.value == pytest.approx(-0.34, abs=0.02), "course exercise 7.5: from 5.75 to 5.41 with the older factors"
    assert change.high > 0 and numbers(sentence(exercise("9.7").right_text, "the interval")) == ["0"]


def test_the_last_guess_tells_a_size_and_an_interval():
    size, half_width = map(float, numbers(sentence(prediction("9d").text, "gauge")))
    assert 0 < half_width < size, "its direction is known, as the answers take it"
