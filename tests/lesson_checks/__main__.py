"""Looks at one lesson in a process of its own: ``python -m lesson_checks 99 < changes.json`` prints the faults as JSON.

Each change names a file, what stands in it and what to put there, and the check to run (every check without a name). It is
taken back before the next.
"""

from __future__ import annotations

import gc
import json
import sys
from functools import _lru_cache_wrapper
from pathlib import Path

from glazekit.ground.errors import GlazekitError
from glazekit.words.course import course
from lesson_checks import exercises, page, rows, sums, words

CHECKS = {check.__name__: check for part in (rows, exercises, sums, words, page) for check in part.CHECKS}


def faults(number: str, only: str) -> dict[str, list[str]]:
    """What the checks find, by the name of the check."""
    lesson = next(lesson for lesson in course() if lesson.number == number)
    found = {}
    for name in [only] if only else CHECKS:
        try:
            found[name] = CHECKS[name](lesson)
        except GlazekitError as error:  # what cannot even be looked at
            found[name] = [str(error)]
        except Exception as error:  # a check that falls over has found something too
            found[name] = [f"lesson {number}: {name} fell over {error!r}"]
    return {name: said for name, said in found.items() if said}


def forget(number: str) -> None:
    """Let everything that was read before be read again."""
    for name in [name for name in sys.modules if name.startswith("glazekit.lab.panels.") or name.endswith(f".lesson_{number}")]:
        del sys.modules[name]
    for kept in (thing for thing in gc.get_objects() if isinstance(thing, _lru_cache_wrapper)):
        kept.cache_clear()


found = []
for change in json.load(sys.stdin):
    file, whole = Path(change["file"]), Path(change["file"]).read_text(encoding="utf-8")
    assert whole.count(change["old"]) == 1 or not change["old"], change
    try:
        file.write_text(whole.replace(change["old"], change["new"]) if change["old"] else whole, encoding="utf-8")
        forget(sys.argv[1])
        found.append(faults(sys.argv[1], change["check"]))
    finally:
        file.write_text(whole, encoding="utf-8")
print(json.dumps(found))
