"""A recipe from text as people type, paste or copy it out of a notebook: every line is understood, or named in the error."""

import re
from dataclasses import dataclass, field
from math import fsum

from glazekit.ground.cone import Cone
from glazekit.ground.errors import RecipeError, located, quoted
from glazekit.ground.numbers import tidy_signs
from glazekit.ground.textfile import typed_lines
from glazekit.recipe.amounts import Amount, Draft, basis_of, decimal_sign, parse_amount
from glazekit.recipe.items import Halves, Item, amount_only, atmosphere_of, items_of, reading_order, take_cone
from glazekit.recipe.reading import READ_COLUMNS, SUM, recipes_of_csv
from glazekit.recipe.recipe import Recipe

SOURCE = "pasted text"
_DECORATION = re.compile(r"[\W_]*")
_BULLET = re.compile(r"(?:[*•·◦‣▪●○>☐✓]\s*|-\s+|-(?=[^\W\d])|\[ ?\]\s*)(?=.)")
_LIST_NUMBER = re.compile(r"(\d{1,3})[.)]\s+")
_NAME = re.compile(r"(?:name|glaze|recipe|title)\s*:\s*(.+)", re.IGNORECASE)
_ATMOSPHERE = re.compile(r"atmosphere\s*:\s*(.+)", re.IGNORECASE)
_MARK = re.compile(r"^(?:#+|//)\s*")
"""Before a remark, or before a heading; alone it is an empty line."""
_NOTE = re.compile(r"(?:notes?|remarks?|comments?)\s*(?::\s*(.*))?", re.IGNORECASE)
_KEPT_AS_NOTE = re.compile(r"(?:source|from|by|date|surface|application)\s*:.*", re.IGNORECASE)
_BASIS = r"\(?\s*(?:are\s+|in\s+)?((?:in\s+)?parts|(?:%|percent)\s+o[fn]\s+(?:the\s+)?base)\s*\)?"
_SECTION = re.compile(
    r"(?:(?P<add>additions?|colou?rants?)|(?P<base>base(?: recipe| glaze)?|ingredients?|materials?))"
    rf"(?:\s*,?\s*{_BASIS})?(?:\s*:\s*(?P<rest>.*))?",
    re.IGNORECASE,
)
_PLUS = re.compile(r"\+\s*|(?:plus|add(?:ed)?)\b\s*:?\s*", re.IGNORECASE)
_BEFORE_PLUS = re.compile(r"(?<=\S)\s*[,;]\s*(?=\+\s*\S)")
_TOTAL = re.compile(rf"{SUM}\s*[:=|]*\s*(.*)|=\s*([\d.,].*)|(.*\d.*?)\s*\btotal", re.IGNORECASE)
_HEADING = re.compile(r"(?:materials?|ingredients?|amounts?|percent|parts?|grams|g|weight|)")


@dataclass(slots=True)
class _Page:
    """What has been read so far."""

    draft: Draft
    named: bool = False
    section: str = ""
    additions_began: str = ""
    last_list_number: int = 0
    notes: list[str] = field(default_factory=list)
    only_notes_follow: bool = False
    items: list[tuple[Item, bool]] = field(default_factory=list)
    totals: list[tuple[str, str, int, str]] = field(default_factory=list)


def recipe_from_text(text: str, name: str = "pasted recipe", additions_are: str | None = None) -> Recipe:
    """Read a recipe from text as typed.

    Parameters
    ----------
    text : one material and amount per line, in either order: ``Whiting 18,40 %``, ``18.4 whiting``; tabs, bullets, list numbers
        and dotted leaders are fine. ``+ tin oxide 2``, liquids in mL and lines below ``Additions:`` are additions. A first line
        without a number is the name; ``Cone 06``, ``Name:``, ``Atmosphere:``, ``Note:`` and ``Total 100`` are understood.
        Rows copied from a recipe file are read as such.
    name : used when the text gives none.
    additions_are : "parts" or "percent_of_base", when the text does not say it.

    >>> recipe = recipe_from_text("Half Clear\\ncone 06\\nWhiting 18,40 %\\nquartz ..... 81,6 %\\n+ tin oxide 2")
    >>> recipe.name, str(recipe.cone), recipe.base[0].amount, recipe.additions[0].material
    ('Half Clear', '06', 18.4, 'tin oxide')

    Raises RecipeError or NumberError naming the line that cannot be understood or a total that does not fit; nothing is skipped.
    """
    text = text.removeprefix("\ufeff")  # the mark that begins some files comes along when all of a file is copied
    lines = typed_lines(
        text, SOURCE, "write one material and its amount per line, such as 'whiting 18.4'", RecipeError, most=1000
    )
    heads = {cell.strip(' "').casefold() for cell in re.split(r"[,;\t]", lines[0][1])}
    if {"material", "amount"} <= heads <= {*READ_COLUMNS, ""}:
        recipes = recipes_of_csv(text, SOURCE, name, additions_are)
        if len(recipes) > 1:
            raise RecipeError(f"{SOURCE} holds {len(recipes)} recipes; paste one at a time")
        return recipes[0]
    page = _Page(Draft(name))
    for where, line in lines:
        _read_line(page, where, line)
    return _finished(page, additions_are)


def _read_line(page: _Page, where: str, given: str) -> None:
    """Sort one line to where it belongs."""
    if page.only_notes_follow:
        page.notes.append(given.strip())
        return
    plain = given.strip(" \t-*•")
    said = _MARK.sub("", plain)
    note = _NOTE.fullmatch(said)
    if note and (note[1] is not None or said != plain):
        page.only_notes_follow = not note[1]
        page.notes += filter(None, [note[1]])
        return
    if said != plain and not _SECTION.fullmatch(tidy_line(said)):
        page.notes += filter(None, [said])
        return
    given = given if said == plain else said
    line = _without_list_mark(page, where, tidy_line(given)).rstrip(" ,;.")
    if _DECORATION.fullmatch(line) and line not in ("+", "%"):
        return
    head, _, tail = line.partition(":")
    if tail and (firing := take_cone(head)) and not firing[2]:
        _read_line(page, where, head)
        _read_line(page, where, tail)
        return
    if _read_words(page, where, line):
        return
    total = _TOTAL.fullmatch(line)
    bare = bool(page.items) and amount_only(line)  # the sum below the line, as on paper; it has to fit
    if total or bare:
        text = next(text for text in total.groups() if text is not None) if total else line
        page.totals.append((where, text, len(page.items), given if bare else ""))
        page.additions_began = page.additions_began or where
        return
    if section := _SECTION.fullmatch(line):
        page.section = "additions" if section["add"] else "base"
        if section[3]:
            page.draft.say("additions_are", basis_of(section[3].removeprefix("in ")), where)
        if section["rest"]:
            _read_items(page, where, section["rest"], given)
        return
    _read_items(page, where, line, given)


def tidy_line(given: str) -> str:
    """One line with plain signs; tabs, table bars and dotted leaders become ``|``.

    >>> tidy_line("Whiting ..... 18,4\\u00a0%")
    'Whiting | 18,4 %'
    """
    line = re.sub(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))", "'", given)
    line = re.sub(r"\t+|(?:[.·…_]\s?){3,}|…|\.\.(?=\s)", " | ", line)
    return tidy_signs(re.sub(r"(\*+|__|`)(?=\S)(.*?\S)\1", r"\2", line)).strip("| ")


def _without_list_mark(page: _Page, where: str, line: str) -> str:
    if bullet := _BULLET.match(line):
        line = line[bullet.end() :]
    if number := _LIST_NUMBER.match(line):
        if int(number[1]) not in (1, page.last_list_number + 1):
            raise RecipeError(f"{where}: is {quoted(number[0].strip())} an amount or the number of a list? Leave out the dot")
        page.last_list_number = int(number[1])
        line = line[number.end() :]
    return line


def _read_words(page: _Page, where: str, line: str) -> bool:
    """Lines that carry no material: name, cone, atmosphere, source, headings."""
    draft, opening = page.draft, not (page.items or page.section)
    if _KEPT_AS_NOTE.fullmatch(line):
        page.notes.append(line)
    elif found := _NAME.fullmatch(line):
        _name(page, found[1], where)
    elif found := _ATMOSPHERE.fullmatch(line):
        draft.say("atmosphere", atmosphere_of(found[1]) or found[1], where)
    elif len(line) > len("reduct.") and atmosphere_of(line):
        draft.say("atmosphere", atmosphere_of(line), where)
    elif firing := take_cone(line):
        cone, atmosphere, rest = firing
        if rest:
            if page.named or page.items or line.casefold().startswith("fir"):
                return False
            if items_of(rest, where):
                raise RecipeError(f"{where}: is {quoted(rest, 60)} a name or a material? Write the cone below or above it")
            _name(page, rest, where)
        with located(where):
            cone = str(Cone.parse(cone))
        draft.say("cone", cone, where)
        if atmosphere:
            draft.say("atmosphere", atmosphere, where)
    elif opening and all(_HEADING.fullmatch(word.strip("()%,;:|/")) for word in line.casefold().split()):
        return len(line.split()) > 1
    elif opening and not (
        page.named or any(sign.isdigit() for sign in line) or _SECTION.fullmatch(line) or _PLUS.fullmatch(line)
    ):
        _name(page, line.rstrip(" :|-"), where)
    else:
        return False
    return True


def _name(page: _Page, name: str, where: str) -> None:
    page.draft.say("name", name.replace("|", " ").strip(), where)
    page.named = True


def _read_items(page: _Page, where: str, line: str, given: str) -> None:
    pieces = _BEFORE_PLUS.split(line)
    if len(pieces) > 1:
        for piece in pieces:
            _read_items(page, where, piece, given)
        return
    plus = _PLUS.match(line)
    if plus:
        line = line[plus.end() :]
        if not line:
            page.section = "additions"
            return
    columns = [cell for cell in re.split(r"\s{2,}", given.strip()) if amount_only(tidy_line(cell))]
    if len(columns) > 1:
        raise RecipeError(f"{where}: {quoted(given, 60)} has {len(columns)} amounts; write one material and one amount per line")
    found = items_of(line, where)
    if not found:
        raise _unreadable(where, given, "it has no material" if amount_only(line) else "a remark begins with 'Note:'")
    addition = bool(plus) or page.section == "additions"
    if not addition and not page.section and page.additions_began and not all(item.is_liquid for item in found):
        raise RecipeError(
            f"{where}: {quoted(given, 60)} comes after the total or an addition; put + before it if it is one, else move it up"
        )
    if plus:
        page.additions_began = where
    page.items += [(item, addition or item.is_liquid) for item in found]


def _unreadable(where: str, given: str, hint: str) -> RecipeError:
    return RecipeError(f"{where}: cannot read {quoted(given, 60)}; write a material and an amount, as in 'whiting 18.4' ({hint})")


def _finished(page: _Page, additions_are: str | None) -> Recipe:
    draft = page.draft
    order = reading_order([item for item, _ in page.items])
    readings = [(item, item.read(order), addition) for item, addition in page.items]
    written = [(f"{item.where}, {quoted(reading.material)}", reading.amount) for item, reading, _ in readings]
    comma = decimal_sign(written, [total for _, total, _, _ in page.totals], by_hand=True)
    amounts = [(_amount(item, reading, comma), addition) for item, reading, addition in readings]
    for where, total, count, bare in page.totals:
        _check_total(where, total, comma, amounts[:count], bare)
    draft.base += [amount for amount, addition in amounts if not addition]
    draft.additions += [amount for amount, addition in amounts if addition]
    draft.name = draft.said("name") or draft.name
    if not draft.base:
        raise RecipeError(f"{SOURCE}: no line of the base has a material and an amount, such as 'whiting 18.4'")
    if page.notes:
        draft.say("note", "\n".join(page.notes), SOURCE)
    return draft.finished(SOURCE, additions_are)


def _amount(item: Item, reading: Halves, decimal_comma: bool | None) -> Amount:
    with located(f"{item.where}, {quoted(reading.material)}"):
        value, unit = parse_amount(reading.amount, decimal_comma)
        return Amount(reading.material, value, unit, item.where)


def _check_total(where: str, text: str, decimal_comma: bool | None, above: list[tuple[Amount, bool]], bare: str) -> None:
    """A total that stands in the text must be the sum of the base above it, with or without the additions above it. ``bare`` is
    the line when it holds the number alone: that is a total only if it fits."""
    with located(f"{where}, total"):
        value, unit = parse_amount(text, decimal_comma)
        total = Amount("total", value, unit, where).line().amount
    base = fsum(amount.line().amount for amount, addition in above if not addition)
    everything = fsum(amount.line().amount for amount, _ in above if amount.unit != "ml")
    if all(abs(total - found) > max(0.05, 0.001 * total) + 1e-9 for found in (base, everything)):
        if bare:
            raise _unreadable(where, bare, f"it has no material, and the lines above add up to {base:g}")
        raise RecipeError(
            f"{where}: the total says {total:g}, but the lines above add up to {base:g}; correct a line or delete the total"
        )
