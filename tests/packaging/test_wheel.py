"""The package as a stranger gets it: built from the source distribution, installed alone, used away from the source tree."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from glazekit.start.doctor import PACKAGES

pytestmark = pytest.mark.slow

REPOSITORY = Path(__file__).parents[2]


def python(*words: object, executable: Path | str = sys.executable, cwd: Path | None = None) -> str:
    """Run Python with these words, away from this environment's settings; returns what it printed."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(
        [str(executable), *map(str, words)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=cwd,
        timeout=300,
        env=environment,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with the source distribution, and the wheel built from it (not from the source tree)."""
    folder = tmp_path_factory.mktemp("dist")
    python("-m", "build", "--no-isolation", "--outdir", folder, REPOSITORY)
    return folder


@pytest.fixture(scope="module")
def stranger(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Python of a fresh environment that holds the wheel and nothing else."""
    folder = tmp_path_factory.mktemp("fresh")
    python("-m", "venv", folder)
    executable = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    (wheel,) = built.glob("*.whl")
    python("-m", "pip", "install", "--no-index", "--quiet", "--disable-pip-version-check", wheel, executable=executable)
    return executable


def test_the_wheel_holds_the_package_its_data_and_its_lessons_and_no_rubbish(built: Path) -> None:
    (wheel,) = built.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    for folder, inside in (("data", "_data"), ("notebooks", "_notebooks")):
        tracked = {path.name for path in (REPOSITORY / folder).iterdir() if path.is_file() and not path.name.startswith(".")}
        assert tracked <= {name.split("/")[-1] for name in names if name.startswith(f"glazekit/{inside}/")}
    open_glass = {"glasses.csv.gz", "viscosity.csv.gz", "publications.csv.gz", "liquidus.csv.gz", "LICENSE_sciglass", "README.md"}
    assert {f"glazekit/_data/open_glass/{name}" for name in open_glass} <= set(names)
    assert any(name.endswith("licenses/data/open_glass/LICENSE_sciglass") for name in names)
    assert "glazekit/py.typed" in names and any(name.endswith("licenses/LICENSE") for name in names)
    rubbish = ("__pycache__", ".ipynb_checkpoints", ".pytest_cache", "tests/", ".git")
    assert not [name for name in names if any(word in name for word in rubbish)]
    assert {name.split("/")[0] for name in names if ".dist-info" not in name} == {"glazekit"}


def test_the_source_distribution_holds_the_tests(built: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        names = ["/".join(name.split("/")[1:]) for name in opened.getnames()]
    assert {"data/open_glass/glasses.csv.gz", "data/open_glass/LICENSE_sciglass"} <= set(names)
    assert {"tests/packaging/test_wheel.py", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"} <= set(names)
    assert not [name for name in names if "__pycache__" in name or ".ipynb_checkpoints" in name]


def test_sheet_and_doctor_work_away_from_the_source_tree(stranger: Path, tmp_path: Path) -> None:
    data = json.loads(python("-m", "glazekit", "sheet", "Gangway Clear", "--json", executable=stranger, cwd=tmp_path))
    assert data["batch"]["total_g"] == 100.0 and data["unity_formula"]["SiO2"] > 2
    text = python("-m", "glazekit", "doctor", tmp_path, executable=stranger, cwd=tmp_path)
    assert text.count("missing: needed") == len(PACKAGES) and "sheets work" in text.splitlines()[-1]
    script = stranger.with_name("glazekit.exe" if os.name == "nt" else "glazekit")
    assert (
        "Gangway Clear" in subprocess.run([script, "sheet", "Gangway Clear"], capture_output=True, text=True, cwd=tmp_path).stdout
    )


def test_the_core_opens_with_nothing_else_installed(stranger: Path, tmp_path: Path) -> None:
    code = """
import importlib, pkgutil, sys
before = set(sys.modules)
import glazekit
assert "site-packages" in glazekit.__file__, glazekit.__file__
names = [m.name for m in pkgutil.walk_packages(glazekit.__path__, "glazekit.", onerror=lambda name: None)]
apart = ("glazekit.lab", "glazekit.calibration", "glazekit.start.kernels")
names = [name for name in names if not name.startswith(apart) and not name.endswith("__main__")]
for name in names:
    importlib.import_module(name)
tops = {name.split(".")[0] for name in set(sys.modules) - before}
print(len(names), sorted(tops - set(sys.stdlib_module_names) - {"glazekit"}))
"""
    count, strangers = python("-I", "-c", code, executable=stranger, cwd=tmp_path).split(" ", 1)
    assert int(count) > 30 and strangers.strip() == "[]"


def test_lessons_can_be_copied_from_the_installed_package(stranger: Path, tmp_path: Path) -> None:
    code = """
import sys
from glazekit.folder.lessons import bring_lessons
from glazekit.start.server_settings import jupyter_settings
print(*[brought.word for brought in bring_lessons(sys.argv[1])])
assert jupyter_settings(sys.argv[1])["JUPYTER_CONFIG_DIR"]
"""
    words = python("-c", code, tmp_path / "mine", executable=stranger, cwd=tmp_path)
    assert set(words.split()) == {"copied"}
    assert sorted(path.name for path in (tmp_path / "mine").glob("*.ipynb")) == sorted(
        path.name for path in (REPOSITORY / "notebooks").glob("*.ipynb")
    )
