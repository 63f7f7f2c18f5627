"""HTML that is safe by construction: plain text is escaped, only ``Html`` passes through."""

from __future__ import annotations

from html import escape


class Html(str):
    """Finished markup. Anything else that reaches ``el`` is text and gets escaped."""

    __slots__ = ()


def el(tag: str, *children: str, **attributes: str) -> Html:
    """One element; a trailing underscore in an attribute name is dropped (``class_``), others turn into hyphens.

    >>> el("p", "<b>Fish & chips</b>", class_="note")
    '<p class="note">&lt;b&gt;Fish &amp; chips&lt;/b&gt;</p>'
    >>> el("p", el("b", "sieve"), " wet")
    '<p><b>sieve</b> wet</p>'
    """
    opening = "".join(f' {name.rstrip("_").replace("_", "-")}="{escape(value)}"' for name, value in attributes.items())
    return Html(f"<{tag}{opening}>{join(*children)}</{tag}>")


def join(*children: str) -> Html:
    """Children side by side, plain text escaped.

    >>> join("1 < 2 ", el("i", "yes"))
    '1 &lt; 2 <i>yes</i>'
    """
    return Html("".join(child if isinstance(child, Html) else escape(child, quote=False) for child in children))
