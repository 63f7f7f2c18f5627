"""Every lesson says where its numbers come from: the tables it really reads, their sources, and how far they can be trusted."""

from __future__ import annotations

import gc
from functools import _lru_cache_wrapper
from html.parser import HTMLParser
from pathlib import Path

import pytest
from lesson_pages import LESSONS, calls, cells
from wording import text_of

from glazekit.ground import tables
from glazekit.ground.tables import cite, origins
from glazekit.lab import open_page
from glazekit.words.texts import lesson_text

BEHIND_EVERYTHING = {
    *("atomic_weights", "materials", "materials.density", "analyses", "synonyms", "oxides", "units"),
    *("recipes", "recipe_facts"),
}
"""Read before any panel shows anything, or as modules are imported; lessons that show their numbers name them all the same."""


class Page(HTMLParser):
    """The elements of a piece of markup by tag, each with its text."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self.open: list[tuple[str, list[str]]] = []
        self.feed(markup)

    def handle_starttag(self, tag: str, _: object) -> None:
        self.open.append((tag, []))

    def handle_data(self, data: str) -> None:
        for _, texts in self.open:
            texts.append(data)

    def handle_endtag(self, tag: str) -> None:
        name, texts = self.open.pop()
        assert name == tag
        self.found.append((tag, "".join(texts)))

    def texts(self, tag: str) -> list[str]:
        return [text for name, text in self.found if name == tag]


def tables_read(name: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """The tables that are read while everything on a page is opened and every sheet is made."""
    read: set[str] = set()
    look = tables.sidecar

    def noting(table: str) -> object:
        read.add(table)
        return look(table)

    for found in gc.get_objects():
        if isinstance(found, _lru_cache_wrapper):
            found.cache_clear()
    monkeypatch.setattr(tables, "sidecar", noting)
    page = open_page(name[:2], folder)
    for call in calls(name):
        options = {key: value for key, value in call.options if key != "after"}
        if call.name == "sources":
            continue  # it reads what it names
        panel = getattr(page, call.name)(*([call.what] if call.what else []), **options)
        if call.name == "print_sheet":
            panel.make()
        if call.what == "firing sketch":
            panel.power.value = "8"
        movable = getattr(getattr(panel, "glaze", None), "choice", None)
        for glaze in [one if isinstance(one, str) else one[1] for one in movable.options] if movable else ():
            movable.value = glaze
            for _, contours in panel.contours.options if call.what == "chart map" else ():
                panel.contours.value = contours
    monkeypatch.undo()
    return read


@pytest.mark.parametrize("name", LESSONS)
def test_the_tables_named_are_those_the_lesson_reads(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    named = lesson_text(name[:2])["tables"]
    assert named and len(set(named)) == len(named), "each table is named once, and there is one at least"
    read = tables_read(name, tmp_path, monkeypatch)
    assert set(named) - BEHIND_EVERYTHING <= read, "named, and no panel or sheet of the page reads it"
    assert {table for table in read if origins(table)} - BEHIND_EVERYTHING <= set(named), "read on the page and not named"


@pytest.mark.parametrize("name", LESSONS)
def test_each_source_is_cited_once_with_its_tables_and_its_trust(name: str, tmp_path: Path) -> None:
    page = Page(open_page(name[:2], tmp_path).sources().list.value)
    wanted: dict[str, list[tuple[str, str]]] = {}
    for table in lesson_text(name[:2])["tables"]:
        for source, status in origins(table):
            wanted.setdefault(source, []).append((tables.sidecar(table.partition(".")[0])["title"], status))
    items = page.texts("li")
    assert page.texts("summary") == [text_of("lesson_00.panel.sources.title")] and len(items) == len(wanted)
    for item, (source, parts) in zip(items, wanted.items(), strict=True):
        assert cite(source) in item
        for title, status in parts:
            assert title in item and text_of(f"parts.statuses.{status}") in item.rpartition("(")[2]


@pytest.mark.parametrize("name", LESSONS)
def test_it_stands_at_the_end_and_is_folded(name: str, tmp_path: Path) -> None:
    (call,) = [call for call in calls(name) if call.name == "sources"]
    assert call.place == len(cells(name)) - 2, "right before the way on, after everything else"
    assert open_page(name[:2], tmp_path).sources().list.value.startswith("<details><summary>"), "no open attribute"
