"""Suction sketch: how the coat grows with the dip, hung on one tile the class has measured."""

from glazekit.drawing.water import suction_curve
from glazekit.ground.numbers import parse_number, show_number
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import paragraphs, small
from glazekit.water.slip import coat_factor_mm_per_root_s, coat_mm

LONGEST_S = 30.0


class SuctionSketch(Panel):
    """coat = k x square root of dip time; k comes from the class's own tile, the dip from the slider."""

    name = "suction sketch"
    home = "03"

    def build(self) -> Children:
        """The measured tile, the dip, the curve."""
        self.tile_s = self.keep_text("tile_s", "3")
        self.tile_mm = self.keep_text("tile_mm", "0.5")
        self.dip = self.keep_slider("dip", 6, 0.5, LONGEST_S, 0.5)
        self.picture = html()
        about, sketch = html(paragraphs(self.words("tile"))), html(small(self.words("sketch")))
        return about, row(self.tile_s, self.tile_mm), self.dip.widget, self.picture, sketch

    def paint(self) -> None:
        """Draw the curve through the tile and say the coat in words."""
        tile_s = parse_number(self.tile_s.value, self.words("tile_s"), unit="s")
        tile_mm = parse_number(self.tile_mm.value, self.words("tile_mm"), unit="mm")
        k = coat_factor_mm_per_root_s(tile_mm, tile_s)
        dip_s = self.dip.number
        coat = coat_mm(dip_s, k)
        longest = max(LONGEST_S, tile_s)
        curve = [(0.0, 0.0)] + [(t, coat_mm(t, k)) for t in (longest * (i / 40) ** 2 for i in range(1, 41)) if t >= 0.1]
        words, times, more = self.words, f"{dip_s / tile_s:.3g}", f"{coat / tile_mm:.3g}"
        said = words("so", dip=f"{dip_s:g}", coat=show_number(coat, 2), times=times, more=more)
        labels = (words("axis_dip"), words("axis_coat"), words("mark_tile"), words("mark_dip"))
        self.picture.value = suction_curve(curve, (dip_s, coat), (tile_s, tile_mm), self.words("picture"), said, labels)
        self.tell(said)
