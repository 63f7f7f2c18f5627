"""Words and code fit, both ways: no text is asked for and missing, none lies unused; in panels, in shared parts, on sheets."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from words_in_code import (
    FOLDER,
    LAB,
    LESSON_TEXTS,
    NAMED_BY_THE_CORE,
    PANELS,
    PARTS,
    SHEETS,
    asked,
    is_spelled,
    leaves,
    missing_and_unused,
    panel_tables,
    papers_of,
    parts_of,
    spelled_out,
    tables_read,
    tree,
    unused_on_paper,
)

from glazekit.sheets.frame import words
from glazekit.words.texts import load

TABLES = list(panel_tables())


def test_every_panel_of_the_texts_is_one() -> None:
    written = {f"{file.stem}.panel.{name}" for file in LESSON_TEXTS for name in load(file.stem).get("panel", {})}
    assert written == {where for where, _, _ in TABLES}


@pytest.mark.parametrize(("where", "path", "texts"), TABLES, ids=[where for where, _, _ in TABLES])
def test_a_panel_has_the_words_it_asks_for_and_no_others(where: str, path: Path, texts: Mapping[str, Any]) -> None:
    assert missing_and_unused(path, texts) == (set(), set()), where


@pytest.mark.parametrize("path", PARTS, ids=lambda path: path.stem)
def test_a_part_asks_only_for_words_that_its_panels_have(path: Path) -> None:
    keys = asked(path, "panel.words") | (set() if tables_read(path) else asked(path))
    having = [texts for _, panel, texts in TABLES if path in parts_of(panel)]
    assert {key for key in keys if not any(key in texts for texts in having)} == set(), "no panel that takes it in has them"


def test_every_shared_part_has_its_words_and_no_others() -> None:
    readers: dict[str, list[Path]] = {}
    for path in (*LAB, *FOLDER):
        for table in tables_read(path):
            readers.setdefault(table, []).append(path)
    assert readers.keys() == load("parts").keys()
    for path in (path for paths in readers.values() for path in paths if path not in PANELS):  # a panel has its own words too
        there = {key for table in tables_read(path) for key in load("parts")[table]}
        assert asked(path) - there == set(), f"missing in {tables_read(path)} of the parts"
    assert {key for path in LAB for key in asked(path, "frame")} <= load("parts")["frame"].keys()
    for path in (*LAB, *FOLDER):
        for table, key in re.findall(r'part_words\("([a-z_]+)"\)\("([a-z_0-9]+)"', path.read_text(encoding="utf-8")):
            assert key in load("parts")[table], f"{path.stem} asks [{table}] of the parts for {key}"
    for table, paths in readers.items():
        texts = load("parts")[table]
        spelled = spelled_out(LAB if table == "frame" else tuple(paths))
        assert {key for key in texts if not is_spelled(key, spelled)} - NAMED_BY_THE_CORE == set(), f"unused in [{table}]"


def sayings(path: Path) -> Iterator[tuple[str, str]]:
    """Table and key of every text that a file of the sheets asks for with both spelled out."""
    named = {}
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Assign):
            names, values = (one.elts if isinstance(one, ast.Tuple) else [one] for one in (node.targets[0], node.value))
            named |= {ast.unparse(name): ast.unparse(value) for name, value in zip(names, values, strict=False)}
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            speaker = ast.unparse(node.func).removesuffix(".all")
            spoken = re.fullmatch(r"Say\('([a-z_]+)'\)", named.get(speaker, speaker))
            if spoken:
                yield spoken[1], node.args[0].value


def test_the_sheets_have_the_words_they_ask_for() -> None:
    checked = [words(f"{table}.{key}") for path in SHEETS for table, key in sayings(path)]  # an error for one that is missing
    checked += [words(key) for path in SHEETS for key in asked(path)]
    assert len(checked) > 150


def test_no_word_of_the_sheets_lies_unused() -> None:
    assert unused_on_paper(set(leaves({**load("sheets"), **papers_of(LESSON_TEXTS)}))) == set()


def test_the_check_of_the_words_finds_what_is_unused_and_what_is_missing(tmp_path: Path) -> None:
    panel = tmp_path / "panel.py"
    panel.write_text('self.words("there"); self.words(f"count_{way}"); words("missing")\nother = "named"', encoding="utf-8")
    texts = {"there": "", "count_in": "", "named": "", "unused": ""}
    assert asked(panel) - set(texts) == {"missing"}
    assert [key for key in texts if not is_spelled(key, spelled_out((panel,)))] == ["unused"]
