"""The batch sheet: one page that follows the hands from the label to the clean-up."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from glazekit.chemistry.unity import UnityFormula
from glazekit.ground.numbers import decimals_of, show_g, show_number
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.batch import BatchLine, BatchSheet
from glazekit.recipe.recipe import Recipe
from glazekit.teaching.sheets.footnotes import analysis_notes, unity_part
from glazekit.teaching.sheets.frame import caution, form, heading, page, step, tick, ticks, write_in
from glazekit.teaching.sheets.markup import Html, el, join
from glazekit.teaching.sheets.wording import words
from glazekit.water.slip import START_WATER_ML_PER_100G, WATER_STEP_ML

if TYPE_CHECKING:
    from glazekit.recipe.cautions import Caution

HELPINGS = 10
"""Boxes for helpings of water after the start."""
BIG_BATCH_G = 1000.0
"""From here on the sheet also shows kilograms and says how to lift and ventilate (course practice)."""
MANY_LINES = 12
"""From this many lines on, rows stand closer; the box stays over 6 mm."""


def batch_sheet_html(
    sheet: BatchSheet,
    *,
    water_ml_per_100g: float = START_WATER_ML_PER_100G,
    unity: UnityFormula | None = None,
    cautions: Iterable[Caution] = (),
    stock: Stock | None = None,
    made_by: str = "",
    date: str = "",
    version: str = "",
    batch: str = "",
) -> str:
    """The batch sheet as one HTML document to print.

    Parameters
    ----------
    sheet : what to weigh, from ``batch_sheet``.
    water_ml_per_100g : water to start with [mL per 100 g of dry total].
    unity : unity formula of the base; left out when None, such as with a material declared unknown.
    cautions : from ``cautions_for``, any moments; each is printed beside its action.
    stock : where the analyses came from, for the small print; the course's materials when not given.
    made_by, date, version, batch : printed when given, else a line to write on.

    Returns self-contained HTML without scripts; text from the recipe is escaped.
    """
    text = words("batch")
    by_moment = _by_moment(cautions)
    return page(
        f"{sheet.recipe.name} - {text['kind']}",
        heading(text["kind"], sheet.recipe.name, _facts(sheet)),
        form(
            write_in(text["version"], version),
            write_in(text["batch"], batch),
            write_in(text["date"], date),
            write_in(text["made_by"], made_by),
        ),
        _warnings(sheet),
        step(1, text["label_title"], ticks(text["label_ticks"])),
        _start_water(sheet, water_ml_per_100g),
        step(3, text["weigh_title"], _caution_at("weighing", by_moment, sheet), _table(sheet, stock), class_="step long"),
        step(4, text["mix_title"], _caution_at("mixing", by_moment, sheet), ticks(text["mix_ticks"])),
        _more_water(sheet, water_ml_per_100g),
        step(6, text["fire_title"], _caution_at("firing", by_moment, sheet), ticks(text["fire_ticks"])),
        step(7, text["clean_title"], caution(text["flags"]["cleaning"], [text["clean_rule"]]), ticks(text["clean_ticks"])),
        _limits(by_moment),
        unity_part(unity) if unity else "",
        analysis_notes(sheet.recipe, stock),
        _note(sheet.recipe),
    )


def firing_words(recipe: Recipe) -> str:
    """Cone and atmosphere as a phrase.

    >>> firing_words(Recipe("a", {"quartz": 1}, cone="06", atmosphere="oxidation"))
    'cone 06, oxidation'
    """
    text = words("batch")
    if recipe.cone is None:
        return text["no_cone"] + (f", {recipe.atmosphere}" if recipe.atmosphere else "")
    key = "firing" if recipe.atmosphere else "cone_only"
    return text[key].format(cone=recipe.cone, atmosphere=recipe.atmosphere)


def _grams(mass_g: float, division_g: float) -> str:
    return show_number(mass_g, decimals_of(division_g))


def _mass(mass_g: float, division_g: float) -> str:
    return f"{mass_g / 1000:.5g} kg" if mass_g >= BIG_BATCH_G else show_g(mass_g, division_g)


def _facts(sheet: BatchSheet) -> str:
    text = words("batch")
    on_top_g = sheet.total_g - sheet.base_total_g
    key = "facts" if on_top_g else "facts_base_only"
    base, on_top, total = (_mass(mass, sheet.scale_division_g) for mass in (sheet.base_total_g, on_top_g, sheet.total_g))
    return text[key].format(firing=firing_words(sheet.recipe), base=base, on_top=on_top, total=total)


def _by_moment(cautions: Iterable[Caution]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for one in cautions:
        found.setdefault(one.moment, []).append(one.text)
    return found


def _caution_at(moment: str, by_moment: dict[str, list[str]], sheet: BatchSheet) -> Html:
    text = words("batch")
    texts = [*by_moment.get(moment, ())]
    if moment == "firing":
        texts.append(text["fire_rule"])
    lifting = caution(text["flags"]["lifting"], text["big_batch"]) if moment == "weighing" and sheet.total_g > BIG_BATCH_G else ""
    return join(caution(text["flags"][moment], texts), lifting)


def _warnings(sheet: BatchSheet) -> Html:
    return caution(words("batch")["warnings_title"], sheet.warnings)


def _start_water(sheet: BatchSheet, water_ml_per_100g: float) -> Html:
    text = words("batch")
    start = f"{round(water_ml_per_100g * sheet.total_g / 100):d}"
    return step(2, text["water_title"].format(start=start), ticks([text["water_tick"].format(start=start)]))


def helping_ml(dry_g: float) -> float:
    """One helping of water: 10 mL for each 100 g of dry powder, rounded to a number a jug can show [mL].

    >>> helping_ml(100), helping_ml(107), helping_ml(2666)
    (10.0, 10.0, 250.0)
    """
    wanted = WATER_STEP_ML * dry_g / 100
    scale = 10.0 ** floor(log10(wanted))
    return scale * min((1, 2, 2.5, 5, 10), key=lambda nice: abs(nice * scale - wanted))


def _more_water(sheet: BatchSheet, water_ml_per_100g: float) -> Html:
    text = words("batch")
    start, helping = water_ml_per_100g * sheet.total_g / 100, helping_ml(sheet.total_g)
    boxes = [
        el(
            "li",
            text["water_step"].format(step=f"{helping:g}"),
            tick(name=f"{round(start + helping * i)} mL"),
            f"{round(start + helping * i)}",
        )
        for i in range(1, HELPINGS + 1)
    ]
    total = _grams(sheet.total_g, sheet.scale_division_g)
    return step(
        5,
        text["thin_title"],
        el("p", text["thin_hint"].format(step=f"{helping:g}")),
        el("ol", *boxes, class_="water"),
        form(write_in(text["water_total"], unit="mL"), write_in(text["water_per_100"], unit=text["water_per_100_unit"])),
        el("p", text["water_divide"].format(hundreds=f"{sheet.total_g / 100:.4g}", total=total), class_="small"),
    )


def _table(sheet: BatchSheet, stock: Stock | None) -> Html:
    text = words("batch")
    base = [line for line in sheet.lines if line.part == "base"]
    top = [line for line in sheet.lines if line.part != "base"]
    division = sheet.scale_division_g
    parts = [
        el(
            "tbody",
            _part_row(text["base_part"]),
            *(_row(line, sheet, stock) for line in base),
            _total_row(text["base_total"], sheet.base_total_g, division),
        )
    ]
    if top:
        on_top_g = sheet.total_g - sheet.base_total_g
        rows = (_row(line, sheet, stock) for line in top)
        parts.append(
            el("tbody", _part_row(text["top_part"]), *rows, _total_row(text["on_top_total"], on_top_g, division), class_="on-top")
        )
    parts.append(el("tbody", _total_row(text["total"], sheet.total_g, division, "grand")))
    classes = "weigh many" if len(sheet.lines) > MANY_LINES else "weigh"
    heads = el(
        "thead",
        el(
            "tr",
            *(
                el("th", head, scope="col", class_=class_)
                for head, class_ in zip(text["columns"], ("", "", "num", "num", "write"), strict=True)
            ),
        ),
    )
    caption = el("caption", text["weigh_hint"], " ", text["weigh_caption"].format(base=_mass(sheet.base_g, division)))
    return el("table", caption, heads, *parts, class_=classes)


def _part_row(name: str) -> Html:
    return el("tr", el("th", name, colspan="5", scope="rowgroup"), class_="part")


def _total_row(name: str, mass_g: float, division_g: float, class_: str = "total") -> Html:
    kilograms = el("span", _mass(mass_g, division_g), class_="sub") if mass_g >= BIG_BATCH_G else ""
    cells = (
        el("td"),
        el("th", name, scope="row"),
        el("td", f"{_grams(mass_g, division_g)} g", kilograms, class_="num"),
        el("td"),
        el("td"),
    )
    return el("tr", *cells, class_=class_)


def _row(line: BatchLine, sheet: BatchSheet, stock: Stock | None) -> Html:
    text = words("batch")
    liquid = line.unit == "ml"
    division, unit = (0.1, "mL") if liquid else (sheet.scale_division_g, "g")
    remarks = []
    if (stock or course_stock()).find(line.material).kind == "unknown":
        remarks.append(text["no_analysis"])
    if line.coarse:
        remarks.append(text["coarse"])
    kilograms = _mass(line.target_g, division) if line.target_g >= BIG_BATCH_G and not liquid else ""
    return el(
        "tr",
        el("td", tick(name=text["tick_name"].format(material=line.material))),
        el("th", line.label, *(el("span", remark, class_="sub") for remark in remarks), scope="row"),
        el(
            "td",
            el("span", _grams(line.target_g, division), class_="target"),
            f" {unit}",
            el("span", kilograms, class_="sub") if kilograms else "",
            class_="num",
        ),
        el("td", _band(line, division), class_="num"),
        el("td", class_="write", aria_label=text["actual_name"].format(material=line.material)),
    )


def _band(line: BatchLine, division: float) -> str:
    """Lowest and highest reading this scale can show inside the band."""
    low, high = ceil(line.low_g / division - 1e-6) * division, floor(line.high_g / division + 1e-6) * division
    return words("batch")["band"].format(low=_grams(low, division), high=_grams(high, division))


def _limits(by_moment: dict[str, list[str]]) -> Html:
    text = words("batch")
    lines = dict.fromkeys((*text["limits"], *by_moment.get("using", ())))
    return el("section", el("h2", text["limits_title"]), *(el("p", line) for line in lines), class_="framed")


def _note(recipe: Recipe) -> Html:
    if not recipe.note:
        return Html("")
    return el("section", el("h3", words("batch")["note"]), el("p", recipe.note), class_="plain-part")
