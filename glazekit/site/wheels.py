"""Python for the browser, the packages the lessons need as wheels beside it, and the list (lock file) by which it finds them.

Python is Pyodide, at the version the browser kernel was made for, as the package npm has of it. Python in the browser loads what
its lock file names before the first cell runs, so a lesson needs no installing cell: the very files of the desktop course work.
All wheels are pure Python. The kernel's own packages keep the versions of Pyodide's lock; the widgets have those of this
environment, because their other half, in the page, comes from here too.
"""

import base64
import hashlib
import json
import shutil
import sys
import tarfile
import zipfile
from collections.abc import Iterator, Mapping
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from typing import Any

from glazekit import __version__
from glazekit.ground.tables import data_dir
from glazekit.site.tools import SiteError, files_of, run, shipped
from glazekit.words.course import course, lessons_dir

PACKAGES = shipped("config/packages.json")
LOCK = "pyodide-lock.json"
CORE = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", LOCK)
"""What a browser needs of the package; the rest is for other uses."""
_ASK = "import jupyterlite_pyodide_kernel.constants as c; print(c.PYODIDE_VERSION, c.PYODIDE_PYTHON_VERSION)"
_RUBBISH = {"__pycache__", ".ipynb_checkpoints"}
_STAY_HOME = {"_data", "_notebooks", "calibration", "site"}
"""Tables are packed apart, lessons are files of the site, the others need more than a browser has."""
_OLDEST_ZIP_DATE = (1980, 1, 1, 0, 0, 0)


def wanted_versions(folder: Path) -> tuple[str, str]:
    """Which Pyodide the installed kernel wants, and which Python that is, such as "3.14"."""
    words = run([sys.executable, "-c", _ASK], "the browser kernel did not tell which Pyodide it wants", folder).split()
    if len(words) != 2:
        raise SiteError("the browser kernel (jupyterlite-pyodide-kernel) is too old or too new; install the extra 'site' again")
    return words[0], words[1]


def fetch_python(version: str, work: Path, target: Path) -> None:
    """Fetch Pyodide's core with npm and put its files into ``target``."""
    command = [shutil.which("npm") or "npm", "pack", f"pyodide@{version}", "--loglevel=error", "--fetch-retries=1"]
    run(command, f"npm could not fetch pyodide {version} (is this computer online?)", work)
    found = sorted(work.glob("pyodide-*.tgz"))
    if not found:
        raise SiteError(f"npm fetched no pyodide {version}; a newer npm may help")
    target.mkdir(parents=True)
    with tarfile.open(found[0]) as archive:
        for name in CORE:
            try:
                file = archive.extractfile(f"package/{name}")
            except KeyError:
                file = None
            if file is None:
                raise SiteError(f"pyodide {version} has no {name}; install the newest jupyterlite-pyodide-kernel")
            (target / name).write_bytes(file.read())


def gather_wheels(python_version: str, folder: Path) -> tuple[str, ...]:
    """Put every wheel into Python's ``folder`` and rewrite its lock file to name these and no others; returns their names.
    Raises SiteError when a package cannot be fetched or has no pure wheel."""
    lock = json.loads((folder / LOCK).read_text("utf-8"))
    known = {_key(entry["name"]): entry for entry in lock["packages"].values()}
    of_python = {name: known[name]["depends"] for name in _closure(PACKAGES["of_python"], known)}
    versions = {name: known[name]["version"] for name in of_python} | {name: version(name) for name in PACKAGES["added"]}
    _fetch(versions, python_version, folder)
    kernel_wheels = [path for path in files_of("jupyterlite-pyodide-kernel") if path.suffix == ".whl"]
    for path in kernel_wheels:
        if _key(path.name.split("-")[0]) in PACKAGES["of_kernel"]:
            (folder / path.name).write_bytes(path.read_bytes())
    pack_own_wheel(folder)
    depends = of_python | PACKAGES["added"] | PACKAGES["of_kernel"] | PACKAGES["own"]
    wheels = {_key(path.name.split("-")[0]): path for path in sorted(folder.glob("*.whl"))}
    missing = sorted(set(depends) - set(wheels))
    if missing:
        raise SiteError(f"no pure Python wheel came for {', '.join(missing)}")
    lock["packages"] = {name: _entry(name, wheels[name], depends[name]) for name in sorted(depends)}
    (folder / LOCK).write_text(json.dumps(lock, indent=1), encoding="utf-8")
    return tuple(lock["packages"])


def _key(name: str) -> str:
    return name.casefold().replace("_", "-").replace(".", "-")


def _closure(names: list[str], known: Mapping[str, Any]) -> Iterator[str]:
    """These packages of Pyodide's lock and all they depend on, each once."""
    waiting, seen = [_key(name) for name in names], set()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        if name not in known:
            raise SiteError(f"this Pyodide knows no {name}; install the newest jupyterlite-pyodide-kernel")
        seen.add(name)
        waiting += [_key(other) for other in known[name]["depends"]]
        yield name


def _fetch(versions: Mapping[str, str], python_version: str, folder: Path) -> None:
    pure = ["--no-deps", "--only-binary=:all:", "--platform=any", "--abi=none", "--implementation=py"]
    words = [f"--python-version={python_version}", "--dest=.", "--quiet", "--retries=1", "--timeout=60"]
    exact = [f"{name}=={number}" for name, number in sorted(versions.items())]
    command = [sys.executable, "-m", "pip", "download", *pure, *words, *exact]
    run(command, "pip could not fetch the packages for the browser (is this computer online?)", folder)


def _entry(name: str, wheel: Path, depends: list[str]) -> dict[str, Any]:
    """One package as Pyodide's lock file writes it."""
    with zipfile.ZipFile(wheel) as archive:
        tops = {inside.split("/")[0].removesuffix(".py") for inside in archive.namelist() if inside.endswith(".py")}
    return {
        "name": name,
        "version": wheel.name.split("-")[1],
        "file_name": wheel.name,
        "install_dir": "site",
        "sha256": hashlib.sha256(wheel.read_bytes()).hexdigest(),
        "package_type": "package",
        "imports": sorted(tops),
        "depends": [_key(other) for other in depends],
        "unvendored_tests": False,
    }


def pack_own_wheel(folder: Path) -> Path:
    """Pack the glazekit that is running, with its tables and its pages, as a wheel: what the site carries was tested here."""
    package = Path(str(files("glazekit")))
    inside = {f"glazekit/{path.relative_to(package).as_posix()}": path for path in _package_files(package)}
    inside |= {f"glazekit/_data/{path.name}": path for path in sorted(data_dir().iterdir()) if path.is_file()}
    inside |= {f"glazekit/_notebooks/{page.notebook}": lessons_dir() / page.notebook for page in course() if page.notebook}
    about = f"glazekit-{__version__}.dist-info"
    texts = {
        f"{about}/METADATA": f"Metadata-Version: 2.1\nName: glazekit\nVersion: {__version__}\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nGenerator: glazekit\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    contents = {name: path.read_bytes() for name, path in inside.items()} | {n: t.encode() for n, t in texts.items()}
    hashes = {name: base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=") for name, data in contents.items()}
    record = "".join(f"{name},sha256={hashes[name].decode()},{len(data)}\n" for name, data in contents.items())
    contents[f"{about}/RECORD"] = f"{record}{about}/RECORD,,\n".encode()
    target = folder / f"glazekit-{__version__}-py3-none-any.whl"
    with zipfile.ZipFile(target, "x", zipfile.ZIP_DEFLATED) as archive:
        for name, data in contents.items():
            archive.writestr(zipfile.ZipInfo(name, _OLDEST_ZIP_DATE), data, zipfile.ZIP_DEFLATED)
    return target


def _package_files(package: Path) -> Iterator[Path]:
    """The rooms of the package that a browser can use."""
    for path in sorted(package.rglob("*")):
        parts = path.relative_to(package).parts
        if path.is_file() and parts[0] not in _STAY_HOME and not _RUBBISH.intersection(parts):
            yield path
