"""From a panel to paper: writes a print page into the learner's prints/ and links to it."""

from datetime import date

from glazekit.ground.writer import save_new
from glazekit.lab.browser import PaperLink
from glazekit.lab.desk import Desk
from glazekit.lab.panel import Panel
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchSheet
from glazekit.sheets.batch_sheet import batch_sheet_html
from glazekit.water.slip import START_WATER_ML_PER_100G


class PaperTray:
    """A link on a panel to its newest print; empty until there is one."""

    def __init__(self, panel: Panel) -> None:
        self.panel, self.link = panel, PaperLink()

    def put(self, name: str, html: str) -> None:
        """Save a print page under a name of its own, never over another; link to it, and say where in the folder it is."""
        desk = self.panel.desk
        path = save_new(desk.folder / "prints", name, ".html", html)
        self.link.label = desk.frame("open_sheet", file=path.name)
        self.link.html = html
        self.panel.tell(desk.frame("print_saved", file=f"prints/{path.name}"), "ok")


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
