"""What was seen on a fired tile: keys in the book, words on the page.

Books of the first version kept the words that stood on the page ("crazed, day 1"). Their lines stay as they are; this is the
door where such words are read as keys.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from glazekit.folder.kinds import LOOKS
from glazekit.words.texts import part_words

_DENIED = re.compile(r"\b(no|not|never|without)\s+(\w+\s+)?(craz|crack|flak|shiver)\w*", re.IGNORECASE)
_OLD_WORDS = {
    "surface": (("gloss", "gloss"), ("shin", "gloss"), ("satin", "satin"), ("matt", "matte"), ("dry", "dry")),
    "fate": (
        *(("craz", "crazed"), ("net of cracks", "crazed"), ("flak", "flaked"), ("shiver", "flaked")),
        *(("whole", "whole"), ("sound", "whole"), ("fits", "whole")),
    ),
}
"""Look -> parts of words, each with the key it stands for; the first that is found counts."""


def looks_of(result: Mapping[str, Any]) -> dict[str, str]:
    """Look -> key of one result of the book; words are read only where no key stands.

    >>> looks_of({"fate": "whole", "looked": "day_1"}), looks_of({"seen": "Crazed, week 1"}), looks_of({"seen": "no crazing"})
    ({'fate': 'whole'}, {'fate': 'crazed'}, {'fate': 'whole'})
    """
    if any(look in result for look in LOOKS):
        return {look: result[look] for look, keys in LOOKS.items() if result.get(look) in keys}
    left, denied = _DENIED.subn("", str(result.get("seen", "")))
    found = {look: _first(left.casefold(), pairs) for look, pairs in _OLD_WORDS.items()}
    if denied and not found["fate"]:
        found["fate"] = "whole"
    return {look: key for look, key in found.items() if key}


def say_look(result: Mapping[str, Any]) -> str:
    """One result in words, such as "crazed, day 1": its keys, when it was looked at, and the learner's own words.

    >>> say_look({"fate": "crazed", "looked": "day_1"}), say_look({"seen": "glossy, ran a little"})
    ('crazed, day 1', 'glossy, ran a little')
    """
    words = part_words("looks").texts
    keys = [result[name] for name in (*LOOKS, "looked") if name in result]
    own = [str(result["seen"])] if "seen" in result else []
    return ", ".join([*(words.get(key, str(key)) for key in keys), *own])


def _first(said: str, pairs: tuple[tuple[str, str], ...]) -> str:
    return next((key for part, key in pairs if part in said), "")
