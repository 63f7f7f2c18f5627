"""The browser edition without a browser: what stops it in one sentence, what it packs, what it promises to carry."""

from __future__ import annotations

import ast
import csv
import hashlib
import json
import os
import subprocess
import sys
import zipfile
from base64 import urlsafe_b64decode
from html import unescape
from pathlib import Path

import pytest
from wording import text_of

import glazekit.lab
from glazekit.cli import main
from glazekit.folder import state
from glazekit.lab.panels.progress import Progress
from glazekit.site import tools, wheels
from glazekit.site.build import _extension, look_settings, put_away, write_front_page
from glazekit.site.tools import SiteError, complaint, run
from glazekit.start import server_settings
from glazekit.words.course import course
from glazekit.words.texts import load

DESKTOP = Path(server_settings.__file__).parent / "jupyter" / "labconfig"


def refused(capsys: pytest.CaptureFixture[str], *line: object) -> str:
    """The one line of a user error."""
    assert main(["site", *map(str, line)]) == 2
    out, err = capsys.readouterr()
    assert err.count("\n") == 1 and err.startswith("glazekit: "), err
    assert not out or out.startswith("1 of")
    return err


def with_programs(folder: Path, monkeypatch: pytest.MonkeyPatch, **scripts: str) -> None:
    """Only these programs are found on this computer."""
    folder.mkdir()
    for name, script in scripts.items():
        (folder / name).write_text(f"#!/bin/sh\n{script}\n")
        (folder / name).chmod(0o755)
    monkeypatch.setenv("PATH", str(folder))


class TestWhatStopsIt:
    def test_a_folder_with_anything_in_it_stays_as_it_is(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        (tmp_path / ".hidden").write_text("mine")
        assert "not empty" in refused(capsys, tmp_path)
        assert [path.name for path in tmp_path.iterdir()] == [".hidden"]

    def test_a_file_is_no_folder(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        (tmp_path / "site").write_text("mine")
        assert "a file" in refused(capsys, tmp_path / "site")
        assert (tmp_path / "site").read_text() == "mine"

    @pytest.mark.skipif(os.name == "nt", reason="symbolic links need rights there")
    def test_a_link_to_nowhere_is_not_followed(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        (tmp_path / "site").symlink_to(tmp_path / "nowhere")
        refused(capsys, tmp_path / "site")

    def test_missing_packages_are_named_with_the_way_to_get_them(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        monkeypatch.setattr(tools, "NEEDED", ("no-such-builder",))
        line = refused(capsys, tmp_path / "new")
        assert "no-such-builder" in line and ".[site]" in line and not (tmp_path / "new").exists()

    def test_without_npm(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        monkeypatch.setattr(tools, "NEEDED", ())
        with_programs(tmp_path / "bin", monkeypatch)
        assert "npm" in refused(capsys, tmp_path / "new") and not (tmp_path / "new").exists()

    @pytest.mark.skipif(os.name == "nt", reason="the stand-in for npm is a shell script")
    def test_without_a_connection(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        monkeypatch.setattr(tools, "NEEDED", ())
        monkeypatch.setattr("glazekit.site.build.wanted_versions", lambda work: ("1.2.3", "3.14"))
        with_programs(tmp_path / "bin", monkeypatch, npm='echo "npm error code ENOTFOUND" >&2; exit 1')
        line = refused(capsys, tmp_path / "new")
        assert "online" in line and "ENOTFOUND" in line and not (tmp_path / "new").exists()

    def test_a_program_that_fails_is_quoted(self, tmp_path: Path) -> None:
        with pytest.raises(SiteError, match="ValueError: too"):
            run([sys.executable, "-c", "raise ValueError('too hot, an error')"], "baking failed", tmp_path)
        with pytest.raises(SiteError, match="nothing"):
            run([str(tmp_path / "nothing")], "baking failed", tmp_path)
        assert len(complaint("error " * 900)) <= 200


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return wheels.pack_own_wheel(tmp_path_factory.mktemp("wheel"))


class TestWhatItPacks:
    def test_the_package_works_from_its_wheel_alone(self, wheel: Path, tmp_path: Path) -> None:
        zipfile.ZipFile(wheel).extractall(tmp_path)
        code = "import glazekit as gk; print(gk.__file__); print(gk.unity_formula(gk.demo_recipe('Gangway Clear'))['SiO2'])"
        environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
        done = subprocess.run(
            [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(tmp_path)!r}); {code}"],
            capture_output=True,
            text=True,
            env=environment,
            cwd=tmp_path,
        )
        where, silica = done.stdout.split()
        assert where.startswith(str(tmp_path)) and float(silica) > 2, done.stderr

    def test_the_wheel_lists_every_file_with_its_hash(self, wheel: Path) -> None:
        archive = zipfile.ZipFile(wheel)
        (record,) = (name for name in archive.namelist() if name.endswith("/RECORD"))
        rows = list(csv.reader(archive.read(record).decode().splitlines()))
        assert {row[0] for row in rows} == set(archive.namelist())
        for name, digest, size in rows:
            if name != record:
                kind, _, value = digest.partition("=")
                data = archive.read(name)
                assert urlsafe_b64decode(value + "=") == hashlib.new(kind, data).digest() and int(size) == len(data)

    def test_the_wheel_brings_rooms_texts_and_tables_but_no_rubbish(self, wheel: Path) -> None:
        names = set(zipfile.ZipFile(wheel).namelist())
        assert {"glazekit/lab/panel.css", "glazekit/words/lesson_01.toml", "glazekit/_data/materials.csv"} <= names
        pages = {Path(name).name for name in names if name.endswith(".ipynb")}
        assert pages == {page.notebook for page in course()} - {""}, "found as on the desktop; the appendix stays at home"
        assert not [n for n in names if "__pycache__" in n or n.endswith(".pyc") or n.startswith("glazekit/site/")]

    def test_what_python_knows_is_followed_to_its_end_once(self) -> None:
        known = {"a": {"depends": ["B_b"]}, "b-b": {"depends": ["a"]}, "c": {"depends": []}}
        assert sorted(wheels._closure(["A"], known)) == ["a", "b-b"]
        with pytest.raises(SiteError, match="zebra"):
            list(wheels._closure(["zebra"], known))


class TestWhatItPromises:
    def test_everything_the_lab_imports_is_carried(self) -> None:
        carried = wheels.PACKAGES
        names = {"traitlets", "IPython", *carried["of_python"], *carried["added"], *carried["own"]}
        lab = Path(glazekit.lab.__file__).parent
        for path in lab.rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                modules = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
                modules += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
                tops = {module.split(".")[0] for module in modules}
                assert tops <= set(sys.stdlib_module_names) | names, f"{path.name} needs {tops - names}: add it to packages.json"

    def test_every_package_named_as_needed_is_carried(self) -> None:
        carried = wheels.PACKAGES
        ours = carried["added"] | carried["of_kernel"] | carried["own"]
        of_python = {"traitlets", *carried["of_python"]}
        assert {need for needs in ours.values() for need in needs} <= set(ours) | of_python

    def test_waking_does_not_start_python_twice_and_the_rest_is_the_desktop_look(self) -> None:
        desktop = json.loads((DESKTOP / "default_setting_overrides.json").read_text(encoding="utf-8"))
        here = look_settings()
        tools_here = here["@jupyterlab/notebook-extension:panel"].pop("toolbar")
        tools_there = desktop["@jupyterlab/notebook-extension:panel"].pop("toolbar")
        assert here == desktop and tools_here[1:] == tools_there[1:]
        assert tools_here[0] == {**tools_there[0], "command": "notebook:run-all-cells"}

    def test_what_the_desktop_puts_away_is_away_but_never_what_the_site_itself_brings(self) -> None:
        desktop = json.loads((DESKTOP / "page_config.json").read_text(encoding="utf-8"))["disabledExtensions"]
        folders = [_extension(package) for package in wheels.PACKAGES["page_extensions"]]
        brought = {json.loads((folder / "package.json").read_text(encoding="utf-8"))["name"] for folder in folders}
        assert "@jupyterlite/pyodide-kernel-extension" in brought, "without it a page has no Python, and asks for a kernel"
        away = {name.split(":")[0] for name in put_away()}
        assert not away & brought and set(put_away()) == set(desktop) - brought

    def test_the_front_page_links_the_lessons_and_says_where_the_work_is_kept(self, tmp_path: Path) -> None:
        write_front_page(tmp_path)
        pages = [page for page in course() if page.notebook]
        page = (tmp_path / "index.html").read_text(encoding="utf-8")
        assert page.count("lab/index.html?path=") == page.count("notebooks/index.html?path=") == len(pages)
        assert all(lesson.called in page for lesson in pages)
        assert text_of("lesson_00.panel.progress.export") in page and "{" not in page.split("</style>")[1]
        assert page.count("<li>") == len(pages) + len(load("site")["kept"])
        assert text_of("site.appendix").split("<")[0] in unescape(page), "what is not here is said"
        assert "$" not in page and "http" not in page


class TestWhatIsKept:
    def test_in_a_browser_only_its_drive_is_kept(self, monkeypatch: pytest.MonkeyPatch) -> None:
        assert state.is_kept(Path("/home/pyodide"))
        monkeypatch.setattr(sys, "platform", "emscripten")
        assert state.is_kept(Path("/drive")) and state.is_kept(Path("/drive/mine"))
        assert not state.is_kept(Path("/home/pyodide")) and not state.is_kept(Path("/driven"))

    def test_a_panel_does_not_say_saved_when_nothing_is_kept(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        settings = glazekit.lab.open_page("00", tmp_path).settings()
        settings.nickname.value = "Wren"
        assert ">saved" in settings.title.value
        monkeypatch.setattr(sys, "platform", "emscripten")
        settings = glazekit.lab.open_page("00", tmp_path).settings()
        settings.nickname.value = "Heron"
        assert "keeps nothing" in settings.title.value and ">saved" not in settings.title.value

    def test_in_a_browser_the_export_says_how_to_take_it_home(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        progress = glazekit.lab.open_page("00", tmp_path).progress()
        assert isinstance(progress, Progress)
        progress.export()
        assert "Download" not in progress.said
        monkeypatch.setattr(sys, "platform", "emscripten")
        progress.export()
        assert "Download" in progress.said
