"""Settings: a nickname, the class code and the steps of the learner's scale; everything works without them."""

from glazekit.lab.controls import choose, html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import paragraphs

DIVISIONS_G = ("0.01", "0.1", "0.5", "1", "2", "5")


class SettingsStrip(Panel):
    """Three questions, kept for all lessons; the other panels of the page follow at once."""

    name = "settings"
    home = "00"
    kept_under = "me"

    def build(self) -> Children:
        """Two text boxes and the scale's step."""
        self.nickname = self.keep_text("nickname", wide=True)
        self.class_code = self.keep_text("class_code")
        steps = [(f"{division} g", division) for division in DIVISIONS_G]
        self.division = self.keep("scale_division_g", choose(self.words("scale"), steps, "0.1"))
        return html(paragraphs(self.words("why"))), row(self.nickname, self.class_code, self.division)

    def paint(self) -> None:
        """Greet, or say that a nickname can wait; save at once, for the page's other panels look up what is saved."""
        name = " ".join(self.nickname.value.split())
        self.tell(self.words("hello" if name else "nobody", name=name, step=self.division.value))
        self._save()
        self.desk.refresh_others(self)
