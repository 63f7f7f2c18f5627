"""Batch bench: the sheet beside the scale. Tick, type what the scale shows, in any order; then write the batch into the book."""

from glazekit.drawing.markup import join
from glazekit.folder.glaze import glaze_as_used
from glazekit.ground.errors import BookError
from glazekit.ground.numbers import parse_mass_g, show_g, show_ml, show_number
from glazekit.lab.controls import html, row, show, stack
from glazekit.lab.panel import Children, Panel
from glazekit.lab.paper import PaperTray, batch_paper
from glazekit.lab.parts.weigh_rows import WeighRows, amount, by_material
from glazekit.lab.prose import paragraphs, table
from glazekit.recipe.batch import BatchLine, BatchSheet, batch_sheet
from glazekit.recipe.cautions import cautions_for, not_to_weigh
from glazekit.recipe.weighing import Rescue, WeighCheck, check_weighings, over_poured, untared


class BatchBench(Panel):
    """One batch of one recipe; the readings of each are kept apart, so another recipe can be looked at and left again."""

    name = "batch bench"
    home = "01"
    first_recipe = "Gangway Clear"

    def build(self) -> Children:
        """Recipe and batch size, tare, the rows, totals, rescue, water, and what to do with the batch."""
        self.recipe = self.keep_recipe("recipe")
        self.base = self.keep_text("base", "100")
        self.zero = self.keep_text("zero", "0")
        self.rows = WeighRows(self)
        self.totals, self.hint = html(), html()
        places = [(self.words("on_top_still"), "top"), (self.words("buried"), "buried")]
        self.where = self.keep_pick("where", places, "top")
        self.follow_button = self.button(self.words("follow"), self.follow_rescue)
        self.rescue = stack(self.strong("where"), self.where, self.hint, self.follow_button)
        self.water = self.keep_text("water")
        self.water_words = html()
        self.label = self.keep_text("label", wide=True)
        self.tray = PaperTray(self)
        return (
            row(self.recipe, self.base),
            html(paragraphs(self.words("how"))),
            row(self.zero, self.button(self.words("tare"), self.tare)),
            self.rows.box,
            self.totals,
            self.rescue,
            row(self.water, self.water_words),
            row(self.label),
            self.buttons(("write", self.write), ("print", self.print_sheet), ("fresh", self.fresh), main=True),
            self.tray.link,
        )

    def paint(self) -> None:
        """Check the readings against the sheet and say what is left."""
        sheet = self.sheet()
        notes = self.memory.setdefault("rows", {}).setdefault(self.recipe.value, [])
        self.rows.lay(self.recipe.value, sheet.lines, notes)
        check = self.check(sheet)
        care = cautions_for(sheet.recipe, self.desk.stock, "weighing", sheet.total_g)
        stops = not_to_weigh(care)
        for row_, weighed in zip(self.rows.rows, check.lines, strict=True):
            row_.show(weighed, sheet.scale_division_g, weighed.line.material in stops)
        left = self.left(check)
        left_g = sum(line.target_g for line in left if line.dry)
        self.totals.value = self._totals(sheet, check, left_g)
        water_ml = self.water_ml()
        said = "" if water_ml is None else self.words("per_100g", ml=show_number(water_ml / sheet.total_g * 100, 0))
        self.water_words.value = join(said)
        self.warn([*sheet.warnings, *(c.text for c in care)])
        over = any(line.word == "over" for line in check.lines)
        show(self.rescue, over and not stops)
        if stops:
            self.tell(" ".join(dict.fromkeys(stops.values())), "stop")
        elif over:
            self._rescue(sheet)
        else:
            self._say(sheet, check, left, left_g)

    def sheet(self) -> BatchSheet:
        """The sheet for the recipe, batch size and scale now chosen."""
        return batch_sheet(self.recipes[self.recipe.value], self.mass_g("base"), self.desk.scale_division_g, self.desk.stock)

    def readings(self, sheet: BatchSheet) -> list[float | None]:
        """Net readings in the order of the sheet [g; mL for liquids]."""
        zero_g = parse_mass_g(self.zero.value or "0", self.words("zero"))
        return [row_.net(line, zero_g) for row_, line in zip(self.rows.rows, sheet.lines, strict=True)]

    def check(self, sheet: BatchSheet) -> WeighCheck:
        """The readings against the sheet."""
        return check_weighings(sheet, dict(enumerate(self.readings(sheet))))

    def left(self, check: WeighCheck) -> list[BatchLine]:
        """Lines neither read nor ticked."""
        pairs = zip(self.rows.rows, check.lines, strict=True)
        return [weighed.line for row_, weighed in pairs if weighed.reading_g is None and not row_.ticked.value]

    def _totals(self, sheet: BatchSheet, check: WeighCheck, left_g: float) -> str:
        step = sheet.scale_division_g
        sums = {"running": show_g(check.running_total_g, min(step, 0.01)), "remaining": show_g(left_g, step)}
        sums["total"] = show_g(sheet.total_g, step)
        return table((), [(self.words(key), mass) for key, mass in sums.items()])

    def water_ml(self) -> float | None:
        """Water in the batch [mL]; None when nothing is typed."""
        return self.volume_ml("water") if self.water.value.strip() else None

    def _help(self, sheet: BatchSheet, on_top: bool = False) -> Rescue:
        """The way out when too much went in; a line that is only ticked holds its target."""
        rows = zip(self.rows.rows, sheet.lines, self.readings(sheet), strict=True)
        in_cup = [line.target_g if net is None and row_.ticked.value else net for row_, line, net in rows]
        return over_poured(sheet, dict(enumerate(in_cup)), on_top)

    def _rescue(self, sheet: BatchSheet) -> None:
        help_ = self._help(sheet, on_top=self.where.value == "top")
        rows = ""
        if help_.action == "make more":
            step = sheet.scale_division_g
            lines = [(s.line.label, amount(s.line, s.line.target_g, step), amount(s.line, s.add_g, step)) for s in help_.lines]
            rows = table((self.words("material"), self.words("new_target"), self.words("still_add")), lines)
        self.hint.value = rows
        show(self.follow_button, help_.action == "make more")
        slip = untared(sheet, dict(enumerate(self.readings(sheet))))
        asked = ""
        if slip:
            line, poured_g = sheet.lines[slip[0]], slip[1]
            asked = self.words("untared", material=line.label, net=amount(line, poured_g, sheet.scale_division_g))
        self.tell(f"{asked} {help_.words}".strip(), "look")

    def _say(self, sheet: BatchSheet, check: WeighCheck, left: list[BatchLine], left_g: float) -> None:
        problem = next((row_.problem for row_ in self.rows.rows if row_.problem), "")
        under = [line.line.label for line in check.lines if line.word == "under"]
        if problem:
            self.tell(problem, "stop")
        elif under:
            self.tell(self.words("top_up", names=", ".join(under)), "under")
        elif left:
            names = ", ".join(line.label for line in left)
            self.tell(self.words("left", names=names, mass=show_g(left_g, sheet.scale_division_g)), "open")
        else:
            self.tell(self.words("all_in"), "ok")

    def tare(self) -> None:
        """Set what the scale shows before the next item back to nothing."""
        self.zero.value = "0"
        self.refresh()

    def follow_rescue(self) -> None:
        """Take over the bigger batch the rescue proposes."""
        sheet = self.sheet()
        bigger = self._help(sheet).sheet
        with self.one_refresh():
            for row_, line in zip(self.rows.rows, sheet.lines, strict=True):
                if row_.ticked.value and not row_.reading.value.strip():  # what lies in the cup is no longer all of it
                    row_.ticked.value, row_.reading.value = False, f"{line.target_g:.10g}"
                    row_.note["zero_g"] = 0.0
            self.base.value = f"{bigger.base_g:.10g}"

    def fresh(self) -> None:
        """Clear ticks, readings, water and label for a new batch of this recipe."""
        self.memory["rows"][self.recipe.value] = []
        with self.one_refresh():
            self.water.value, self.label.value, self.zero.value, self.where.value = "", "", "0", "top"

    def print_sheet(self) -> None:
        """Write the batch sheet into prints/ and link to it."""
        sheet = self.sheet()
        self.tray.put(self.words("file", name=sheet.recipe.name), batch_paper(self.desk, sheet, self.label.value.strip()))

    def write(self) -> None:
        """Add the batch to the book: recipe, analyses, targets, what was weighed, water."""
        sheet = self.sheet()
        check = self.check(sheet)
        left = self.left(check)
        if left:
            raise BookError(self.words("not_all", names=", ".join(line.label for line in left)))
        weighed = by_material((line.line, line.reading_g) for line in check.lines if line.reading_g is not None)
        ticked = [line.line.label for line in check.lines if line.reading_g is None]
        water_ml = self.water_ml()
        self.record(
            "batch",
            **glaze_as_used(sheet.recipe, self.desk.stock),
            base_g=sheet.base_g,
            label=self.label.value.strip() or None,
            scale_division_g=sheet.scale_division_g,
            target_g=by_material((line, line.target_g) for line in sheet.lines),
            weighed_g=weighed or None,
            ticked_without_reading=ticked or None,
            total_dry_g=check.running_total_g if not ticked and check.running_total_g > 0 else sheet.total_g,
            water_ml=water_ml,
        )
        said = self.words("written", water=show_ml(water_ml)) if water_ml is not None else self.words("written_dry")
        self.written(said, not_to_weigh(cautions_for(sheet.recipe, self.desk.stock)).values())
