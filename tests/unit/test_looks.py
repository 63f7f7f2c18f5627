"""What was seen on a tile is stored as keys and shown in words; a book that was written in words is read as it was meant."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from wording import text_of

import glazekit as gk
from glazekit.folder.book import Book
from glazekit.folder.fired import FiredTile, fired_tiles, looks_of, say_look
from glazekit.folder.glaze import glaze_as_used
from glazekit.folder.kinds import LOOKS, MOMENTS
from glazekit.ground.errors import BookError


def poured(book: Book) -> str:
    """A tile that waits to be looked at."""
    batch = book.add("batch", **glaze_as_used(gk.demo_recipe("Gangway Clear")), base_g=100)
    return book.add("tile", label="G1", body="white", application="pour", batch=batch.id).id


def only(book: Book) -> FiredTile:
    (tile,), _ = fired_tiles(book)
    return tile


def test_a_line_of_an_old_book_still_says_what_became_of_the_tile(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    data = {"tile": tile, "seen": "crazed, week 1"}
    line = {"id": "20251101T101010-old1", "kind": "result", "time": "2035-11-01T10:10:10+00:00", "data": data}
    old = tmp_path / "old.jsonl"
    old.write_text(json.dumps(line) + "\n", encoding="utf-8")
    before = old.read_bytes()
    again = Book(tmp_path)
    assert (only(again).looks, only(again).seen) == ({"fate": "crazed"}, "crazed, week 1")
    assert old.read_bytes() == before, "nothing in a book is rewritten"


@pytest.mark.parametrize(
    ("seen", "looks"),
    [
        ("crazed, week 1", {"fate": "crazed"}),
        ("Not crazed after the boil", {"fate": "whole"}),
        ("no cracks, no flakes", {"fate": "whole"}),
        ("no flakes, but crazed", {"fate": "crazed"}),
        ("flaked at the rim", {"fate": "flaked"}),
        ("SHIVERED", {"fate": "flaked"}),
        ("whole, month 1", {"fate": "whole"}),
        ("Matt", {"surface": "matte"}),
        ("satin, two pinholes", {"surface": "satin"}),
        ("shiny, no crazing", {"surface": "gloss", "fate": "whole"}),
        ("glossy, ran 4 mm", {"surface": "gloss"}),
        ("dry", {"surface": "dry"}),
        ("crackled paper stuck to it", {}),
        ("brushing marks", {}),
        ("uncrazed", {"fate": "whole"}),
        ("unsound foot, satiny", {"surface": "satin"}),
        ("drying cracks under it, benefits from more heat", {}),
        ("not only crazed, flaked too", {"fate": "crazed"}),
        ("", {}),
        ("isn't crazed", {"fate": "whole"}),
        ("It isn’t crazed yet", {"fate": "whole"}),
        ("didn't craze", {"fate": "whole"}),
        ("hasn't crazed", {"fate": "whole"}),
        ("can't see any crazing", {"fate": "whole"}),
        ("no sign of crazing", {"fate": "whole"}),
        ("No signs of any cracks, satin", {"surface": "satin", "fate": "whole"}),
        ("free of crazing", {"fate": "whole"}),
        ("free from cracks, glossy", {"surface": "gloss", "fate": "whole"}),
        ("crazing: none", {"fate": "whole"}),
        ("Crazing? No. Flaking - none", {"fate": "whole"}),
        ("no crazing or flaking", {"fate": "whole"}),
        ("neither crazed nor flaked", {"fate": "whole"}),
        ("crazed: no flakes", {"fate": "crazed"}),
        ("no runs but crazed", {"fate": "crazed"}),
        ("not just crazed", {"fate": "crazed"}),
        ("No gloss", {}),
        ("not glossy, matte", {"surface": "matte"}),
        ("isn't shiny or satiny: dry", {"surface": "dry"}),
        ("Not dry", {}),
        ("not whole", {}),
        ("gloss: none, crazed", {"fate": "crazed"}),
    ],
)
def test_words_of_old_are_read_as_keys(seen: str, looks: dict[str, str]) -> None:
    assert looks_of({"tile": "t", "seen": seen}) == looks


def test_where_there_is_a_key_own_words_are_only_words() -> None:
    assert looks_of({"tile": "t", "fate": "whole", "seen": "like a crazed cup I once had, glossy"}) == {"fate": "whole"}


def test_a_key_of_another_version_is_passed_over(tmp_path: Path) -> None:
    assert looks_of({"tile": "t", "fate": "dunted"}) == {}
    assert "dunted" in say_look({"tile": "t", "fate": "dunted"})


def test_every_look_is_a_choice_of_keys_and_has_its_words(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    for look, keys in LOOKS.items():
        for key in keys:
            entry = book.add("result", tile=tile, **{look: key}, looked="month_1")
            assert looks_of(entry.data) == {look: key}
            assert say_look(entry.data) == f"{text_of(f'parts.looks.{key}')}, {text_of('parts.looks.month_1')}"
        with pytest.raises(BookError) as refused:
            book.add("result", tile=tile, **{look: "Crazed, day 1"})
        assert all(key in str(refused.value) for key in keys)
    assert all(text_of(f"parts.looks.{moment}") for moment in MOMENTS)


def test_a_result_says_something(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    with pytest.raises(BookError) as refused:
        book.add("result", tile=tile, run_mm=4)
    assert all(name in str(refused.value) for name in (*LOOKS, "seen"))


def test_a_later_look_at_one_thing_leaves_the_others(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    book.add("result", tile=tile, seen="glossy")
    book.add("result", tile=tile, fate="whole", looked="day_1")
    assert only(book).looks == {"surface": "gloss", "fate": "whole"}
    book.add("result", tile=tile, fate="crazed", looked="month_1")
    assert only(book).looks == {"surface": "gloss", "fate": "crazed"}, "delayed crazing"
    assert only(book).seen == say_look({"fate": "crazed", "looked": "month_1"})


@pytest.mark.parametrize(
    ("written", "fate", "seen"),
    [
        ((("crazed", "day_1"), ("whole", "month_1")), "crazed", {"fate": "crazed", "looked": "day_1"}),
        ((("crazed", "month_1"), ("whole", "day_1")), "crazed", {"fate": "crazed", "looked": "month_1"}),
        ((("crazed", "month_1"), ("crazed", "day_1")), "crazed", {"fate": "crazed", "looked": "day_1"}),
        ((("flaked", "day_1"), ("whole", "week_1")), "flaked", {"fate": "flaked", "looked": "day_1"}),
        ((("whole", "month_1"), ("whole", "day_1")), "whole", {"fate": "whole", "looked": "month_1"}),
    ],
)
def test_a_crack_does_not_heal_whatever_is_written_later(tmp_path: Path, written: tuple, fate: str, seen: dict[str, str]) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    for said, looked in written:
        book.add("result", tile=tile, fate=said, looked=looked)
    assert only(book).looks == {"fate": fate} and only(book).seen == say_look(seen)


def test_the_surface_is_that_of_the_latest_look(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    for surface, looked in (("satin", "week_1"), ("gloss", "day_1")):
        book.add("result", tile=tile, surface=surface, looked=looked)
    assert only(book).looks == {"surface": "satin"}
    book.add("result", tile=tile, surface="matte")
    assert only(book).looks == {"surface": "matte"}, "without a moment it counts as written"


def test_a_crack_that_was_seen_no_one_knows_when_has_the_day_it_was_written(tmp_path: Path) -> None:
    book = Book(tmp_path)
    tile = poured(book)
    crack = book.add("result", tile=tile, fate="crazed")
    book.add("result", tile=tile, surface="gloss", fate="whole", looked="month_1")
    assert f"{crack.when:%Y}" in only(book).seen and text_of("parts.looks.crazed") in only(book).seen


def test_a_crack_that_was_a_mistake_is_corrected(tmp_path: Path) -> None:
    book = Book(tmp_path)
    crack = book.add("result", tile=poured(book), fate="crazed", looked="day_1")
    book.correct(crack.id, fate="whole")
    assert only(book).looks == {"fate": "whole"}
