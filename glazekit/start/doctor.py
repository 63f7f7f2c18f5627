"""Is everything here? Python, packages, browser, data, folder and port, looked at once before the first evening."""

from __future__ import annotations

import os
import platform
import shutil
import socket
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from glazekit.ground.errors import GlazekitError

PYTHON_MIN = (3, 11)
PACKAGES = (
    ("jupyterlab", "the lessons"),
    ("ipywidgets", "the panels in the lessons"),
    ("anywidget", "the panels in the lessons"),
    ("plotly", "the charts in later lessons"),
    ("pandas", "recipes and books as tables"),
    ("sqlalchemy", "the class wall"),
)
"""Package -> what it is needed for; none of them is needed for the ``sheet`` command."""
FIRST_PORT = 8888
PORTS_TRIED = 50


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the check.

    Parameters
    ----------
    what : what was looked at.
    word : "ok", "missing" or "note"; a missing part of the core is "broken".
    words : what was found.
    """

    what: str
    word: str
    words: str


def examine(folder: Path) -> tuple[Finding, ...]:
    """Look at everything once; changes nothing but a file made and removed in ``folder``, if that exists."""
    return (_python(), *_packages(), _browser(), _data(), _lessons(), _folder(folder), _port())


def verdict(findings: tuple[Finding, ...]) -> tuple[bool, str]:
    """Is the core fine, and the whole thing as one sentence."""
    broken = [finding.what for finding in findings if finding.word == "broken"]
    if broken:
        return False, f"Verdict: not ready. Put right first: {', '.join(broken)}."
    missing = [finding.what for finding in findings if finding.word == "missing"]
    if missing:
        return True, f"Verdict: batch sheets work; for the lessons this is missing: {', '.join(missing)}."
    return True, "Verdict: all is ready. Start the lessons with: glazekit start"


def _python() -> Finding:
    found = f"{platform.python_version()} on {platform.system() or 'an unknown system'}"
    if sys.version_info < PYTHON_MIN:
        return Finding("Python", "broken", f"{found}; {'.'.join(map(str, PYTHON_MIN))} or newer is needed")
    return Finding("Python", "ok", found)


def _packages() -> Iterator[Finding]:
    for name, purpose in PACKAGES:
        try:
            yield Finding(name, "ok", version(name))
        except PackageNotFoundError:
            yield Finding(name, "missing", f"missing: needed for {purpose}")


def _browser() -> Finding:
    import webbrowser

    try:
        webbrowser.get()
    except webbrowser.Error:
        return Finding("browser", "note", "none found; open the address that 'glazekit start' prints in any browser")
    return Finding("browser", "ok", "found")


def _data() -> Finding:
    from glazekit.ground.tables import read_table, table_names
    from glazekit.materials.stock import course_stock

    try:
        names = table_names()
        rows = sum(len(read_table(name)) for name in names)
        return Finding("data", "ok", f"{len(names)} tables, {rows} rows, {len(course_stock().materials)} materials")
    except GlazekitError as error:
        return Finding("data", "broken", str(error))


def _lessons() -> Finding:
    from glazekit.words.course import lessons_dir

    try:
        return Finding("lessons", "ok", f"{len(list(lessons_dir().glob('*.ipynb')))} pages")
    except GlazekitError as error:
        return Finding("lessons", "missing", str(error))


def _folder(folder: Path) -> Finding:
    """Can files be written where the learner's folder is, or will be?"""
    place = folder.expanduser().absolute()
    while not place.exists():
        place = place.parent
    try:
        with tempfile.TemporaryFile(dir=place):
            free_mb = shutil.disk_usage(place).free / 1e6
    except OSError as error:
        return Finding("folder", "missing", f"{folder} cannot be written ({error.strerror or error}); name another one")
    word = "ok" if free_mb > 100 else "note"
    return Finding(
        "folder",
        word,
        f"{folder} {'is there' if place == folder.expanduser().absolute() else 'can be made'}, {free_mb:.0f} MB free",
    )


def _port() -> Finding:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        with socket.socket() as probe:
            if os.name == "posix":  # as servers do: a port that was closed a moment ago counts as free
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return Finding("port", "ok", f"{port} is free")
    return Finding(
        "port", "missing", f"none free from {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1}; close other programs or use --port"
    )
