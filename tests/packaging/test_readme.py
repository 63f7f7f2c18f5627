"""What the README promises: its commands exist, its recipe gives a sheet, its numbers are the package's."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

import glazekit as gk
from glazekit.cli import main
from glazekit.glass.properties import properties
from glazekit.ground.tables import read_table

REPOSITORY = Path(__file__).parents[2]
README = (REPOSITORY / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w*)\n(.*?)```", README, flags=re.DOTALL)


def test_there_is_one_command_to_start_and_one_to_test() -> None:
    commands = [line for line in README.splitlines() if line.startswith("python3 -m venv")]
    assert len(commands) == 2
    assert commands[0].endswith(".venv/bin/glazekit start")
    assert '".[test]"' in commands[1] and ".venv/bin/python -m pytest" in commands[1]


def test_each_command_has_its_windows_line() -> None:
    for unix in (line for line in README.splitlines() if line.startswith("python3 -m venv")):
        windows = unix.replace("python3", "py", 1).replace(".venv/bin/", ".venv\\Scripts\\")
        assert f"`{windows}`" in README


def test_the_everyday_sheets_print(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    (recipe,) = [text for language, text in BLOCKS if not language]
    Path("my-recipe.csv").write_text(recipe, encoding="utf-8")
    everyday = next(text for language, text in BLOCKS if language == "bash" and "doctor" in text)
    commands = [shlex.split(line, comments=True)[1:] for line in everyday.splitlines()]
    assert [words[0] for words in commands] == ["start", "sheet", "sheet", "doctor"]
    for words in commands[1:]:
        assert main(words) == 0, words
    assert capsys.readouterr().err == "" and Path("sheet.html").exists()


def test_the_python_lines_run_and_say_what_they_give() -> None:
    (code,) = [text for language, text in BLOCKS if language == "python"]
    names = {"gk": gk}
    exec(code, names)
    *_, last = code.strip().splitlines()
    expression, said = last.split("# about ")
    assert eval(expression, names) == pytest.approx(float(said), abs=0.05)


def test_the_top_level_holds_what_the_design_names_and_nothing_else() -> None:
    import subprocess

    listed = subprocess.run(["git", "ls-files"], cwd=REPOSITORY, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("not a git clone")
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "notebooks", "glazekit", "data", "tests", "LICENSE"}
    assert {name for name in tops if not name.startswith(".")} == allowed
    assert {name for name in tops if name.startswith(".")} == {".ci", ".gitignore", ".gitattributes", ".github"}


def expected_rows() -> list[tuple[str, int, float, float, int]]:
    """Of every property: heading, publications, mean error, half width, per cent it holds; glaze-like, nothing left out."""
    found = {(row["property"], row["subset"], row["kept"]): row for row in read_table("property_accuracy")}
    rows = [(each.heading, found[each.name, "studio-like", "all"]) for each in properties()]
    return [
        (heading, row["publications"], row["mae"], row["half_width"], round(row["coverage_publications_pct"]))
        for heading, row in rows
    ]


def test_the_estimates_are_as_good_as_the_tables_say() -> None:
    section = README.split("## How good are the estimates")[1].split("\n## ")[0]
    lines = [[cell.strip() for cell in line.strip("|").split("|")] for line in section.splitlines() if line.startswith("|")][2:]
    said = [
        (name.partition(" [")[0], int(publications), float(mae), float(width.strip("±")), int(holds.split()[0]))
        for name, publications, mae, width, holds in lines
    ]
    assert said == expected_rows()
    near = {row["property"]: row for row in read_table("change_accuracy") if (row["subset"], row["from_mol_pct"]) == ("box", 2)}
    section = " ".join(section.split())
    expansion, viscosity = re.findall(r"mean error of the expansion is (\d\.\d+), that of the viscosity (\d\.\d+)", section)[0]
    assert float(expansion) == round(near["expansion"]["mae"], 2) and float(viscosity) == round(near["viscosity"]["mae"], 2)
    assert "sixteen kinds of glass" in section
    assert len({row["subset"] for row in read_table("property_accuracy") if row["property"] == "expansion"}) == 16


def test_what_ci_runs_is_a_list_a_person_can_read() -> None:
    """DEVELOPERS.md tells the steps of .ci/run by the names the script prints, in its order."""
    said = re.findall(r'^say "([^"$:]+)', (REPOSITORY / ".ci" / "run").read_text(encoding="utf-8"), flags=re.MULTILINE)
    developers = (REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = re.findall(r"^\d\. \*\*(.+?)\*\*", developers.split("## What `.ci/run` does")[1].split("\n## ")[0], flags=re.MULTILINE)
    assert told == said[:-1], "the last line the script says is that all is well"
