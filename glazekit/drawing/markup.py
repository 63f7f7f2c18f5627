"""Markup that is safe by construction, HTML and SVG alike: plain text is escaped, only ``Html`` passes through."""

from html import escape

_ALONE = frozenset({"br", "circle", "hr", "img", "input", "link", "meta", "path", "rect"})
"""Elements that never hold anything."""


class Html(str):
    """Finished markup. Anything else that reaches ``el`` or ``join``, or is added to it, is text and gets escaped.

    >>> el("br") + "1 < 2"
    '<br/>1 &lt; 2'
    """

    __slots__ = ()

    def __add__(self, after: str) -> "Html":
        return join(self, after)

    def __radd__(self, before: str) -> "Html":
        return join(before, self)

    def _repr_html_(self) -> str:
        """How a notebook shows it."""
        return self


def el(tag: str, *children: str, **attributes: str | float) -> Html:
    """One element with its children. Plain text is escaped, in attributes too; numbers have at most two decimals; an attribute
    that is "" is left out. In its name a trailing underscore is dropped (``class_``), others turn into hyphens.

    >>> el("p", "<b>Fish & chips</b>", class_="note", id="")
    '<p class="note">&lt;b&gt;Fish &amp; chips&lt;/b&gt;</p>'
    >>> el("p", el("b", "sieve"), " wet")
    '<p><b>sieve</b> wet</p>'
    >>> el("circle", r=2 / 3, stroke_width=1.0)
    '<circle r="0.67" stroke-width="1"/>'
    """
    opening = tag
    for name, value in attributes.items():
        if value != "":
            opening += f' {name.rstrip("_").replace("_", "-")}="{escape(value) if isinstance(value, str) else n(value)}"'
    return Html(f"<{opening}/>" if tag in _ALONE else f"<{opening}>{join(*children)}</{tag}>")


def join(*children: str) -> Html:
    """Children side by side, plain text escaped.

    >>> join("1 < 2 ", el("i", "yes"))
    '1 &lt; 2 <i>yes</i>'
    """
    return Html("".join([child if isinstance(child, Html) else escape(child, quote=False) for child in children]))


def n(value: float) -> str:
    """A number of a drawing, with at most two decimals.

    >>> n(12.3456), n(7.0)
    ('12.35', '7')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
