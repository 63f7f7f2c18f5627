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
SHEETS = {*EXERCISES, *DRAWING, *FOLDER, "sheets"}
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
    "lab": {*SHEETS, "lab"},
    "start": {*FOLDER, "start"},
    "site": {*FOLDER, *DRAWING, "site"},
    "__init__": {*STATIONS, *FOLDER},
    "cli": {*SHEETS, "start", "site", "cli", "__init__"},
    "__main__": {"cli"},
}
# The lab has floors of its own: a file may import from those before its own and from its own, but
# no panel from another: what panels share is a part.
LAB = (
    "desk",
    "prose",
    "browser",
    "mixer",
    "controls",
    "panel",
    "paper",
    "parts",
    "panels",
    "page",
    "__init__",
)
# What comes from outside, and the one room or file that may import it; what is late, inside a function only.
FROM_OUTSIDE = {
    "lab": {"ipywidgets", "anywidget", "traitlets"},
    "calibration": {"numpy", "scipy", "pandas"},
    "start/kernels.py": {"jupyter_server"},
}
LATE = {"recipe/recipe.py": {"pandas"}, "cli.py": {"jupyterlab"}}
NOT_CORE = {"lab", "calibration"}
LINES_MAX = 400

FILES = sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


def imported_modules(path: Path, late: bool = True) -> set[str]:
    """The modules a file imports; those inside functions only when ``late`` is wanted."""
    names, tree = set(), ast.parse(path.read_text(encoding="utf-8"))
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    inside = set() if late else {inner for function in functions for inner in ast.walk(function)}
    for node in set(ast.walk(tree)) - inside:
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
def test_what_comes_from_outside_has_its_one_place(path: Path) -> None:
    """The lab draws widgets, the calibration counts with numpy, one file knows the server; a frame and the start are late."""
    here = path.relative_to(PACKAGE).as_posix()
    allowed = FROM_OUTSIDE.get(room_of(path), set()) | FROM_OUTSIDE.get(here, set())
    assert from_outside(imported_modules(path, late=False)) <= allowed
    assert from_outside(imported_modules(path)) <= allowed | LATE.get(here, set())


def from_outside(modules: set[str]) -> set[str]:
    """The packages among these modules that come neither with Python nor from here."""
    return {name.split(".")[0] for name in modules} - set(sys.stdlib_module_names) - {"glazekit"}


def test_no_place_for_what_comes_from_outside_is_kept_in_vain() -> None:
    used = {path.relative_to(PACKAGE).as_posix(): from_outside(imported_modules(path)) for path in FILES}
    for place, packages in (FROM_OUTSIDE | LATE).items():
        assert set().union(*(found for name, found in used.items() if f"{name}/".startswith(f"{place}/"))) == packages


def module_of(path: Path) -> str:
    return ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")


def modules_used(path: Path, known: set[str]) -> set[str]:
    """Every module of the package that a file imports, wherever it does: at its top, for its types, or inside a function."""
    used = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            used |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            used |= {f"{node.module}.{alias.name}" for alias in node.names} & known or {node.module or ""}
    return used & known


def circles(files: list[Path]) -> list[set[str]]:
    """Modules that import each other, whether straight or by way of others: each circle as the set of its modules."""
    names = {module_of(path) for path in files}
    reached = {module_of(path): modules_used(path, names) for path in files}
    for between in names:
        for name in names:
            if between in reached[name]:
                reached[name] |= reached[between]
    circle_of = {name: {other for other in reached[name] if name in reached[other]} for name in names}
    return [circle for k, circle in enumerate(circle_of.values()) if circle and circle not in list(circle_of.values())[:k]]


def test_no_import_circle() -> None:
    """No file imports itself by way of others, not for its types nor inside a function either."""
    assert circles(FILES) == []


@pytest.mark.parametrize(
    "line",
    [
        "from glazekit.ground.cone import Cone",
        "import glazekit.ground.cone",
        "from glazekit.ground import cone",
        "if TYPE_CHECKING:\n    from glazekit.ground.cone import Cone",
        "def late():\n    from glazekit.ground.cone import Cone",
    ],
)
def test_a_circle_is_seen_wherever_it_hides(line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ground = tmp_path / "glazekit" / "ground"
    ground.mkdir(parents=True)
    (ground / "cone.py").write_text("from glazekit.ground import errors\n")
    (ground / "errors.py").write_text("import math\n")
    monkeypatch.setattr(sys.modules[__name__], "PACKAGE", tmp_path / "glazekit")
    files = sorted(ground.iterdir())
    assert circles(files) == []
    (ground / "errors.py").write_text(line + "\n")
    assert circles(files) == [{"glazekit.ground.cone", "glazekit.ground.errors"}]


@pytest.mark.parametrize("path", sorted((PACKAGE / "lab").rglob("*.py")), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_the_lab_points_down_too(path: Path) -> None:
    known = {module_of(file) for file in FILES}
    floor, own = LAB.index(lab_floor(module_of(path))), lab_floor(module_of(path))
    used = {name for name in modules_used(path, known) if name.startswith("glazekit.lab")}
    wrong = {name for name in used if LAB.index(lab_floor(name)) > floor or own == lab_floor(name) == "panels"}
    assert not wrong, f"{path.name} may not import {sorted(wrong)}"


def lab_floor(module: str) -> str:
    """On which floor of the lab a module stands; ``glazekit.lab`` itself is the roof."""
    return module.removeprefix("glazekit.lab").removeprefix(".").partition(".")[0] or "__init__"


def test_the_desk_knows_no_widget() -> None:
    """Panels hold their controls; what they work at has none, neither straight nor by way of what it imports."""
    files = {module_of(path): path for path in FILES}
    reached: set[str] = set()
    new = {"glazekit.lab.desk"}
    while new:
        reached |= new
        new = {used for name in new for used in modules_used(files[name], set(files))} - reached
    foreign = from_outside({top for name in reached for top in imported_modules(files[name])})
    assert foreign == LATE["recipe/recipe.py"]  # the insides of as_frame


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


def test_no_two_files_of_the_tests_are_called_alike() -> None:
    """pytest imports them by their names alone: of two alike, one is never run."""
    names = [path.name for path in Path(__file__).parents[1].rglob("test_*.py")]
    assert len(names) > 100 and {name for name in names if names.count(name) > 1} == set()


def test_every_public_name_exists_and_is_documented() -> None:
    for name in glazekit.__all__:
        thing = getattr(glazekit, name)
        if callable(thing):
            assert thing.__doc__ and len(thing.__doc__.strip()) > 30, name


def test_a_name_stands_for_one_thing() -> None:
    """No two files and no two types of the package share a name, whether a type is a class or stands for another."""
    places: dict[str, list[str]] = {}
    for path in FILES:
        here = path.relative_to(PACKAGE).as_posix()
        if not path.name.startswith("__"):
            places.setdefault(path.name, []).append(here)
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            named = node.targets[0] if isinstance(node, ast.Assign) else node
            name = named.name if isinstance(named, ast.ClassDef) else named.id if isinstance(named, ast.Name) else "_"
            if name.isalnum() and name[0].isupper() and not name.isupper():
                places.setdefault(name, []).append(here)
    assert {name: found for name, found in places.items() if len(found) > 1} == {}


def test_a_constant_stands_in_one_place() -> None:
    """No two modules give the same name the same value: one of them imports it, or what they mean has two names."""
    places: dict[str, list[str]] = {}
    for path in FILES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name) and node.targets[0].id.isupper():
                places.setdefault(ast.unparse(node), []).append(path.relative_to(PACKAGE).as_posix())
    assert len(places) > 300
    assert {line: found for line, found in places.items() if len(found) > 1 and not line.startswith(("_", "RULES"))} == {}


def test_a_folder_can_be_taken_in_at_a_glance() -> None:
    folders = {path.parent for path in FILES}
    assert [folder.name for folder in folders if len(list(folder.iterdir())) - (folder / "__pycache__").exists() > 30] == []
