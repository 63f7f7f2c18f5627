"""Where sliders stood and what was typed: saved often, restored when a lesson opens, replaced without regret.

The book keeps facts; this keeps the desk as it was left. One small JSON file per lesson page, replaced in one step so that a
power cut leaves the old file or the new one, never half of either.

In the browser edition the files of the folder ``/drive`` are kept by the browser. Without a secure connection, or in some private
windows, the browser gives no such folder: lessons work, but everything is gone when the page closes, and the learner must know.
"""

import json
import re
import secrets
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import Any

from glazekit.ground.errors import FileError
from glazekit.ground.writer import write_over

BROWSER_DRIVE = Path("/drive")
_PAGE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_. -]*")


class State:
    """The saved desk of a learner, in ``folder``/state/.

    >>> import tempfile
    >>> state = State(tempfile.mkdtemp())
    >>> state.put("02", "recipe bench", {"base_g": 250.0})
    >>> state.get("02", "recipe bench"), state.get("02", "water log", "nothing yet")
    ({'base_g': 250.0}, 'nothing yet')

    Raises FileError when the page name or the value cannot be kept. A damaged file is set aside under another name and told in
    ``problems``; the page then starts fresh.
    """

    def __init__(self, folder: str | Path) -> None:
        self.folder = Path(folder).expanduser() / "state"
        self.problems: tuple[str, ...] = ()
        self._lock = threading.Lock()

    def get(self, page: str, key: str, default: Any = None) -> Any:
        """What was saved for this page under this key, or ``default``."""
        return self._load(self._path(page)).get(key, default)

    def put(self, page: str, key: str, value: Any) -> None:
        """Save a value (text, numbers, lists, mappings) under this key; other keys of the page stay as they are."""
        path = self._path(page)
        with self._lock:
            content = {**self._load(path), key: value}
            try:
                text = json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1)
            except (TypeError, ValueError) as error:
                raise FileError(f"'{key}' of page {page} cannot be saved: {error}") from None
            write_over(path, text.encode("utf-8", "backslashreplace"))

    def _path(self, page: str) -> Path:
        if not _PAGE.fullmatch(page):
            raise FileError(f"'{page}' is not a page name; letters, digits, spaces, points and dashes are allowed")
        return self.folder / f"{page}.json"

    def _load(self, path: Path) -> dict[str, Any]:
        try:
            content = json.loads(path.read_bytes().decode("utf-8"))
            if isinstance(content, dict):
                return content
        except FileNotFoundError:
            return {}
        except OSError as error:
            raise FileError(f"the saved page {path.name} cannot be read: {error.strerror}") from error
        except (ValueError, RecursionError):
            pass
        aside = path.with_name(f"{path.name}.damaged-{secrets.token_hex(3)}")
        with suppress(FileNotFoundError):  # another session may have moved it first
            path.rename(aside)
            self.problems += (f"the saved page {path.name} was damaged; it is kept as {aside.name} and the page starts fresh",)
        return {}


def in_browser() -> bool:
    """Does Python itself run in a browser tab?"""
    return sys.platform == "emscripten"


def is_kept(folder: Path) -> bool:
    """Will files written into ``folder`` outlive this page?

    >>> is_kept(Path("my-glazes"))
    True
    """
    return not in_browser() or folder.absolute().is_relative_to(BROWSER_DRIVE)
