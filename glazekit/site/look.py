"""The look of the site: the desktop course's style sheet in every page, a wake button that waits, a front page of our own."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from glazekit.drawing.markup import Html, el, join
from glazekit.site.tools import SiteError, shipped
from glazekit.words.course import course
from glazekit.words.texts import lesson_text, load

NOTEBOOK = "@jupyterlab/notebook-extension:panel"
KERNEL = "@jupyterlite/pyodide-kernel-extension"
STYLE, WAKE = "static/course.css", "static/wake.js"
LAB, PLAIN = "lab/index.html", "notebooks/index.html"
"""Where a lesson opens: with the list of files beside it, or alone on a small screen."""


def look_settings() -> dict[str, Any]:
    """The settings of the desktop course, with one difference: "Wake this page" does not start Python a second time.

    Here that takes many seconds, and Python has just been started by opening the page.
    """
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
