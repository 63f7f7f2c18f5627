"""Reads which words the code asks for, so that tests can hold them against the words there are."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

import glazekit
from glazekit.folder.kinds import APPLICATIONS, LOOKS, MOMENTS
from glazekit.glass.domain import SEEN
from glazekit.ground.estimate import RUN_CLASSES
from glazekit.ground.tables import STATUSES
from glazekit.kiln.firing import ATMOSPHERES, CONE_STATES, FUELS
from glazekit.words.texts import load, text_folder

PACKAGE = Path(glazekit.__file__).parent
LAB = tuple(sorted((PACKAGE / "lab").rglob("*.py")))
PARTS = tuple(path for path in LAB if path.parent.name == "parts")
PANELS = tuple(path for path in LAB if path.parent.name == "panels")
FOLDER = tuple(sorted((PACKAGE / "folder").glob("*.py")))
SHEETS = tuple(sorted((PACKAGE / "sheets").rglob("*.py")))
SAY_FOR_OTHERS = {"parts", "frame"}
"""Sheets are made with these, and hand them their keys."""
FOR_ALL = tuple(path for path in SHEETS if path.stem in SAY_FOR_OTHERS)
LESSON_TEXTS = sorted(text_folder().glob("lesson_*.toml"))
NAMED_BY_THE_CORE = {
    *chain(FUELS, ATMOSPHERES, CONE_STATES, SEEN, STATUSES, APPLICATIONS, MOMENTS, *LOOKS.values()),
    *(f"class_{name.replace(' ', '_')}" for name in RUN_CLASSES),
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
    constants: set[str] = set()
    patterns: list[re.Pattern[str]] = []
    for path in paths:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                constants.add(node.value)
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "fields":  # names of fields are keys of their labels
                constants |= {word.arg for word in node.keywords if word.arg}
            if isinstance(node, ast.JoinedStr):
                pieces = [re.escape(one.value) if isinstance(one, ast.Constant) else "[^.]+" for one in node.values]
                if len("".join(pieces).replace("[^.]+", "")) > 3:
                    patterns.append(re.compile(re.sub(r"^\[\^\.\]", ".", "".join(pieces))))
    return constants, patterns


def is_spelled(key: str, by: tuple[set[str], list[re.Pattern[str]]]) -> bool:
    return key in by[0] or any(pattern.fullmatch(key) for pattern in by[1])


@cache
def asked(path: Path, speaker: str = "words") -> set[str]:
    """The keys that a file asks ``words`` for, as they are spelled: its own; or those of ``panel.words``, or of a ``frame``."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            called = ast.unparse(node.func).removeprefix("self.")
            if called == speaker or (speaker == "frame" and called.endswith(".frame")):
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
                yield f"lesson_{fields['home']}.panel.{key}", path, load(f"lesson_{fields['home']}").get("panel", {}).get(key, {})


def missing_and_unused(path: Path, texts: Mapping[str, Any]) -> tuple[set[str], set[str]]:
    """Keys that a panel asks for and does not have, and those that it has and neither it nor its parts or sheets ask for."""
    speaking = (path, *parts_of(path), *(SHEETS if "glazekit.sheets.catalogue" in path.read_text(encoding="utf-8") else ()))
    spelled = spelled_out(speaking)
    return asked(path) - set(texts), {key for key in texts if not is_spelled(key, spelled)} - NAMED_BY_THE_CORE


def leaves(found: Any, path: str = "") -> Iterator[str]:
    """The dotted key of every text or list of texts; what stands in the tables of a list counts as standing beside the list."""
    if isinstance(found, dict):
        for key, inner in found.items():
            yield from leaves(inner, f"{path}.{key}" if path else key)
        return
    yield path
    for table in found if isinstance(found, list) else ():
        if isinstance(table, dict):
            yield from leaves(table, path.rpartition(".")[0])


@cache
def tables_said(path: Path) -> list[re.Pattern[str]]:
    """The tables whose words a file of the sheets says, put together ones as patterns."""
    found = []
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "Say":
            (table,) = node.args
            pieces = table.values if isinstance(table, ast.JoinedStr) else [table]
            found.append(re.compile("".join(re.escape(one.value) if isinstance(one, ast.Constant) else ".+" for one in pieces)))
    return found


def papers_of(files: Sequence[Path]) -> dict[str, dict[str, Any]]:
    """The words of the card and of the home page of lessons."""
    return {file.stem: {name: load(file.stem).get(name, {}) for name in ("studio", "home")} for file in files}


def unused_on_paper(written: set[str]) -> set[str]:
    """Those of these texts that no sheet says, by their dotted keys."""
    with_all_in_it = {key for path in SHEETS for key in asked(path)}
    unused = set()
    for leaf in written:
        steps = leaf.split(".")
        ways = [(".".join(steps[:cut]), ".".join(steps[cut:])) for cut in range(1, len(steps))]
        saying = {path: key for table, key in ways for path in SHEETS if any(one.fullmatch(table) for one in tables_said(path))}
        there = SHEETS if {path.stem for path in saying} & SAY_FOR_OTHERS else (*saying, *FOR_ALL)
        spelled = spelled_out(there)
        is_asked = any(leaf == key or leaf.startswith(f"{key}.") for key in with_all_in_it) or is_spelled(leaf, spelled)
        heads = {f"{leaf[:-1]}_word", f"{leaf[:-1]}_title"} if leaf.endswith("s") else set()  # a word before its list: f"{name}s"
        if not is_asked and not heads & written and not any(is_spelled(key, spelled) for key in saying.values()):
            unused.add(leaf)
    return unused
