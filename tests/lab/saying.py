"""Panels are asked by the key of a text and by the values in its braces, never by a sentence."""

from __future__ import annotations

import re
from html import unescape
from string import Formatter
from typing import Any

from wording import text_of

from glazekit.lab.panel import Panel


def says(panel: Panel, key: str, place: Any = None, **values: str) -> bool:
    """Does the text under ``key`` stand in the panel, with these values in its braces; braces not named may hold anything.

    Parameters
    ----------
    panel : the panel; its own table is meant where ``key`` has no dot, otherwise ``key`` is one for ``text_of``.
    place : the control or the text to look in; the status line when not given.
    """
    said = str(panel.said if place is None else getattr(place, "value", place))
    text = text_of(key if "." in key else f"lesson_{panel.home}.panel.{panel.name.replace(' ', '_')}.{key}")
    fields = [(literal, field) for literal, field, _, _ in Formatter().parse(text)]
    assert values.keys() <= {field for _, field in fields}, f"{key} has no such braces: {text}"
    pattern = "".join(re.escape(literal) + (re.escape(values[f]) if f in values else ".*?" if f else "") for literal, f in fields)
    return re.search(pattern, unescape(re.sub(r"<[^>]*>", "", said)), re.DOTALL) is not None
