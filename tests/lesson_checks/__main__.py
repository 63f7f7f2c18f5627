"""Looks at one lesson in a process of its own: ``python -m lesson_checks 99 < changes.json`` prints the faults as JSON.

Each change names a file, what stands in it and what to put there, and the check to run (every check without a name). It is
taken back before the next.
"""

from __future__ import annotations

import gc
import json
import sys
from functools import _lru_cache_wrapper
from importlib import import_module
from pathlib import Path

from glazekit.ground.errors import GlazekitError
from glazekit.words.course import course
from lesson_checks import checks

READ_AGAIN = ("glazekit.exercises", "glazekit.lab.panels.", "lesson_checks.")
"""Modules a change may touch, and those that hold on to them."""


def faults(number: str, only: str) -> dict[str, list[str]]:
    """What the checks find, by the name of the check."""
    lesson = next(lesson for lesson in course() if lesson.number == number)
    found = {}
    for name, check in checks().items():
        try:
            found[name] = check(lesson) if only in ("", name) else []
        except GlazekitError as error:  # what cannot even be looked at
            found[name] = [str(error)]
        except Exception as error:  # a check that falls over has found something too
            found[name] = [f"lesson {number}: {name} fell over {error!r}"]
    return {name: said for name, said in found.items() if said}


def forget() -> None:
    """Let everything that was read before be read again."""
    for name in [name for name in sys.modules if name.startswith(READ_AGAIN)]:
        del sys.modules[name]
    for kept in (thing for thing in gc.get_objects() if isinstance(thing, _lru_cache_wrapper)):
        kept.cache_clear()


found = []
for change in json.load(sys.stdin):
    file, whole = Path(change["file"]), Path(change["file"]).read_text(encoding="utf-8")
    assert whole.count(change["old"]) == 1 or not change["old"], change
    try:
        file.write_text(whole.replace(change["old"], change["new"]) if change["old"] else whole, encoding="utf-8")
        forget()
        exercises = import_module("lesson_checks.exercises")
        exercises.LEARNERS = exercises.LEARNERS[: 40 if change["old"] else None]  # enough to see a fault that was laid
        found.append(faults(sys.argv[1], change["only"]))
    finally:
        file.write_text(whole, encoding="utf-8")
print(json.dumps(found))
