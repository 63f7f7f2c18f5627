"""Text on a panel: paragraphs, lists and tables, built so that what a learner typed stays text."""

from collections.abc import Iterable, Sequence

from glazekit.drawing.markup import Html, el, join


def paragraphs(*texts: str, css_class: str = "") -> Html:
    """A paragraph for each text; none for an empty one.

    >>> paragraphs("1 < 2", "")
    '<p>1 &lt; 2</p>'
    """
    return join(*(el("p", text, class_=css_class) for text in texts if text))


def strong(text: str) -> Html:
    """A paragraph in bold, such as a question over its answers."""
    return el("p", el("b", text))


def small(*texts: str) -> Html:
    """The small print; nothing when there is nothing to say."""
    return paragraphs(" ".join(filter(None, texts)), css_class="gk-saved")


def listed(texts: Iterable[str], tag: str = "ul", css_class: str = "") -> Html:
    """A list with a line for each text; nothing when there is none."""
    lines = [el("li", text) for text in texts]
    return el(tag, *lines, class_=css_class) if lines else Html()


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], sums: int = 0) -> Html:
    """A table: the first cell of a row names it, the others are numbers with their units; the last ``sums`` rows are sums.

    >>> table((), [("quartz", "22.0 g")])
    '<table><tr><th scope="row">quartz</th><td class="gk-number">22.0 g</td></tr></table>'
    """
    cells = list(rows)
    lines = [el("tr", *(el("th", head, scope="col", class_="gk-number" if i else "") for i, head in enumerate(heads)))]
    for i, (name, *numbers) in enumerate(cells):
        shown = (el("td", number, class_="gk-number") for number in numbers)
        lines.append(el("tr", el("th", name, scope="row"), *shown, class_="gk-sum" if sums and i == len(cells) - sums else ""))
    return el("table", *lines if heads else lines[1:])


def columns(*tables: str) -> Html:
    """Tables side by side where there is room."""
    return el("div", *tables, class_="gk-columns")
