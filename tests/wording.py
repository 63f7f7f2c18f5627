"""Tests ask for a text by its key, never by its sentence: which words were said, and with which values in their braces."""

from __future__ import annotations

import re
from html import unescape
from string import Formatter
from typing import Any

from glazekit.words.texts import load


def text_of(key: str) -> str:
    """The text under a dotted key: file of ``glazekit/words``, then its tables, such as "lesson_06.panel.chart_map.ratio_up"."""
    name, *steps = key.split(".")
    found: Any = load(name)
    for step in steps:
        found = found[int(step)] if isinstance(found, list) else found[step]
    assert isinstance(found, str), f"{key} is no text"
    return found


def spoken(key: str, said: str) -> dict[str, str] | None:
    """The values in the braces if the text under ``key`` stands in ``said`` (plain text or markup), else None.

    >>> spoken("lesson_00.panel.frame.saved", "<p>" + text_of("lesson_00.panel.frame.saved").format(time="19:30") + "</p>")
    {'time': '19:30'}
    """
    pattern, known = "", set()
    for literal, field, _, _ in Formatter().parse(text_of(key)):
        pattern += re.escape(literal)
        if field is not None:
            pattern += f"(?P={field})" if field in known else f"(?P<{field}>.*?)"
            known.add(field)
    plain = unescape(re.sub(r"<[^>]*>", "", said))
    found = re.search(pattern + (r"(?=\W|$)" if known else ""), plain, re.DOTALL)
    return found.groupdict() if found else None
