"""The parts sheets are made of: numbered steps, boxes to tick, lines to write on, cautions, tables."""

from collections.abc import Iterable, Sequence
from itertools import zip_longest

from glazekit.drawing.markup import Html, el, join
from glazekit.ground.numbers import show_number
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import Caution, cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.frame import Say

WRITE = el("td", class_="write")


def step(number: int, title: str, *body: str, class_: str = "step") -> Html:
    """A numbered part of a sheet; the number stands in a ring beside its title."""
    return el("section", el("h2", el("span", str(number), class_="ring"), " ", title), *body, class_=class_)


def part(title: str, *body: str, class_: str = "plain-part") -> Html:
    """A part of a sheet with its title."""
    return el("section", el("h2", title), *body, class_=class_)


def paragraphs(lines: Iterable[str]) -> Html:
    """Each line as a paragraph."""
    return join(*(el("p", line) for line in lines))


def box(name: str) -> Html:
    """A bare box to tick with a pencil and wet hands; ``name`` is what a screen reader says."""
    return el("span", class_="box", role="img", aria_label=name)


def ticks(labels: Iterable[str], ticked: str = "") -> Html:
    """A line of boxes, each with its label; that of the label ``ticked`` is ticked already."""
    mark = el("span", "✓", class_="box ticked")
    boxes = ((mark if label == ticked else el("span", class_="box"), " ", label) for label in labels)
    return el("p", *(join(el("span", *box, class_="tick"), " ") for box in boxes), class_="ticks")


def tick_line(title: str, labels: Iterable[str], *more: str, ticked: str = "") -> Html:
    """A line of boxes behind a title."""
    return el("div", el("h2", title), ticks(labels, ticked), *more, class_="tick-line")


def write_in(label: str, value: str = "", unit: str = "", class_: str = "write-in") -> Html:
    """A label with its value, or with a line to write on when there is none yet."""
    space = el("span", value, class_="given") if value else el("span", class_="line")
    return el("span", el("span", label), " ", space, f" {unit}" if unit else "", class_=class_)


def wide(label: str) -> Html:
    """A label with a line to write on over the whole width, by itself."""
    return form(write_in(label, class_="write-in wide"))


def form(*fields: str) -> Html:
    """Write-in fields in a row that wraps."""
    return el("p", *(join(field, " ") for field in fields), class_="form")


def lines(labels: Iterable[str]) -> Html:
    """A row of labels, each with a line to write on."""
    return form(*map(write_in, labels))


def fields(say: Say, *blank: str, **given: str) -> Html:
    """A row of write-in fields, each labelled by the text of its name: those ``given`` have a value, or "" for a line to write
    on. A text ``name_unit`` stands behind a line, while a value brings its unit along."""
    values = dict.fromkeys(blank, "") | given
    return form(*(write_in(say(name), value, "" if value else say.any(f"{name}_unit")) for name, value in values.items()))


def sentence(text: str) -> str:
    """A text that begins with a capital, such as a caution that starts with the name of a material.

    >>> sentence("quartz: dust")
    'Quartz: dust'
    """
    return text[:1].upper() + text[1:]


def short(value: float, decimals: int) -> str:
    """A number without the zeros that say nothing.

    >>> short(26.0, 2), short(0.25, 2), short(20, 0)
    ('26', '0.25', '20')
    """
    shown = show_number(value, decimals)
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def caution(word: str, texts: Sequence[str], stop: bool = False) -> Html:
    """A caution beside the action it belongs to: a word in a frame, then whole sentences; nothing when there are none."""
    if not texts:
        return Html("")
    flag, lines = el("strong", word, class_="flag"), el("div", paragraphs(map(sentence, texts)))
    return el("div", flag, " ", lines, class_="caution stop" if stop else "caution", role="note")


def warning(say: Say, name: str = "caution", stop: bool = False) -> Html:
    """A caution of the sheet's own: its word and its sentences, two texts called after ``name``."""
    return caution(say(f"{name}_word"), say.all(f"{name}s"), stop)


def by_level(found: Iterable[Caution], moment: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The cautions of one moment: those that say stop, and the others; each once."""
    of_moment = [one for one in found if one.moment == moment]
    stop = dict.fromkeys(one.text for one in of_moment if one.level == "stop")
    care = dict.fromkeys(one.text for one in of_moment if one.level != "stop")
    return tuple(stop), tuple(care)


def cautions(found: Iterable[Caution], moment: str) -> Html:
    """The cautions of one moment, those that say stop apart and first."""
    flags, (stop, care) = Say("flags"), by_level(found, moment)
    return join(caution(flags("stop"), stop, stop=True), caution(flags(moment), care))


def stops(recipe: Recipe | None, stock: Stock | None, *moments: str) -> Html:
    """What the powders of a recipe say stop to at these moments; nothing without one. A stranger stops no paper."""
    if not recipe:
        return Html("")
    shelf = stock or course_stock()
    shelf = shelf.with_unknown(*(name for name in recipe.materials() if name not in shelf))
    found = [one for moment in moments for one in cautions_for(recipe, shelf, moment)]
    lines = dict.fromkeys(one.text for one in found if one.level == "stop" and one.materials)
    return caution(Say("flags")("stop"), tuple(lines), stop=True)


def num(text: str) -> Html:
    """A cell with a number."""
    return el("td", text, class_="num")


def row(name: str, *cells: str, class_: str = "") -> Html:
    """A row with its name; plain text becomes a cell."""
    made = (cell if isinstance(cell, Html) else el("td", cell) for cell in cells)
    return el("tr", el("th", name, scope="row"), *made, class_=class_)


def over(title: str, columns: int) -> Html:
    """A row that heads a group of rows, over so many columns."""
    return el("tr", el("th", title, colspan=columns, scope="rowgroup"), class_="part")


def blank_rows(columns: Sequence[str], count: int, firsts: Sequence[str] = ()) -> list[Html]:
    """Empty rows to write in; ``firsts`` fill the first cell of each, the rest of the cells are blank."""
    rest = [WRITE for _ in columns[1:]]
    return [row(firsts[i], *rest) if firsts else el("tr", WRITE, *rest) for i in range(count)]


def table(
    caption: str,
    heads: Sequence[str],
    *groups: Html | Iterable[Html],
    class_: str,
    head_classes: Sequence[str] = (),
    seen: bool = True,
) -> Html:
    """A table; its ``caption`` is read aloud only, when not ``seen``. ``heads``: texts of the column heads, or one finished head
    of several rows. ``groups``: rows that belong together, or finished bodies. ``head_classes`` go with the heads in order."""
    if not isinstance(heads, Html):
        cells = (el("th", head, scope="col", class_=name) for head, name in zip_longest(heads, head_classes, fillvalue=""))
        heads = el("thead", el("tr", *cells))
    bodies = (group if isinstance(group, Html) else el("tbody", *group) for group in groups)
    return el("table", el("caption", caption, class_="" if seen else "unseen"), heads, *bodies, class_=class_)


def scroll(name: str, content: str) -> Html:
    """Something wide that a small screen moves sideways, by finger or by arrow keys; ``name`` is what a screen reader says."""
    return el("div", content, class_="scroll", tabindex="0", role="region", aria_label=name)


def grid(
    caption: str, heads: Sequence[str], *groups: Html | Iterable[Html], class_: str, head_classes: Sequence[str] = ()
) -> Html:
    """A ``table`` that a small screen moves sideways; its caption is read aloud only. The class "grid" is to be filled in."""
    return scroll(caption, table(caption, heads, *groups, class_=class_, head_classes=head_classes, seen=False))
