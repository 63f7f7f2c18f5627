"""Water log: the first 60 mL, then 10 mL at a time, each written down as it is poured; nothing is ever rubbed out."""

from itertools import accumulate

from glazekit.drawing.markup import Html, el
from glazekit.drawing.water import water_cup
from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import show_ml, show_number, within
from glazekit.ground.tables import read_table
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.in_book import SlipInBook
from glazekit.lab.prose import paragraphs, table
from glazekit.sheets.measuring import helping_ml, start_water_ml
from glazekit.water.slip import POWDER_DENSITY_G_ML, START_WATER_ML_PER_100G, slip_density_g_ml

MOST_ML = 1e6


class WaterLog(Panel):
    """The log is a list of [mL, kind] in memory, kind "start", "more" or "back"; a step taken back is a new line."""

    name = "water log"
    home = "03"

    def build(self) -> Children:
        """The powder, the pour buttons, the log beside its cup, the feel, the way into the book."""
        self.memory.setdefault("log", [])
        self.dry = self.keep_text("dry", "100")
        self.amount = self.keep_text("amount", "5")
        self.pour_button = self.button("", self.pour)
        jobs = self.buttons(("pour_amount", self.pour_amount), ("take_back", self.take_back), ("fresh", self.fresh))
        buttons = row(self.pour_button, self.amount, *jobs.children)
        self.picture, self.table = html(css_class="gk-grow"), html(css_class="gk-grow")
        feels = [row_["feel"] for row_ in read_table("slip_feel")]
        self.feel = self.keep_pick("feel", [*feels, self.words("no_feel")], self.words("no_feel"))
        self.note = SlipInBook(self, self.slip_data)
        return (
            row(self.dry),
            buttons,
            row(self.table, self.picture, css_class="gk-top"),
            html(el("b", self.words("feel"))),
            self.feel,
            self.note.widget,
        )

    def paint(self) -> None:
        """Add up the log and say what slip it makes."""
        dry_g, total_ml = self.dry_g(), self.total_ml
        self.pour_button.description = self.words("pour", ml=show_ml(self.next_ml()))
        per_100g = total_ml / dry_g * 100
        self.table.value = self._log_table() + paragraphs(show_ml(total_ml), css_class="gk-big") if self.memory["log"] else ""
        heard = self.words("cup_words", water=show_ml(total_ml), dry=show_number(dry_g, 0))
        levels = list(accumulate(self.standing()))
        powder_ml, powder = dry_g / POWDER_DENSITY_G_ML, self.words("powder")
        self.picture.value = water_cup(powder_ml, levels, self.words("cup"), heard, powder, show_ml)
        self.note.offer()
        if total_ml <= 0:
            self.tell(self.words("empty"), "open")
            return
        start_ml = start_water_ml(dry_g, START_WATER_ML_PER_100G)
        if total_ml < start_ml:
            self.tell(self.words("damp", per_100g=show_number(per_100g, 0), start=show_ml(start_ml)), "note")
            return
        density = slip_density_g_ml(per_100g)
        shown = {"per_100g": show_number(per_100g, 0), "mass": show_number(100 * density, 0), "density": show_number(density, 3)}
        said = self.words("so_far", **shown)
        self.tell(f"{said} {self.words('usual', feel=usual_feel(per_100g))}", "note")

    def dry_g(self) -> float:
        """Total dry powder in the cup [g]."""
        dry_g = self.mass_g("dry")
        if dry_g <= 0:
            raise RangeError(self.words("no_powder"))
        return within(dry_g, 0.1, 1_000_000, self.words("dry"), "g")

    @property
    def total_ml(self) -> float:
        """Water in the cup now [mL]."""
        return float(round(sum(ml for ml, _ in self.memory["log"]), 3))

    def standing(self) -> list[float]:
        """What was poured and not taken back [mL]."""
        poured: list[float] = []
        for ml, kind in self.memory["log"]:
            if kind == "back":
                poured.pop()
            else:
                poured.append(ml)
        return poured

    def next_ml(self) -> float:
        """What the pour button adds [mL]: the start water first, then one helping."""
        if self.total_ml <= 0:
            return start_water_ml(self.dry_g(), START_WATER_ML_PER_100G)
        return helping_ml(self.dry_g())

    def pour(self) -> None:
        """Pour the start water or the next helping."""
        self._add(self.next_ml(), "more" if self.total_ml > 0 else "start")

    def pour_amount(self) -> None:
        """Pour the amount typed."""
        ml = self.volume_ml("amount")
        if ml <= 0:
            raise RangeError(self.words("nothing"))
        self._add(ml, "more")

    def take_back(self) -> None:
        """Put right a line written by mistake: a new line takes it off again."""
        poured = self.standing()
        if not poured:
            raise RangeError(self.words("nothing_back"))
        self._add(-poured[-1], "back")

    def fresh(self) -> None:
        """Start a new cup; the old log stays in the book if it was written there, and in the page's memory until the next."""
        self.memory["before"], self.memory["log"] = self.memory["log"], []
        self.refresh()

    def _add(self, ml: float, kind: str) -> None:
        if self.total_ml + ml > MOST_ML:
            raise RangeError(self.words("too_much"))
        self.memory["log"].append([ml, kind])
        self.refresh()

    def _log_table(self) -> Html:
        lines = zip(self.memory["log"], accumulate(ml for ml, _ in self.memory["log"]), strict=True)
        rows = [
            (f"{i}. {self.words(kind)}", f"{'+' if ml >= 0 else '−'}{show_ml(abs(ml))}", show_ml(level))
            for i, ((ml, kind), level) in enumerate(lines, 1)
        ]
        return table(self.texts("what", "poured", "total"), rows)

    def slip_data(self) -> dict[str, object]:
        """The log as the book keeps it."""
        dry_g, total_ml = self.dry_g(), self.total_ml
        if total_ml <= 0:
            raise RangeError(self.words("empty"))
        per_100g = total_ml / dry_g * 100
        data: dict[str, object] = {
            "dry_g": dry_g,
            "water_ml": total_ml,
            "water_ml_per_100g": round(per_100g, 2),
            "slip_density_g_ml": round(slip_density_g_ml(per_100g), 4),
            "poured_ml": [ml for ml, _ in self.memory["log"]],
        }
        return data | ({} if self.feel.value == self.words("no_feel") else {"feel": self.feel.value})


def usual_feel(water_ml_per_100g: float) -> str:
    """What a slip of this much water often feels like (common practice, data/slip_feel.csv) [mL per 100 g]."""
    rows = read_table("slip_feel")
    return str(next((row["feel"] for row in rows if water_ml_per_100g < row["below_ml_per_100g"]), rows[-1]["feel"]))
