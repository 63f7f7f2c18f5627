"""Printed sheets: sound HTML, nothing from outside, every text escaped, the numbers those of the batch."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest
from page_reader import NASTY, Reader, texts_of, told
from wording import spoken, text_of

import glazekit as gk
from glazekit.drawing.markup import el
from glazekit.ground.errors import DataError
from glazekit.ground.tables import cite, read_table
from glazekit.materials.material import Material
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.recipe.weighing import check_weighings
from glazekit.sheets.batch_sheet import batch_sheet_html
from glazekit.sheets.blank_chart import blank_chart_html
from glazekit.sheets.firing_sheet import firing_sheet_html
from glazekit.sheets.fit_sheets import fit_card_html
from glazekit.sheets.frame import Say, page, words
from glazekit.sheets.kiln_papers import shelf_plan_html, what_happened_html
from glazekit.sheets.labels import label_strip_html, tile_card_html
from glazekit.sheets.lesson_papers import home_page_html, step_card_html, studio_card_html
from glazekit.sheets.measuring import mass_words, water_log_html
from glazekit.sheets.oxide_cards import flux_card_html, oxide_card_html
from glazekit.sheets.parts import sentence
from glazekit.sheets.plain_sheet import reckon_sheet, sheet_text
from glazekit.sheets.swap_sheet import swap_sheet_html
from glazekit.sheets.unity_worksheet import unity_worksheet_html
from glazekit.words.course import course

TOTAL = text_of("sheets.batch.total")
LESSONS = [lesson for lesson in course()[1:] if lesson.notebook]


def timetable() -> gk.Recipe:
    return demo_recipe("Timetable Satin")


def batch_html(recipe: gk.Recipe, base_g: float = 100, **more: object) -> str:
    return batch_sheet_html(gk.batch_sheet(recipe, base_g=base_g), **more)


ALL = {
    "batch": lambda: batch_html(timetable()),
    "labels": lambda: label_strip_html(timetable()),
    "tile": lambda: tile_card_html(timetable()),
    "blank tile": tile_card_html,
    "steps": step_card_html,
    "water": lambda: water_log_html(timetable(), dry_g=107),
    "blank water": water_log_html,
    "faults": what_happened_html,
    "oxides": oxide_card_html,
    "unity": unity_worksheet_html,
    "unity of many": lambda: unity_worksheet_html(timetable()),
    "chart": blank_chart_html,
    "fluxes": flux_card_html,
    "fit": fit_card_html,
    "fit of two": lambda: fit_card_html(timetable(), reference=demo_recipe("Gangway Clear")),
    "firing": firing_sheet_html,
    "shelves": lambda: shelf_plan_html([timetable()], atmosphere="reduction"),
    "swap": lambda: swap_sheet_html(timetable(), demo_recipe("Bulkhead Liner")),
    **{f"studio {one.number}": lambda one=one: studio_card_html(one.number) for one in LESSONS},
    **{f"home {one.number}": lambda one=one: home_page_html(one.number) for one in LESSONS if "home" in one.texts},
}


@pytest.mark.parametrize("name", ALL)
def test_page_is_sound_and_self_contained(name: str) -> None:
    html = ALL[name]()
    read = Reader(html)
    assert html.startswith("<!doctype html>")
    assert read.all("html")[0]["lang"] == "en"
    assert any(attributes.get("charset") == "utf-8" for attributes in read.all("meta"))
    assert not {"script", "img", "iframe", "object", "base", "form"} & {tag for tag, _ in read.elements}
    for tag, attributes in read.elements:
        assert not any(key.startswith("on") for key in attributes), (tag, attributes)
        assert all((attributes.get(key) or "data:").startswith("data:") for key in ("src", "href")), (tag, attributes)
    assert "url(" not in html and "@import" not in html
    assert not re.search(r"\{\w*\}", read.text), "a placeholder was left over"


@pytest.mark.parametrize("name", ALL)
def test_page_can_be_read_aloud(name: str) -> None:
    read = Reader(ALL[name]())
    levels = [int(tag[1]) for tag, _ in read.elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1, "the first heading is the title"
    assert all(after - before <= 1 for before, after in pairwise(levels)), levels
    for attributes in read.all("th"):
        assert attributes.get("scope") in ("col", "row", "rowgroup", "colgroup")
    for attributes in read.all("span"):
        if attributes.get("role") == "img":
            assert attributes["aria-label"]


@pytest.mark.parametrize("name", ALL)
def test_no_verdict_on_food(name: str) -> None:
    assert not re.search(r"food.?safe|safe.for.food", Reader(ALL[name]()).text, re.IGNORECASE)


@pytest.mark.parametrize("name", ["batch", "labels", "tile", "blank tile", "chart"])
def test_a_sheet_that_goes_with_a_glaze_says_it_is_untested(name: str) -> None:
    text = Reader(ALL[name]()).text.casefold()
    assert "untested" in text and "leach test" in text and "local rules" in text


def test_style_is_black_on_white_and_never_small() -> None:
    css = re.search("<style>(.*?)</style>", step_card_html(), re.DOTALL)[1]
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", css)) <= {"#000", "#fff"}
    assert not re.search(r"rgb|hsl|opacity|grey|gray", css)
    assert min(float(size) for size in re.findall(r"([\d.]+)pt", css)) >= 12
    assert "size:" not in re.search(r"@page \{(.*?)\}", css)[1], "the printer's own paper: A4 or US Letter"


# --- text that people typed --------------------------------------------------------------------------------------------


def nasty_recipe() -> tuple[gk.Recipe, gk.Stock]:
    stock = gk.course_stock().with_unknown(NASTY)
    recipe = gk.Recipe(NASTY, {"quartz": 60, NASTY: 40}, {NASTY: 2}, note=NASTY, atmosphere=NASTY, cone="6")
    return recipe, stock


def test_typed_text_is_shown_exactly_and_never_becomes_markup() -> None:
    recipe, stock = nasty_recipe()
    typed = {"who": NASTY, "date": NASTY, "version": NASTY, "label": NASTY}
    pages = [
        batch_sheet_html(gk.batch_sheet(recipe, stock=stock), stock=stock, **typed),
        label_strip_html(recipe, label=NASTY, date=NASTY, who=NASTY, stock=stock),
        tile_card_html(recipe, label=NASTY, date=NASTY, who=NASTY, stock=stock),
        water_log_html(recipe, dry_g=100, label=NASTY, who=NASTY),
    ]
    for html in pages:
        read = Reader(html)
        assert not read.all("script") and not read.all("b")
        assert any(tag in ("h1", "p") and NASTY in text for tag, text in read.texts)
        assert html.lower().count("<script") == 0


def test_plain_text_in_any_place_is_escaped() -> None:
    read = Reader(page(NASTY, NASTY, el("p", NASTY, title=NASTY)))
    assert not read.all("script")
    assert [text for tag, text in read.texts if tag == "title"] == [NASTY]
    assert read.all("p")[-1]["title"] == NASTY


# --- the batch sheet ---------------------------------------------------------------------------------------------------


def cells_of(html: str) -> dict[str, list[str]]:
    """Material -> texts of its row of the weighing table."""
    table = re.search(r'<table class="weigh.*?</table>', html, re.DOTALL)[0]
    found = {}
    for row in re.findall(r"<tr>.*?</tr>", table, re.DOTALL):
        texts = [text for _, text in Reader(row).texts]
        if 'scope="row"' in row:
            found[texts[0]] = texts[1:]
    return found


def test_targets_of_the_found_notebook_page() -> None:
    """Timetable Satin, base 105.5, at 2.5 kg: soda feldspar 30 / 105.5 and tin oxide 5 / 105.5 of 2500 g, reckoned by hand."""
    rows = cells_of(batch_html(timetable(), base_g=2500))
    assert rows["soda feldspar"][0] == "710.9"
    assert rows["tin oxide"][0] == "118.5"
    band = spoken("sheets.batch.band", rows["tin oxide"][2])
    assert band == {"low": "116.2", "high": "120.8"}, "2 % of 118.5 g is 2.37 g; inside that, on a scale with 0.1 g steps"


def test_base_and_additions_stand_apart_with_their_sums() -> None:
    text = Reader(batch_html(timetable(), base_g=2500)).text
    base_part = text_of("sheets.batch.base_part").format(mass="2.5 kg")
    top_part = text_of("sheets.batch.top_part").format(mass="165.9 g")
    base, top, total = (text.index(part) for part in (base_part, top_part, f"{TOTAL} 2665.9 g 2.6659 kg"))
    assert base < text.index("soda feldspar", base) < top < text.index("tin oxide", top) < total


def test_a_base_without_additions_has_no_second_part() -> None:
    text = Reader(batch_html(demo_recipe("Gangway Clear"))).text
    assert spoken("sheets.batch.top_part", text) is None and f"{TOTAL} 100.0 g" in text


@pytest.mark.parametrize("recipe", demo_recipes(), ids=lambda recipe: recipe.name)
@pytest.mark.parametrize("division_g", [0.01, 0.1, 0.5])
def test_every_printed_band_passes_at_the_weigh_check_and_one_step_further_does_not(recipe: gk.Recipe, division_g: float) -> None:
    sheet = gk.batch_sheet(recipe, base_g=500, scale_division_g=division_g)
    rows = cells_of(batch_sheet_html(sheet))
    for i, line in enumerate(sheet.lines):
        edges = [float(number) for number in re.findall(r"[\d.]+", rows[line.label][-1])]
        for edge, outward in ((edges[0], -division_g), (edges[-1], division_g)):
            assert check_weighings(sheet, {i: edge}).lines[i].word == "in band"
            assert edge + outward < 0 or check_weighings(sheet, {i: edge + outward}).lines[i].word != "in band"


def test_water_starts_at_sixty_and_goes_up_by_ten() -> None:
    html = batch_html(demo_recipe("Gangway Clear"))
    boxes = re.search(r'<ol class="water">(.*?)</ol>', html, re.DOTALL)[1]
    assert [text for _, text in Reader(boxes).texts] == [part for ml in range(70, 161, 10) for part in ("+10", str(ml))]
    assert told(html, "sheets.batch.water_ticks.0")["start"] == "60"


def test_water_of_a_big_batch_comes_in_helpings_a_jug_can_show() -> None:
    html = batch_html(timetable(), base_g=2500)
    assert told(html, "sheets.batch.water_ticks.0")["start"] == "1600" and "+250 1850" in Reader(html).text
    assert told(html, "sheets.water.divided")["hundreds"] == "26.659"


def test_cautions_stand_before_their_action_even_when_the_caller_brings_none() -> None:
    text = Reader(batch_html(demo_recipe("Deck Green"))).text
    first_row = text.index("spodumene", text.index(text_of("sheets.batch.columns.3")))
    weighing = [one.text for one in cautions_for(demo_recipe("Deck Green"), moment="weighing")]
    assert len(weighing) >= 3
    for line in weighing:
        assert text.index(line[1:]) < first_row
    mixing = [one.text for one in cautions_for(demo_recipe("Deck Green"), moment="mixing")]
    assert mixing and all(text.index(line[1:]) < text.index(text_of("sheets.batch.mix_ticks.0")) for line in mixing)


@pytest.mark.parametrize("recipe", demo_recipes(), ids=lambda recipe: recipe.name)
def test_every_caution_of_a_batch_stands_on_its_sheet_once(recipe: gk.Recipe) -> None:
    text = Reader(batch_html(recipe)).text
    for one in dict.fromkeys((one.moment, one.text) for one in cautions_for(recipe, batch_g=gk.batch_sheet(recipe).total_g)):
        assert text.count(one[1][1:]) == 1, one


def test_zinc_in_reduction_says_stop_on_the_sheet() -> None:
    recipe = gk.Recipe("wrong kiln", {"zinc oxide": 10, "quartz": 90}, cone="10", atmosphere="reduction")
    assert 'class="caution stop"' in batch_html(recipe)
    assert 'class="caution stop"' not in batch_html(demo_recipe("Gangway Clear"))


def test_a_line_that_must_not_be_weighed_has_no_target_and_no_box() -> None:
    recipe = gk.Recipe("Old Page", {"potash feldspar": 40, "quartz": 25, "kaolin": 15, "barium carbonate": 20})
    sheet = gk.batch_sheet(recipe, base_g=500)
    cells, reader = cells_of(html := batch_sheet_html(sheet)), Reader(html)
    weighed = {text_of("sheets.batch.tick_name").format(material=line.material) for line in sheet.lines}
    boxes = weighed & {element.get("aria-label") for element in reader.all("span")}
    assert len(boxes) == 3 and not any("barium carbonate" in name for name in boxes)
    assert not any(re.search(r"\d", cell) for cell in cells["barium carbonate"]) and "200.0" in cells["potash feldspar"]
    plain = sheet_text(reckon_sheet(recipe, 500, 0.1, 60, gk.course_stock())).splitlines()
    lines = {name: next(line for line in plain if f" {name} " in line) for name in ("potash feldspar", "barium carbonate")}
    assert lines["potash feldspar"].startswith("[ ]") and not lines["barium carbonate"].startswith("[ ]")
    assert "100.0" not in lines["barium carbonate"]


def test_a_material_declared_unknown_batches_and_prints_and_says_so() -> None:
    stock = gk.course_stock().with_unknown("aunt's ash")
    sheet = gk.batch_sheet(gk.Recipe("ash", {"aunt's ash": 50, "quartz": 50}), stock=stock)
    html = batch_sheet_html(sheet, stock=stock)
    assert cells_of(html)["aunt's ash"][0] == text_of("sheets.batch.no_analysis")
    ash = stock.find("aunt's ash")
    assert f"{words('analysis_kinds')[ash.kind]}: {ash.label}." in Reader(html).text


def test_analyses_say_where_they_come_from() -> None:
    stock = gk.course_stock().with_stand_in("old feldspar", "soda feldspar")
    recipe = gk.Recipe("mixed", {"old feldspar": 30, "quartz": 30, "ball clay": 20, "calcium borosilicate frit": 20})
    text = Reader(batch_sheet_html(gk.batch_sheet(recipe, stock=stock), stock=stock)).text
    kinds = words("analysis_kinds")
    for kind, name in (
        ("theoretical", "quartz"),
        ("generic", "ball clay"),
        ("frit", "calcium borosilicate frit"),
        ("stand-in", "old feldspar (stand-in: soda feldspar)"),
    ):
        assert f"{kinds[kind]}: {name}." in text


def test_a_liquid_is_measured_in_ml_and_stays_out_of_the_total() -> None:
    stock = gk.course_stock()
    liquid = next(material.name for material in stock if material.liquid)
    recipe = gk.Recipe("brush", {"quartz": 60, "kaolin": 40}, [gk.Line(liquid, 5, "ml")])
    html = batch_html(recipe)
    assert cells_of(html)[liquid][:2] == ["5.0", " mL"]
    assert f"{TOTAL} 100.0 g" in Reader(html).text


def test_the_unity_formula_is_printed_where_there_is_one() -> None:
    ratios = spoken("sheets.unity.ratios", Reader(batch_html(demo_recipe("Gangway Clear"))).text)
    assert ratios == {"ratio": "8.3", "share": "22"}, "as the course reckons this glaze"
    for materials in ({"quartz": 60, "kaolin": 40}, {"aunt's ash": 50, "quartz": 50}):  # no flux; no analysis
        stock = gk.course_stock().with_unknown("aunt's ash")
        batch = gk.batch_sheet(gk.Recipe("none", materials), stock=stock)
        assert text_of("sheets.unity.title") not in Reader(batch_sheet_html(batch, stock=stock)).text


def test_a_trace_in_the_unity_formula_is_not_printed_as_nothing() -> None:
    recipe = demo_recipe("Deck Green")
    unity = gk.unity_formula(recipe)
    assert 0 < unity["K2O"] < 0.005
    assert f"potash K₂O {text_of('sheets.unity.trace')}" in Reader(batch_html(recipe)).text


# --- the other sheets --------------------------------------------------------------------------------------------------


def test_step_card_has_twelve_steps_and_three_dust_moments() -> None:
    html = step_card_html()
    steps = re.search(r'<ol class="steps">(.*)</ol>', html, re.DOTALL)[1]
    items = [Reader(item).text for item in re.findall(r"<li>.*?</li>", steps, re.DOTALL)]
    assert len(items) == 12
    dusty = [number for number, item in enumerate(items, start=1) if "Dust" in item.split()]
    assert dusty == [5, 6, 10], "weighing, dry into wet, clean-up"
    sieve, clean, kiln = items[6].casefold(), items[9].casefold(), items[11].casefold()
    assert "goggles" in sieve and "sieve" in sieve and "kiln" in kiln
    assert clean.index("bench") < clean.index("hands") < clean.index("mask off"), "the mask comes off last of all"


def test_the_bench_is_clean_before_anything_goes_to_the_kiln_and_the_mask_comes_off_last() -> None:
    recipe = demo_recipe("Deck Green")
    text = Reader(batch_html(recipe)).text
    parts = (words("batch.dip_ticks")[0], words("batch.clean_ticks")[0], words("batch.fire_title"))
    dip, clean, fire = (text.index(part) for part in parts)
    firing = [text.index(one.text[1:]) for one in cautions_for(recipe, moment="firing")]
    assert dip < clean < fire < min(firing) and max(firing) < text.rindex(text_of("sheets.batch.fire_ticks.0"))
    last = words("batch.clean_ticks")[-3:]
    assert [next(word for word in ("bench", "hands", "mask") if word in tick) for tick in last] == ["bench", "hands", "mask"]
    assert any("goggles" in tick for tick in words("batch.mix_ticks")) and "Goggles" in Reader(studio_card_html("01")).text


@pytest.mark.parametrize("lesson", [lesson.number for lesson in LESSONS])
def test_studio_card_has_few_words_and_a_caution(lesson: str) -> None:
    html = studio_card_html(lesson)
    first = Reader(re.search(r"<article.*?</article>", html, re.DOTALL)[0])
    assert len(first.text.split()) <= 95
    assert any(attributes.get("role") == "note" for attributes in first.all("div"))


def test_a_lesson_without_a_card_is_a_clear_error() -> None:
    with pytest.raises(DataError) as caught:
        studio_card_html("00")
    assert caught.value.given == "studio"


def test_labels_carry_what_the_course_asks_for() -> None:
    text = Reader(label_strip_html(timetable(), label="12", date="3.5.", who="AB", small_labels=4)).text
    labels = [text_of(f"sheets.labels.{name}") for name in ("batch", "date", "initials")]
    assert text.count("{} 12 {} 3.5. {} AB".format(*labels)) == 3 + 4
    assert text.count(f"cone 6 ✓ {words('labels.atmospheres')[0]}") == 1 + 4


@pytest.mark.parametrize(
    ("materials", "atmosphere", "boxes"),
    [
        ({"quartz": 9}, "oxidation", "✓ ox red"),
        ({"quartz": 9}, "gas, Reduction", "ox ✓ red"),
        ({"quartz": 9}, "", "ox red"),
        ({"quartz": 9}, "oxidation or reduction", "ox red"),
        ({"quartz": 9, "zinc oxide": 1}, "oxidation", "✓ ox"),
        ({"quartz": 9, "zinc oxide": 1}, "reduction", "ox"),
    ],
)
def test_the_air_a_recipe_asks_for_is_ticked_and_zinc_is_offered_no_reduction(
    materials: dict[str, float], atmosphere: str, boxes: str
) -> None:
    recipe = gk.Recipe("Air", materials, cone="6", atmosphere=atmosphere)
    fires = re.findall(r'<div class="fire">(.*?)</div>', label_strip_html(recipe, small_labels=1))
    assert [Reader(fire).text for fire in fires] == [f"cone 6 {boxes}"] * 2
    long = boxes.replace("ox", "oxidation").replace("red", "reduction")
    lines = re.findall(r'<div class="tick-line">(.*?)</div>', tile_card_html(recipe))
    assert [Reader(line).text for line in lines[1::3]] == [f"{text_of('sheets.tile.fire_title')} {long}"] * 2


@pytest.mark.parametrize("recipe", demo_recipes(), ids=lambda recipe: recipe.name)
def test_a_glaze_that_goes_wrong_on_purpose_says_so_on_bucket_lid_and_tile_card(recipe: gk.Recipe) -> None:
    facts = {row["recipe"]: row["fault_on_purpose"] for row in read_table("recipe_facts")}
    times = 2 if facts[recipe.name] == "yes" else 0
    fault = text_of("sheets.labels.fault")
    sheets = (label_strip_html(recipe), tile_card_html(recipe))
    assert [Reader(html).text.count(fault) for html in sheets] == [times, times], "bucket and lid; two cards"


def test_a_toxic_bucket_says_so_on_its_label() -> None:
    loud = Reader(label_strip_html(demo_recipe("Deck Green"))).text
    quiet = Reader(label_strip_html(demo_recipe("Gangway Clear"))).text
    assert re.search(r"Copper carbonate:\stoxic", loud) and "toxic" not in quiet
    allergic = gk.Recipe("Blue", {"quartz": 90}, {"cobalt oxide": 1})
    (mixing,) = (line for line in cautions_for(allergic, moment="mixing") if line.key == "sensitising")
    assert mixing.text[1:] in Reader(label_strip_html(allergic)).text


def test_water_log_table_agrees_with_the_worked_slip() -> None:
    """90 mL per 100 g: (100 + 90) / (100 / 2.6 + 90) = 1.479 g/mL, and 100 mL of it hold 77.9 g of powder, by hand."""
    html = water_log_html()
    table = re.search(r'<table class="lookup">.*?</table>', html, re.DOTALL)[0]
    rows = [[text for _, text in Reader(row).texts] for row in re.findall(r"<tr>.*?</tr>", table, re.DOTALL)]
    column = rows[0].index("90")
    assert (rows[1][column], rows[2][column]) == ("148", "78")
    assert (rows[1][1], rows[1][-1]) == ("163", "131"), "60 and 160 mL per 100 g"


@pytest.mark.parametrize(("make", "moments"), [(water_log_html, ["mixing"]), (tile_card_html, ["firing", "using"])])
def test_a_paper_that_names_a_poison_says_its_stops(make: Callable[..., str], moments: list[str]) -> None:
    """Also where the lead is only in the learner's own bag; a plain glaze and a blank paper say none."""
    lead, plain = gk.Recipe("Old Red", {"red lead": 60, "quartz": 40}), gk.Recipe("Plain", {"whiting": 30, "quartz": 70})
    bag = gk.course_stock().with_materials([Material("whiting", "bag", {"CaO": 40.0, "PbO": 20.0}, loi_wt_pct_raw=40.0)])
    for recipe, stock in ((lead, None), (plain, bag)):
        page, due = make(recipe, stock=stock), [cautions_for(recipe, stock, moment)[0] for moment in moments]
        assert [one.level for one in due] == ["stop"] * len(moments) and {sentence(one.text) for one in due} <= set(
            texts_of(page)
        )
    assert make(plain).count('"caution stop"') == make().count('"caution stop"')


def test_the_label_of_a_bucket_with_lead_says_what_holds_at_the_bucket() -> None:
    lead = gk.Recipe("Old Red", {"red lead": 60, "quartz": 40})
    (at_bucket,) = (one for one in cautions_for(lead, moment="mixing") if one.key == "poison")
    assert sentence(at_bucket.text) in texts_of(label_strip_html(lead))


def test_home_sums_find_the_density_of_any_powder() -> None:
    """The sheet's steps on an imagined powder of 1.5 g/mL in a 150 mL jar that weighs 90 g."""
    steps = words("lesson_03.home.steps")
    assert "260 g" in steps[3]["text"] and "160 mL" in steps[3]["text"]
    true_density, jar_ml, empty_g = 1.5, 150.0, 90.0
    a, b = empty_g, empty_g + jar_ml
    c = empty_g + jar_ml * gk.slip_density_g_ml(160, powder_density_g_ml=true_density)
    whole_ml = 260 / ((c - a) / (b - a))
    assert 100 / (whole_ml - 160) == pytest.approx(true_density)


FAULTS = {
    *("crawling", "pinholes", "blisters", "dry", "too thin", "ran", "crazed", "shivered", "settled hard"),
    "never fired to temperature",
}


def test_faults_are_complete_and_printed_cheapest_test_first() -> None:
    rows = read_table("faults")
    assert {row["fault"] for row in rows} == FAULTS
    text = Reader(what_happened_html()).text
    for fault in FAULTS:
        mine = sorted((row for row in rows if row["fault"] == fault), key=lambda row: row["cheapest_first"])
        assert [row["cheapest_first"] for row in mine] == list(range(1, len(mine) + 1))
        assert mine[0]["seen"] and len(mine) >= 2
        start = text.index(f"{fault[0].upper()}{fault[1:]} {mine[0]['seen']}")
        places = [text.index(f"{row['likely_cause']} {row['cheap_test']} {row['lesson']}", start) for row in mine]
        assert places == sorted(places)
    for row in rows:
        assert row["status"] == "practice" and cite(row["source"])


def test_a_wrong_text_key_names_the_nearest() -> None:
    with pytest.raises(DataError) as caught:
        Say("batch")("weigh_titel")
    assert caught.value.hint == "weigh_title"


@pytest.mark.parametrize(
    ("mass_g", "division_g", "text"),
    [
        (0.125, 0.01, "0.13 g"),
        (2.675, 0.01, "2.68 g"),
        (1000.125, 0.01, "1.00013 kg"),
        (98765.43, 0.01, "98.76543 kg"),
        (12, 5, "10 g"),
    ],
)
def test_a_mass_is_rounded_as_on_paper(mass_g: float, division_g: float, text: str) -> None:
    assert mass_words(mass_g, division_g) == text
