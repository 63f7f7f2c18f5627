"""Words and code fit, both ways: no text is asked for and missing, none lies unused; in panels, in shared parts, on sheets."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

import pytest

import glazekit
from glazekit.folder.kinds import APPLICATIONS, LOOKS, MOMENTS
from glazekit.glass.domain import SEEN
from glazekit.glass.run import CLASSES
from glazekit.ground.tables import STATUSES
from glazekit.kiln.terms import ATMOSPHERES, CONE_STATES, FUELS
from glazekit.sheets.wording import words
from glazekit.words.texts import load, text_folder

PACKAGE = Path(glazekit.__file__).parent
LAB = tuple(sorted((PACKAGE / "lab").rglob("*.py")))
PARTS = tuple(path for path in LAB if path.parent.name == "parts")
PANELS = tuple(path for path in LAB if path.parent.name == "panels")
FOLDER = tuple(sorted((PACKAGE / "folder").glob("*.py")))
SHEETS = tuple(sorted((PACKAGE / "sheets").rglob("*.py")))
LESSON_TEXTS = sorted(text_folder().glob("lesson_*.toml"))
NAMED_BY_THE_CORE = {
    *chain(FUELS, ATMOSPHERES, CONE_STATES, SEEN, STATUSES, APPLICATIONS, MOMENTS, *LOOKS.values()),
    *(f"class_{name.replace(' ', '_')}" for name in CLASSES),
    *("in_band", "not_yet", "under", "over"),
    *("title", "start_before", "start_after"),
}
"""Keys that no file of the lab spells out: tables of the core name them, and the two moments of a prediction, and every panel
has a title."""


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def spelled_out(paths: tuple[Path, ...]) -> tuple[set[str], list[re.Pattern[str]]]:
    """The string constants of these files, and the patterns of the strings that they put together."""
    constants, patterns = set(), []
    for path in paths:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                constants.add(node.value)
            if isinstance(node, ast.JoinedStr):
                pieces = [re.escape(one.value) if isinstance(one, ast.Constant) else "[^.]+" for one in node.values]
                if len("".join(pieces).replace("[^.]+", "")) > 3:
                    patterns.append(re.compile(re.sub(r"^\[\^\.\]", ".", "".join(pieces))))
    return constants, patterns


def is_spelled(key: str, by: tuple[set[str], list[re.Pattern[str]]]) -> bool:
    return key in by[0] or any(pattern.fullmatch(key) for pattern in by[1])


@cache
def asked(path: Path, speaker: str = "words") -> set[str]:
    """The keys that a file asks its ``words`` for, as they are spelled; or the ``frame`` of its desk."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called == speaker:
                found.add(node.args[0].value)
    return found


def tables_read(path: Path) -> list[str]:
    """The tables of ``parts.toml`` that a file reads by name; none for a part that speaks with the words of its panel."""
    return re.findall(r'part_words\("([a-z_]+)"\)', path.read_text(encoding="utf-8"))


def parts_of(path: Path) -> list[Path]:
    """The parts that a panel or a part takes in, and theirs."""
    named = {
        node.module.rsplit(".", 1)[1]
        for node in ast.walk(tree(path))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("glazekit.lab.parts.")
    }
    direct = [part for part in PARTS if part.stem in named]
    return direct + [deeper for part in direct for deeper in parts_of(part)]


def panel_tables() -> Iterator[tuple[str, Path, Mapping[str, Any]]]:
    """Every panel: where its words stand, its file, its words."""
    for path in PANELS:
        for node in (one for one in tree(path).body if isinstance(one, ast.ClassDef)):
            fields = {
                target.id: line.value.value
                for line in node.body
                if isinstance(line, ast.Assign) and isinstance(line.value, ast.Constant)
                for target in line.targets
                if isinstance(target, ast.Name)
            }
            if "home" in fields and "name" in fields:
                key = fields["name"].replace(" ", "_")
                yield f"lesson_{fields['home']}.panel.{key}", path, load(f"lesson_{fields['home']}")["panel"][key]


TABLES = list(panel_tables())


def test_every_panel_of_the_texts_is_one() -> None:
    written = {f"{file.stem}.panel.{name}" for file in LESSON_TEXTS for name in load(file.stem).get("panel", {})}
    assert written == {where for where, _, _ in TABLES}


@pytest.mark.parametrize(("where", "path", "texts"), TABLES, ids=[where for where, _, _ in TABLES])
def test_a_panel_has_the_words_it_asks_for_and_no_others(where: str, path: Path, texts: Mapping[str, Any]) -> None:
    speaking = (path, *(part for part in parts_of(path) if not tables_read(part)))
    assert asked(path) - set(texts) == set(), f"missing in {where}"
    spelled = spelled_out(speaking)
    assert {key for key in texts if not is_spelled(key, spelled)} - NAMED_BY_THE_CORE == set(), f"unused in {where}"


@pytest.mark.parametrize("path", [part for part in PARTS if not tables_read(part)], ids=lambda path: path.stem)
def test_a_part_asks_only_for_words_that_its_panels_have(path: Path) -> None:
    having = [(where, texts) for where, panel, texts in TABLES if path in parts_of(panel)]
    assert having or not asked(path), f"{path.stem} speaks, and no panel takes it in"
    for key in asked(path):
        assert any(key in texts for _, texts in having), f"{path.stem} asks for {key}: no panel that takes it in has it"


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


def leaves(found: Any, path: str = "") -> Iterator[str]:
    """The dotted key of every text or list of texts; the tables of a list are one leaf with it."""
    if isinstance(found, dict):
        for key, inner in found.items():
            yield from leaves(inner, f"{path}.{key}" if path else key)
    else:
        yield path


def test_the_sheets_have_the_words_they_ask_for() -> None:
    tables = load("sheets").keys()
    constants, _ = spelled_out(SHEETS)
    keys = {text for text in constants if re.fullmatch(r"[a-z_]+(\.[a-z_0-9]+)+", text) and text.partition(".")[0] in tables}
    assert len(keys) > 100
    for key in keys:
        words(key)  # an error with the nearest name where there is none


def test_no_word_of_the_sheets_lies_unused() -> None:
    constants, patterns = spelled_out((*SHEETS, *PANELS))
    dotted = constants, [one for one in patterns if re.fullmatch(r"[a-z_0-9.\\+^[\]]+", one.pattern) and r"\." in one.pattern]
    whole_tables = {key for path in SHEETS for key in asked(path)}  # asked for with all that is in them
    papers = {file.stem: {name: load(file.stem).get(name, {}) for name in ("studio", "home")} for file in LESSON_TEXTS}
    written = [*leaves(load("sheets")), *leaves(papers)]
    unused = {key for key in written if not is_spelled(key, dotted)}
    assert {key for key in unused if not any(key.startswith(f"{table}.") for table in whole_tables)} == set()


def test_the_check_of_the_words_finds_what_is_unused_and_what_is_missing(tmp_path: Path) -> None:
    panel = tmp_path / "panel.py"
    panel.write_text('self.words("there"); self.words(f"count_{way}"); words("missing")\nother = "named"', encoding="utf-8")
    texts = {"there": "", "count_in": "", "named": "", "unused": ""}
    assert asked(panel) - set(texts) == {"missing"}
    assert [key for key in texts if not is_spelled(key, spelled_out((panel,)))] == ["unused"]
