"""Sheets are found: one file and its words make a new one, for print boxes too."""

from __future__ import annotations

from pathlib import Path

import pytest
from wording import text_of

import glazekit.sheets
from glazekit.ground.errors import GlazekitError
from glazekit.lab import open_page
from glazekit.sheets.catalogue import sheet_named, sheets
from glazekit.words.texts import Words, panel_words

AT_HAND = {"batch", "dry_g", "label", "lesson", "schedule", "stock", "who", "date"}
"""What a print box can give besides recipes."""
TOY = """
from glazekit.drawing.markup import el
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import page

@printed_as("shopping list", ("recipe", "Late Boat"))
def shopping_list_html(recipe: Recipe, *, who: str = "", unknown: str = "kept") -> str:
    return page("Shopping", el("h1", f"{recipe.name} for {who}, {unknown}"))
"""


@pytest.mark.parametrize("name", sheets())
def test_every_sheet_has_its_words_and_asks_for_what_can_be_had(name: str) -> None:
    sheet = sheets()[name]
    assert text_of(f"lesson_00.panel.print_box.what.{sheet.key}")
    asked = {key for key, _ in sheet.recipes}
    assert (sheet.needs_batch or asked <= set(sheet.needs)) and all(text_of(f"lesson_00.panel.print_box.{key}") for key in asked)
    needed = {need for need, optional in sheet.needs.items() if not optional}
    assert needed <= AT_HAND | asked, "a print box can make it"


def test_every_file_that_makes_a_page_is_in_the_catalogue() -> None:
    room = Path(glazekit.sheets.__file__).parent
    makers = {path.stem for path in room.glob("*.py") if "_html(" in path.read_text(encoding="utf-8")}
    assert {sheet.make.__module__.rpartition(".")[2] for sheet in sheets().values()} == makers


def test_a_misspelt_sheet_gets_the_nearest() -> None:
    with pytest.raises(GlazekitError) as caught:
        sheet_named("labelstrip")
    assert caught.value.hint == "label strip"


def test_a_sheet_takes_what_it_needs_and_leaves_the_rest() -> None:
    at_hand = dict.fromkeys(AT_HAND, "") | {"who": "Wren", "recipe": None}
    assert "Wren" in sheet_named("tile card").html(at_hand) and "Wren" not in sheet_named("step card").html(at_hand)


@pytest.mark.parametrize("name", ["firing sheet", "shelf plan"])
def test_what_only_the_kiln_room_knows_stays_to_be_written(name: str, tmp_path: Path) -> None:
    """Today is no firing day, and who prints is no kiln team."""
    desk = open_page("10", tmp_path)
    desk.settings().nickname.value = "Wren"
    assert desk.print_sheet(name).html() == sheet_named(name).make()


def test_a_new_sheet_is_one_file_and_its_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "toy_list.py").write_text(TOY, encoding="utf-8")
    monkeypatch.setattr(glazekit.sheets, "__path__", [*glazekit.sheets.__path__, str(tmp_path)])
    sheets.cache_clear()
    try:
        desk = open_page("05", tmp_path / "mine")
        toy_words = Words({**panel_words("00", "print box").texts, "what": {"shopping_list": "What to buy."}}, "")
        with_toy = {"print box": toy_words}
        monkeypatch.setattr("glazekit.lab.panel.panel_words", lambda home, name: with_toy.get(name) or panel_words(home, name))
        desk.settings().nickname.value = "Wren"
        box = desk.print_sheet("shopping list")
        assert "Late Boat" in box.html() and "Wren, kept" in box.html()
    finally:
        monkeypatch.undo()
        sheets.cache_clear()
    assert "shopping list" not in sheets()
