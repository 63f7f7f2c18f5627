"""One shelf for the page: with the learner's consent every panel counts with their own bags, and says so."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from saying import says
from wording import spoken

from glazekit.chemistry.unity import unity_formula
from glazekit.folder.shelf import save_bag, save_recipe, stock_with_bags
from glazekit.glass.sums import expansion
from glazekit.ground.errors import RecipeError
from glazekit.lab.page import Page, panel_named, panel_names
from glazekit.lab.parts.formula_words import show_mol
from glazekit.materials.material import Material
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe

Reopen = Callable[[str], Page]
KAOLIN = Material(
    "kaolin", "bag", {"SiO2": 50.0, "Al2O3": 36.0, "K2O": 4.0}, loi_wt_pct_raw=10.0, lot="7", analysed_on="2025-11-02"
)
WHITING = Material("whiting", "bag", {"CaO": 50.0, "MgO": 5.0}, loi_wt_pct_raw=45.0, lot="B")
FRIT = Material("shed frit", "bag", {"Na2O": 25.0, "CaO": 10.0, "SiO2": 65.0}, lot="2")
COUNTING = (
    "batch bench",
    "recipe bench",
    "unity bench",
    "gas meter",
    "flux mixer",
    "mole swap",
    "shopping bench",
    "swap bench",
    "chart map",
)
CHEMISTRY = COUNTING[2:]

WHITING_B, KAOLIN_7, SHED_FRIT = "whiting, lot B", "kaolin, lot 7", "shed frit, lot 2"


@pytest.fixture
def bags(tmp_path: Path) -> Path:
    for bag in (KAOLIN, WHITING, FRIT):
        save_bag(tmp_path, bag)
    return tmp_path


@pytest.fixture
def counted(bags: Path, reopen: Reopen) -> Page:
    reopen("08").panel("new bag").everywhere.value = True  # type: ignore[attr-defined]
    return reopen("08")


@pytest.mark.usefixtures("bags")
@pytest.mark.parametrize("name", CHEMISTRY)
def test_without_consent_the_course_counts_as_the_stories_do(name: str, reopen: Reopen) -> None:
    page = reopen("08")
    assert page.panel(name).counted_with.value == "" and page.stock.find("kaolin").kind != "bag"


@pytest.mark.parametrize("name", CHEMISTRY)
def test_with_consent_every_panel_says_which_bags_it_counted(name: str, counted: Page) -> None:
    said = counted.panel(name).counted_with.value
    assert spoken("parts.frame.own_bags", said) and WHITING_B in said


def test_the_gas_meter_reads_the_bag(counted: Page) -> None:
    """13 g of kaolin that loses 10 % lose 1.30 g, 14 g of whiting that loses 45 % lose 6.30 g."""
    meter = counted.panel("gas meter")
    assert "1.30 g" in meter.picture.value and "6.30 g" in meter.said  # type: ignore[attr-defined]
    assert KAOLIN_7 in meter.counted_with.value and WHITING_B in meter.counted_with.value


def test_the_formula_is_that_of_the_bags(counted: Page) -> None:
    """Practice of one number: magnesia comes with this whiting alone, 5 % of its weight."""
    bench = counted.panel("unity bench", recipe="Gangway Clear")
    flux_mol = {
        "CaO": 14 * 0.50 / 56.077 + 25 * 0.17 / 56.077,
        "MgO": 14 * 0.05 / 40.304,
        "alkalis": 26 / 524.44 + 25 * (0.02 / 61.979 + 0.01 / 94.196) + 13 * 0.04 / 94.196,
    }
    formula = unity_formula(demo_recipe("Gangway Clear"), stock=counted.stock)
    assert formula["MgO"] == pytest.approx(flux_mol["MgO"] / sum(flux_mol.values()), abs=1e-3)
    assert show_mol(formula["MgO"]) in bench.formula.value  # type: ignore[attr-defined]


def test_a_powder_only_the_learner_has_can_be_ticked_and_makes_what_the_course_cannot(counted: Page) -> None:
    """Soda 0.5 with little alumina cannot be had from feldspar; the shed's frit brings soda without alumina."""
    shop = counted.panel("shopping bench")
    shop.work_out.value = True  # type: ignore[attr-defined]
    with shop.one_refresh():
        for oxide, text in {"K2O": "", "Na2O": "0.6", "CaO": "0.4", "Al2O3": "0.25", "SiO2": "2.6"}.items():
            shop.wanted[oxide].value = text  # type: ignore[attr-defined]
        shop.powders.value = ["soda feldspar", "wollastonite", "kaolin", "quartz"]  # type: ignore[attr-defined]
    assert says(shop, "cannot")
    shop.powders.value = [*shop.powders.value, "shed frit"]  # type: ignore[attr-defined]
    assert shop.said.startswith("Yes") and "shed frit" in shop.said and SHED_FRIT in shop.counted_with.value


def test_of_several_bags_the_latest_counts(tmp_path: Path) -> None:
    newer = Material("kaolin", "bag", {"SiO2": 47.0, "Al2O3": 38.0}, loi_wt_pct_raw=14.0, lot="A", analysed_on="2025-12-01")
    for bag in (newer, KAOLIN):
        save_bag(tmp_path, bag)
    stock, problems = stock_with_bags(tmp_path)
    assert problems == () and stock.find("china clay").lot == "A" and [one.name for one in stock.materials].count("kaolin") == 3


def test_a_bag_takes_no_caution_away(counted: Page) -> None:
    assert set(Page("08", Path("nowhere")).stock.find("kaolin").cautions) <= set(counted.stock.find("kaolin").cautions)


def test_the_tick_reaches_the_other_panels_of_the_page_at_once_and_can_be_undone(bags: Path, reopen: Reopen) -> None:
    page = reopen("08")
    meter, panel = page.panel("gas meter"), page.panel("new bag")
    before = meter.said
    panel.everywhere.value = True  # type: ignore[attr-defined]
    assert (
        meter.said != before
        and says(meter, "parts.frame.own_bags", meter.counted_with)
        and WHITING_B in meter.counted_with.value
        and says(panel, "counted")
    )
    panel.everywhere.value = False  # type: ignore[attr-defined]
    assert meter.said == before and meter.counted_with.value == "" and says(panel, "counted_no_more")


def test_a_bag_that_is_kept_later_counts_when_the_tick_is_set(reopen: Reopen) -> None:
    page = reopen("08")
    panel = page.panel("new bag")
    panel.everywhere.value = True  # type: ignore[attr-defined]
    assert says(panel, "nothing_to_count")
    panel.boxes.lay(KAOLIN)  # type: ignore[attr-defined]
    panel.keep_bag()  # type: ignore[attr-defined]
    assert page.stock.find("kaolin").lot == "7" and not says(panel, "not_counted")
    panel.everywhere.value = False  # type: ignore[attr-defined]
    panel.keep_bag()  # type: ignore[attr-defined]
    assert says(panel, "not_counted")


def test_the_book_records_the_analysis_that_was_counted(counted: Page) -> None:
    bench = counted.panel("recipe bench", recipe="Gangway Clear")
    bench.write()  # type: ignore[attr-defined]
    (entry,) = counted.book.entries("batch")
    labels = {analysis["label"] for analysis in entry.data["analyses"]}
    assert {WHITING_B, KAOLIN_7, "quartz"} <= labels


def test_the_contours_are_those_of_the_bags(counted: Page) -> None:
    """The bag of kaolin brings potash: more expansion than the course's kaolin, compared with the course's own glaze."""
    chart = counted.panel("chart map", contours="expansion")
    mine = chart.now.estimate.change  # type: ignore[attr-defined]
    assert mine.value == mine.low == mine.high == 0, "both counted with the bags"
    chart.reference.widget.value = "stand-in"  # type: ignore[attr-defined]
    recipe = demo_recipe("Gangway Clear")
    change = expansion(recipe, unity_formula(recipe), stock=counted.stock).change
    assert change is not None and change.value != 0
    assert chart.reference.reference().name in chart.said  # type: ignore[attr-defined]
    assert f"{change.value:+.2f}" in (spoken("lesson_06.panel.chart_map.change", chart.said) or {})["change"]


NEEDS = {
    "exercise box": {"exercise_id": "1.1"},
    "prediction box": {"prediction_id": "1a"},
    "print box": {"sheet": "step card"},
}
"""Options without which a panel is not opened."""
LOOKS_UP = {"batch bench", "fit gauge", "gas meter", "mole swap", "recipe bench", "second chance", "slope tray"}
"""Panels that show the cautions of a recipe as they open."""


def test_every_panel_that_names_a_powder_in_its_cautions_names_the_lead_of_the_learners_own_bag(
    tmp_path: Path, reopen: Reopen
) -> None:
    """Every powder of the course stands in my-bags with 5 % lead oxide; who looks at the course's shelf says nothing of it."""
    powders = {one.name: one for one in course_stock() if one.oxides and sum(one.oxide_wt_pct.values()) <= 100}
    for name, one in powders.items():
        oxides = {oxide: 0.95 * wt_pct for oxide, wt_pct in one.oxides}
        oxides["PbO"] = oxides.get("PbO", 0.0) + 5.0
        save_bag(tmp_path, Material(name, "bag", oxides, loi_wt_pct_raw=0.95 * one.loi_wt_pct_raw))
    reopen("08").panel("new bag").everywhere.value = True  # type: ignore[attr-defined]
    naming = set()
    for name in panel_names():
        if name == "flux mixer":
            with pytest.raises(RecipeError):  # it mixes no lead and stops
                reopen("08").panel(name)
            continue
        said = reopen("08").panel(name, **NEEDS.get(name, {})).caution.value
        if any(powder in said for powder in powders):
            naming.add(name)
            assert "POISON" in said, name
    assert naming >= LOOKS_UP


@pytest.mark.parametrize("name", [name for name in panel_names() if getattr(panel_named(name), "first_recipe", "")])
def test_a_powder_that_only_the_learner_has_stops_no_panel(name: str, counted: Page) -> None:
    save_recipe(counted.folder, Recipe("Shed Clear", {"shed frit": 40, "whiting": 20, "kaolin": 20, "quartz": 20}))
    more = {"out": "shed frit"} if hasattr(panel_named(name), "first_out") else {}
    panel = counted.panel(name, recipe="Shed Clear", **more)
    assert "gk-stale" not in panel.box._dom_classes, panel.said


def test_a_sheet_of_a_powder_that_only_the_learner_has_is_printed(counted: Page) -> None:
    save_recipe(counted.folder, Recipe("Shed Clear", {"shed frit": 40, "whiting": 20, "kaolin": 20, "quartz": 20}))
    box = counted.panel("print box", sheet="batch sheet", recipe="Shed Clear")
    assert "gk-stale" not in box.box._dom_classes and "shed frit" in box.html()  # type: ignore[attr-defined]
