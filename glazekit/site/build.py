"""Build the site: gather everything in a workroom, let JupyterLite's builder assemble it, and only then fill the folder.

Nothing appears in the folder unless the whole site was built; a folder that holds anything is refused.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from glazekit.folder.lessons import BAG_FORM, page_content
from glazekit.ground.errors import FileError
from glazekit.materials.bags import write_bag_form
from glazekit.site.look import KERNEL, dress, look_settings, put_away, write_front_page
from glazekit.site.tools import SiteError, files_of, need_tools, run, shipped
from glazekit.site.wheels import PACKAGES, fetch_python, gather_wheels, wanted_versions
from glazekit.words.course import course, lessons_dir


def build_site(folder: Path, say: Callable[[str], None] = print) -> tuple[int, float]:
    """Build the browser edition into a new or empty folder, saying each step; returns how many files it has and its size [MB].

    Raises FileError when the folder is in use, SiteError when a tool, a package or the network is missing.
    """
    _must_be_free(folder)
    need_tools()
    with tempfile.TemporaryDirectory(prefix="glazekit-site-") as name:
        work = Path(name).resolve()
        python = work / "static" / "pyodide"
        pyodide_version, python_version = wanted_versions(work)
        say(f"1 of 4: fetching Python {python_version} for the browser (Pyodide {pyodide_version}, about 14 MB)")
        fetch_python(pyodide_version, work, python)
        say("2 of 4: fetching the packages the lessons need (about 5 MB)")
        loaded = gather_wheels(python_version, python)
        say("3 of 4: putting lessons and settings in")
        _put_lessons(work / "files")
        _put_settings(work, loaded)
        say("4 of 4: assembling")
        command = [sys.executable, "-m", "jupyterlite_core", "build", "--lite-dir", str(work)]
        run(command, "JupyterLite could not assemble the site", work)
        built = work / "site"
        dress(built)
        write_front_page(built)
        _deliver(built, folder)
    sizes = [path.stat().st_size for path in folder.rglob("*") if path.is_file()]
    return len(sizes), sum(sizes) / 1e6


def _must_be_free(folder: Path) -> None:
    """The folder does not exist yet, or is an empty one."""
    try:
        if folder.is_symlink() or folder.exists():
            if not folder.is_dir():
                raise FileError(f"{folder} is a file; name a new folder for the site")
            if any(folder.iterdir()):
                raise FileError(f"{folder} is not empty, and nothing in it is overwritten; name a new folder for the site")
    except OSError as error:
        raise FileError(f"{folder} cannot be used for the site: {error.strerror or error}") from error


def _put_lessons(folder: Path) -> None:
    """The pages as the desktop course hands them out, and the form for a learner's own bags."""
    (folder / "my-recipes").mkdir(parents=True)
    for page in course():
        if page.notebook:
            (folder / page.notebook).write_bytes(page_content(lessons_dir() / page.notebook))
    bags = folder / "my-bags"
    bags.mkdir(exist_ok=True)
    write_bag_form(bags / BAG_FORM)


def _put_settings(work: Path, loaded: tuple[str, ...]) -> None:
    """Settings of the builder, of the page and of the kernel."""
    build = shipped("config/jupyter_lite_config.json")
    build["LiteBuildConfig"]["federated_extensions"] = [str(_extension(name)) for name in PACKAGES["page_extensions"]]
    page = shipped("config/jupyter-lite.json")
    page["jupyter-config-data"]["litePluginSettings"][f"{KERNEL}:kernel"]["loadPyodideOptions"] = {"packages": list(loaded)}
    page["jupyter-config-data"]["disabledExtensions"] = put_away()
    settings = {"jupyter_lite_config.json": build, "jupyter-lite.json": page, "overrides.json": look_settings()}
    for name, content in settings.items():
        (work / name).write_text(json.dumps(content, indent=1), encoding="utf-8")


def _extension(package: str) -> Path:
    """Folder of the half of a package that lives in the page."""
    for path in files_of(package):
        if path.name == "package.json" and "labextensions" in path.parts and "static" not in path.parts:
            return path.parent
    raise SiteError(f"the package {package} brings nothing for the page; install the extra 'site' again")


def _deliver(built: Path, folder: Path) -> None:
    _must_be_free(folder)  # the building took a while
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        shutil.copytree(built, folder, dirs_exist_ok=True)
    except OSError as error:
        raise FileError(f"the site cannot be put into {folder}: {error.strerror or error}") from error
