"""The page every sheet is printed on, black on white, self-contained, no script, no request to anywhere; and its words."""

from importlib.resources import files
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.ground.errors import DataError, unknown_name
from glazekit.words.texts import load

# The edge of a poured glaze: it is the heading line of every sheet.
_POURED_EDGE = (
    "M0 0H600V7C585 7 578 9 566 9C548 9 540 6 522 6C508 6 503 13 490 13C476 13 472 7 455 7C430 7 420 10 396 10"
    "C380 10 376 6 360 6C346 6 342 17 331 17C319 17 316 7 300 7C270 7 262 9 236 9C222 9 218 6 204 6C190 6 186 12 174 12"
    "C160 12 157 6 140 6C116 6 108 10 86 10C70 10 64 7 48 7C34 7 30 14 20 14C10 14 8 8 0 8Z"
)
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def words(key: str) -> Any:
    """Whatever stands under a dotted key, a text, a list, a table; ``lesson_03.home`` leads into the words of lesson 3. Raises
    DataError, with the nearest name, for a key that is not there."""
    file, _, rest = key.partition(".")
    found: Any = load(file) if file.startswith("lesson_") else load("sheets")
    for step in (rest if file.startswith("lesson_") else key).split("."):
        if step not in found:
            raise unknown_name(DataError, "sheet text", step, found, where=f"{key}: ")
        found = found[step]
    return found


class Say:
    """The words of one sheet, by the dotted key of their table.

    >>> say = Say("labels")
    >>> say("title", recipe="Half Clear"), say.all("atmospheres"), say.any("no such key")
    ('Labels for Half Clear', ('ox', 'red'), '')
    """

    def __init__(self, table: str) -> None:
        self.table = table

    def __call__(self, key: str, /, **values: object) -> str:
        """One text, its braces filled in."""
        return str(words(f"{self.table}.{key}")).format(**values)

    def all(self, key: str, /, **values: object) -> tuple[str, ...]:
        """A list of texts, their braces filled in."""
        return tuple(str(text).format(**values) for text in words(f"{self.table}.{key}"))

    def any(self, key: str, /) -> str:
        """One text, or "" where there is none of this key."""
        return str(words(self.table).get(key, ""))


_SAY = Say("page")
_CSS = Html(files(__package__).joinpath("sheet.css").read_text(encoding="utf-8"))


def page(title: str, *body: str) -> str:
    """A whole HTML document; ``title`` is shown in the browser's tab, plain text in ``body`` is escaped.

    >>> "<script>" in page("<script>", el("h1", "Clear"))
    False
    """
    head = el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("meta", http_equiv="Content-Security-Policy", content=_POLICY),
        el("link", rel="icon", href="data:,"),
        el("title", title),
        el("style", _CSS),
    )
    hint = el("p", _SAY("print_hint"), class_="screen-only")
    return Html("<!doctype html>\n") + el("html", head, "\n", el("body", hint, "\n", el("main", *body)), lang=_SAY("lang")) + "\n"


def sheet_page(say: Say, *body: str, title: str = "", facts: str = "", turned: bool = False) -> str:
    """A sheet under its usual heading: what kind it is, its title, one line of facts, from the words of the sheet. ``title``,
    ``facts``: in place of the words' own. ``turned``: is it printed across the long side of the paper."""
    title = title or say("title")
    parts = (heading(say("kind"), title, facts or say.any("facts")), *body)
    if turned:
        parts = (el("div", el("p", _SAY("sideways_hint"), class_="screen-only"), *parts, class_="sideways"),)
    return page(title, *parts)


def heading(kind: str, title: str, facts: str = "") -> Html:
    """Poured line, what kind of sheet this is, the title, one line of facts."""
    poured = el("path", d=_POURED_EDGE)
    edge = el("svg", poured, class_="edge", viewBox="0 0 600 18", preserveAspectRatio="none", aria_hidden="true")
    line = el("p", facts, class_="facts") if facts else ""
    return el("header", edge, el("p", kind, class_="kind"), el("h1", title), line)
