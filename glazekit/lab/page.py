"""A lesson page: finds the learner's folder and hands out the panels, each with one short line of code."""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path
from threading import RLock
from typing import Any
from weakref import WeakSet

from glazekit.folder.book import Book
from glazekit.folder.keeping import is_kept
from glazekit.folder.lessons import FOLDER_VARIABLE
from glazekit.folder.shelf import stock_with_bags
from glazekit.folder.state import State
from glazekit.ground.errors import GlazekitError, RangeError, unknown_name
from glazekit.ground.numbers import parse_number
from glazekit.lab.panel import Panel
from glazekit.materials.stock import Stock, course_stock
from glazekit.words.texts import Words, lesson_text, panel_words

PANELS = {
    "batch bench": "batch_bench:BatchBench",
    "chart map": "chart_map:ChartMap",
    "firing log": "firing_log:FiringLog",
    "firing sketch": "firing_sketch:FiringSketch",
    "fit gauge": "fit_gauge:FitGauge",
    "flux mixer": "flux_mixer:FluxMixer",
    "gas meter": "gas_meter:GasMeter",
    "glossary": "glossary:Glossary",
    "leave one out": "leave_one_out:LeaveOneOut",
    "mole swap": "mole_swap:MoleSwapPanel",
    "new bag": "new_bag:NewBagPanel",
    "oxide scales": "oxide_scales:OxideScales",
    "progress": "progress:Progress",
    "recipe bench": "recipe_bench:RecipeBench",
    "second chance": "second_chance:SecondChance",
    "settings": "settings:SettingsStrip",
    "shopping bench": "shopping_bench:ShoppingBench",
    "slope tray": "slope_tray:SlopeTray",
    "suction sketch": "suction_sketch:SuctionSketch",
    "swap bench": "swap_bench:SwapBench",
    "syringe check": "syringe_check:SyringeCheck",
    "two-strip sketch": "two_strip_sketch:TwoStripSketch",
    "unity bench": "unity_bench:UnityBench",
    "water log": "water_log:WaterLog",
}
"""Panel name -> module in lab/panels and class; loaded when a lesson asks for it."""


class Page:
    """One lesson in one learner's folder.

    Parameters
    ----------
    lesson : number of the lesson, such as "01".
    folder : the learner's folder, which holds book/, state/, my-recipes/, my-bags/ and prints/.
    """

    def __init__(self, lesson: str, folder: Path) -> None:
        self.lesson, self.folder = lesson, folder
        self.lock = RLock()  # some set-ups hear each control in a thread of its own; one change is worked through at a time
        self.state = State(folder)
        self.book = Book(folder / "book")
        self.kept = is_kept(folder)
        self._frame = self.words("00", "frame")
        self._panels: WeakSet[Panel] = WeakSet()
        self._stock: Stock | None = None

    # -- what lessons write -------------------------------------------------------------------------------------------------

    def play(self) -> Panel:
        """The opening play of lesson 1."""
        return self.panel("leave one out")

    def settings(self) -> Panel:
        """Nickname, class code and the scale's division."""
        return self.panel("settings")

    def panel(self, name: str, **options: Any) -> Panel:
        """A panel by its name; a misspelt name gets the nearest."""
        if name not in PANELS:
            raise unknown_name(GlazekitError, "panel", name, PANELS)
        module, _, class_name = PANELS[name].partition(":")
        return getattr(import_module(f"glazekit.lab.panels.{module}"), class_name)(self, **options)

    def exercise(self, exercise_id: str) -> Panel:
        """The box of one exercise, such as "1.1"."""
        from glazekit.lab.panels.exercise_box import ExerciseBox

        return ExerciseBox(self, exercise_id)

    def predict(self, prediction_id: str) -> Panel:
        """The box of one prediction, such as "1a"."""
        from glazekit.lab.panels.prediction_box import PredictionBox

        return PredictionBox(self, prediction_id)

    def print_sheet(self, name: str, **options: Any) -> Panel:
        """A button that writes a sheet, such as "step card", into prints/ and links to it."""
        from glazekit.lab.panels.print_box import PrintBox

        return PrintBox(self, name, **options)

    def progress(self) -> Panel:
        """What the book says has been done, lesson by lesson."""
        return self.panel("progress")

    # -- what panels ask ----------------------------------------------------------------------------------------------------

    def words(self, home: str, panel_name: str) -> Words:
        """The texts of a panel from the TOML of its home lesson."""
        return panel_words(home, panel_name)

    def frame(self, key: str, /, **values: Any) -> str:
        """A text that all panels share."""
        return self._frame(key, **values)

    def lesson_title(self, lesson: str) -> str:
        """Title of a lesson."""
        return str(lesson_text(lesson)["title"])

    @property
    def me(self) -> dict[str, str]:
        """What the learner wrote in the settings strip: nickname, class_code, scale_division_g; empty text where nothing yet."""
        saved = self.state.get("me", "settings", {}).get("controls", {})
        return {name: str(saved.get(name, "")).strip() for name in ("nickname", "class_code", "scale_division_g")}

    @property
    def scale_division_g(self) -> float:
        """Smallest step of the learner's scale [g]; 0.1 until they say otherwise."""
        written = self.me["scale_division_g"] or "0.1"
        division = parse_number(written, what="scale step")
        if not 0.001 <= division <= 50:
            raise RangeError(f"the scale step {written} g is outside 0.001 to 50 g")
        return division

    @property
    def own_bags(self) -> bool:
        """Did the learner say that their own bags count, in place of the course's analyses."""
        return bool(self.state.get("me", "own bags", False))

    def count_own_bags(self, wanted: bool) -> None:
        """Count with the learner's own bags from now on, on every page, or with the course's analyses again."""
        self.state.put("me", "own bags", wanted)
        self._stock = None

    @property
    def stock(self) -> Stock:
        """The analyses that every panel of the page counts with; read once, and again after ``count_own_bags``."""
        if self._stock is None:
            self._stock = stock_with_bags(self.folder)[0] if self.own_bags else course_stock()
        return self._stock

    def join(self, panel: Panel) -> None:
        """A panel tells that it stands on this page."""
        self._panels.add(panel)

    def refresh_others(self, panel: Panel) -> None:
        """Bring the other panels of the page up to date, after ``panel`` changed something they show."""
        for other in list(self._panels):
            if other is not panel:
                other.refresh()

    def predicted(self, prediction_id: str) -> bool:
        """Has the learner made this prediction?"""
        return any(entry.data["prediction"] == prediction_id for entry in self.book.entries("prediction"))

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
