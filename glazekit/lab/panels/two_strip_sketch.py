"""Two-strip sketch: glaze and clay cool together; the one that wants to be shorter is pulled by the other."""

from glazekit.drawing.fit_pictures import Cooling, two_strips
from glazekit.glass.properties import constant
from glazekit.ground.numbers import ROOM_C, show_number
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel

HOT_C = 700.0
SAME_PCT = 5e-5
"""A mismatch smaller than this is none: half of the last digit shown [%]."""


class TwoStripSketch(Panel):
    """How much more than its clay the glaze expands, and how far both have cooled. It knows no limit for crazing."""

    name = "two-strip sketch"
    home = "09"

    def build(self) -> Children:
        """Cooling first, then the difference; the strips; what they mean."""
        self.set_c = constant("set_point_c")
        self.temp = self.keep_slider("temp", HOT_C, ROOM_C, HOT_C, 20)
        self.apart = self.keep_slider("apart", 1.0, -2.0, 2.0, 0.1)
        self.picture, self.meaning = html(css_class="gk-grow"), html(css_class="gk-saved")
        return self.temp.widget, self.apart.widget, row(self.picture), self.meaning

    def mismatch_pct(self) -> float:
        """How much shorter than the clay the loose glaze is by now; less than 0 when it is longer [%].

        1e-6 per K x K = 1e-4 %; above the set point the glaze is soft and follows the clay.
        """
        return float(self.apart.number * max(self.set_c - self.temp.number, 0.0) / 10_000)

    def paint(self) -> None:
        """Cool the strips, and say which of the two holds the other."""
        words, mismatch, temp = self.words, self.mismatch_pct(), self.temp.number
        soft = temp >= self.set_c
        same = abs(mismatch) < SAME_PCT
        event = "soft" if soft else "same" if same else "shorter" if mismatch > 0 else "longer"
        force = words("calm" if soft or same else "pulled" if mismatch > 0 else "squeezed")
        said = words(event, temp=show_number(temp, 0), pct=show_number(abs(mismatch), 3))
        shrunk = min(max(self.set_c - temp, 0.0) / (self.set_c - ROOM_C), 1.0)
        labels = (words("loose"), words("joined"), words("glaze"), words("clay"), force, words("drawn"))
        self.picture.value = two_strips(Cooling(0.0 if same else mismatch, shrunk, soft), words("picture"), said, labels)
        self.meaning.value = words("set_point", set=f"{self.set_c:g}")
        after = {"shorter": words("crazes"), "longer": words("shivers")}.get(event, "")
        self.tell(f"{said} {after}".strip(), {"shorter": "look", "longer": "under", "soft": "open", "same": "ok"}[event])
