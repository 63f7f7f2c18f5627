"""Progress: what the learner's book says has been done, lesson by lesson, and the book as CSV."""

from glazekit.drawing.markup import el
from glazekit.exercises.bank import exercises_of
from glazekit.folder.state import in_browser
from glazekit.lab.controls import html
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import paragraphs, table
from glazekit.words.course import course


class Progress(Panel):
    """An index of the lessons with what is done; counted afresh from the book, so it is never out of step with it."""

    name = "progress"
    home = "00"

    def build(self) -> Children:
        """The table, what else the book holds, the export button."""
        self.lessons = [lesson for lesson in course() if lesson.notebook and lesson.exercises]
        self.table, self.rest = html(), html()
        return self.table, self.rest, self.buttons(("export", self.export), ("again", self.refresh))

    def paint(self) -> None:
        """Count."""
        right = {e.data["exercise"] for e in self.desk.book.entries("exercise") if e.data["state"] == "right"}
        rows = []
        for lesson in self.lessons:
            core = [e.id for e in exercises_of(lesson.number) if e.core]
            extra = [e.id for e in exercises_of(lesson.number) if not e.core]
            rows.append((el("a", lesson.called, href=lesson.notebook), self._done(core, right), self._done(extra, right)))
        self.table.value = table(self.texts("lesson", "core", "extra"), rows)
        counts = {kind: len(self.desk.book.entries(kind)) for kind in ("batch", "water", "tile")}
        counts["prediction"] = len({e.data["prediction"] for e in self.desk.book.entries("prediction")})
        self.rest.value = paragraphs(self.words("counts", **counts))
        problems = [str(problem) for problem in (*self.desk.book.problems, *self.desk.state.problems)]
        if problems:
            self.tell(self.words("problems") + "\n" + "\n".join(problems), "look")
        else:
            self.tell(self.words("sound") if any(counts.values()) or right else self.words("empty"), "ok" if right else "open")

    def _done(self, ids: list[str], right: set[str]) -> str:
        done = len([i for i in ids if i in right])
        return f"{'✓ ' if ids and done == len(ids) else ''}{self.words('of', done=done, all=len(ids))}"

    def export(self) -> None:
        """Write the book as CSV files into a new dated folder."""
        folder = self.desk.book.export_csv(self.desk.folder / "book-as-csv")
        self.tell(self.words("exported_in_browser" if in_browser() else "exported", folder=f"book-as-csv/{folder.name}"), "ok")
