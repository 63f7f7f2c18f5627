"""Numbers in the story are those that the package computes: a number is never typed twice and left to drift apart."""

from __future__ import annotations

import pytest
from lesson_pages import plain, story

import glazekit as gk
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
    f"weighs {POWDER_DENSITY_G_ML - 1:.1f} g more than the water it pushes aside",
    f"(slip in g − slip in mL) × {POWDER_DENSITY_G_ML:g} ÷ {POWDER_DENSITY_G_ML - 1:.1f}",
]
FIRST = [
    f"Pour {START_WATER_ML_PER_100G:g} mL of water",
    f"Add {WATER_STEP_ML:g} mL of water",
    f"You need not hit {next(x.target_g for x in gk.batch_sheet(demo_recipe('Gangway Clear')).lines):.2f} g",
    f"Gangway Clear is for cone {demo_recipe('Gangway Clear').cone}",
]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        *(("01_first_batch", said) for said in FIRST),
        *(("02_recipe_to_batch", said) for said in RECIPE),
        *(("03_water_is_an_ingredient", said) for said in WATER),
    ],
)
def test_the_story_says_what_the_package_computes(name: str, said: str) -> None:
    assert said in " ".join(plain("\n".join(story(name))).split())


def test_the_recipe_to_break_makes_the_bench_ask() -> None:
    block = next(block for block in story("02_recipe_to_batch") if block.startswith("## Break it"))
    pasted = "\n".join(line.strip("`") for line in block.splitlines() if line.startswith("`"))
    recipe = gk.recipe_from_text(pasted)
    assert recipe.additions_are is None and recipe.base_sum != 100
    with pytest.raises(gk.GlazekitError, match="kaolin"):
        gk.batch_sheet(recipe.with_additions_are("parts"))


def test_the_faulty_glazes_of_the_wet_hour_are_in_the_data() -> None:
    block = next(block for block in story("03_water_is_an_ingredient") if "wrong on purpose" in block)
    for name in ("Cracked Lamp", "Overboard", "Late Boat"):
        assert name in block
        demo_recipe(name)
    assert "cobalt carbonate" in demo_recipe("Overboard").materials() and "cobalt carbonate" in block
