"""The front door: good input gives a sheet, whatever a person can get wrong gives exit code 2 and one helpful line."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
import tomllib
import types
from collections.abc import Callable
from pathlib import Path

import pytest
from wording import text_of

import glazekit as gk
from glazekit.cli import main
from glazekit.sheets.catalogue import sheet_named, sheets
from glazekit.start import doctor

SECONDS = 10  # "within seconds", on a busy two-core machine


def run(*words: object, cwd: Path | None = None, **env: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "glazekit", *map(str, words)]
    return subprocess.run(command, capture_output=True, cwd=cwd, timeout=60, env={**os.environ, **env})


def complaint(done: subprocess.CompletedProcess[bytes]) -> str:
    """The one line on stderr of a user error, after checking that it is one."""
    text = done.stderr.decode("utf-8")
    assert done.returncode == 2, text
    assert done.stdout == b""
    assert text.count("\n") == 1 and text.endswith("\n") and text.startswith("glazekit: "), text
    assert "Traceback" not in text and 20 < len(text) < 500
    return text


def said(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    """In this process: what a command prints."""
    assert main([str(word) for word in words]) == 0
    return capsys.readouterr().out


def refused(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    """In this process: the one line of a user error."""
    try:
        code = main([str(word) for word in words])
    except SystemExit as stop:
        code = stop.code
    out, err = capsys.readouterr()
    assert code == 2 and out == "" and err.count("\n") == 1 and err.startswith("glazekit: "), err
    return err


GOOD = "material;amount\nsoda feldspar;26,5\nwhiting;13,5\nkaolin;10\nquartz;50\n"

BAD_FILES = {
    "empty": (b"", "empty"),
    "blank lines": (b"\n\n \n", ""),
    "one column": (b"material\nquartz\nkaolin\n", "only one column"),
    "negative": (b"material,amount\nquartz,-5\nwhiting,40\n", "-5"),
    "nan": (b"material,amount\nquartz,nan\nwhiting,40\n", "nan"),
    "infinite": (b"material,amount\nquartz,inf\nwhiting,40\n", "inf"),
    "overflow": (b"material,amount\nquartz,1e999\nwhiting,40\n", ""),
    "all zero": (b"material,amount\nquartz,0\nwhiting,0\n", "0"),
    "misspelt material": (b"material,amount\nquarz,50\nwhiting,40\n", "quartz"),
    "misspelt column": (b"materiel,amount\nquartz,50\n", "material"),
    "binary": (bytes(range(256)) * 50, ""),
    "picture": (b"\x89PNG\r\n\x1a\n" + os.urandom(2000), ""),
    "utf-16": ("material,amount\nquartz,60\nwhiting,40\n".encode("utf-16"), "UTF-16"),
    "ragged": (b"material,amount\nquartz,60\nwhiting,40,extra,cells\n", "3"),
    "no material name": (b"material,amount\n,60\nwhiting,40\n", "2"),
    "two headers": (b"material,amount,amount\nquartz,60,1\n", "amount"),
    "thousands": (b'material,amount\nquartz,"1,250"\nwhiting,40\n', "1,250"),
    "additions unclear": (b"part,material,amount\nbase,quartz,50\nbase,whiting,40\naddition,tin oxide,5\n", "--additions"),
    "several": (b"recipe,material,amount\na,quartz,60\na,whiting,40\nb,quartz,1\nb,whiting,1\n", "--recipe"),
    "no flux": (b"material,amount\nquartz,\xff60\n", ""),
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_a_bad_file_gives_code_2_and_one_line_within_seconds(tmp_path: Path, name: str) -> None:
    content, says = BAD_FILES[name]
    path = tmp_path / f"{name}.csv"
    path.write_bytes(content)
    start = time.monotonic()
    line = complaint(run("sheet", path))
    assert time.monotonic() - start < SECONDS
    assert says in line


def test_half_a_million_lines_are_refused_within_seconds(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text("material,amount\n" + "quartz,60\nwhiting,40\n" * 250_000)
    start = time.monotonic()
    complaint(run("sheet", path))
    assert time.monotonic() - start < SECONDS


def test_a_folder_a_missing_file_and_a_misspelt_demo_name(tmp_path: Path) -> None:
    assert "folder" in complaint(run("sheet", tmp_path))
    assert "nowhere.csv" in complaint(run("sheet", tmp_path / "nowhere.csv"))
    assert "Gangway Clear" in complaint(run("sheet", "Gangway Cleer"))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "start | sheet | doctor"),
        (["shet"], "shet"),
        (["sheet"], "RECIPE"),
        (["sheet", "Gangway Clear", "--bas", "5"], "--bas"),
        (["sheet", "Gangway Clear", "--base"], "--base"),
        (["sheet", "Gangway Clear", "--base", "heavy"], "heavy"),
        (["sheet", "Gangway Clear", "--base", "-5g"], "--base: a value is missing, or it begins with a minus sign"),
        (["sheet", "Gangway Clear", "--base=-5g"], "5"),
        (["sheet", "Gangway Clear", "--base", "nan"], "nan"),
        (["sheet", "Gangway Clear", "--base", "1e400"], "1e400"),
        (["sheet", "Gangway Clear", "--base", "5 stone"], "stone"),
        (["sheet", "Gangway Clear", "--base", "0"], "0 g"),
        (["sheet", "Gangway Clear", "--scale", "0"], "division"),
        (["sheet", "Gangway Clear", "--water", "much"], "much"),
        (["sheet", "Gangway Clear", "--water=-1"], "water"),
        (["sheet", "Gangway Clear", "--additions", "grams"], "parts"),
        (["sheet", "Gangway Clear", "--recipe", "x"], "--recipe"),
        (["sheet", "Gangway Clear", "--unknown", "quarz"], "quartz"),
        (["sheet", "Gangway Clear", "--stand-in", "quartz"], "NAME=GENERIC"),
        (["sheet", "Gangway Clear", "--stand-in", "quartz=kaolim"], "kaolin"),
        (["sheet", "Gangway Clear", "--bags", "nowhere.csv"], "nowhere.csv"),
        (["sheet", "Gangway Clear", "--html", "/no/such/folder/x.html"], "cannot be written"),
        (["sheet", "Gangway Clear", "--html", "."], "folder"),
        (["sheet", "Gangway Clear", "--html", "x" * 300 + "/sheet.html"], "File name too long"),
        (["sheet", "Gangway Clear", "--kind", "tile card"], "--html"),
        (["sheet", "Gangway Clear", "--kind", "batch sheet", "--json"], "--html"),
        (["sheet", "Gangway Clear", "--base", "1g", "--scale", "5g"], "finer scale"),
        (["sheet", "Gangway Clear", "--base", "1e-320"], "100000 g"),
        (["sheet", "Gangway Clear", "--base", "1e-300"], "100000 g"),
        (["sheet", "Gangway Clear", "--base", "1e308"], "100000 g"),
        (["sheet", "Gangway Clear", "--peak", "1e308"], "1500"),
        (["sheet", ""], "empty"),
        (["sheet", "a\0b"], ""),
        (["sheet", "~nobody-of-that-name/x.csv"], "home folder"),
        (["sheet", "x" * 5000], "File name too long"),
        (["start", "--port", "0"], "65535"),
        (["start", "--port", "often"], "often"),
        (["start", "--port", "9" * 5000], "65535"),
        (["start", "--lesson", "999"], "no lesson"),
        (["start", "--lesson", "9" * 5000], "no lesson"),
        (["start", "x" * 300], "File name too long"),
        (["start", "/dev/null/x"], "/dev/null"),
        (["start", "~nobody-of-that-name/x"], "home folder"),
    ],
)
def test_a_slip_on_the_command_line_is_one_helpful_line(capsys: pytest.CaptureFixture[str], words: list[str], says: str) -> None:
    assert says in refused(capsys, *words)


@pytest.mark.parametrize("command", ["", "start", "sheet", "doctor"])
def test_help(capsys: pytest.CaptureFixture[str], command: str) -> None:
    with pytest.raises(SystemExit) as stop:
        main([command, "--help"] if command else ["--help"])
    text = capsys.readouterr().out
    assert stop.value.code == 0 and text.startswith(f"usage: glazekit {command}".rstrip())


def test_version_is_the_packages(capsys: pytest.CaptureFixture[str]) -> None:
    from importlib.metadata import version

    with pytest.raises(SystemExit):
        main(["--version"])
    assert capsys.readouterr().out == f"glazekit {version('glazekit')}\n"


# -- what the sheet says ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("recipe", gk.demo_recipes(), ids=lambda recipe: recipe.name)
def test_every_demo_recipe_prints_within_80_columns(capsys: pytest.CaptureFixture[str], recipe: gk.Recipe) -> None:
    text = said(capsys, "sheet", recipe.name)
    assert max(map(len, text.splitlines())) <= 80
    sheet = gk.batch_sheet(recipe)
    for line in sheet.lines:
        assert any(row.startswith(f"[ ] {line.material} ") and f"{line.target_g:.1f}" in row for row in text.splitlines())
    assert f"{sheet.total_g:.1f} g" in text
    assert "leach test" in text and "food safe" not in text.casefold() and "food-safe" not in text.casefold()


@pytest.mark.parametrize("recipe", gk.demo_recipes(), ids=lambda recipe: recipe.name)
def test_an_estimate_never_stands_without_interval_unit_and_status(capsys: pytest.CaptureFixture[str], recipe: gk.Recipe) -> None:
    data = json.loads(said(capsys, "sheet", recipe.name, "--peak", "1222", "--reference", "Gangway Clear", "--json"))
    assert [one["quantity"] for one in data["estimates"]] == ["thermal expansion", "glass transition", f"viscosity at {1222} °C"]
    for one in data["estimates"]:
        assert one["unit"] and one["status"] and one["source"] and one["level"] == 0.9
        if one["value"] is None:
            assert one["low"] is one["high"] is one["change"] is None and not one["in_range"]
            assert "no number" in one["words"] and len(one["note"]) > 20
        else:
            assert one["low"] < one["value"] < one["high"] and f"{one['unit']}, {one['status']}" in one["words"]
            assert one["in_range"] or ("uncertain" in one["words"] and len(one["note"]) > 20)
            change = one["change"]
            assert change["reference"] == "Gangway Clear" and change["low"] <= change["value"] <= change["high"]
    text = said(capsys, "sheet", recipe.name, "--peak", "1222", "--reference", "Gangway Clear")
    assert "tile decides" in text and max(map(len, text.splitlines())) <= 80
    for line in text.splitlines():
        if line.strip().startswith(("thermal expansion:", "glass transition:", "viscosity at 1222 °C:")):
            assert "no number" in line or "(90 %:" in line


def test_without_a_peak_no_viscosity_and_without_a_reference_no_change(capsys: pytest.CaptureFixture[str]) -> None:
    estimates = json.loads(said(capsys, "sheet", "Gangway Clear", "--json"))["estimates"]
    assert [one["quantity"] for one in estimates] == ["thermal expansion", "glass transition"]
    assert all(one["change"] is None for one in estimates)


def test_where_chemistry_stops_there_are_no_estimates(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("sheet", "Gangway Clear", "--unknown", "calcium borosilicate frit")
    assert json.loads(said(capsys, *words, "--json"))["estimates"] == []
    assert "Estimates" not in said(capsys, *words)


def test_a_bad_peak_or_reference_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "peak" in refused(capsys, "sheet", "Gangway Clear", "--peak", "hot")
    assert "1500" in refused(capsys, "sheet", "Gangway Clear", "--peak", "2232")
    assert "1222 °C" in refused(capsys, "sheet", "Gangway Clear", "--peak", "2232F")
    assert "Gangway Clear" in refused(capsys, "sheet", "Gangway Clear", "--reference", "Gangplank Clear")
    several = tmp_path / "two.csv"
    several.write_text("recipe,material,amount\na,quartz,50\na,whiting,50\nb,quartz,60\nb,whiting,40\n", encoding="utf-8")
    told = refused(capsys, "sheet", "Gangway Clear", "--reference", several)
    assert "two.csv" in told and "its own" in told and "--recipe" not in told


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_units_can_be_read_in_any_terminal(encoding: str) -> None:
    done = run("sheet", "Gangway Clear", PYTHONIOENCODING=encoding)
    text = done.stdout.decode(encoding)
    assert done.returncode == 0 and "\\" not in text
    assert ("×10⁻⁶" if encoding == "utf-8" else "x 10^-6") in text


def test_the_html_sheet_prints_the_estimates_with_their_intervals(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "sheet.html"
    said(capsys, "sheet", "Gangway Clear", "--peak", "1222", "--reference", "Cracked Lamp", "--html", page)
    text = page.read_text(encoding="utf-8")
    part = text[text.index("Estimates") :]
    assert part.count("(90 %:") == 6 and part.count("Cracked Lamp") == 3
    assert text_of("sheets.batch.limits.0") in text
    said(capsys, "sheet", "Gangway Clear", "--html", tmp_path / "plain.html")
    assert "Estimates" not in (tmp_path / "plain.html").read_text(encoding="utf-8"), "two sides of paper unless asked"


def test_a_file_with_semicolons_and_decimal_commas(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "klar.csv").write_text(GOOD, encoding="utf-8")
    data = json.loads(said(capsys, "sheet", tmp_path / "klar.csv", "--base", "2,5 kg", "--scale", "1g", "--json"))
    assert {line["material"]: line["target_g"] for line in data["batch"]["lines"]} == {
        "soda feldspar": 663.0,  # 662.5 rounds up; the leftover goes onto quartz, the largest
        "whiting": 338.0,
        "kaolin": 250.0,
        "quartz": 1249.0,
    }
    assert data["batch"]["total_g"] == 2500.0


def test_json_is_one_object_with_the_documented_keys_and_the_packages_own_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(said(capsys, "sheet", "Timetable Satin", "--base", "1kg", "--water", "85", "--json"))
    documented = ["recipe", "batch", "water", "unity_formula", "analysis", "loi_wt_pct_raw", "estimates", "cautions"]
    assert list(data)[: len(documented)] == documented
    recipe = gk.demo_recipe("Timetable Satin")
    assert data["unity_formula"] == dict(gk.unity_formula(recipe).moles)
    assert data["loi_wt_pct_raw"] == gk.analyse(recipe).loi_wt_pct_raw
    sheet = gk.batch_sheet(recipe, 1000)
    assert data["batch"]["total_g"] == sheet.total_g and data["batch"]["warnings"] == list(sheet.warnings)
    assert data["water"]["water_ml"] == pytest.approx(0.85 * sheet.total_g)
    assert any("respirator" in caution["text"] for caution in data["cautions"])


def test_several_recipes_in_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "two.csv"
    path.write_text("recipe,material,amount\nFirst,quartz,60\nFirst,whiting,40\nSecond,quartz,50\nSecond,whiting,50\n")
    assert said(capsys, "sheet", path, "--recipe", "second").startswith("Second\n")
    assert "First" in refused(capsys, "sheet", path, "--recipe", "Frist")


def test_additions_are_asked_for_and_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "satin.csv"
    path.write_text("part,material,amount\nbase,quartz,30\nbase,whiting,20\naddition,tin oxide,5\n")
    tin = {}
    for meaning in ("parts", "percent-of-base"):
        lines = json.loads(said(capsys, "sheet", path, "--additions", meaning, "--json"))["batch"]["lines"]
        tin[meaning] = lines[-1]["target_g"]
    assert tin == {"parts": 10.0, "percent-of-base": 5.0}


def test_a_declared_unknown_material_weighs_and_the_chemistry_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "friend.csv"
    path.write_text("material,amount\nriver mud,60\nwhiting,40\n")
    told = refused(capsys, "sheet", path)
    assert "river mud" in told and all(option in told for option in ("--bags", "--stand-in", "--unknown"))
    text = said(capsys, "sheet", path, "--unknown", "River Mud")
    assert "60.0 g" in text and "declared unknown" in text and "Unity formula" not in text
    data = json.loads(said(capsys, "sheet", path, "--unknown", "river mud", "--json"))
    assert data["unity_formula"] is None and data["analysis"] is None and "river mud" in data["chemistry_stopped"]
    text = said(capsys, "sheet", path, "--stand-in", "river mud=ball clay")
    assert re.search(r"river mud.*ball clay", text) and "Unity formula" in text


def test_a_bags_own_analysis_changes_the_numbers_and_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bags = tmp_path / "bags.csv"
    bags.write_text("material;lot;date;CaO;MgO;LOI\nwhiting;A7;2025-03-01;53,0;2,5;44,0\n")
    plain = json.loads(said(capsys, "sheet", "Gangway Clear", "--json"))
    mine = json.loads(said(capsys, "sheet", "Gangway Clear", "--bags", bags, "--json"))
    assert mine["unity_formula"].get("MgO", 0) > plain["unity_formula"].get("MgO", 0)
    assert "lot A7" in said(capsys, "sheet", "Gangway Clear", "--bags", bags)


def test_bags_that_are_not_in_the_recipe_do_not_go_unsaid(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bags = tmp_path / "bags.csv"
    bags.write_text("material;CaO;LOI\nwhitting;56;44\n")
    told = refused(capsys, "sheet", "Gangway Clear", "--bags", bags)
    assert "'whitting'" in told and "'whiting'" in told
    bags.write_text("material;lot;CaO;LOI\nchalk;B2;56;44\nwhitting;;56;44\n")
    assert "lot B2" in said(capsys, "sheet", "Gangway Clear", "--bags", bags), "a shelf may hold more"


def test_a_recipe_without_flux_still_weighs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "sand.csv"
    path.write_text("material,amount\nquartz,60\nkaolin,40\n")
    text = said(capsys, "sheet", path)
    assert "60.0 g" in text and "no flux" in text


def test_html_goes_into_a_new_file_only(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "sheet.html"
    said(capsys, "sheet", "Gangway Clear", "--html", page)
    text = page.read_text(encoding="utf-8")
    assert text.lstrip().casefold().startswith("<!doctype html") and "Gangway Clear" in text
    assert "never overwritten" in refused(capsys, "sheet", "Timetable Satin", "--html", page)
    assert page.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("folder", ["x" * 300, "x" * 4000, "x/" * 3000])
def test_the_doctor_calls_a_name_no_folder_can_have_missing(folder: str) -> None:
    (found,) = (row for row in doctor.examine(Path(folder)) if row.what == "folder")
    assert found.word == "missing"


@pytest.mark.parametrize("kind", ["label strip", "tile card", "water log", "unity worksheet", "step card", "shelf plan"])
def test_any_sheet_that_a_recipe_is_enough_for_can_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    page = tmp_path / "sheet.html"
    said(capsys, "sheet", "Gangway Clear", "--base", "200g", "--html", page, "--kind", kind)
    batch = gk.batch_sheet(gk.demo_recipe("Gangway Clear"), 200)
    known = {"recipe": batch.recipe, "batch": batch, "dry_g": batch.total_g}
    assert page.read_text(encoding="utf-8") == sheet_named(kind).html(known)


def test_a_sheet_that_needs_more_or_is_none_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "sheet.html"
    offered = refused(capsys, "sheet", "Gangway Clear", "--html", page, "--kind", "nonsense")
    for kind in sheets():
        if kind in offered:
            said(capsys, "sheet", "Gangway Clear", "--html", tmp_path / f"{kind}.html", "--kind", kind)
        else:
            assert kind in refused(capsys, "sheet", "Gangway Clear", "--html", page, "--kind", kind)
    assert not page.exists() and {"home page", "studio card", "swap sheet"}.isdisjoint(
        name for name in sheets() if name in offered
    )
    assert "'label strip'" in refused(capsys, "sheet", "Gangway Clear", "--html", page, "--kind", "label stripe")


def test_without_a_home_folder_the_folder_has_to_be_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def homeless(_: Path) -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "expanduser", homeless)
    for command in ("start", "doctor"):
        assert "home" in refused(capsys, command)


def test_a_folder_that_must_not_be_looked_into_is_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def forbidden(step: str) -> Callable[..., object]:
        real = getattr(Path, step)

        def look(self: Path, *more: object, **named: object) -> object:
            if "closed" in self.parts:
                raise PermissionError(13, "Permission denied", str(self))
            return real(self, *more, **named)

        return look

    for step in ("exists", "is_file", "stat"):
        monkeypatch.setattr(Path, step, forbidden(step))
    for command in (["start", "closed/x"], ["sheet", "closed/x.csv"]):
        assert "Permission denied" in refused(capsys, *command)
    (folder,) = (row for row in doctor.examine(Path("closed/x")) if row.what == "folder")
    assert folder.word == "missing" and "closed" in folder.words


def test_the_ports_tried_end_where_ports_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    labapp = types.ModuleType("jupyterlab.labapp")
    asked: list[list[str]] = []
    labapp.main = asked.append  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "jupyterlab.labapp", labapp)
    for variable in list(os.environ):
        monkeypatch.setenv(variable, os.environ[variable])
    for port, more in (("65535", "0"), ("65530", "5"), ("8888", "50")):
        assert main(["start", str(tmp_path / "my-glazes"), "--port", port, "--no-browser"]) == 0
        assert f"--ServerApp.port_retries={more}" in asked[-1]


def test_a_sheet_on_which_everything_rounds_to_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for more in ((), ("--html", tmp_path / "sheet.html")):
        assert "finer scale" in refused(capsys, "sheet", "Gangway Clear", "--base", "1g", "--scale", "50g", *more)
    assert "rounds" in said(capsys, "sheet", "Gangway Clear", "--base", "30g", "--scale", "50g")


# -- terminals ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_any_terminal_encoding(tmp_path: Path, encoding: str) -> None:
    (tmp_path / "gloss.csv").write_text("recipe,material,amount\nGrün – 釉,quartz,60\nGrün – 釉,whiting,40\n", encoding="utf-8")
    for more in ([], ["--json"], ["--recipe", "Grün – 釉"]):
        done = run("sheet", tmp_path / "gloss.csv", *more, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
        assert done.returncode == 0, done.stderr
    done = run("sheet", "釉", PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert done.returncode == 2 and done.stderr.count(b"\n") == 1


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close differently on Windows")
def test_a_reader_that_stops_early_is_no_error() -> None:
    command = f'"{sys.executable}" -m glazekit sheet "Gangway Clear" --json | true; exit ${{PIPESTATUS[0]}}'
    done = subprocess.run(["bash", "-c", command], capture_output=True, timeout=60)
    assert done.returncode == 0 and done.stderr == b""


# -- doctor and start ---------------------------------------------------------------------------------------------------------


def test_doctor_ends_in_a_verdict(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "doctor", tmp_path / "new")
    rows = {line.split()[0]: line for line in text.splitlines()}
    assert {"Python", "jupyterlab", "browser", "data", "lessons", "folder", "port"} <= rows.keys()
    assert text.splitlines()[-1].startswith("Verdict: ")
    assert not (tmp_path / "new").exists()


def test_the_doctor_asks_only_for_what_is_used() -> None:
    """Every package is one of the extra 'lab', and some room imports it, or runs it as the lesson server."""
    project = tomllib.loads((Path(gk.__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extra = {re.split("[<>=]", needed)[0] for needed in project["optional-dependencies"]["lab"]}
    sources = [path.read_text(encoding="utf-8") for path in Path(gk.__file__).parent.rglob("*.py")]
    for name in doctor.PACKAGES:
        assert name in extra and any(re.search(rf"^\s*(from|import) {name}\b", source, re.MULTILINE) for source in sources), name
    assert set(doctor.LESSONS_NEED) <= set(doctor.PACKAGES)


BLOCKED = """
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("jupyterlab", "ipywidgets", "anywidget", "plotly", "pandas"):
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Refuse())
import importlib.metadata, importlib.util
real = importlib.metadata.version
def version(name):
    if name != "glazekit":
        raise importlib.metadata.PackageNotFoundError(name)
    return real(name)
importlib.metadata.version = version
real_spec = importlib.util.find_spec
missing = ("jupyterlab", "ipywidgets", "anywidget")
importlib.util.find_spec = lambda name, *rest: None if name in missing else real_spec(name, *rest)
from glazekit.cli import main
sys.exit(main(sys.argv[1:]))
"""


def test_doctor_on_a_core_only_install_says_what_is_missing_and_is_fine(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", BLOCKED, "doctor", str(tmp_path)], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("missing: needed") == len(doctor.PACKAGES) and "sheets work" in done.stdout.splitlines()[-1]


def test_start_without_jupyterlab_says_how_to_get_it_and_copies_nothing(tmp_path: Path) -> None:
    command = [sys.executable, "-c", BLOCKED, "start", str(tmp_path / "mine")]
    done = subprocess.run(command, capture_output=True, timeout=60)
    assert "pip install" in complaint(done) and not (tmp_path / "mine").exists()


def test_doctor_finds_damaged_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    from glazekit.ground.errors import DataError

    def broken() -> tuple[str, ...]:
        raise DataError("the data tables of glazekit are missing")

    monkeypatch.setattr("glazekit.ground.tables.table_names", broken)
    assert main(["doctor", str(tmp_path)]) == 1
    fine, words = doctor.verdict(doctor.examine(tmp_path))
    assert fine is False and words.endswith(": data.") and capsys.readouterr().out.splitlines()[-1] == words


def test_start_into_a_file_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "taken").write_text("mine")
    assert "taken" in refused(capsys, "start", tmp_path / "taken")
