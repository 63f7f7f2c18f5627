"""Numbers in the story are those that the package computes: a number is never typed twice and left to drift apart."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import calls, plain, story

import glazekit as gk
from glazekit.chemistry.formulate import formulate
from glazekit.chemistry.mole_swap import mole_swap
from glazekit.chemistry.shares import PLASTIC_CLAY_PCT
from glazekit.chemistry.silica_alumina import applies_to_yours, studies
from glazekit.chemistry.substitute import substitute
from glazekit.lab import open_page
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.reading import demo_recipe
from glazekit.water.slip import POWDER_DENSITY_G_ML, START_WATER_ML_PER_100G, WATER_STEP_ML

SATIN = demo_recipe("Timetable Satin")
SATIN_100 = SATIN.to_100()


def amount(recipe: gk.Recipe, material: str) -> float:
    return next(line.amount for line in (*recipe.base, *recipe.additions) if line.material == material)


def sheet_target_g(material: str, base_g: float) -> float:
    return next(line.target_g for line in gk.batch_sheet(SATIN, base_g=base_g).lines if line.material == material)


base_sum = sum(line.amount for line in SATIN.base)
feldspar, tin, rutile = (amount(SATIN, material) for material in ("soda feldspar", "tin oxide", "rutile"))
feldspar_pct, tin_pct = (amount(SATIN_100, material) for material in ("soda feldspar", "tin oxide"))

RECIPE = [
    f"you get {base_sum:g}, not 100",
    f"tin oxide {tin:g} (",
    f"rutile {rutile:g} (",
    f"{feldspar:g} parts ÷ {base_sum:g} parts of base × 100 = {feldspar_pct:.2f} % of the base",
    f"Tin oxide: {tin:g} ÷ {base_sum:g} × 100 = {tin_pct:.2f} %",
    f"{tin_pct:.2f} × 2500 ÷ 100 = {sheet_target_g('tin oxide', 2500):.1f} g",
    f"every 100 g of base needs {feldspar_pct:.2f} g",
    f"weigh {base_sum:g} g and nothing is wrong",
]
WATER = [
    f"Pour the {START_WATER_ML_PER_100G:g} mL to start with, then {WATER_STEP_ML:g} mL at a time",
    f"Begin with {START_WATER_ML_PER_100G:g} mL for 100 g. Add {WATER_STEP_ML:g} mL",
    f"four more pours of {WATER_STEP_ML:g} mL: that is {START_WATER_ML_PER_100G + 4 * WATER_STEP_ML:g} mL per 100 g",
    f"weighs about {POWDER_DENSITY_G_ML:g} g, so 100 g of powder fill 100 ÷ {POWDER_DENSITY_G_ML:g} = "
    f"{100 / POWDER_DENSITY_G_ML:.0f} mL",
    f"weighs {POWDER_DENSITY_G_ML:g} g and pushes 1 g of water aside: it makes the slip {POWDER_DENSITY_G_ML - 1:.1f} g heavier",
    f"(slip in g − slip in mL) × {POWDER_DENSITY_G_ML:g} ÷ {POWDER_DENSITY_G_ML - 1:.1f}",
]
FIRST = [
    f"Pour {START_WATER_ML_PER_100G:g} mL of water",
    f"Add {WATER_STEP_ML:g} mL of water",
    f"You need not hit {next(x.target_g for x in gk.batch_sheet(demo_recipe('Gangway Clear')).lines):.2f} g",
    f"Gangway Clear is for cone {demo_recipe('Gangway Clear').cone}",
]

STOCK = gk.course_stock()
WHITING, FRIT = STOCK.find("whiting"), STOCK.find("calcium borosilicate frit")
CLEAR = demo_recipe("Gangway Clear")


def mole_g(material: str) -> float:
    return molar_mass_g_mol(STOCK.find(material).formula)


lime_g, loss_g = WHITING.oxide_wt_pct["CaO"], WHITING.loi_wt_pct_raw
boric_pct, boric_mole_g = FRIT.oxide_wt_pct["B2O3"], OXIDES["B2O3"].molar_mass_g_mol
potash_mol, lime_mol = 40 / mole_g("potash feldspar"), 20 / mole_g("whiting")
syenite = substitute(CLEAR, "soda feldspar", ["nepheline syenite"]).weight_for_weight[0]

KILN = [
    f"Whiting loses {loss_g:.0f} %",
    f"{lime_g:.2f} g stay and {loss_g:.2f} g leave. So 20 g leave 20 × {lime_g:.2f} ÷ 100 = {20 * lime_g / 100:.2f} g of lime",
    f"Whiting: {mole_g('whiting'):.2f} g a mole. 20 g ÷ {mole_g('whiting'):.2f} = {lime_mol:.4f} mol, "
    f"say {1000 * lime_mol:.0f} thousandths",
    f"One mole of feldspar weighs {mole_g('soda feldspar'):.2f} g",
    f"lithium carbonate weighs {mole_g('lithium carbonate'):.2f} g, a mole of strontium carbonate "
    f"{mole_g('strontium carbonate'):.2f} g",
    f"25 g of our frit hold {boric_pct:g} % boric oxide (B₂O₃): {25 * boric_pct / 100:g} g. "
    f"One mole of it weighs {boric_mole_g:.2f} g. "
    f"{25 * boric_pct / 100:g} ÷ {boric_mole_g:.2f} = {25 * boric_pct / 100 / boric_mole_g:.4f} mol, "
    f"{25 * boric_pct / 100 / boric_mole_g * 1000:.0f} thousandths",
]
UNITY = [
    f"Potash: 40 ÷ {mole_g('potash feldspar'):.2f} = {potash_mol:.4f} mol",
    f"Lime: 20 ÷ {mole_g('whiting'):.2f} = {lime_mol:.4f} mol",
    f"Fluxes together: {potash_mol + lime_mol:.4f} mol",
    f"“Alkali share {100 * gk.unity_formula(CLEAR).alkali_share:.0f} % of the fluxes” means that the other "
    f"{100 - 100 * gk.unity_formula(CLEAR).alkali_share:.0f} %",
    f"on {amount(CLEAR, 'soda feldspar'):g} g of feldspar is {10 / amount(CLEAR, 'soda feldspar'):.1f} %",
]
FLUXES = [
    f"strontium carbonate weighs {mole_g('strontium carbonate'):.2f} g, a mole of whiting {mole_g('whiting'):.2f} g",
    f"5 ÷ {mole_g('whiting'):.2f} × {mole_g('strontium carbonate'):.2f} = "
    f"{mole_swap('whiting', 'strontium carbonate', 5).into_g:.2f} g",
]
SHOP = [
    f"silica to alumina from {syenite.before.silica_to_alumina_mol:.1f} to {syenite.after.silica_to_alumina_mol:.1f}",
    f"Below about {PLASTIC_CLAY_PCT:g} % plastic clay",
]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        *(("01_first_batch", said) for said in FIRST),
        *(("02_recipe_to_batch", said) for said in RECIPE),
        *(("03_water_is_an_ingredient", said) for said in WATER),
        *(("04_what_the_kiln_leaves", said) for said in KILN),
        *(("05_unity_formula", said) for said in UNITY),
        *(("07_fluxes_and_boron", said) for said in FLUXES),
        *(("08_formula_to_recipe", said) for said in SHOP),
    ],
)
def test_the_story_says_what_the_package_computes(name: str, said: str) -> None:
    assert said in " ".join(plain("\n".join(story(name))).split())


def test_the_recipe_to_break_makes_the_bench_ask() -> None:
    block = next(block for block in story("02_recipe_to_batch") if block.startswith("## Break it"))
    recipe = gk.recipe_from_text(block.split("```")[1])
    assert recipe.additions_are is None and recipe.base_sum != 100
    with pytest.raises(gk.GlazekitError, match="kaolin"):
        gk.batch_sheet(recipe.with_additions_are("parts"))


def test_the_faulty_glazes_of_the_wet_hour_are_in_the_data() -> None:
    block = next(block for block in story("03_water_is_an_ingredient") if "wrong on purpose" in block)
    for name in ("Cracked Lamp", "Overboard", "Late Boat"):
        assert name in block
        demo_recipe(name)
    assert "cobalt carbonate" in demo_recipe("Overboard").materials() and "cobalt carbonate" in block


def test_what_lesson_4_breaks_stops_gum_burns_and_iron_gains(tmp_path: Path) -> None:
    scales = open_page("04", tmp_path).panel("oxide scales")
    (dug,) = [label for label in scales.material.options if "dug" in label]
    scales.material.value = dug
    assert "declared unknown" in scales.said
    assert STOCK.find("gum").loi_wt_pct_raw == 100 and STOCK.find("black iron oxide").loi_wt_pct_raw < 0


def test_two_carbonates_hold_one_to_two_and_the_scales_begin_with_them(tmp_path: Path) -> None:
    assert mole_g("strontium carbonate") / mole_g("lithium carbonate") == pytest.approx(2, abs=0.01)
    (call,) = [call for call in calls("04_what_the_kiln_leaves") if dict(call.options).get("beside")]
    scales = open_page("04", tmp_path).panel(call.what, **{key: value for key, value in call.options if key != "after"})
    assert scales.said.startswith("1.00 g lithium carbonate") and "1.00 g strontium carbonate" in scales.said


def test_what_lesson_5_breaks_has_no_flux(tmp_path: Path) -> None:
    bench = open_page("05", tmp_path).panel("unity bench")
    for name, slider in bench.glaze.sliders.items():
        slider.value = slider.value if name in ("kaolin", "quartz") else "0"
    assert "no flux" in bench.said


def test_what_lesson_6_breaks_gets_a_plain_no_and_then_no_place(tmp_path: Path) -> None:
    handrail = gk.unity_formula(demo_recipe("Handrail Clear"))
    assert {applies_to_yours(handrail, "6", study.name).word for study in studies()} == {"no"}
    chart = open_page("06", tmp_path).panel("chart map", recipe="Handrail Clear")
    for name, slider in chart.glaze.sliders.items():
        slider.value = slider.value if name in ("whiting", "quartz") else "0"
    assert "no place on this chart" in chart.said


def test_what_lesson_8_breaks_cannot_be_met_by_a_tenth_of_alumina() -> None:
    block = next(block for block in story("08_formula_to_recipe") if block.startswith("## Break it"))
    wish = {"K2O": "potash", "CaO": "lime", "Al2O3": "alumina", "SiO2": "silica"}
    target = {oxide: float(re.search(rf"{word} ([\d.]*\d)", block)[1]) for oxide, word in wish.items()}  # type: ignore[index]
    found = formulate(target, ["potash feldspar", "whiting", "kaolin", "quartz"])
    assert not found.feasible and target["K2O"] - target["Al2O3"] == pytest.approx(0.10)
