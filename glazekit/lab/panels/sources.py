"""Where the numbers of a lesson come from: its tables, each with its sources and how far they can be trusted; folded."""

from glazekit.drawing.markup import Html, el, join
from glazekit.ground.tables import cite, origins, sidecar
from glazekit.lab.controls import html, show
from glazekit.lab.panel import Children, Panel
from glazekit.words.texts import lesson_text, part_words


class Sources(Panel):
    """One folded line under a lesson; its words name the tables (``tables``), the tables name their sources."""

    name = "sources"
    home = "00"

    def build(self) -> Children:
        """A heading that unfolds, one item a source."""
        show(self.title, False)
        self.list = html()
        return (self.list,)

    def paint(self) -> None:
        """The tables in the order of the lesson; what several of them share is said once."""
        found: dict[str, tuple[list[str], list[str]]] = {}
        for table in lesson_text(self.desk.lesson).get("tables", ()):
            for source, status in origins(table):
                titles, statuses = found.setdefault(source, ([], []))
                titles += [title for title in (sidecar(table.partition(".")[0])["title"],) if title not in titles]
                statuses += [status] * (status not in statuses)
        items = (self._item(source, *told) for source, told in found.items())
        self.list.value = el("details", el("summary", self.words("title")), el("ul", *items))

    def _item(self, source: str, titles: list[str], statuses: list[str]) -> Html:
        trust = ", ".join(part_words("statuses")(status) for status in statuses)
        return el("li", el("b", "; ".join(titles)), join(": ", cite(source)), f" ({trust})")
