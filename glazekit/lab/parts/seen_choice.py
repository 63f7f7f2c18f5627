"""What was seen on the fired tile of the glaze that lies on a panel: it says whether a model of clear glass may be believed."""

from __future__ import annotations

import ipywidgets as widgets

from glazekit.glass.domain import SEEN
from glazekit.lab.controls import choose
from glazekit.words.texts import part_words


def seen_choice() -> widgets.Dropdown:
    """One of the surfaces of ``SEEN``, or "" for nothing seen yet and for a clear glass."""
    words = part_words("seen_choice")
    return choose(words("seen"), [(words("not_seen"), ""), *((words(one), one) for one in SEEN)])
