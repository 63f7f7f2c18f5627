"""The swap sheet of lesson 8: old and new side by side, what changes, and the test that comes before the bucket."""

from collections.abc import Iterator

from glazekit.chemistry.analysis import Analysis, analyse
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.changed_recipe import ChangedRecipe, plastic_clay_pct
from glazekit.chemistry.substitute import Substitution
from glazekit.drawing.markup import Html, el, join
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe, compare
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import cautions, fields, form, num, over, paragraphs, part, row, scroll, short, table, ticks, write_in

PARTS_DECIMALS = 2
SHOWN_MOL = 0.005
"""Fewer moles than this print as none."""
_SAY = Say("swap")


@printed_as("swap sheet", ("old", "Gangway Clear"), ("new", "Handrail Clear"))
def swap_sheet_html(
    old: Recipe,
    new: Recipe,
    *,
    substitution: Substitution | None = None,
    stock: Stock | None = None,
    who: str = "",
    date: str = "",
) -> str:
    """One page: what to weigh, what the formula says, and TEST FIRST. Two recipes of one name are compared as written, since one
    is the other with a material swapped; of two names, both are brought to a base of 100 first. ``substitution``: the ways that
    were looked at, to print beside the one chosen. ``stock``: where the analyses come from; the course's materials when not
    given. Raises UnknownMaterialError, NoAnalysisError or RecipeError when one of the two has no formula."""
    shelf, same = stock or course_stock(), old.name == new.name
    care = cautions_for(new, shelf)
    return sheet_page(
        _SAY,
        fields(_SAY, made_by=who, date=date),
        _test_first(),
        el("h2", _SAY("recipe_title" if same else "recipe_title_100"), class_="plain-part"),
        cautions(care, "weighing"),
        _recipes(old, new, same, shelf),
        cautions(care, "mixing"),
        part(_SAY("formula_title"), _formulas(old, new, shelf)),
        _ways(substitution, new) if substitution else "",
        title=_SAY("title", recipe=old.name) if same else _SAY("title_two", old=old.name, new=new.name),
    )


def _test_first() -> Html:
    results = form(*map(write_in, _SAY.all("test_results")), write_in(_SAY("verdict"), class_="write-in wide"))
    lines, boxes = paragraphs(_SAY.all("test_lines")), ticks(_SAY.all("test_ticks"))
    return part(_SAY("test_title"), lines, boxes, results, class_="framed loud-box")


def _change(old: float, new: float, decimals: int) -> str:
    """More or less between the two numbers as printed, with its sign; a word where they print alike."""
    change = float(show_number(new, decimals)) - float(show_number(old, decimals))
    shown = show_number(abs(change), decimals)
    return _SAY("same") if not float(shown) else f"{'+' if change > 0 else '−'}{shown}"


def _side_by_side(name: str, old: float, new: float, decimals: int, *more: Html, class_: str = "") -> Html:
    shown = (_amount(old, decimals), _amount(new, decimals), _change(old, new, decimals))
    return row(name, *map(num, shown), *more, class_=class_)


def _amount(value: float, decimals: int) -> str:
    return show_number(value, decimals) if value else _SAY("none")


def _recipes(old: Recipe, new: Recipe, as_written: bool, shelf: Stock) -> Html:
    """The base as the two are written, with a column brought to 100, or both brought to 100; additions for 100 of base."""
    old_size, new_size = (old.base_sum / 100, new.base_sum / 100) if as_written else (1.0, 1.0)

    def line(name: str, was: float, is_: float, to_weigh: float, class_: str = "line") -> Html:
        last = [num(_amount(to_weigh, 1))] if as_written else []
        return _side_by_side(name, was, is_, PARTS_DECIMALS, *last, class_=class_)

    rows = compare(old, new, shelf)
    base = [line(name, was * old_size, is_ * new_size, is_) for part, name, was, is_, _ in rows if part == "base"]
    top = [line(name, was, is_, is_) for part, name, was, is_, _ in rows if part == "addition"]
    columns = _SAY.all("columns")[: 5 if as_written else 4]
    groups = [[*base, line(_SAY("total"), 100 * old_size, 100 * new_size, 100.0, "grand")]]
    if top:
        groups.append([over(_SAY("additions"), len(columns)), *top])
    caption, classes = _SAY("recipe_caption"), ("", *["num"] * (len(columns) - 1))
    return scroll(caption, table(caption, columns, *groups, class_="card-table swap", head_classes=classes, seen=False))


def _formulas(old: Recipe, new: Recipe, shelf: Stock) -> Html:
    before, after = analyse(old, stock=shelf), analyse(new, stock=shelf)
    first, second = before.unity, after.unity
    shown = (oxide for oxide in OXIDE_ORDER if max(first[oxide], second[oxide]) >= SHOWN_MOL)
    oxides = [_side_by_side(f"{printed_formula(oxide)} {OXIDES[oxide].name}", first[oxide], second[oxide], 2) for oxide in shown]
    notes = list(dict.fromkeys((*first.notes, *second.notes)))
    clay = plastic_clay_pct(new, shelf)
    if round(clay, 1) < PLASTIC_CLAY_PCT:
        notes.append(_SAY("clay_low", clay=short(clay, 1), least=short(PLASTIC_CLAY_PCT, 0)))
    caption, columns, classes = _SAY("formula_caption"), _SAY.all("formula_columns"), ("", "num", "num", "num")
    return el(
        "div",
        table(caption, columns, oxides, _more_rows(before, after, shelf), class_="card-table swap", head_classes=classes),
        paragraphs(notes),
    )


def _more_rows(old: Analysis, new: Analysis, shelf: Stock) -> Iterator[Html]:
    ratios = old.unity.silica_to_alumina_mol, new.unity.silica_to_alumina_mol
    if ratios[0] and ratios[1]:
        yield _side_by_side(_SAY("ratio"), ratios[0], ratios[1], 1)
    yield _side_by_side(_SAY("alkali_share"), 100 * old.unity.alkali_share, 100 * new.unity.alkali_share, 0)
    yield _side_by_side(_SAY("loi"), old.loi_wt_pct_raw, new.loi_wt_pct_raw, 1)
    yield _side_by_side(_SAY("clay"), plastic_clay_pct(old.recipe, shelf), plastic_clay_pct(new.recipe, shelf), 1)


def _ways(substitution: Substitution, new: Recipe) -> Html:
    why_not = el("p", _SAY("no_exact", why=substitution.why_not)) if substitution.exact is None else ""
    keep = _SAY("kept", oxides=", ".join(printed_formula(text) for text in substitution.keep))
    merged = ", ".join(printed_formula(text) for text in substitution.merged)
    reasons = "; ".join(substitution.reason_words)
    below = [_SAY("merged", oxides=merged)] if merged else []
    below += [_SAY("reasons", reasons=reasons)] if reasons else []
    columns, classes = _SAY.all("way_columns"), ("", "", "", "num", "num")
    rows = (_way_row(way, new) for way in substitution.replacements)
    title = _SAY("ways_title", material=substitution.out)
    ways = scroll(title, table(keep, columns, rows, class_="card-table ways", head_classes=classes))
    return part(title, why_not, ways, paragraphs(below))


def _way_row(way: ChangedRecipe, new: Recipe) -> Html:
    changes = ((name, _change(was, is_, PARTS_DECIMALS)) for name, was, is_ in way.changes)
    moves = ", ".join(f"{name} {change}" for name, change in changes if change != _SAY("same"))
    oxides = ((oxide, moles) for oxide, moles in way.unity_change.items() if float(show_number(abs(moles), 2)))
    shifts = ", ".join(f"{printed_formula(oxide)} {_change(0, moles, 2)}" for oxide, moles in oxides) or _SAY("none")
    ratio = way.after.silica_to_alumina_mol
    chosen = el("span", _SAY("chosen"), class_="sub") if way.recipe.base == new.base else ""
    name = join(_SAY(f"way_kinds.{way.kind.replace(' ', '_')}"), chosen)
    ratios = (show_number(ratio, 1) if ratio else _SAY("none"), show_number(100 * way.after.alkali_share, 0))
    return row(name, moves, shifts, *map(num, ratios))
