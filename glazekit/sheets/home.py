"""Home versions: the idea of a lesson with things from a kitchen; their numbers are computed, so that none is typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import ceil
from typing import Any

from glazekit.drawing.markup import Html, el
from glazekit.glass.run import film_speed_mm_s
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import molar_mass_g_mol
from glazekit.materials.stock import course_stock
from glazekit.recipe.reading import demo_recipe
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import blank_rows, caution, form, short, step, table, write_in

WHITING_G, VINEGAR_PCT, PLENTY = 10.0, 5.0, 1.2
"""What the page asks for; so much more vinegar than would just do that the last grains dissolve too."""
ACID, ACID_PER_CARBONATE = "C2H4O2", 2
"""Vinegar's acid, and how many of it one calcium carbonate takes: CaCO3 + 2 C2H4O2 = calcium acetate + H2O + CO2."""
HONEY_LOG10_PA_S = 1.0
"""About how stiff honey is; it cancels where two coats are compared."""
SALT, SUGAR, SALT_G = "NaCl", "C12H22O11", 3.0


def home_page_html(lesson: str) -> str:
    """One page to do a lesson, such as "03", at home. Raises DataError for a lesson that has no home version."""
    say, figures = Say(f"lesson_{lesson}.home"), figures_of(lesson)
    end = Say(f"{say.table}.end")
    return sheet_page(
        say,
        _titled(say("need_title"), say("need", **figures)),
        caution(say("caution_word"), say.all("cautions", **figures)),
        *(_step(number, part, figures) for number, part in enumerate(words(f"{say.table}.steps"), start=1)),
        _titled(end("title"), end("text", **figures), class_="plain-part"),
        facts=say("facts", **figures),
    )


def _titled(title: str, text: str, class_: str = "") -> Html:
    return el("p", el("strong", title), " ", text, class_=class_)


def _step(number: int, part: Mapping[str, Any], figures: Mapping[str, str]) -> Html:
    def filled(texts: list[str]) -> list[str]:
        return [text.format(**figures) for text in texts]

    body = [el("p", text) for text in filled([part["text"]])]
    if "fields" in part:
        body.append(form(*(write_in(label, unit=unit) for label, unit in map(filled, part["fields"]))))
    if "columns" in part:
        columns, firsts = filled(part["columns"]), filled(part["first_column"])
        body.append(table(part["title"], columns, blank_rows(columns, len(firsts), firsts), class_="grid", seen=False))
    return step(number, part["title"], *body)


SHEET = Sheet("home page", home_page_html)


def figures_of(lesson: str) -> Mapping[str, str]:
    """The figures of a lesson's home page, by the names its text uses; none for a lesson without any.

    >>> figures_of("04")["gas"], figures_of("03")
    ('4.4', {})
    """
    make: Callable[[], Mapping[str, str]] | None = globals().get(f"_lesson_{lesson}")
    return make() if make else {}


def acid_g(whiting_g: float) -> float:
    """Acid that dissolves this much whiting without a rest [g].

    >>> round(acid_g(10), 1)
    12.0
    """
    return ACID_PER_CARBONATE * whiting_g / molar_mass_g_mol("CaCO3") * molar_mass_g_mol(ACID)


def _lesson_04() -> Mapping[str, str]:
    """Whiting in vinegar."""
    whiting = course_stock().find("whiting")
    plenty_g = ceil(PLENTY * acid_g(WHITING_G) / VINEGAR_PCT * 100 / 50) * 50
    line = next(line for line in demo_recipe("Gangway Clear").base if line.material == "whiting")
    return {
        "whiting": short(WHITING_G, 1),
        "gas": show_number(WHITING_G * whiting.loi_wt_pct_raw / 100, 1),
        "gas_per_100": show_number(whiting.loi_wt_pct_raw, 0),
        "times": short(100 / WHITING_G, 1),
        "strength": short(VINEGAR_PCT, 1),
        "vinegar": short(plenty_g, 0),
        "in_recipe": short(line.amount, 1),
        "gas_of_recipe": show_number(line.amount * whiting.loi_wt_pct_raw / 100, 1),
    }


def _lesson_07() -> Mapping[str, str]:
    """Salt and sugar on ice."""
    salt, sugar = molar_mass_g_mol(SALT), molar_mass_g_mol(SUGAR)
    return {
        "salt": short(SALT_G, 1),
        "salt_mass": show_number(salt, 0),
        "sugar_mass": show_number(sugar, 0),
        "salt_moles": show_number(1000 * SALT_G / salt, 0),
        "sugar_moles": show_number(1000 * SALT_G / sugar, 0),
        "sugar_as_many": show_number(SALT_G / salt * sugar, 0),
    }


def _lesson_10() -> Mapping[str, str]:
    """Honey on a slope."""
    speeds = [film_speed_mm_s(HONEY_LOG10_PA_S, sticks, 30) for sticks in (1, 2)]
    return {"times": show_number(speeds[1] / speeds[0], 0)}
