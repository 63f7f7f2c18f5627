"""A fired tile goes into the book from a bench: nothing by halves, nothing twice, and another look is a result alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest

import glazekit as gk
from glazekit.folder.fired import fired_tiles
from glazekit.folder.glaze import glaze_as_used, glaze_from_book
from glazekit.lab.page import Page
from glazekit.lab.panels.fit_gauge import FitGauge
from glazekit.lab.parts.in_book import FATES, TileInBook


@pytest.fixture
def gauge(reopen: Callable[[str], Page]) -> FitGauge:
    return reopen("09").panel("fit gauge")  # type: ignore[return-value]


def fill(note: TileInBook, label: str = "C1", seen: str = "crazed", **more: str) -> None:
    note.label.value, note.body.value, note.seen.value = label, "white", seen
    note.application.value = more.get("application", "pour")
    note.dip_s.value = more.get("dip_s", "")


def test_a_new_tile_is_a_batch_a_tile_and_a_result(gauge: FitGauge) -> None:
    gauge.glaze.sliders["quartz"].value = "9,5"
    fill(gauge.note)
    gauge.do(gauge.note.write)
    book = gauge.desk.book
    (batch,), (tile,), (result,) = (book.entries(kind) for kind in ("batch", "tile", "result"))
    recipe, _ = glaze_from_book(batch.data)
    assert {line.material: line.amount for line in recipe.base}["quartz"] == 9.5, "as it lies, not as its card says"
    assert (tile.data["label"], tile.data["body"], tile.data["batch"]) == ("C1", "white", batch.id)
    assert result.data == {"tile": tile.id, "fate": "crazed", "looked": "day_1"}
    assert "C1" in gauge.said and "crazed" in gauge.said


@pytest.mark.parametrize("missing", ["label", "body", "seen"])
def test_with_something_missing_nothing_is_written(gauge: FitGauge, missing: str) -> None:
    fill(gauge.note)
    getattr(gauge.note, missing).value = ""
    gauge.do(gauge.note.write)
    assert gauge.note.words(missing) in gauge.said and "say" in gauge.said
    assert not any(gauge.desk.book.entries(kind) for kind in ("batch", "tile", "result"))


def test_a_dip_needs_its_seconds(gauge: FitGauge) -> None:
    for typed in ("", "long", "0"):
        fill(gauge.note, application="dip", dip_s=typed)
        gauge.do(gauge.note.write)
        assert not any(gauge.desk.book.entries(kind) for kind in ("batch", "tile", "result")), typed
    fill(gauge.note, application="dip", dip_s="3,5")
    gauge.do(gauge.note.write)
    assert gauge.desk.book.entries("tile")[0].data["dip_s"] == 3.5


def test_another_look_adds_a_result_and_no_tile(gauge: FitGauge) -> None:
    fill(gauge.note, seen="whole")
    gauge.do(gauge.note.write)
    (tile,) = gauge.desk.book.entries("tile")
    gauge.note.which.value = tile.id
    gauge.note.seen.value, gauge.note.when.value = "crazed", "month_1"
    gauge.do(gauge.note.write)
    book = gauge.desk.book
    assert len(book.entries("tile")) == len(book.entries("batch")) == 1
    assert [entry.data["fate"] for entry in book.entries("result")] == ["whole", "crazed"]
    (fired,), _ = fired_tiles(book)
    assert (fired.looks, fired.result["looked"]) == ({"fate": "crazed"}, "month_1"), "the last look counts: delayed crazing"


def test_a_batch_of_the_book_keeps_its_analyses(gauge: FitGauge) -> None:
    batch = gauge.desk.book.add("batch", **glaze_as_used(gk.demo_recipe("Gangway Clear")), base_g=100)
    gauge.refresh()
    fill(gauge.note, "G1", "whole")
    gauge.note.glaze.value = batch.id
    gauge.do(gauge.note.write)
    (tile,) = gauge.desk.book.entries("tile")
    assert tile.data["batch"] == batch.id and len(gauge.desk.book.entries("batch")) == 1
    assert fired_tiles(gauge.desk.book)[0][0].recipe.name == "Gangway Clear"


def test_two_clicks_are_not_two_tiles(gauge: FitGauge) -> None:
    fill(gauge.note)
    gauge.do(gauge.note.write)
    gauge.do(gauge.note.write)
    assert len(gauge.desk.book.entries("tile")) == 1, "the boxes are empty after the first"


def test_words_for_every_fate_and_a_place_for_each(gauge: FitGauge) -> None:
    assert [value for _, value in gauge.note.seen.options] == ["", *FATES]
    assert "gk-hide" not in gauge.note.of_a_new_tile._dom_classes
    fill(gauge.note)
    gauge.do(gauge.note.write)
    gauge.note.which.value = gauge.desk.book.entries("tile")[0].id
    assert "gk-hide" in gauge.note.of_a_new_tile._dom_classes
