"""Where a lesson runs, and whether what it writes is still there tomorrow.

In the browser edition the files of the folder ``/drive`` are kept by the browser. Without a secure connection, or in some private
windows, the browser gives no such folder: lessons work, but everything is gone when the page closes, and the learner must know.
"""

from __future__ import annotations

import sys
from pathlib import Path

BROWSER_DRIVE = Path("/drive")


def in_browser() -> bool:
    """Does Python itself run in a browser tab?"""
    return sys.platform == "emscripten"


def is_kept(folder: Path) -> bool:
    """Will files written into ``folder`` outlive this page?

    >>> is_kept(Path("my-glazes"))
    True
    """
    return not in_browser() or folder.absolute().is_relative_to(BROWSER_DRIVE)
