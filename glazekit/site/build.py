"""Build the site: gather everything in a workroom, let JupyterLite's builder assemble it, and only then fill the folder.

It looks like the desktop course: that course's style sheet in every page, a wake button that waits, a front page of our own.
Nothing appears in the folder unless the whole site was built; a folder that holds anything is refused.
"""

import json
import shutil
import sys
import tempfile
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from glazekit.drawing.markup import Html, el, join
from glazekit.folder.lessons import BAG_FORM, page_content
from glazekit.ground.errors import FileError
from glazekit.materials.bags import write_bag_form
from glazekit.site.tools import SiteError, files_of, need_tools, run, shipped
from glazekit.site.wheels import PACKAGES, fetch_python, gather_wheels, wanted_versions
from glazekit.words.course import course, lessons_dir
from glazekit.words.texts import lesson_text, load

NOTEBOOK = "@jupyterlab/notebook-extension:panel"
KERNEL = "@jupyterlite/pyodide-kernel-extension"
STYLE, WAKE = "static/course.css", "static/wake.js"
LAB, PLAIN = "lab/index.html", "notebooks/index.html"
"""Where a lesson opens: with the list of files beside it, or alone on a small screen."""


def build_site(folder: Path, say: Callable[[str], None] = print) -> tuple[int, float]:
    """Build the browser edition into a new or empty folder, saying each step; returns how many files it has and its size [MB].
    Raises FileError when the folder is in use, SiteError when a tool, a package or the network is missing."""
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


def look_settings() -> dict[str, Any]:
    """The settings of the desktop course, with one difference: "Wake this page" does not start Python a second time. Here that
    takes many seconds, and Python has just been started by opening the page."""
    settings: dict[str, Any] = shipped("jupyter/labconfig/default_setting_overrides.json", "start")
    (wake,) = (item for item in settings[NOTEBOOK]["toolbar"] if item["name"] == "wake")
    wake["command"] = "notebook:run-all-cells"
    return settings


def put_away() -> list[str]:
    """Parts of JupyterLab that the desktop course puts away, without the one it cannot use and this edition cannot do without."""
    desktop = shipped("jupyter/labconfig/page_config.json", "start")
    return [name for name, away in desktop["disabledExtensions"].items() if away and name != KERNEL]


def dress(site: Path) -> None:
    """Link the course's style sheet from every page of the site, and the script that lets a press of the wake button wait."""
    (site / WAKE).write_text(files("glazekit.site").joinpath("wake.js").read_text("utf-8"), encoding="utf-8")
    css = files("glazekit.start").joinpath("jupyter/custom/custom.css").read_text("utf-8")
    (site / STYLE).write_text(css, encoding="utf-8")
    pages = [path for path in site.rglob("index.html") if path.parent != site]
    for page in pages:
        html = page.read_text("utf-8")
        up = "../" * len(page.relative_to(site).parent.parts)
        if "</head>" not in html:
            raise SiteError(f"the page {page.relative_to(site)} has no head to dress; install the newest jupyterlite-core")
        head = f'<link rel="stylesheet" href="{up}{STYLE}">\n<script src="{up}{WAKE}"></script>\n</head>'
        page.write_text(html.replace("</head>", head, 1), encoding="utf-8")


def write_front_page(site: Path) -> None:
    """Replace the redirecting first page by one that lists the lessons and says where the learner's work is kept."""
    says = load("site")
    rows = (
        el("li", _link(LAB, page.notebook, page.called), f" {page.line} ", _link(PLAIN, page.notebook, says["plain"], "plain"))
        for page in course()
        if page.notebook
    )
    button = lesson_text("00")["panel"]["progress"]["export"]
    kept = (el("li", line.format(export=button)) for line in says["kept"])
    plain = {key: join(text) for key, text in says.items() if isinstance(text, str)}
    template = Template(files("glazekit.site").joinpath("front.html").read_text("utf-8"))
    html = template.substitute(plain, lessons="\n".join(rows), kept_lines="".join(kept))
    (site / "index.html").write_text(html, encoding="utf-8")


def _link(place: str, notebook: str, words: str, class_: str = "") -> Html:
    return el("a", words, class_=class_, href=f"{place}?path={notebook}")
