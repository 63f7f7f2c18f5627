"""A lesson page: finds the learner's folder and opens the panels, each with one short line of code."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from glazekit.folder.lessons import FOLDER_VARIABLE
from glazekit.lab.desk import Desk
from glazekit.lab.finding import panel_named
from glazekit.lab.panel import Panel


class Page(Desk):
    """What lessons write: a desk that opens panels."""

    def panel(self, name: str, **options: Any) -> Panel:
        """A panel by its name; a misspelt name gets the nearest."""
        return panel_named(name)(self, **options).open()

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
    """Open the page of a lesson; its panels remember where you left them.

    Parameters
    ----------
    lesson : number of the lesson, such as "01".
    folder : the learner's folder; by default the one the notebook stands in.
    """
    found = folder or os.environ.get(FOLDER_VARIABLE) or Path.cwd()
    return Page(str(lesson), Path(found).expanduser())
