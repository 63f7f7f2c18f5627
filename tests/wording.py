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

    >>> spoken("parts.frame.saved", "<p>" + text_of("parts.frame.saved").format(time="19:30") + "</p>")
    {'time': '19:30'}
    """
    parts = list(Formatter().parse(text_of(key)))
    pattern, known = "", set()
    for number, (literal, field, _, _) in enumerate(parts, 1):
        pattern += re.escape(literal)
        if field in known:
            pattern += f"(?P={field})"
        elif field is not None:
            value = ".*?" if number < len(parts) else r"\S+"  # at the end of a text: one word
            pattern += f"(?P<{field}>{value})"
            known.add(field)
    pattern += r"(?!\d)"  # a full stop after the last value is no decimal point
    found = re.search(pattern, unescape(re.sub(r"<[^>]*>", "", re.sub(r"</(?:li|p|td|th|tr)>", "\n", said))), re.DOTALL)
    return found.groupdict() if found else None


def numbers_in(said: str) -> list[float]:
    """Every number of a sentence, in its order.

    >>> numbers_in("1001 g is no whole number of 5 g steps: 1000.5 g.")
    [1001.0, 5.0, 1000.5]
    """
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", said)]
