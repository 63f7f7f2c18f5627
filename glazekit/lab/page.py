"""A lesson page: finds the learner's folder and opens the panels, each with one short line of code.

Panels are found, not listed: the name a lesson writes tells the file in lab/panels/ and the class in it.
"""

import os
import re
from importlib import import_module
from inspect import getmembers, isclass
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

from glazekit.folder.lessons import FOLDER_VARIABLE
from glazekit.ground.errors import GlazekitError, unknown_name
from glazekit.lab import panels
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Panel


class Page(Desk):
    """What lessons write: a desk that opens panels."""

    def panel(self, name: str, **options: Any) -> Panel:
        """A panel by its name; a misspelt name gets the nearest. Where what was saved of it cannot be laid out again, it starts
        fresh and says so; a fault of ours comes up again."""
        panel = panel_named(name)(self, **options)
        try:
            return panel.open()
        except GlazekitError:
            raise
        except Exception:  # whatever a file of another hand may bring about
            self.leave(panel)
            kept = (panel.kept_under or self.lesson, panel.key)
            with self.state.without(*kept):  # a fault that comes up without it too costs nobody's work
                panel = panel_named(name)(self, **options).open()
            told = self.state.set_aside(*kept)
            panel.unread += (told,)
            panel.warn(())
            return panel

    def play(self) -> Panel:
        """The opening play of lesson 1."""
        return self.panel("leave one out")

    def settings(self) -> Panel:
        """Nickname, class code and the scale's division."""
        return self.panel("settings")

    def exercise(self, exercise_id: str) -> Panel:
        """The box of one exercise, such as "1.1"."""
        return self.panel("exercise box", exercise_id=exercise_id)

    def predict(self, prediction_id: str) -> Panel:
        """The box of one prediction, such as "1a"."""
        return self.panel("prediction box", prediction_id=prediction_id)

    def print_sheet(self, name: str, **options: Any) -> Panel:
        """A button that writes a sheet, such as "step card", into prints/ and links to it."""
        return self.panel("print box", sheet=name, **options)

    def progress(self) -> Panel:
        """What the book says has been done, lesson by lesson."""
        return self.panel("progress")

    def sources(self) -> Panel:
        """Where the numbers of the lesson come from, folded."""
        return self.panel("sources")

    def __repr__(self) -> str:
        return f"<lesson page {self.lesson}>"


def open_page(lesson: str, folder: str | Path | None = None) -> Page:
    """Open the page of a lesson, such as "01"; its panels remember where you left them. ``folder`` is the learner's; by default
    that of the environment, else the one the notebook stands in."""
    found = folder or os.environ.get(FOLDER_VARIABLE) or Path.cwd()
    return Page(str(lesson), Path(found).expanduser())


def panel_named(name: str) -> type[Panel]:
    """The panel that lessons call ``name``; GlazekitError with the nearest name when there is none.

    >>> panel_named("two-strip sketch").__name__
    'TwoStripSketch'
    """
    stem = file_of(name)
    for panel in panels_in(stem) if stem in panel_files() else ():
        if panel.name == name:
            return panel
    raise unknown_name(GlazekitError, "panel", name, panel_names())


def file_of(name: str) -> str:
    """The file of lab/panels/ that makes the panel of this name.

    >>> file_of("two-strip sketch")
    'two_strip_sketch'
    """
    return re.sub("[ -]", "_", name)


def panel_names() -> tuple[str, ...]:
    """Names of all panels, in the order of their files."""
    return tuple(panel.name for stem in panel_files() for panel in panels_in(stem))


def panel_files() -> tuple[str, ...]:
    """Names of the files in lab/panels/, each without its ending."""
    return tuple(sorted(module.name for module in iter_modules(panels.__path__)))


def panels_in(stem: str) -> tuple[type[Panel], ...]:
    """The panels that a file of lab/panels/ makes: one, by the rule of the house."""
    module = import_module(f"{panels.__name__}.{stem}")
    classes = (thing for _, thing in getmembers(module, isclass) if thing.__module__ == module.__name__)
    return tuple(thing for thing in classes if issubclass(thing, Panel))
