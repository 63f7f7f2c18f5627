"""Inside one line of pasted text: material and amount, which of the two comes first, and a cone with its atmosphere."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from glazekit.ground.errors import AmbiguousNumberError, RecipeError, quoted
from glazekit.recipe.amounts import UNITS

_UNIT_WORDS = "|".join(sorted((word for word in UNITS if word not in ("", "%")), key=len, reverse=True))
_UNIT = rf"(?:\s*%|\s*(?:{_UNIT_WORDS})\b\.?)"
_NUMBER = r"[+-]?(?:\d{1,2}\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:[.,']\d+)*|[.,]\d+)"
_AMOUNT = re.compile(rf"{_NUMBER}{_UNIT}?", re.IGNORECASE)
_FIRST = re.compile(
    rf"(?P<amount>{_NUMBER}(?:{_UNIT}|(?=\s|$)))\s*(?:(?:of|x)\s+|[,;]\s*|-\s+)?(?P<material>\S.*)", re.IGNORECASE
)
_LAST = re.compile(
    rf"(?P<material>\S.*?)(?:\s*[,;]\s*|(?P<dash>\s+-\s+)|\s+)(?:(?P<amount>{_NUMBER}{_UNIT}?)|\((?P<inside>{_NUMBER}{_UNIT}?)\))",
    re.IGNORECASE,
)
_WALL = re.compile(r"\||(?<!\d)[:=]|[:=](?!\d)")
"""Between material and amount without doubt: a tab or leader (``|`` by now), a colon or an equals sign."""
_LIQUID = re.compile(r"m(?:l|illilit(?:re|er)s?)\.?$", re.IGNORECASE)
_NO_NAME = re.compile(
    rf"(?:^|\s)(?:{_NUMBER}{_UNIT}|\d+[.,]\d+)(?=\s|$)|\s\d+\s+(?!(?:mesh|microns?|um|µm)\b)\S|\d\s*[,;+&|]",
    re.IGNORECASE,
)
"""A name may hold a number (frit 90, quartz 200 mesh), but not an amount or a second item (whiting 20 kaolin)."""


@dataclass(frozen=True, slots=True)
class Halves:
    """A line cut in two, in one of the ways it can be read."""

    material: str
    amount: str


@dataclass(frozen=True, slots=True)
class Item:
    """A line read with the amount first, with the amount last, or both when it could be either (``20 frit 90``)."""

    where: str
    text: str
    first: Halves | None
    last: Halves | None

    @property
    def is_liquid(self) -> bool:
        """Is the amount in mL, however the line is read?"""
        return all(_LIQUID.search(reading.amount) for reading in self._readings())

    def _readings(self) -> tuple[Halves, ...]:
        return tuple(reading for reading in (self.first, self.last) if reading)

    def read(self, order: str) -> Halves:
        """The reading, by the order of the text's other lines ("first", "last" or "" when they do not tell)."""
        readings = self._readings()
        if len(readings) == 1:
            return readings[0]
        if order == "first" and self.first:
            return self.first
        if order == "last" and self.last:
            return self.last
        raise RecipeError(f"{self.where}: which number of {quoted(self.text)} is the amount? Put a colon beside it")


def reading_order(items: Iterable[Item]) -> str:
    """Where the amounts of these lines stand: "first", "last", or "" when the clear ones do not tell or disagree."""
    orders = {"first" if item.first else "last" for item in items if not (item.first and item.last)}
    return orders.pop() if len(orders) == 1 else ""


def amount_only(line: str) -> bool:
    """Is the line an amount with no material?"""
    return bool(_AMOUNT.fullmatch(line))


def items_of(line: str, where: str) -> list[Item]:
    """The materials with amounts of one tidied line: one, or several behind commas; empty when it cannot be read.

    >>> [item.read("") for item in items_of("Whiting 20, kaolin 15", "line 1")]
    [Halves(material='Whiting', amount='20'), Halves(material='kaolin', amount='15')]
    """
    pieces = [piece.strip() for piece in re.split(r"[,;]\s", line) if piece.strip()]
    if len(pieces) > 1:
        found = [_item(piece, where, strict=False) for piece in pieces]
        if all(found):
            return [item for item in found if item]
    item = _item(line, where, strict=True)
    return [item] if item else []


def _item(text: str, where: str, strict: bool) -> Item | None:
    cells = [cell.strip() for cell in _WALL.split(text) if cell.strip()]
    if len(cells) > 1 and ("|" in text or any(amount_only(cell) for cell in cells)):
        return _of_cells(cells, text, where)
    text = text.strip("| ")
    first, last = _FIRST.fullmatch(text), _LAST.fullmatch(text)
    a_range = last and last["dash"] and re.search(r"(?:^|\s)\d+$", last["material"])
    readings = [
        _checked(first["material"], first["amount"]) if first else None,
        _checked(last["material"], last["amount"] or last["inside"]) if last and not a_range else None,
    ]
    if not any(readings):
        if strict and (first or last) and sum(bool(_AMOUNT.fullmatch(word.rstrip(",;"))) for word in text.split()) > 1:
            raise RecipeError(f"{where}: {quoted(text, 60)} has more than one amount; write one material, a colon and its amount")
        return None
    _no_split_thousands(text, readings[0], readings[1], where)
    return Item(where, text, readings[0], readings[1])


def _of_cells(cells: list[str], text: str, where: str) -> Item | None:
    """A line with tabs, leaders or a colon: one cell is the amount, perhaps with its unit in the next, the other the material."""
    if len(cells) > 2 and cells[-1].casefold() in UNITS:
        cells = [*cells[:-2], f"{cells[-2]} {cells[-1]}"]
    amounts = [cell for cell in cells if _AMOUNT.fullmatch(cell)]
    names = [cell for cell in cells if cell not in amounts]
    if len(amounts) == 1 and len(names) == 1 and any(sign.isalpha() for sign in names[0]):
        reading = Halves(names[0].rstrip(" :=-"), amounts[0])
        return Item(where, text, reading, None) if cells[0] == amounts[0] else Item(where, text, None, reading)
    if len(amounts) > 1:
        raise RecipeError(f"{where}: {quoted(text, 60)} has {len(amounts)} amounts; write one material and one amount per line")
    return None


def _checked(material: str, amount: str) -> Halves | None:
    """A reading, unless what is left for the material is no name or holds an amount of its own."""
    material = material.strip(" :=,;")
    if material.startswith("+") or material.endswith("+"):
        return None  # an addition whose plus stands in the wrong place
    if not any(sign.isalpha() for sign in material) or _NO_NAME.search(material) or material.casefold() in UNITS:
        return None
    return Halves(material, amount)


def _no_split_thousands(text: str, first: Halves | None, last: Halves | None, where: str) -> None:
    """``whiting 1 250``: 1250 of whiting, or 250 of something called whiting 1? And ``quartz 4 0``? Ask."""
    tail = r"\d{3}(?!\d)|0\d*(?![\d.,])"
    split = last and re.search(r"\s\d{1,3}$", last.material) and re.match(tail, last.amount)
    split = split or (first and re.match(rf"(?:{tail})\s", first.material) and re.fullmatch(r"\d{1,3}", first.amount))
    if split:
        raise AmbiguousNumberError(
            f"{where}: the numbers in {quoted(text)} could be one; write 1250 for 1 250, or put a colon beside the amount"
        )


_AIR = r"(?:oxidation|oxidi[sz]ing|oxid|ox|reduction|reducing|neutral)\b\.?"
_AIR_SHORT = r"(?:red\b\.?(?=\s*(?:$|/|or\b)))"
_AIRS = re.compile(rf"(?:in\s+)?(?:{_AIR}|{_AIR_SHORT})(?:\s*(?:/|,|&|\bor\b|\band\b)\s*(?:{_AIR}|{_AIR_SHORT}))*", re.IGNORECASE)
_CONE = re.compile(
    r"(?:\bfir(?:e|ed|ing)\b\s*(?::|to\b|at\b)?\s*)?(?:\bcone\b|\bc(?=\d)|[\^Δ△∆])\s*[:#]?\s*(0?\d{1,2}(?:\s*(?:-|/|to)\s*0?\d{1,2})?)(?![\d.,]*\d)",
    re.IGNORECASE,
)
_LETTER = {"R": "reduction", "O": "oxidation"}
"""What one capital letter right behind a cone stands for: cone 10R."""


def atmosphere_of(text: str) -> str:
    """Oxidation, reduction, neutral or several of them, when the text says nothing else; else an empty text.

    >>> atmosphere_of("Ox."), atmosphere_of("oxidation/reduction"), atmosphere_of("red iron oxide")
    ('oxidation', 'oxidation or reduction', '')
    """
    if not _AIRS.fullmatch(text.strip()):
        return ""
    starts = {"ox": "oxidation", "re": "reduction", "ne": "neutral"}
    found = [starts[word[:2]] for word in re.findall(r"[a-z]+", text.casefold()) if word[:2] in starts]
    return " or ".join(dict.fromkeys(found))


def take_cone(line: str) -> tuple[str, str, str] | None:
    """Cone (not checked yet), atmosphere and the rest of a line; None when no cone stands in it.

    >>> take_cone("Gangway Clear, cone 6 oxidation")
    ('6', 'oxidation', 'Gangway Clear')
    """
    match = _CONE.search(line)
    if not match:
        return None
    cone = match[1].replace("/", "-")
    before, after = line[: match.start()].rstrip(" ,;:(-|"), line[match.end() :].strip(" ,;:()-|")
    if letter := _LETTER.get(after.rstrip(".")):
        return cone, letter, before
    words = _AIRS.match(after)
    if words and not (before and after.casefold() == "red"):
        return cone, atmosphere_of(words[0]), f"{before} {after[words.end() :].strip(' ,;:()-|.')}".strip()
    return cone, "", f"{before} {after}".strip()
