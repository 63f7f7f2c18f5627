"""Leave one out: the opening play. A drawing of a coat of glaze; take one material away and see what the glaze loses."""

from glazekit.drawing.glazed_wall import Job, coat_drawing
from glazekit.lab.controls import html, pick, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import small


class LeaveOneOut(Panel):
    """Choose which material stays in its bag. The effects are common practice (so the text says); nothing is computed here."""

    name = "leave one out"
    home = "01"

    def build(self) -> Children:
        """Radio buttons beside the drawing."""
        self.materials = self.words.texts["material"]
        options = [(self.words("none"), ""), *((f"{m['name']} - {m['short']}", m["name"]) for m in self.materials)]
        self.missing = self.keep("missing", pick(self.words("question"), options, ""))
        self.picture = html(css_class="gk-wide")
        question = self.strong("question")
        choice = row(self.missing, css_class="gk-grow gk-top")
        return question, row(choice, self.picture, css_class="gk-top"), html(small(self.words("practice")))

    def paint(self) -> None:
        """Redraw the coat and say what the glaze loses."""
        name = self.missing.value
        jobs = [Job(m["name"], m["job"], m["effect"]) for m in self.materials]
        gone = next((m for m in self.materials if m["name"] == name), None)
        said = gone["loses"] if gone else self.words("whole")
        labels = {key: self.words(key) for key in ("wall", "coat", "shelf")}
        self.picture.value = coat_drawing(jobs, name, labels | {"title": self.words("picture"), "description": said})
        self.tell(said, "look" if gone else "ok")
