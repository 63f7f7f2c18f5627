"""The look of the site: the desktop course's style sheet in every page, a wake button that waits, a front page of our own."""

from __future__ import annotations

import json
from functools import cache
from html import escape
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from glazekit.site.tools import SiteError
from glazekit.words.course import course
from glazekit.words.texts import lesson_text, load

NOTEBOOK = "@jupyterlab/notebook-extension:panel"
KERNEL = "@jupyterlite/pyodide-kernel-extension"
STYLE, WAKE = "static/course.css", "static/wake.js"
LAB, PLAIN = "lab/index.html", "notebooks/index.html"
"""Where a lesson opens: with the list of files beside it, or alone on a small screen."""


@cache
def words() -> dict[str, Any]:
    """Texts of the front page."""
    return load("site")


def look_settings() -> dict[str, Any]:
    """The settings of the desktop course, with one difference: "Wake this page" does not start Python a second time.

    Here that takes many seconds, and Python has just been started by opening the page.
    """
    settings = _desktop("default_setting_overrides.json")
    (wake,) = (item for item in settings[NOTEBOOK]["toolbar"] if item["name"] == "wake")
    wake["command"] = "notebook:run-all-cells"
    return settings


def put_away() -> list[str]:
    """Parts of JupyterLab that the desktop course puts away, without the one it cannot use and this edition cannot do without."""
    return [name for name, away in _desktop("page_config.json")["disabledExtensions"].items() if away and name != KERNEL]


def _desktop(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(files("glazekit.start").joinpath(f"jupyter/labconfig/{name}").read_text("utf-8"))
    return found


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
    says = words()
    rows = [
        f'<li><a href="{LAB}?path={page.notebook}">{escape(page.called)}</a> {escape(page.line)} '
        f'<a class="plain" href="{PLAIN}?path={page.notebook}">{escape(says["plain"])}</a></li>'
        for page in course()
        if page.notebook
    ]
    button = lesson_text("00")["panel"]["progress"]["export"]
    kept = "".join(f"<li>{escape(line.format(export=button))}</li>" for line in says["kept"])
    template = Template(files("glazekit.site").joinpath("front.html").read_text("utf-8"))
    plain = {key: escape(text) for key, text in says.items() if isinstance(text, str)}
    page = template.substitute(plain, lessons="\n".join(rows), kept_lines=kept)
    (site / "index.html").write_text(page, encoding="utf-8")
