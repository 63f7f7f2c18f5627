"""Cone and atmosphere inside a line of text: ``cone 5-6 oxidation``, ``^06``, ``fired to cone 10 in reduction``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from glazekit.ground.cone import Cone

_ONE = r"(?:oxidation|oxidi[sz]ing|oxid|ox|reduction|reducing|neutral)\b\.?"
_SHORT = r"(?:red\b\.?(?=\s*(?:$|/|or\b)))"
_WORDS = re.compile(rf"(?:in\s+)?(?:{_ONE}|{_SHORT})(?:\s*(?:/|,|&|\bor\b|\band\b)\s*(?:{_ONE}|{_SHORT}))*", re.IGNORECASE)
_CONE = re.compile(
    r"(?:\bfir(?:e|ed|ing)\b\s*(?::|to\b|at\b)?\s*)?(?:\bcone\b|\bc(?=\d)|[\^Δ△∆])\s*[:#]?\s*(0?\d{1,2}(?:\s*(?:-|/|to)\s*0?\d{1,2})?)(?![\d.,]*\d)",
    re.IGNORECASE,
)


_LETTER = {"R": "reduction", "O": "oxidation"}
"""What one capital letter right behind a cone stands for: cone 10R."""


@dataclass(frozen=True, slots=True)
class ConeWords:
    """What a line says about the firing, and what else stands in it."""

    cone_text: str
    atmosphere: str
    rest: str

    def cone(self) -> str:
        """The cone, checked; NumberError when there is no such cone."""
        return str(Cone.parse(self.cone_text.replace("/", "-")))


def atmosphere_of(text: str) -> str:
    """Oxidation, reduction, neutral or several of them, when the text says nothing else; else an empty text.

    >>> atmosphere_of("Ox."), atmosphere_of("oxidation/reduction"), atmosphere_of("red iron oxide")
    ('oxidation', 'oxidation or reduction', '')
    """
    if not _WORDS.fullmatch(text.strip()):
        return ""
    starts = {"ox": "oxidation", "re": "reduction", "ne": "neutral"}
    found = [starts[word[:2]] for word in re.findall(r"[a-z]+", text.casefold()) if word[:2] in starts]
    return " or ".join(dict.fromkeys(found))


def take_cone(line: str) -> ConeWords | None:
    """Cone, atmosphere and the rest of a line; None when no cone stands in it.

    >>> take_cone("Gangway Clear, cone 6 oxidation")
    ConeWords(cone_text='6', atmosphere='oxidation', rest='Gangway Clear')
    """
    match = _CONE.search(line)
    if not match:
        return None
    before, after = line[: match.start()].rstrip(" ,;:(-|"), line[match.end() :].strip(" ,;:()-|")
    if letter := _LETTER.get(after.rstrip(".")):
        return ConeWords(match[1], letter, before)
    words = _WORDS.match(after)
    if words and not (before and after.casefold() == "red"):
        return ConeWords(match[1], atmosphere_of(words[0]), f"{before} {after[words.end() :].strip(' ,;:()-|.')}".strip())
    return ConeWords(match[1], "", f"{before} {after}".strip())
