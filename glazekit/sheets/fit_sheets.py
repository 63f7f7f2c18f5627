"""The sheets of lesson 9: the test of one glaze on two tiles, and the ladder of five glazes that finds a clay's edge."""

from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.changed_recipe import plastic_clay_pct
from glazekit.drawing.markup import Html, el
from glazekit.glass.ladder import MATERIALS, Rung, fit_ladder
from glazekit.ground.numbers import show_number
from glazekit.kiln.cones import ConeTemperature, cone_temperatures
from glazekit.kiln.schedule import Schedule
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.measuring import helping_ml, start_water_ml
from glazekit.sheets.parts import WRITE, box, cautions, fields, grid, lines, num, paragraphs, part, row, step, warning, wide
from glazekit.words.texts import part_words

_CARD, _LADDER = Say("fit_card"), Say("fit_ladder")


@printed_as("fit test card", ("recipe", "Cracked Lamp"), ("reference", "Gangway Clear"))
def fit_card_html(
    recipe: Recipe | None = None, reference: Recipe | None = None, *, body: str = "", batch_no: str = "", date: str = ""
) -> str:
    """One page that stays with two tiles for a month. The glaze to test, the fired one it is compared with, clay, batch and day
    are printed when given, else a line to write on."""
    glaze = {} if recipe else {"glaze": ""}
    given = {"batch": batch_no, "reference": reference.name if reference else "", "body": body}
    rest = dict.fromkeys(("firing", "reached", "coat", "coat_reference"), "")
    return sheet_page(
        _CARD,
        fields(_CARD, **glaze, **given, **rest, date=date),
        warning(_CARD, stop=True),
        step(1, _CARD("cool_title"), el("p", _CARD("cool")), _looks()),
        step(2, _CARD("boil_title"), warning(_CARD, "boil_caution"), el("p", _CARD("boil")), _rounds()),
        part(_CARD("means_title"), paragraphs(_CARD.all("means")), wide(_CARD("next")), class_="framed"),
        title=_CARD("title_named", recipe=recipe.name) if recipe else "",
    )


def _looks() -> Html:
    """Three looks at two tiles: a box for what is there, and how far apart the cracks are."""
    when, date, *tiles = _CARD.all("look_columns")
    seen, apart = _CARD.all("seen"), _CARD("apart")
    tall = (el("th", name, scope="col", rowspan=2) for name in (when, date))
    over = (el("th", tile, scope="colgroup", colspan=len(seen) + 1) for tile in tiles)
    under = (el("th", name, scope="col") for _ in tiles for name in (*seen, apart))
    rows = []
    for look in _CARD.all("look_rows"):
        names = [[_CARD("look_box", tile=tile, when=look, what=what) for what in seen] for tile in tiles]
        rows.append(row(look, WRITE, *(cell for tile in names for cell in (*(el("td", box(name)) for name in tile), WRITE))))
    return grid(_CARD("look_caption"), el("thead", el("tr", *tall, *over), el("tr", *under)), rows, class_="grid looks")


def _rounds() -> Html:
    """A box for each round of each tile."""
    columns = _CARD.all("boil_columns")
    rows = []
    for tile in _CARD.all("boil_rows"):
        names = (_CARD("boil_box", tile=tile, round=number) for number in columns[1:-1])
        rows.append(row(tile, *(el("td", box(name)) for name in names), WRITE))
    return grid(_CARD("boil_caption"), columns, rows, class_="grid rounds")


@printed_as("fit ladder")
def fit_ladder_html(
    schedule: Schedule | None = None, *, stock: Stock | None = None, body: str = "", who: str = "", date: str = ""
) -> str:
    """A protocol for one clay and one firing. ``schedule``: the firing the glazes are made for; the class's when None.
    ``stock``: where the analyses come from. ``body``, ``who``, ``date``: clay, maker, day; printed when given, else a line to
    write on. Raises RangeError for a firing in which the five cannot be equally stiff."""
    plan, shelf = schedule or schedule_from_text(part_words("firing_plan")("class_firing")), stock or course_stock()
    rungs = fit_ladder(plan.peak_c, stock=shelf)
    care = cautions_for(Recipe(_LADDER("title"), dict.fromkeys(MATERIALS, 1), atmosphere="oxidation"), shelf)
    return sheet_page(
        _LADDER,
        fields(_LADDER, body=body, firing="", reached="", coat="", who=who, date=date),
        step(1, _LADDER("weigh_title"), cautions(care, "weighing"), _recipes(rungs, plan.peak_c)),
        step(2, _LADDER("mix_title"), cautions(care, "mixing"), _mixing(rungs, shelf)),
        step(3, _LADDER("fire_title"), el("p", _LADDER("fire", peak=f"{plan.peak_c:g}", cone=_cone(plan).text()))),
        step(4, _LADDER("look_title"), warning(_LADDER), el("p", _LADDER("look")), _rung_looks(rungs)),
        part(_LADDER("means_title"), paragraphs(_LADDER.all("means")), lines(_LADDER.all("results")), class_="framed"),
    )


def _cone(plan: Schedule) -> ConeTemperature:
    """The line of the cone table that is nearest to the last climb of a plan, then to its peak."""
    rate = plan.last_heating_rate_c_per_h or 0.0
    return min(cone_temperatures(), key=lambda one: (abs((one.rate_c_per_h or 0.0) - rate), abs(one.temp_c - plan.peak_c)))


def _mixing(rungs: tuple[Rung, ...], shelf: Stock) -> Html:
    """Water to start with, and which rungs have too little clay to stay afloat."""
    poor = [str(n) for n, rung in enumerate(rungs, 1) if plastic_clay_pct(rung.recipe, shelf) < PLASTIC_CLAY_PCT]
    settles = [_LADDER("settles", rungs=", ".join(poor), least=f"{PLASTIC_CLAY_PCT:g}")] if poor else []
    return paragraphs([_LADDER("mix", start=f"{start_water_ml(100):g}", helping=f"{helping_ml(100):g}"), *settles])


def _recipes(rungs: tuple[Rung, ...], peak_c: float) -> Html:
    """What to weigh for 100 g of each rung, what the sum says of it, and how it stands to the rung above."""
    amounts = [{line.material: line.amount for line in rung.recipe.base} for rung in rungs]
    blank = _LADDER("none")
    weighed = (row(name, *(num(show_number(each[name], 1) if name in each else blank) for each in amounts)) for name in MATERIALS)
    half = (rungs[0].expansion.high or 0.0) - (rungs[0].expansion.value or 0.0)
    step_half = max((one.high - one.low) / 2 for rung in rungs if (one := rung.expansion.change))
    alpha = [show_number(rung.expansion.value or 0.0, 1) for rung in rungs]
    changes = [show_number(one.expansion.change.value, 1) if one.expansion.change else blank for one in rungs]
    sums = [row(_LADDER("alpha"), *map(num, alpha)), row(_LADDER("change"), *map(num, (c.replace("-", "−") for c in changes)))]
    columns = [_LADDER("powder"), *(_LADDER("rung", number=str(number)) for number in range(1, len(rungs) + 1))]
    classes = ("", *["num"] * len(rungs))
    shown = grid(_LADDER("recipes_caption"), columns, weighed, sums, class_="card-table", head_classes=classes)
    melt = f"{10 ** (rungs[-1].melt.value or 0.0):.0f}"
    small = _LADDER("sums", half=show_number(half, 1), step=show_number(step_half, 1), peak=f"{peak_c:g}", melt=melt)
    return el("div", shown, el("p", small))


def _rung_looks(rungs: tuple[Rung, ...]) -> Html:
    """A box for each look at each rung, and a line for what was seen."""
    columns, rows = _LADDER.all("look_columns"), []
    for number in range(1, len(rungs) + 1):
        name = _LADDER("rung", number=str(number))
        boxes = (el("td", box(_LADDER("look_box", rung=name, when=when))) for when in columns[1:-1])
        rows.append(row(name, *boxes, WRITE))
    return grid(_LADDER("look_caption"), columns, rows, class_="grid rounds")
