"""The reference glaze: fired tiles of the book, newest first; with none, a stand-in that says what it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from wording import spoken

from glazekit.folder.glaze import glaze_as_used
from glazekit.lab.controls import html
from glazekit.lab.page import Page
from glazekit.lab.panel import Panel
from glazekit.lab.panels.chart_map import ChartMap
from glazekit.lab.parts.reference_picker import ReferencePicker
from glazekit.recipe.reading import demo_recipe
from glazekit.recipe.recipe import Recipe


class Compare(Panel):
    """A panel with nothing but a reference on it."""

    name = "chart map"
    home = "06"

    def build(self) -> Iterable[Any]:
        self.picker = ReferencePicker(self)
        return (self.picker.widget, html())

    def paint(self) -> None:
        self.tell(f"{self.picker.reference().name} | {self.picker.reference().note}")


def tile_of(page: Page, recipe: Recipe, label: str, seen: str = "", **more: Any) -> str:
    batch = page.book.add("batch", **glaze_as_used(recipe), base_g=100)
    tile = page.book.add("tile", label=label, body="white", application="pour", batch=batch.id, **more)
    if seen:
        page.book.add("result", tile=tile.id, seen=seen)
    return tile.id


def test_with_an_empty_book_a_demo_glaze_stands_in_and_says_so(page: Page) -> None:
    panel = Compare(page).open()
    assert panel.picker.reference().tile is None and panel.picker.reference().recipe == demo_recipe("Gangway Clear")
    assert "stand-in" in panel.said and "no fired tile" in panel.said


def test_fired_tiles_are_offered_newest_first_and_unfired_ones_are_not(page: Page) -> None:
    tile_of(page, demo_recipe("Late Boat"), "old", "dry")
    tile_of(page, demo_recipe("Bollard Matte"), "raw")  # glazed, not fired
    firing = page.book.add("firing", kiln="electric", cone_seen="6", atmosphere="oxidation")
    tile_of(page, demo_recipe("Cracked Lamp"), "new", firing=firing.id)
    page.book.add(
        "result", tile=page.book.add("tile", label="lost", body="white", application="pour", bucket="?").id, seen="matte"
    )
    panel = Compare(page).open()
    texts = [text for text, _ in panel.picker.widget.options]
    assert [text.split(",")[0] for text in texts[:-1]] == ["Cracked Lamp", "Late Boat"] and "stand-in" in texts[-1]
    assert panel.picker.reference().name == "Cracked Lamp, tile new" and panel.picker.reference().note == ""
    assert panel.picker.reference().tile.firing["cone_seen"] == "6"  # type: ignore[union-attr]
    assert "dry" in texts[1] and "nothing written" in texts[0]


def test_the_reference_keeps_the_analyses_it_was_weighed_under(page: Page) -> None:
    tile_of(page, demo_recipe("Gangway Clear"), "A1", "glossy")
    panel = Compare(page).open()
    assert (
        panel.picker.reference().stock.find("kaolin").name == "kaolin" and panel.picker.reference().recipe.name == "Gangway Clear"
    )


def test_a_glaze_without_chemistry_is_no_reference(page: Page) -> None:
    tile_of(page, Recipe("No flux", {"quartz": 50, "kaolin": 50}), "Q", "dry")
    assert Compare(page).open().picker.reference().tile is None


def test_the_choice_is_kept_and_a_new_tile_joins_the_list(reopen: Callable[[str], Page]) -> None:
    first = reopen("06")
    old = tile_of(first, demo_recipe("Late Boat"), "L1", "dry")
    tile_of(first, demo_recipe("Gangway Clear"), "A1", "glossy")
    panel = Compare(first).open()
    panel.picker.widget.value = old
    tile_of(first, demo_recipe("Cracked Lamp"), "C1", "crazed")
    panel.refresh()
    assert panel.picker.reference().recipe.name == "Late Boat" and len(panel.picker.widget.options) == 4
    assert Compare(reopen("06")).open().picker.reference().recipe.name == "Late Boat"


def test_a_panel_with_a_card_offers_it_before_the_stand_in(reopen: Callable[[str], Page]) -> None:
    page = reopen("06")
    chart: ChartMap = page.panel("chart map", contours="viscosity")  # type: ignore[assignment]
    picker = chart.reference
    assert [value for _, value in picker.widget.options] == ["card", "stand-in"]
    assert spoken("parts.reference_picker.card_none_yet", chart.note.value) == {"name": "Gangway Clear"}
    chart.glaze.choice.value = "Late Boat"
    assert spoken("parts.reference_picker.card", picker.reference().name) == {"name": "Late Boat"}
    same = spoken("lesson_06.panel.chart_map.same", chart.said) or {}
    assert same["reference"] == picker.reference().name
    picker.widget.value = "stand-in"
    stiff = spoken("lesson_06.panel.chart_map.times_stiff", chart.said)
    assert stiff and picker.reference().name in chart.said and picker.reference().recipe == demo_recipe("Gangway Clear")
    assert spoken("parts.reference_picker.none_yet", chart.note.value) is not None
    tile_of(page, demo_recipe("Cracked Lamp"), "C1", "crazed")
    chart.refresh()
    assert spoken("parts.reference_picker.not_fired", chart.note.value) is not None and len(picker.widget.options) == 3
