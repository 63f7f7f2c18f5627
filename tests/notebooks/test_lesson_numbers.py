"""Numbers in the story are those that the package computes: a number is never typed twice and left to drift apart."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lesson_pages import LESSONS, calls, cells, story
from told import block, numbers, sentence
from wording import spoken

import glazekit as gk
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.formulate import formulate
from glazekit.chemistry.silica_alumina import applies_to_yours, studies
from glazekit.chemistry.substitute import substitute
from glazekit.chemistry.swap_by_moles import mole_swap
from glazekit.exercises.bank import prediction
from glazekit.lab import open_page
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.oxides import OXIDES
from glazekit.recipe.reading import demo_recipe
from glazekit.water.slip import POWDER_DENSITY_G_ML, START_WATER_ML_PER_100G, WATER_STEP_ML

STOCK = gk.course_stock()
SATIN = demo_recipe("Timetable Satin")
SATIN_100 = SATIN.to_100()


def amount(recipe: gk.Recipe, material: str) -> float:
    return next(line.amount for line in (*recipe.base, *recipe.additions) if line.material == material)


def sheet_target_g(material: str, base_g: float) -> float:
    return next(line.target_g for line in gk.batch_sheet(SATIN, base_g=base_g).lines if line.material == material)


def mole_g(material: str) -> float:
    return molar_mass_g_mol(STOCK.find(material).formula)


base_sum = sum(line.amount for line in SATIN.base)
feldspar, tin, rutile = (amount(SATIN, material) for material in ("soda feldspar", "tin oxide", "rutile"))
feldspar_pct, tin_pct = (f"{amount(SATIN_100, material):.2f}" for material in ("soda feldspar", "tin oxide"))
START, STEP, POWDER = f"{START_WATER_ML_PER_100G:g}", f"{WATER_STEP_ML:g}", f"{POWDER_DENSITY_G_ML:g}"
CLEAR = demo_recipe("Gangway Clear")
FRIT = STOCK.find("calcium borosilicate frit")
lime, loss = STOCK.find("whiting").oxide_wt_pct["CaO"], STOCK.find("whiting").loi_wt_pct_raw
boric_pct, boric_mole_g = FRIT.oxide_wt_pct["B2O3"], OXIDES["B2O3"].molar_mass_g_mol
boric_g = 25 * boric_pct / 100
potash_mol, lime_mol = 40 / mole_g("potash feldspar"), 20 / mole_g("whiting")
alkali_pct, on_card = 100 * gk.unity_formula(CLEAR).alkali_share, amount(CLEAR, "soda feldspar")
strontium, whiting = f"{mole_g('strontium carbonate'):.2f}", f"{mole_g('whiting'):.2f}"
syenite = substitute(CLEAR, "soda feldspar", ["nepheline syenite"]).weight_for_weight[0]

TOLD: dict[str, list[tuple[str, str, list[str]]]] = {
    "01_first_batch": [
        ("water-waits-in-the-bucket", "Pour", [START, "100"]),
        ("water-waits-in-the-bucket", "at a time", [STEP]),
        ("thick-as-heavy-cream", "stir, look", [STEP]),
        ("thick-as-heavy-cream", "first", [START]),
        ("how-close-is-close-enough", "need not", [f"{next(x.target_g for x in gk.batch_sheet(CLEAR).lines):.2f}"]),
        ("two-words-for-the-label-how-it-is-fired", "is for cone", [str(CLEAR.cone)]),
    ],
    "02_recipe_to_batch": [
        ("a-found-page", "Add up", [f"{base_sum:g}", "100"]),
        ("a-found-page", "under a line", [f"{tin:g}", f"{rutile:g}"]),
        ("why-not-just-weigh-what-is-written", "nothing is", [f"{base_sum:g}"]),
        ("divide-by-the-base-sum", "parts of base", [f"{feldspar:g}", f"{base_sum:g}", "100", feldspar_pct]),
        ("divide-by-the-base-sum", "not in", [f"{base_sum:g}"]),
        ("and-the-additions", "Tin oxide", [f"{tin:g}", f"{base_sum:g}", "100", tin_pct]),
        ("scale-it-up", "tin oxide", ["2.5", "2500", tin_pct, "2500", "100", f"{sheet_target_g('tin oxide', 2500):.1f}"]),
        ("if-you-like-when-a-bag-runs-out", "needs", ["312", "100", feldspar_pct]),
    ],
    "03_water_is_an_ingredient": [
        ("pour", "to start", [START, STEP]),
        ("log-every-pour", "Begin", [START, "100"]),
        ("log-every-pour", "Add", [STEP]),
        ("log-every-pour", "first", [START]),
        ("log-every-pour", "four more", ["100", START, STEP, f"{START_WATER_ML_PER_100G + 4 * WATER_STEP_ML:g}", "100"]),
        ("how-heavy-is-a-millilitre", "grains", [POWDER, "100", "100", POWDER, f"{100 / POWDER_DENSITY_G_ML:.0f}"]),
        ("how-heavy-is-a-millilitre", "usual value", [POWDER]),
        ("powder-from-one-weighing", "pushes", [POWDER, "1", f"{POWDER_DENSITY_G_ML - 1:.1f}"]),
        ("powder-from-one-weighing", "powder in", [POWDER, f"{POWDER_DENSITY_G_ML - 1:.1f}"]),
    ],
    "04_what_the_kiln_leaves": [
        ("whiting-loses-44", "Whiting loses", [f"{loss:.0f}"]),
        ("whiting-loses-44", "stay and", ["100", f"{lime:.2f}", f"{loss:.2f}"]),
        ("whiting-loses-44", "of lime", ["20", "20", f"{lime:.2f}", "100", f"{20 * lime / 100:.2f}"]),
        ("grams-to-moles", "g a mole", [whiting]),
        ("grams-to-moles", "thousandths", ["20", whiting, f"{lime_mol:.4f}", f"{1000 * lime_mol:.0f}"]),
        ("some-powders-bring-several", "One mole", [f"{mole_g('soda feldspar'):.2f}"]),
        ("equal-grams-unequal-counts", "A mole", [f"{mole_g('lithium carbonate'):.2f}", strontium]),
        ("if-you-like-powders-known-only-by-analys", "our frit", ["25", f"{boric_pct:g}", f"{boric_g:g}"]),
        ("if-you-like-powders-known-only-by-analys", "One mole", [f"{boric_mole_g:.2f}"]),
        (
            "if-you-like-powders-known-only-by-analys",
            "thousandths",
            [f"{boric_g:g}", f"{boric_mole_g:.2f}", f"{boric_g / boric_mole_g:.4f}", f"{boric_g / boric_mole_g * 1000:.0f}"],
        ),
    ],
    "05_unity_formula": [
        (
            "once-by-hand-the-divisor",
            "Potash:",
            [
                *("40", f"{mole_g('potash feldspar'):.2f}", f"{potash_mol:.4f}"),
                *("20", whiting, f"{lime_mol:.4f}"),
                f"{potash_mol + lime_mol:.4f}",
            ],
        ),
        ("two-short-readings", "means that", [f"{alkali_pct:.0f}", f"{100 - alkali_pct:.0f}"]),
        ("if-you-like-how-sure-is-a-formula", "A tenth", [f"{on_card:g}", f"{10 / on_card:.1f}"]),
        ("if-you-like-how-sure-is-a-formula", "same tenth", ["1", f"{100 * 0.1 / 1:.0f}"]),
    ],
    "07_fluxes_and_boron": [
        ("what-you-saw", "A mole", [strontium, whiting]),
        (
            "what-you-saw",
            "To replace",
            ["5", "5", whiting, strontium, f"{mole_swap('whiting', 'strontium carbonate', 5).into_g:.2f}"],
        ),
    ],
    "08_formula_to_recipe": [
        (
            "what-you-saw-2",
            "same weight",
            [f"{syenite.before.silica_to_alumina_mol:.1f}", f"{syenite.after.silica_to_alumina_mol:.1f}", "6"],
        ),
        ("the-same-formula-is-not-the-same-glaze", "plastic clay", [f"{PLASTIC_CLAY_PCT:g}"]),
    ],
}


@pytest.mark.parametrize(("name", "cell", "cue", "computed"), [(name, *one) for name, listed in TOLD.items() for one in listed])
def test_the_story_says_what_the_package_computes(name: str, cell: str, cue: str, computed: list[str]) -> None:
    assert numbers(sentence(block(name, cell), cue)) == computed


def test_the_recipe_to_break_makes_the_bench_ask() -> None:
    told = next(one for one in story("02_recipe_to_batch") if one.startswith("## Break it"))
    recipe = gk.recipe_from_text(told.split("```")[1])
    assert recipe.additions_are is None and recipe.base_sum != 100
    with pytest.raises(gk.GlazekitError, match="kaolin"):
        gk.batch_sheet(recipe.with_additions_are("parts"))


def test_the_faulty_glazes_of_the_wet_hour_are_in_the_data() -> None:
    told = block("03_water_is_an_ingredient", "tonight-s-wet-hour")
    for name in ("Cracked Lamp", "Overboard", "Late Boat"):
        assert name in told
        demo_recipe(name)
    assert "red iron oxide" in demo_recipe("Overboard").materials() and "iron" in told


def test_no_glaze_mixed_in_the_first_ten_lessons_holds_a_poison() -> None:
    """Iron is the colour until lesson 11."""
    sheets = [call for name in LESSONS[:10] for call in calls(name) if call.what == "batch sheet"]
    for name in {
        "Cracked Lamp",
        "Overboard",
        "Late Boat",
        *(dict(sheet.options).get("recipe", "Gangway Clear") for sheet in sheets),
    }:
        keys = {line.key for line in gk.cautions_for(demo_recipe(name), moment="weighing")}
        assert not keys & {"toxic", "sensitising"}, name


def test_what_lesson_4_breaks_stops_gum_burns_and_iron_gains(tmp_path: Path) -> None:
    scales = open_page("04", tmp_path).panel("oxide scales")
    (dug,) = [name for label, name in scales.material.options if "dug" in label]
    scales.material.value = dug
    assert "declared unknown" in scales.said
    assert STOCK.find("gum").loi_wt_pct_raw == 100 and STOCK.find("black iron oxide").loi_wt_pct_raw < 0


def test_two_carbonates_hold_one_to_two_and_the_scales_begin_with_them(tmp_path: Path) -> None:
    assert mole_g("strontium carbonate") / mole_g("lithium carbonate") == pytest.approx(2, abs=0.01)
    (call,) = [call for call in calls("04_what_the_kiln_leaves") if dict(call.options).get("beside")]
    scales = open_page("04", tmp_path).panel(call.what, **{key: value for key, value in call.options if key != "after"})
    weighed = dict(call.options)
    said = [spoken("lesson_04.panel.oxide_scales.of", line) for line in scales.said.splitlines()]
    on_the_pans = [f"{weighed['mass_g']:.2f} g {material}" for material in (weighed["material"], weighed["beside"])]
    assert [f"{one['mass']} {one['material']}" for one in said if one] == on_the_pans


def test_what_lesson_5_breaks_has_no_flux(tmp_path: Path) -> None:
    bench = open_page("05", tmp_path).panel("unity bench")
    for name, slider in bench.glaze.sliders.items():
        slider.value = slider.value if name in ("kaolin", "quartz") else "0"
    assert "no flux" in bench.said


def test_what_6f_expects_stands_on_the_page_before_and_the_chart_says_it_too(tmp_path: Path) -> None:
    """More silica at the same heat: stiffer, milky, not melted; quartz pushed as far as it goes, as the page asks."""
    name = "06_silica_and_alumina_chart"
    ids = [cell["id"] for cell in cells(name)]
    assert ids.index("panel-chart-map-after-6b") < ids.index("more-silica-same-heat") < ids.index("predict-6f")
    expected = next(answer.text for answer in prediction("6f").answers if answer.id == prediction("6f").expected)
    words = set(re.findall("stiffer|milky|melted", expected))
    assert len(words) == 3 and words <= set(re.findall(r"\w+", block(name, "more-silica-same-heat")))
    chart = open_page("06", tmp_path).panel("chart map")
    slider = chart.glaze.sliders["quartz"]
    slider.value = f"{slider.high:g}"
    said = spoken("lesson_06.panel.chart_map.more_silica", chart.said)
    assert said and words <= set(re.findall(r"\w+", chart.said))


def test_what_lesson_6_breaks_gets_a_plain_no_and_then_no_place(tmp_path: Path) -> None:
    handrail = gk.unity_formula(demo_recipe("Handrail Clear"))
    assert {applies_to_yours(handrail, "6", study.name).word for study in studies()} == {"no"}
    chart = open_page("06", tmp_path).panel("chart map", recipe="Handrail Clear")
    for name, slider in chart.glaze.sliders.items():
        slider.value = slider.value if name in ("whiting", "quartz") else "0"
    assert spoken("lesson_06.panel.chart_map.no_alumina", chart.said)


def test_what_lesson_8_breaks_cannot_be_met_by_a_tenth_of_alumina() -> None:
    told = block("08_formula_to_recipe", "break-it")
    wish = {"K2O": "potash", "CaO": "lime", "Al2O3": "alumina", "SiO2": "silica"}
    target = {oxide: float(re.search(rf"{word} ([\d.]*\d)", told)[1]) for oxide, word in wish.items()}  # type: ignore[index]
    found = formulate(target, ["potash feldspar", "whiting", "kaolin", "quartz"])
    assert not found.feasible and target["K2O"] - target["Al2O3"] == pytest.approx(0.10)
