"""The programs that help to build the site, each run apart from this one, and what went wrong in one sentence."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from importlib.metadata import PackageNotFoundError, distribution
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from glazekit.ground.errors import GlazekitError

NEEDED = ("jupyterlite-core", "jupyterlite-pyodide-kernel", "jupyter-server", "ipywidgets", "jupyterlab-widgets", "anywidget")
"""Packages of the extra 'site'; a dash in the name to install is an underscore in the name to import."""
PATIENCE_S = 600
SHOWN = 200


class SiteError(GlazekitError):
    """The site cannot be built; says what is missing and what to do."""


def need_tools() -> None:
    """Stop with one sentence if a package, pip or npm is missing."""
    missing = [name for name in NEEDED if find_spec(name.replace("-", "_")) is None]
    if missing:
        raise SiteError(
            f"the browser edition needs {', '.join(missing)}; install glazekit with its extra 'site', from its folder: "
            f'"{sys.executable}" -m pip install ".[site]"'
        )
    if find_spec("pip") is None:
        raise SiteError(f'the browser edition needs pip; get it with: "{sys.executable}" -m ensurepip')
    if shutil.which("npm") is None:
        raise SiteError("the browser edition needs the program npm, which comes with Node.js; install it and try again")


def run(command: Sequence[str], task: str, folder: Path) -> str:
    """Run a program in ``folder`` to its end, without the person's own Jupyter settings; returns what it printed. Raises
    SiteError with the task, such as "npm could not fetch the package", and the line the program complained with."""
    environment = {
        **os.environ,
        "JUPYTER_CONFIG_DIR": str(folder / "no-settings"),
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        "PYTHONIOENCODING": "utf-8",
    }
    try:
        done = subprocess.run(
            list(command),
            cwd=folder,
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            errors="replace",
            timeout=PATIENCE_S,
        )
    except subprocess.TimeoutExpired:
        raise SiteError(f"{task}: no end after {PATIENCE_S // 60} minutes") from None
    except OSError as error:
        raise SiteError(f"{task}: {command[0]} does not start ({error.strerror or error})") from None
    if done.returncode:
        raise SiteError(f"{task}; it said: {complaint(done.stderr + done.stdout)}")
    return done.stdout


def complaint(printed: str) -> str:
    r"""The line of a program's output that says most about its failure: the last one with "error" in it, else the last.

    >>> complaint("npm error code ENOTFOUND\nnpm error A complete log is in a file\n")
    'npm error code ENOTFOUND'
    >>> complaint("one\ntwo\n"), complaint("")
    ('two', 'nothing')
    """
    lines = [line.strip() for line in printed.splitlines() if line.strip() and "complete log" not in line]
    errors = [line for line in lines if "error" in line.casefold()]
    return (errors or lines or ["nothing"])[-1][:SHOWN]


def shipped(name: str, room: str = "site") -> Any:
    """A JSON file that ships in a room of the package."""
    return json.loads(files(f"glazekit.{room}").joinpath(name).read_text("utf-8"))


def files_of(package: str) -> Iterator[Path]:
    """Every file of an installed package, wherever it was put."""
    try:
        found = distribution(package)
    except PackageNotFoundError:
        raise SiteError(f"the package {package} is missing; install glazekit with its extra 'site'") from None
    for file in found.files or ():
        yield Path(str(found.locate_file(file))).resolve()
