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
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from math import isfinite
from pathlib import Path
from typing import Any

from glazekit.ground.errors import FileError
from glazekit.ground.writer import alone, write_over

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
        self._forgotten: set[tuple[str, str]] = set()
        self._lock = threading.Lock()

    def get(self, page: str, key: str, default: Any = None) -> Any:
        """What was saved for this page under this key, or ``default``; also where something of another type stands there."""
        value = None if (page, key) in self._forgotten else self._load(self._path(page)).get(key)
        if value is None:
            return default
        if default is None or isinstance(value, type(default)):
            return value
        self._tell(f"what was saved of page {page} under '{key}' cannot be used; it starts fresh")
        return default

    def put(self, page: str, key: str, value: Any) -> None:
        """Save a value (text, numbers, lists, mappings) under this key; other keys of the page stay as they are."""
        self._change(page, key, lambda _: value)

    def merge(self, page: str, key: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
        """Save what changed between two values of named parts with named fields. What another window wrote meanwhile stays: of
        each field the newest counts, not of the whole."""

        def merged(kept: Any) -> dict[str, Any]:
            parts = dict(kept) if isinstance(kept, dict) else {}
            for part, now in after.items():
                then, fields = before.get(part, {}), dict(parts.get(part) or {})
                for name in {*then, *now}:
                    if name not in now:
                        fields.pop(name, None)
                    elif name not in fields or name not in then or then[name] != now[name]:
                        fields[name] = now[name]
                parts[part] = fields
            return parts

        self._change(page, key, merged)

    def _change(self, page: str, key: str, change: Callable[[Any], Any]) -> None:
        path = self._path(page)
        with self._lock, alone(path):
            content = self._load(path)
            try:
                text = json.dumps({**content, key: change(content.get(key))}, ensure_ascii=False, allow_nan=False, indent=1)
            except (TypeError, ValueError) as error:
                raise FileError(f"'{key}' of page {page} cannot be saved: {error}") from None
            write_over(path, text.encode("utf-8", "backslashreplace"))
            self._forgotten.discard((page, key))

    @contextmanager
    def without(self, page: str, key: str) -> Iterator[None]:
        """As if nothing stood under this key; where it helps, it stays so until something is saved there."""
        self._forgotten.add((page, key))
        try:
            yield
        except BaseException:
            self._forgotten.discard((page, key))
            raise

    def set_aside(self, page: str, key: str) -> str:
        """Forget what stands under this key and cannot be used; the page's file is kept under another name. Returns the words."""
        path = self._path(page)
        aside = _beside(path)
        self._forgotten.add((page, key))
        try:
            write_over(aside, path.read_bytes())
            self.put(page, key, None)
        except (FileError, OSError) as error:
            return self._tell(str(error))
        return self._tell(f"'{key}' could not be laid out as it was left and starts fresh; the old file is kept as {aside.name}")

    def _tell(self, problem: str) -> str:
        self.problems = tuple(dict.fromkeys((*self.problems, problem)))
        return problem

    def _path(self, page: str) -> Path:
        if not _PAGE.fullmatch(page):
            raise FileError(f"'{page}' is not a page name; letters, digits, spaces, points and dashes are allowed")
        return self.folder / f"{page}.json"

    def _load(self, path: Path) -> dict[str, Any]:
        try:
            content = json.loads(path.read_bytes().decode("utf-8"), parse_constant=_finite, parse_float=_finite)
            if isinstance(content, dict):
                return content
        except FileNotFoundError:
            return {}
        except (IsADirectoryError, NotADirectoryError):
            pass
        except OSError as error:
            raise FileError(f"the saved page {path.name} cannot be read: {error.strerror}") from error
        except (ValueError, RecursionError):
            pass
        aside = _beside(path)
        try:
            path.rename(aside)
        except FileNotFoundError:  # another session moved it first
            return {}
        except OSError as error:
            self._tell(f"the saved page {path.name} is damaged and the page starts fresh; it stays where it is: {error.strerror}")
            return {}
        self._tell(f"the saved page {path.name} was damaged; it is kept as {aside.name} and the page starts fresh")
        return {}


def _beside(path: Path) -> Path:
    return path.with_name(f"{path.name}.damaged-{secrets.token_hex(3)}")


def _finite(text: str) -> float | None:
    """A number of the file; nothing for one that is not finite, which no panel can have meant."""
    return value if isfinite(value := float(text)) else None


def in_browser() -> bool:
    """Does Python itself run in a browser tab?"""
    return sys.platform == "emscripten"


def is_kept(folder: Path) -> bool:
    """Will files written into ``folder`` outlive this page?

    >>> is_kept(Path("my-glazes"))
    True
    """
    return not in_browser() or folder.absolute().is_relative_to(BROWSER_DRIVE)
