"""Second chance: what to add, or how much water is in it; figures reckoned by hand."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

import pytest

from glazekit.folder.shelf import save_recipe
from glazekit.lab.page import Page
from glazekit.lab.panels.second_chance import POWDER, WATER, SecondChance
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe


@pytest.fixture
def desk(reopen: Callable[[str], Page]) -> SecondChance:
    return reopen("03").panel("second chance")  # type: ignore[return-value]


def test_a_forgotten_powder_when_nothing_has_been_dipped(desk: SecondChance) -> None:
    desk.slip.value, desk.forgotten.value = POWDER, "kaolin"
    assert "13 g" in desk.said and "kaolin" in desk.said


def test_a_forgotten_powder_when_some_is_used_up(desk: SecondChance) -> None:
    """100 mL at 148 g hold 78 g dry; 58 mL hold 45.24 g of the 87 g that went in, so 0.52 x 13 g = 6.8 g."""
    desk.forgotten.value = "kaolin"
    desk.left_ml.value = "58"
    assert "6.8 g" in desk.said and "kaolin" in desk.said and "52 %" in desk.said


def test_water_nobody_wrote_down(desk: SecondChance) -> None:
    """148 g in 100 mL are 78 g dry and 70 g water: 89.7 mL per 100 g, 179 mL for a 200 g batch."""
    desk.base.value = "200"
    desk.slip.value = WATER
    assert "90 mL" in desk.said and "179 mL" in desk.said


def test_an_odd_weighing_is_one_sentence(desk: SecondChance) -> None:
    desk.slip.value = WATER
    desk.sample_g.value = "90"
    assert desk.said and "\n" not in desk.said and "179" not in desk.said


def test_the_choice_of_powders_follows_the_recipe(desk: SecondChance) -> None:
    desk.recipe.value = "Overboard"
    assert "zinc oxide" in dict(desk.forgotten.options) and "red iron oxide" in dict(desk.forgotten.options)


def test_lead_that_was_forgotten_is_told_before_it_is_stirred_in(reopen: Callable[[str], Page]) -> None:
    page = reopen("03")
    lead = Recipe("Old Red", {"red lead": 60, "quartz": 40}, {"manganese dioxide": 2}, "parts")
    save_recipe(page.folder, lead)
    desk = page.panel("second chance", recipe="Old Red")
    desk.forgotten.value = "red lead"  # type: ignore[attr-defined]
    stops = [one for one in cautions_for(lead, moment="mixing") if one.level == "stop"]
    assert [one.materials for one in stops] == [("red lead",)] and escape(stops[0].text) in desk.caution.value


def test_a_file_that_cannot_be_read_is_named(reopen: Callable[[str], Page]) -> None:
    page = reopen("03")
    (page.folder / "my-recipes").mkdir(exist_ok=True)
    (page.folder / "my-recipes" / "broken.csv").write_text("material,amount\nquartz,-3\n", encoding="utf-8")
    for name in ("second chance", "syringe check", "batch bench", "recipe bench"):
        panel = page.panel(name)
        assert "broken.csv" in panel.caution.value and "-3" in panel.caution.value, name
