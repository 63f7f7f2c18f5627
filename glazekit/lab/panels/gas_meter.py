"""Gas meter: which powder of a recipe loses how much in the kiln, and what the whole glaze loses."""

from glazekit.chemistry.analysis import analyse
from glazekit.chemistry.board import raw_to_fired
from glazekit.drawing.bars import loss_bars
from glazekit.ground.numbers import show_g, show_percent
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.parts.formula_words import board_table
from glazekit.lab.parts.kiln_words import DIVISION_G, cautions_of, loss_words
from glazekit.lab.prose import paragraphs


class GasMeter(Panel):
    """The base of a recipe, brought to 100 g, powder by powder."""

    name = "gas meter"
    home = "04"
    first_recipe = "Gangway Clear"

    def build(self) -> Children:
        """The recipe, a bar for each powder, the table."""
        self.recipe = self.keep_recipe("recipe")
        self.picture, self.table = html(css_class="gk-grow"), html(css_class="gk-grow")
        return row(self.recipe), html(paragraphs(self.words("legend"))), row(self.picture, self.table, css_class="gk-top")

    def paint(self) -> None:
        """Read the meter."""
        base = self.recipes[self.recipe.value].to_100().merged()
        stock = self.desk.stock
        found = analyse(base, stock=stock)
        lines, losses = [], []
        for line in base.base:
            material = stock.find(line.material)
            loss_g = line.amount * material.loi_wt_pct_raw / 100
            lost = loss_words(material, loss_g, DIVISION_G)
            said = self.words("line", mass=show_g(line.amount, 0.1), material=material.name, lost=lost)
            lines.append((said, line.amount, loss_g))
            losses.append((loss_g, material.name))
        loi, stays = show_percent(found.loi_wt_pct_raw, 2), show_g(found.fired_g, DIVISION_G)
        total = self.words("total", name=base.name, loi=loi, stays=stays)
        self.picture.value = loss_bars(lines, self.words("picture", name=base.name), total)
        self.table.value = board_table(raw_to_fired(base, stock=stock))
        most_g, most = max(losses)
        worst = "\n" + self.words("most", material=most, mass=show_g(most_g, DIVISION_G)) if most_g > 0 else ""
        self.tell(total + worst)
        self.tell_bags(base.materials())
        self.warn(cautions_of(base, stock))
