"""Reading the shelf box: what is left of each material, one a line."""

from __future__ import annotations

import re

from glazekit.ground.errors import GlazekitError
from glazekit.ground.numbers import parse_mass_g
from glazekit.words.texts import part_words

_LINE = re.compile(r"\s*(?P<material>\D.*?)[\s:=]+(?P<mass>[\d.,/ ]*\d\s*[a-zA-Z]*)\s*")


def masses_at_hand(text: str) -> tuple[dict[str, float], tuple[str, ...]]:
    """Material -> what is left [g], and one sentence for each line that cannot be read.

    >>> masses_at_hand("soda feldspar 312 g")
    ({'soda feldspar': 312.0}, ())
    >>> masses_at_hand("tin oxide: 0,5 kg; whiting")[1]
    ("'whiting' needs a material and a mass, such as 'soda feldspar 312 g'",)
    """
    found: dict[str, float] = {}
    problems = []
    for line in filter(str.strip, re.split(r"[\n;]", text)):
        match = _LINE.fullmatch(line)
        if not match:
            problems.append(part_words("at_hand")("unread", line=line.strip()))
            continue
        try:
            material = match["material"].strip()
            found[material] = found.get(material, 0.0) + parse_mass_g(match["mass"], material)
        except GlazekitError as error:
            problems.append(str(error))
    return found, tuple(problems)
