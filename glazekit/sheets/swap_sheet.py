"""The swap sheet of lesson 8: old and new side by side, what changes, and the test that comes before the bucket."""

from __future__ import annotations

from collections.abc import Iterator

from glazekit.chemistry.analysis import Analysis, analyse
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.changed_recipe import ChangedRecipe, plastic_clay_pct
from glazekit.chemistry.substitute import Substitution
from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe, compare
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import caution, form, head_row, scroll, short, ticks, write_in
from glazekit.sheets.wording import listed, say

PARTS_DECIMALS = 2
CHANGED = {0: 0.5, 1: 0.05, 2: 0.005, 3: 0.0005}
"""Decimals -> a smaller change does not show."""


def swap_sheet_html(
    before: Recipe,
    after: Recipe,
    *,
    substitution: Substitution | None = None,
    stock: Stock | None = None,
    made_by: str = "",
    date: str = "",
) -> str:
    """One page: what to weigh, what the formula says, and TEST FIRST.

    Parameters
    ----------
    before, after : the recipe as it was and as it is to be. Of one name, their parts are compared as written, since one is
        the other with a material swapped; of two names, both are brought to a base of 100 first.
    substitution : the ways that were looked at, to print beside the one chosen.
    stock : where the analyses come from; the course's materials when not given.
    made_by, date : printed when given, else a line to write on.

    Raises UnknownMaterialError, NoAnalysisError or RecipeError when one of the two has no formula.
    """
    shelf = stock or course_stock()
    same = before.name == after.name
    title = say("swap.title", recipe=before.name) if same else say("swap.title_two", old=before.name, new=after.name)
    weighing = [one for one in cautions_for(after, shelf) if one.moment == "weighing"]
    return page(
        title,
        heading(say("swap.kind"), title, say("swap.facts")),
        form(write_in(say("swap.made_by"), made_by), write_in(say("swap.date"), date)),
        _test_first(),
        el("h2", say("swap.recipe_title" if same else "swap.recipe_title_100"), class_="plain-part"),
        caution(say("flags.stop"), [one.text for one in weighing if one.level == "stop"], "caution stop"),
        caution(say("flags.weighing"), [one.text for one in weighing if one.level != "stop"]),
        _recipes(before, after, same, shelf),
        el("section", el("h2", say("swap.formula_title")), _formulas(before, after, shelf), class_="plain-part"),
        _ways(substitution, after) if substitution else "",
    )


def _test_first() -> Html:
    lines = (el("p", line) for line in listed("swap.test_lines"))
    found = form(*(write_in(what) for what in listed("swap.test_results")), write_in(say("swap.verdict"), class_="write-in wide"))
    return el(
        "section", el("h2", say("swap.test_title")), *lines, ticks(listed("swap.test_ticks")), found, class_="framed loud-box"
    )


def _change(old: float, new: float, decimals: int) -> str:
    """More or less, with its sign; a word where nothing changes."""
    moved = new - old
    if abs(moved) < CHANGED[decimals]:
        return say("swap.same")
    return f"{'+' if moved > 0 else '−'}{show_number(abs(moved), decimals)}"


def _cells(old: float, new: float, decimals: int) -> tuple[Html, Html, Html]:
    shown = (_amount(old, decimals), _amount(new, decimals), _change(old, new, decimals))
    first, second, third = (el("td", text, class_="num") for text in shown)
    return first, second, third


def _amount(value: float, decimals: int) -> str:
    return show_number(value, decimals) if value else say("swap.none")


# -- what to weigh ----------------------------------------------------------------------------------------------------------


def _recipes(before: Recipe, after: Recipe, as_written: bool, shelf: Stock) -> Html:
    """The base as the two are written, with a column brought to 100, or both brought to 100; additions for 100 of base."""
    rows = compare(before, after, shelf)
    old_size, new_size = (before.base_sum / 100, after.base_sum / 100) if as_written else (1.0, 1.0)
    base = [(name, old * old_size, new * new_size, new) for part, name, old, new, _ in rows if part == "base"]
    top = [(name, old, new, new) for part, name, old, new, _ in rows if part == "addition"]
    last = 1 if as_written else 0
    lines = [_recipe_row(*row, last) for row in base]
    lines.append(_recipe_row(say("swap.total"), 100 * old_size, 100 * new_size, 100.0, last, "grand"))
    bodies = [el("tbody", *lines)]
    if top:
        title = el("tr", el("th", say("swap.additions"), colspan=str(4 + last), scope="rowgroup"), class_="part")
        bodies.append(el("tbody", title, *(_recipe_row(*row, last) for row in top)))
    heads = head_row(listed("swap.columns")[: 4 + last], ("", *["num"] * (3 + last)))
    caption = el("caption", say("swap.recipe_caption"), class_="unseen")
    return scroll(say("swap.recipe_caption"), el("table", caption, heads, *bodies, class_="card-table swap"))


def _recipe_row(name: str, old: float, new: float, new_100: float, last: int, class_: str = "line") -> Html:
    to_weigh = [el("td", _amount(new_100, 1), class_="num")] * last
    return el("tr", el("th", name, scope="row"), *_cells(old, new, PARTS_DECIMALS), *to_weigh, class_=class_)


# -- what the formula says --------------------------------------------------------------------------------------------------


def _formulas(before: Recipe, after: Recipe, shelf: Stock) -> Html:
    old, new = analyse(before, stock=shelf), analyse(after, stock=shelf)
    first, second = old.unity, new.unity
    rows = [_oxide_row(oxide, first, second) for oxide in OXIDE_ORDER if max(first[oxide], second[oxide]) >= CHANGED[2]]
    more = [*_ratio_rows(first, second), *_material_rows(old, new, shelf)]
    heads = head_row(listed("swap.formula_columns"), ("", "num", "num", "num"))
    notes = [el("p", note) for note in dict.fromkeys((*first.notes, *second.notes))]
    clay = plastic_clay_pct(after, shelf)
    if clay < PLASTIC_CLAY_PCT:
        notes.append(el("p", say("swap.clay_low", clay=short(clay, 1), least=short(PLASTIC_CLAY_PCT, 0))))
    table = el(
        "table",
        el("caption", say("swap.formula_caption")),
        heads,
        el("tbody", *rows),
        el("tbody", *more),
        class_="card-table swap",
    )
    return el("div", table, *notes)


def _oxide_row(oxide: str, first: UnityFormula, second: UnityFormula) -> Html:
    name = f"{printed_formula(oxide)} {OXIDES[oxide].name}"
    return el("tr", el("th", name, scope="row"), *_cells(first[oxide], second[oxide], 2))


def _ratio_rows(first: UnityFormula, second: UnityFormula) -> Iterator[Html]:
    old, new = first.silica_to_alumina_mol, second.silica_to_alumina_mol
    if old and new:
        yield el("tr", el("th", say("swap.ratio"), scope="row"), *_cells(old, new, 1))
    yield el(
        "tr", el("th", say("swap.alkali_share"), scope="row"), *_cells(100 * first.alkali_share, 100 * second.alkali_share, 0)
    )


def _material_rows(old: Analysis, new: Analysis, shelf: Stock) -> Iterator[Html]:
    yield el("tr", el("th", say("swap.loi"), scope="row"), *_cells(old.loi_wt_pct_raw, new.loi_wt_pct_raw, 1))
    clays = plastic_clay_pct(old.recipe, shelf), plastic_clay_pct(new.recipe, shelf)
    yield el("tr", el("th", say("swap.clay"), scope="row"), *_cells(*clays, 1))


# -- the ways that were looked at -------------------------------------------------------------------------------------------


def _ways(substitution: Substitution, after: Recipe) -> Html:
    rows = (_way_row(way, after) for way in substitution.replacements)
    why_not = el("p", say("swap.no_exact", why=substitution.why_not)) if substitution.exact is None else ""
    keep = say("swap.kept", oxides=", ".join(printed_formula(text) for text in substitution.keep))
    heads = head_row(listed("swap.way_columns"), ("", "", "num", "num"))
    table = el("table", el("caption", keep), heads, el("tbody", *rows), class_="card-table ways")
    title = say("swap.ways_title", material=substitution.out)
    return el("section", el("h2", title), why_not, scroll(title, table), class_="plain-part")


def _way_row(way: ChangedRecipe, after: Recipe) -> Html:
    moved = [change for change in way.changes if abs(change[2] - change[1]) >= CHANGED[PARTS_DECIMALS]]
    moves = ", ".join(f"{name} {_change(old, new, PARTS_DECIMALS)}" for name, old, new in moved)
    ratio = way.after.silica_to_alumina_mol
    chosen = el("span", say("swap.chosen"), class_="sub") if way.recipe.base == after.base else ""
    return el(
        "tr",
        el("th", say(f"swap.way_kinds.{way.kind.replace(' ', '_')}"), chosen, scope="row"),
        el("td", moves),
        el("td", show_number(ratio, 1) if ratio else say("swap.none"), class_="num"),
        el("td", show_number(100 * way.after.alkali_share, 0), class_="num"),
    )
