"""Settings: a nickname, the class code and the steps of the learner's scale; everything works without them."""

from glazekit.lab.controls import choose, html, row, text_box
from glazekit.lab.desk import whole_text
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import paragraphs

DIVISIONS_G = ("0.01", "0.1", "0.5", "1", "2", "5")


class SettingsStrip(Panel):
    """Three questions, kept for all lessons; the other panels of the page follow at once."""

    name = "settings"
    home = "00"
    kept_under = "me"

    def build(self) -> Children:
        """Two text boxes, which go into the book, and the scale's step."""
        self._told: tuple[str, ...] = ()
        self.nickname, self.class_code = text_box(self.words("nickname"), wide=True), text_box(self.words("class_code"))
        self.who = {"nickname": self.nickname, "class_code": self.class_code}
        for box in self.who.values():
            box.observe(lambda _: self.do(self.named), names="value")
        steps = [(f"{division} g", division) for division in DIVISIONS_G]
        self.division = self.keep("scale_division_g", choose(self.words("scale"), steps, "0.1"))
        return html(paragraphs(self.words("why"))), row(*self.who.values(), self.division)

    def offer(self) -> None:
        """The names as the book has them, whichever page they were written on."""
        for name, box in self.who.items():
            box.value = self.desk.me[name]

    def named(self) -> None:
        """Write who is at the bench into the book, when that is news."""
        said = {name: whole_text(box.value) for name, box in self.who.items()}
        if not self._holds and said != {name: self.desk.me[name] for name in said}:
            self.desk.book.add("learner", **said)
            self._stamp()
        self.refresh()

    def paint(self) -> None:
        """Greet, or say that a nickname can wait; save at once, for the page's other panels look up what is saved."""
        name = " ".join(self.nickname.value.split())
        self.tell(self.words("hello" if name else "nobody", name=name, step=self.division.value))
        self._save()
        if (told := (name, self.class_code.value, self.division.value)) != self._told:
            self._told = told
            self.desk.refresh_others(self)
