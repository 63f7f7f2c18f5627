"""A strict reader of printed pages, for the tests of the sheets."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from wording import spoken

VOID = {"meta", "link", "br", "img", "hr", "input"}
NASTY = "<script>alert('x')</script> & \"quotes\" {braces} <b>"


class Reader(HTMLParser):
    """Reads a page the way a strict reader would: tags must close in order; texts and elements are kept."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(html)
        self.close()
        assert not self.open, f"never closed: {self.open}"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID and tag != "path":
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if data.strip() and "style" not in self.open:
            self.texts.append((self.open[-1] if self.open else "", data))

    @property
    def text(self) -> str:
        return " ".join(" ".join(text for _, text in self.texts).split())

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def told(html: str, key: str) -> dict[str, str]:
    """The values in the braces of the text under ``key``, from the first piece of the page that says it."""
    return next(values for _, text in Reader(html).texts if (values := spoken(key, text.strip())) is not None)


def texts_of(markup: str) -> list[str]:
    """The texts of a piece of markup, one by one, with single spaces."""
    return [" ".join(text.split()) for _, text in Reader(markup).texts]


def rows_of(html: str, table_class: str) -> list[list[str]]:
    """The rows of the first table of this class, each as the texts of its cells, empty cells included."""
    table = re.search(rf'<table class="{table_class}".*?</table>', html, re.DOTALL)[0]
    return [
        [" ".join(texts_of(cell)) for cell in re.findall(r"<t[hd][ >].*?</t[hd]>", row, re.DOTALL)]
        for row in re.findall(r"<tr.*?</tr>", table, re.DOTALL)
    ]
