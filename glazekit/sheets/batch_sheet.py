"""The batch sheet follows the hands: a dry side from label to last spoonful, a wet side from mixing to clean-up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el, join
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchSheet
from glazekit.recipe.cautions import Caution, cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.footnotes import analysis_notes, estimates_part, unity_part
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import caution, form, pair, sentence, step, ticks, write_in
from glazekit.sheets.water_boxes import helping_ml, start_water_ml, water_boxes
from glazekit.sheets.weigh_table import mass_words, weigh_table
from glazekit.sheets.wording import listed, say
from glazekit.water.slip import START_WATER_ML_PER_100G


def batch_sheet_html(
    sheet: BatchSheet,
    *,
    water_ml_per_100g: float = START_WATER_ML_PER_100G,
    unity: UnityFormula | None = None,
    cautions: Iterable[Caution] = (),
    stock: Stock | None = None,
    estimates: Sequence[Estimate] = (),
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
    cautions : more than what ``cautions_for`` finds for this batch, which is always printed, each beside its action.
    stock : where the names and analyses came from; the course's materials when not given.
    estimates : properties of the base to print, each with its interval; left out when there are none.
    made_by, date, version, batch : printed when given, else a line to write on.

    Returns self-contained HTML without scripts; every text that came with the recipe is escaped.
    """
    at = _by_moment(sheet, stock, cautions)
    start, helping = f"{start_water_ml(sheet.total_g, water_ml_per_100g):g}", f"{helping_ml(sheet.total_g):g}"
    dry_side = (
        heading(say("batch.kind"), sheet.recipe.name, _facts(sheet)),
        el("p", say("batch.note", note=sheet.recipe.note)) if sheet.recipe.note else "",
        form(
            write_in(say("batch.version"), version),
            write_in(say("batch.batch"), batch),
            write_in(say("batch.date"), date),
            write_in(say("batch.made_by"), made_by),
        ),
        caution(say("flags.warnings"), sheet.warnings),
        pair(
            step(1, say("batch.label_title"), ticks(listed("batch.label_ticks"))),
            step(2, say("batch.water_title"), ticks(listed("batch.water_ticks", start=start))),
        ),
        step(3, say("batch.weigh_title"), _cautions("weighing", at), weigh_table(sheet, stock), class_="step long"),
        el("p", say("batch.turn_over"), class_="turn-over"),
    )
    running_head = form(el("strong", sheet.recipe.name, class_="recipe-name"), write_in(say("batch.batch"), batch))
    wet_side = (
        el("div", running_head, class_="running-head"),
        step(4, say("batch.mix_title"), _cautions("mixing", at), ticks(listed("batch.mix_ticks"))),
        step(5, say("batch.thin_title", helping=helping), water_boxes(sheet.total_g, water_ml_per_100g)),
        step(6, say("batch.fire_title"), _cautions("firing", at), ticks(listed("batch.fire_ticks"))),
        step(
            7,
            say("batch.clean_title"),
            caution(say("flags.cleaning"), listed("batch.clean_rules")),
            ticks(listed("batch.clean_ticks")),
        ),
        _limits(at),
        unity_part(unity) if unity else "",
        estimates_part(estimates) if estimates else "",
        analysis_notes(sheet.recipe, stock),
    )
    return page(f"{sheet.recipe.name} - {say('batch.kind')}", el("div", *dry_side), el("div", *wet_side, class_="new-page"))


def firing_words(recipe: Recipe) -> str:
    """Cone and atmosphere as a phrase.

    >>> firing_words(Recipe("a", {"quartz": 1}, cone="06", atmosphere="oxidation"))
    'cone 06, oxidation'
    """
    cone = say("batch.cone", cone=recipe.cone) if recipe.cone else say("batch.no_cone")
    return f"{cone}, {recipe.atmosphere}" if recipe.atmosphere else cone


def _facts(sheet: BatchSheet) -> str:
    division, on_top_g = sheet.scale_division_g, sheet.total_g - sheet.base_total_g
    facts = [firing_words(sheet.recipe), say("batch.base_fact", base=mass_words(sheet.base_total_g, division))]
    if on_top_g:
        facts.append(say("batch.on_top_fact", on_top=mass_words(on_top_g, division)))
    return " · ".join(facts)


def _by_moment(sheet: BatchSheet, stock: Stock | None, more: Iterable[Caution]) -> dict[str, list[Caution]]:
    """What this batch calls for, whoever asks for the sheet, and whatever was handed in besides."""
    found: dict[str, list[Caution]] = {}
    for one in dict.fromkeys((*cautions_for(sheet.recipe, stock, batch_g=sheet.total_g), *more)):
        found.setdefault(one.moment, []).append(one)
    return found


def _cautions(moment: str, at: dict[str, list[Caution]]) -> Html:
    """The lines of one moment, those that say stop apart and first."""
    stop = [one.text for one in at.get(moment, ()) if one.level == "stop"]
    care = [one.text for one in at.get(moment, ()) if one.level != "stop"]
    return join(caution(say("flags.stop"), stop, "caution stop"), caution(say(f"flags.{moment}"), care))


def _limits(at: dict[str, list[Caution]]) -> Html:
    stop = caution(say("flags.stop"), [one.text for one in at.get("using", ()) if one.level == "stop"], "caution stop")
    care = [one.text for one in at.get("using", ()) if one.level != "stop"]
    lines = (el("p", sentence(line)) for line in (*care, *listed("batch.limits")))
    return el("section", el("h2", say("batch.limits_title")), stop, *lines, class_="framed")
