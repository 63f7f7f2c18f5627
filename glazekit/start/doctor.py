"""Is everything here? Python, packages, browser, data, folder and port, looked at once before the first evening."""

import os
import platform
import shutil
import socket
import sys
import tempfile
import webbrowser
from contextlib import suppress
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path

from glazekit.ground import tables
from glazekit.ground.errors import GlazekitError
from glazekit.materials.stock import course_stock
from glazekit.words.course import lessons_dir

PYTHON_MIN = (3, 11)
LESSONS_NEED = {"jupyterlab": "the lessons", "ipywidgets": "the panels in the lessons", "anywidget": "the panels in the lessons"}
PACKAGES = {**LESSONS_NEED, "pandas": "recipes and books as tables"}
"""Package -> what it is needed for; none of them is needed for the ``sheet`` command."""
FIRST_PORT = 8888
PORTS_TRIED = 50

Found = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Finding:
    """What was looked at, "ok", "missing" or "note" (a missing part of the core is "broken"), and what was found."""

    what: str
    word: str
    words: str


def examine(folder: Path) -> tuple[Finding, ...]:
    """Look at everything once; changes nothing but a file made and removed in ``folder``, if that exists."""
    packages = {name: _package(name) for name in PACKAGES}
    parts = {"Python": _python(), **packages, "browser": _browser(), "data": _data(), "lessons": _lessons()}
    return tuple(Finding(what, *found) for what, found in (parts | {"folder": _folder(folder), "port": _port()}).items())


def verdict(findings: tuple[Finding, ...]) -> tuple[bool, str]:
    """Is the core fine, and the whole thing as one sentence."""
    broken = [finding.what for finding in findings if finding.word == "broken"]
    if broken:
        return False, f"Verdict: not ready. Put right first: {', '.join(broken)}."
    missing = [finding.what for finding in findings if finding.word == "missing"]
    if missing:
        return True, f"Verdict: batch sheets work; for the lessons this is missing: {', '.join(missing)}."
    return True, "Verdict: all is ready. Start the lessons with: glazekit start"


def missing_for_lessons() -> tuple[str, ...]:
    """Packages without which no lesson opens."""
    return tuple(name for name in LESSONS_NEED if find_spec(name) is None)


def _python() -> Found:
    found = f"{platform.python_version()} on {platform.system() or 'an unknown system'}"
    if sys.version_info < PYTHON_MIN:
        return "broken", f"{found}; {'.'.join(map(str, PYTHON_MIN))} or newer is needed"
    return "ok", found


def _package(name: str) -> Found:
    try:
        return "ok", version(name)
    except PackageNotFoundError:
        return "missing", f"missing: needed for {PACKAGES[name]}"


def _browser() -> Found:
    try:
        webbrowser.get()
    except webbrowser.Error:
        return "note", "none found; open the address that 'glazekit start' prints in any browser"
    return "ok", "found"


def _data() -> Found:
    try:
        names = tables.table_names()
        rows = sum(len(tables.read_table(name)) for name in names)
        return "ok", f"{len(names)} tables, {rows} rows, {len(course_stock().materials)} materials"
    except GlazekitError as error:
        return "broken", str(error)


def _lessons() -> Found:
    try:
        return "ok", f"{len(list(lessons_dir().glob('*.ipynb')))} pages"
    except GlazekitError as error:
        return "missing", str(error)


def _folder(folder: Path) -> Found:
    """Can files be written where the learner's folder is, or will be?"""
    wanted = place = folder.expanduser().absolute()
    try:
        while not place.exists():
            place = place.parent
        with tempfile.TemporaryFile(dir=place):
            free_mb = shutil.disk_usage(place).free / 1e6
    except OSError as error:
        return "missing", f"{folder} cannot be written ({error.strerror or error}); name another one"
    state = "is there" if place == wanted else "can be made"
    return "ok" if free_mb > 100 else "note", f"{folder} {state}, {free_mb:.0f} MB free"


def _port() -> Found:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        with socket.socket() as probe:
            if os.name == "posix":  # as servers do: a port that was closed a moment ago counts as free
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            with suppress(OSError):
                probe.bind(("127.0.0.1", port))
                return "ok", f"{port} is free"
    return "missing", f"none free from {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1}; close other programs or use --port"
