"""The picture of the workshop holds: arrows point down, rooms stay small, the core needs nothing but Python."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import glazekit

PACKAGE = Path(glazekit.__file__).parent

# One table of allowed imports: a room may use itself and the rooms named here.
GROUND = {"ground"}
MATERIALS = {*GROUND, "materials"}
RECIPE = {*MATERIALS, "recipe"}
CHEMISTRY = {*RECIPE, "chemistry"}
WATER = {*RECIPE, "water"}
KILN = {*RECIPE, "kiln"}
GLASS = {*CHEMISTRY, "glass"}
STATIONS = {*WATER, *KILN, *GLASS}
WORDS = {*GROUND, "words"}
DRAWING = {*GROUND, "drawing"}
FOLDER = {*KILN, *WORDS, "folder"}
EXERCISES = {*STATIONS, *WORDS, "exercises"}
SHEETS = {*STATIONS, *WORDS, *DRAWING, *FOLDER, "sheets"}
ALLOWED = {
    "ground": GROUND,
    "materials": MATERIALS,
    "recipe": RECIPE,
    "chemistry": CHEMISTRY,
    "water": WATER,
    "kiln": KILN,
    "glass": GLASS,
    "calibration": {*GLASS, *DRAWING, "calibration"},
    "words": WORDS,
    "drawing": DRAWING,
    "folder": FOLDER,
    "exercises": EXERCISES,
    "sheets": SHEETS,
    "lab": {*SHEETS, *EXERCISES, "lab"},
    "start": {*FOLDER, "start"},
    "site": {*FOLDER, "site"},
    "__init__": {*STATIONS, *FOLDER},
    "cli": {*SHEETS, "start", "site", "cli", "__init__"},
    "__main__": {"cli"},
}
LAB_ONLY = {"ipywidgets", "anywidget", "traitlets", "IPython"}
CALIBRATION_ONLY = {"numpy", "scipy"}
SERVER_ONLY = {"jupyter_server"}
NOT_CORE = {"lab", "calibration"}
LINES_MAX = 400

FILES = sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


def imported_modules(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: relative import; write the whole name"
            names.add(node.module or "")
            if node.module == "glazekit":
                names |= {f"glazekit.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_arrows_point_down(path: Path) -> None:
    room = room_of(path)
    assert room in ALLOWED, f"a new room '{room}': give it a line in the table"
    used = {name.split(".")[1] for name in imported_modules(path) if name.startswith("glazekit.")}
    rooms = {name for name in used if (PACKAGE / name).is_dir() or (PACKAGE / f"{name}.py").exists()}
    assert rooms <= ALLOWED[room], f"{room} may not import {sorted(rooms - ALLOWED[room])}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_rooms_stay_small(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LINES_MAX


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_only_the_lab_draws_widgets_only_the_calibration_counts_with_numpy_and_only_frames_use_pandas(path: Path) -> None:
    tops = {name.split(".")[0] for name in imported_modules(path)}
    third_party = tops - set(sys.stdlib_module_names) - {"glazekit", "__future__"}
    allowed = {"pandas"} | {"lab": LAB_ONLY, "calibration": CALIBRATION_ONLY, "start": SERVER_ONLY}.get(room_of(path), set())
    if path.name == "doctor.py" or room_of(path) == "cli":
        allowed = allowed | {"jupyterlab"}
    assert third_party <= allowed


def test_no_import_circle() -> None:
    """Imports at the top of a module form no circle; an import inside a function is a choice made when it runs."""
    names = {".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path for path in FILES}
    graph: dict[str, set[str]] = {}
    for name, path in names.items():
        graph[name] = set()
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "glazekit":
                submodules = {f"{node.module}.{alias.name}" for alias in node.names} & set(names)
                graph[name] |= submodules or {str(node.module)}
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail[trail.index(name) :], name))
        if name in done or name not in graph:
            return
        for other in graph[name]:
            visit(other, (*trail, name))
        done.add(name)

    for name in graph:
        visit(name, ())


def test_the_core_imports_nothing_from_outside() -> None:
    """Every core module imports with site-packages' modules refused, as in a browser tab with nothing installed."""
    core = [
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
        for path in FILES
        if room_of(path) not in NOT_CORE and path.name not in ("__main__.py", "kernels.py")
    ]
    script = f"""
import sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        top = name.split(".")[0]
        if top not in sys.stdlib_module_names and top != "glazekit":
            raise ImportError(f"the core asked for {{name}}")
sys.meta_path.insert(0, Refuse())
import importlib
for name in {core!r}:
    importlib.import_module(name)
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert run.returncode == 0, run.stderr


def test_every_public_name_exists_and_is_documented() -> None:
    for name in glazekit.__all__:
        thing = getattr(glazekit, name)
        if callable(thing):
            assert thing.__doc__ and len(thing.__doc__.strip()) > 30, name
