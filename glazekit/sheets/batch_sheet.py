"""The batch sheet follows the hands: a dry side from label to last spoonful, a wet side from mixing to clean-up."""

from collections.abc import Iterable, Sequence

from glazekit.chemistry.unity import unity_formula
from glazekit.drawing.markup import Html, el
from glazekit.ground.errors import GlazekitError
from glazekit.ground.estimate import Estimate
from glazekit.materials.stock import Stock
from glazekit.recipe.batch import BatchSheet
from glazekit.recipe.cautions import Caution, cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.footnotes import analysis_notes, estimates_part, unity_part
from glazekit.sheets.frame import Say, heading, page
from glazekit.sheets.measuring import helping_ml, mass_words, start_water_ml, water_boxes, weigh_table
from glazekit.sheets.parts import by_level, caution, cautions, fields, form, paragraphs, sentence, step, ticks, write_in
from glazekit.water.slip import START_WATER_ML_PER_100G

_SAY, _FLAGS = Say("batch"), Say("flags")


@printed_as("batch sheet", ("recipe", "Gangway Clear"))
def batch_sheet_html(
    batch: BatchSheet,
    *,
    water_ml_per_100g: float = START_WATER_ML_PER_100G,
    stock: Stock | None = None,
    estimates: Sequence[Estimate] = (),
    who: str = "",
    date: str = "",
    version: str = "",
    label: str = "",
) -> str:
    """The batch sheet as one HTML document to print.

    ``water_ml_per_100g``: water to start with [mL per 100 g of dry total]. ``stock``: where the names and analyses came from; the
    course's materials when not given. ``estimates``: properties of the base to print, left out when there are none. ``who``,
    ``date``, ``version``, ``label``: printed when given, else a line to write on.

    Every caution of the batch stands beside its action. The unity formula of the base is left out where there is none.
    Returns self-contained HTML without scripts; every text that came with the recipe is escaped.
    """
    recipe = batch.recipe
    care = cautions_for(recipe, stock, batch_g=batch.total_g)
    start, helping = f"{start_water_ml(batch.total_g, water_ml_per_100g):g}", f"{helping_ml(batch.total_g):g}"
    label_ticks = step(1, _SAY("label_title"), ticks(_SAY.all("label_ticks")))
    dry_side = (
        heading(_SAY("kind"), recipe.name, _facts(batch)),
        el("p", _SAY("note", note=recipe.note)) if recipe.note else "",
        fields(_SAY, version=version, batch=label, date=date, made_by=who),
        caution(_FLAGS("warnings"), batch.warnings),
        el("div", label_ticks, step(2, _SAY("water_title"), ticks(_SAY.all("water_ticks", start=start))), class_="pair"),
        step(3, _SAY("weigh_title"), cautions(care, "weighing"), weigh_table(batch, stock), class_="step long"),
    )
    running_head = form(el("strong", recipe.name, class_="recipe-name"), write_in(_SAY("batch"), label))
    cleaning = caution(_FLAGS("cleaning"), _SAY.all("clean_rules"))
    wet_side = (
        el("div", running_head, class_="running-head"),
        step(4, _SAY("mix_title"), cautions(care, "mixing"), ticks(_SAY.all("mix_ticks"))),
        step(5, _SAY("thin_title", helping=helping), water_boxes(batch.total_g, water_ml_per_100g)),
        step(6, _SAY("clean_title"), ticks(_SAY.all("dip_ticks")), cleaning, ticks(_SAY.all("clean_ticks"))),
        step(7, _SAY("fire_title"), cautions(care, "firing"), ticks(_SAY.all("fire_ticks"))),
        _limits(care),
        _unity(recipe, stock),
        estimates_part(estimates) if estimates else "",
        analysis_notes(recipe, stock),
    )
    return page(f"{recipe.name} - {_SAY('kind')}", el("div", *dry_side), el("div", *wet_side, class_="new-page"))


def _unity(recipe: Recipe, stock: Stock | None) -> Html:
    try:
        return unity_part(unity_formula(recipe, stock=stock))
    except GlazekitError:  # a material without analysis, or nothing that fluxes: the sheet is complete without it
        return Html("")


def firing_words(recipe: Recipe) -> str:
    """Cone and atmosphere as a phrase.

    >>> firing_words(Recipe("a", {"quartz": 1}, cone="06", atmosphere="oxidation"))
    'cone 06, oxidation'
    """
    cone = _SAY("cone", cone=recipe.cone) if recipe.cone else _SAY("no_cone")
    return f"{cone}, {recipe.atmosphere}" if recipe.atmosphere else cone


def _facts(batch: BatchSheet) -> str:
    division, on_top_g = batch.scale_division_g, batch.total_g - batch.base_total_g
    facts = [firing_words(batch.recipe), _SAY("base_fact", base=mass_words(batch.base_total_g, division))]
    if on_top_g:
        facts.append(_SAY("on_top_fact", on_top=mass_words(on_top_g, division)))
    return " · ".join(facts)


def _limits(found: Iterable[Caution]) -> Html:
    stop, care = by_level(found, "using")
    lines = paragraphs(map(sentence, (*care, *_SAY.all("limits"))))
    return el("section", el("h2", _SAY("limits_title")), caution(_FLAGS("stop"), stop, stop=True), lines, class_="framed")
