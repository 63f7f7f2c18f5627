"""Python for the browser: Pyodide, at the version the browser kernel was made for, as the package npm has of it."""

from __future__ import annotations

import sys
import tarfile
from dataclasses import dataclass
from pathlib import Path

from glazekit.site.tools import SiteError, npm, run

CORE = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
"""What a browser needs of the package; the rest is for other uses."""
_ASK = "import jupyterlite_pyodide_kernel.constants as c; print(c.PYODIDE_VERSION, c.PYODIDE_PYTHON_VERSION)"


@dataclass(frozen=True, slots=True)
class Versions:
    """Which Pyodide the kernel wants, and which Python that is, such as "3.14"."""

    pyodide: str
    python: str


def wanted_versions(folder: Path) -> Versions:
    """Ask the installed kernel."""
    words = run([sys.executable, "-c", _ASK], "the browser kernel did not tell which Pyodide it wants", folder).split()
    if len(words) != 2:
        raise SiteError("the browser kernel (jupyterlite-pyodide-kernel) is too old or too new; install the extra 'site' again")
    return Versions(*words)


def fetch_python(version: str, work: Path, target: Path) -> None:
    """Fetch Pyodide's core with npm and put its files into ``target``."""
    command = [npm() or "npm", "pack", f"pyodide@{version}", "--loglevel=error", "--fetch-retries=1"]
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
