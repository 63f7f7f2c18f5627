"""From a panel to paper: writes a print page into the learner's prints/ and links to it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from glazekit.ground.writer import save_new
from glazekit.lab.browser import PaperLink
from glazekit.lab.desk import Desk
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchSheet
from glazekit.sheets.batch_sheet import batch_sheet_html
from glazekit.water.slip import START_WATER_ML_PER_100G


class PaperTray:
    """A link to the newest print of a panel; empty until there is one."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.link = PaperLink()

    def put(self, name: str, html: str) -> Path:
        """Save a print page under a name of its own, never over another, and link to it; returns its path."""
        path = save_new(self.desk.folder / "prints", name, ".html", html)
        self.link.label = self.desk.frame("open_sheet", file=path.name)
        self.link.html = html
        return path


def batch_paper(
    desk: Desk, sheet: BatchSheet, label: str = "", water_ml_per_100g: float = START_WATER_ML_PER_100G, stock: Stock | None = None
) -> str:
    """The batch sheet of this learner, dated today."""
    return batch_sheet_html(
        sheet,
        water_ml_per_100g=water_ml_per_100g,
        stock=stock or desk.stock,
        who=desk.me["nickname"],
        date=date.today().isoformat(),
        label=label,
    )
