"""Printed sheets: sound HTML, nothing from outside, every text escaped, the numbers those of the batch."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from page_reader import NASTY, Reader

import glazekit as gk
from glazekit import sheets
from glazekit.drawing.markup import el
from glazekit.ground.errors import DataError
from glazekit.ground.tables import cite, read_table
from glazekit.recipe.cautions import Caution, cautions_for
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.recipe.weighing import check_weighings
from glazekit.sheets.frame import page
from glazekit.sheets.wording import say, words
from glazekit.words.course import course

LESSONS = [lesson for lesson in course()[1:] if lesson.notebook]


def timetable() -> gk.Recipe:
    return demo_recipe("Timetable Satin")


def batch_html(recipe: gk.Recipe, base_g: float = 100, **more: object) -> str:
    return sheets.batch_sheet_html(gk.batch_sheet(recipe, base_g=base_g), **more)


ALL = {
    "batch": lambda: batch_html(timetable(), unity=gk.unity_formula(timetable())),
    "labels": lambda: sheets.label_strip_html(timetable()),
    "tile": lambda: sheets.tile_card_html(timetable()),
    "blank tile": sheets.tile_card_html,
    "steps": sheets.step_card_html,
    "water": lambda: sheets.water_log_html(timetable(), dry_g=107),
    "blank water": sheets.water_log_html,
    "faults": sheets.what_happened_html,
    "oxides": sheets.oxide_card_html,
    "unity": sheets.unity_worksheet_html,
    "unity of many": lambda: sheets.unity_worksheet_html(timetable()),
    "chart": sheets.blank_chart_html,
    "fluxes": sheets.flux_card_html,
    "fit": sheets.fit_card_html,
    "fit of two": lambda: sheets.fit_card_html(timetable(), reference="Gangway Clear"),
    "firing": sheets.firing_sheet_html,
    "shelves": lambda: sheets.shelf_plan_html([timetable()], atmosphere="reduction"),
    "swap": lambda: sheets.swap_sheet_html(timetable(), demo_recipe("Bulkhead Liner")),
    **{f"studio {one.number}": lambda one=one: sheets.studio_card_html(one.number) for one in LESSONS},
    **{f"home {one.number}": lambda one=one: sheets.home_page_html(one.number) for one in LESSONS if "home" in one.texts},
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
    assert not re.search(r"food.?safe|safe for food", Reader(ALL[name]()).text, re.IGNORECASE)


@pytest.mark.parametrize("name", ["batch", "labels", "tile", "blank tile", "chart"])
def test_a_sheet_that_goes_with_a_glaze_says_it_is_untested(name: str) -> None:
    text = Reader(ALL[name]()).text.casefold()
    assert "untested" in text and "leach test" in text and "local rules decide" in text


def test_style_is_black_on_white_and_never_small() -> None:
    css = re.search("<style>(.*?)</style>", sheets.step_card_html(), re.DOTALL)[1]
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
    typed = {"made_by": NASTY, "date": NASTY, "version": NASTY, "batch": NASTY}
    pages = [
        sheets.batch_sheet_html(gk.batch_sheet(recipe, stock=stock), stock=stock, **typed),
        sheets.label_strip_html(recipe, batch=NASTY, date=NASTY, initials=NASTY, stock=stock),
        sheets.tile_card_html(recipe, batch=NASTY, date=NASTY, initials=NASTY),
        sheets.water_log_html(recipe, dry_g=100, batch=NASTY, initials=NASTY),
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
    assert rows["tin oxide"][2] == "116.2 to 120.8", "2 % of 118.5 g is 2.37 g; inside that, on a scale with 0.1 g steps"


def test_base_and_additions_stand_apart_with_their_sums() -> None:
    text = Reader(batch_html(timetable(), base_g=2500)).text
    base, top, total = (
        text.index(part) for part in ("Base: 2.5 kg", "On top of the base: 165.9 g", "Dry total 2665.9 g 2.6659 kg")
    )
    assert base < text.index("soda feldspar", base) < top < text.index("tin oxide", top) < total


def test_a_base_without_additions_has_no_second_part() -> None:
    text = Reader(batch_html(demo_recipe("Gangway Clear"))).text
    assert "On top" not in text and "Dry total 100.0 g" in text


@pytest.mark.parametrize("recipe", demo_recipes(), ids=lambda recipe: recipe.name)
@pytest.mark.parametrize("division_g", [0.01, 0.1, 0.5])
def test_every_printed_band_passes_at_the_weigh_check_and_one_step_further_does_not(recipe: gk.Recipe, division_g: float) -> None:
    sheet = gk.batch_sheet(recipe, base_g=500, scale_division_g=division_g)
    rows = cells_of(sheets.batch_sheet_html(sheet))
    for i, line in enumerate(sheet.lines):
        edges = [float(number) for number in re.findall(r"[\d.]+", rows[line.label][-1])]
        for edge, outward in ((edges[0], -division_g), (edges[-1], division_g)):
            assert check_weighings(sheet, {i: edge}).lines[i].word == "in band"
            assert edge + outward < 0 or check_weighings(sheet, {i: edge + outward}).lines[i].word != "in band"


def test_water_starts_at_sixty_and_goes_up_by_ten() -> None:
    html = batch_html(demo_recipe("Gangway Clear"))
    boxes = re.search(r'<ol class="water">(.*?)</ol>', html, re.DOTALL)[1]
    assert [text for _, text in Reader(boxes).texts] == [part for ml in range(70, 161, 10) for part in ("+10", str(ml))]
    assert "60 mL to start with" in html


def test_water_of_a_big_batch_comes_in_helpings_a_jug_can_show() -> None:
    read = Reader(batch_html(timetable(), base_g=2500))
    assert "1600 mL to start with" in read.text and "+250 1850" in read.text
    assert "divided by 26.659 is" in read.text


def test_cautions_stand_before_their_action_even_when_the_caller_brings_none() -> None:
    text = Reader(batch_html(demo_recipe("Deck Paint"))).text
    first_row = text.index("spodumene", text.index("Close enough"))
    weighing = [one.text for one in cautions_for(demo_recipe("Deck Paint"), moment="weighing")]
    assert len(weighing) >= 3
    for line in weighing:
        assert text.index(line[1:]) < first_row
    assert text.index("powder onto the water") < text.index("powder in")


def test_cautions_that_the_caller_brings_are_added_once() -> None:
    recipe = demo_recipe("Gangway Clear")
    extra = Caution("always", "firing", "stop", "Kiln 2 is out of order.", (), "practice", "practice")
    text = Reader(batch_html(recipe, cautions=(*cautions_for(recipe), extra))).text
    assert text.count("Kiln 2 is out of order.") == 1
    assert text.count("Powder is dust.") == 1


def test_zinc_in_reduction_says_stop_on_the_sheet() -> None:
    recipe = gk.Recipe("wrong kiln", {"zinc oxide": 10, "quartz": 90}, cone="10", atmosphere="reduction")
    assert 'class="caution stop"' in batch_html(recipe)
    assert 'class="caution stop"' not in batch_html(demo_recipe("Gangway Clear"))


def test_a_material_declared_unknown_batches_and_prints_and_says_so() -> None:
    stock = gk.course_stock().with_unknown("aunt's ash")
    sheet = gk.batch_sheet(gk.Recipe("ash", {"aunt's ash": 50, "quartz": 50}), stock=stock)
    html = sheets.batch_sheet_html(sheet, stock=stock)
    assert cells_of(html)["aunt's ash"][0] == say("batch.no_analysis")
    assert "no chemistry: aunt's ash" in Reader(html).text


def test_analyses_say_where_they_come_from() -> None:
    stock = gk.course_stock().with_stand_in("old feldspar", "soda feldspar")
    recipe = gk.Recipe("mixed", {"old feldspar": 30, "quartz": 30, "ball clay": 20, "calcium borosilicate frit": 20})
    text = Reader(sheets.batch_sheet_html(gk.batch_sheet(recipe, stock=stock), stock=stock)).text
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
    assert "Dry total 100.0 g" in Reader(html).text


def test_unity_formula_is_printed_only_when_given() -> None:
    recipe = demo_recipe("Gangway Clear")
    assert say("unity.title") not in batch_html(recipe)
    text = Reader(batch_html(recipe, unity=gk.unity_formula(recipe))).text
    assert "Silica to alumina 8.3. Alkali share 22 % of the fluxes." in text, "as the course reckons this glaze"


def test_a_trace_in_the_unity_formula_is_not_printed_as_nothing() -> None:
    recipe = demo_recipe("Deck Paint")
    unity = gk.unity_formula(recipe)
    assert 0 < unity["K2O"] < 0.005
    assert "potash K₂O under 0.01" in Reader(batch_html(recipe, unity=unity)).text


# --- the other sheets --------------------------------------------------------------------------------------------------


def test_step_card_has_twelve_steps_and_three_dust_moments() -> None:
    html = sheets.step_card_html()
    steps = re.search(r'<ol class="steps">(.*)</ol>', html, re.DOTALL)[1]
    items = [Reader(item).text for item in re.findall(r"<li>.*?</li>", steps, re.DOTALL)]
    assert len(items) == 12
    dusty = [number for number, item in enumerate(items, start=1) if "Dust" in item.split()]
    assert dusty == [5, 6, 12], "weighing, dry into wet, clean-up"


@pytest.mark.parametrize("lesson", [lesson.number for lesson in LESSONS])
def test_studio_card_has_few_words_and_a_caution(lesson: str) -> None:
    html = sheets.studio_card_html(lesson)
    first = Reader(re.search(r"<article.*?</article>", html, re.DOTALL)[0])
    assert len(first.text.split()) <= 95
    assert any(attributes.get("role") == "note" for attributes in first.all("div"))


def test_a_lesson_without_a_card_is_a_clear_error() -> None:
    with pytest.raises(DataError) as caught:
        sheets.studio_card_html("00")
    assert caught.value.given == "studio"


def test_labels_carry_what_the_course_asks_for() -> None:
    text = Reader(sheets.label_strip_html(timetable(), batch="12", date="3 May", initials="AB", small_labels=4)).text
    assert text.count("Batch 12 Date 3 May Initials AB") == 3 + 4
    assert text.count("cone 6 ox red") == 1 + 4


def test_a_toxic_bucket_says_so_on_its_label() -> None:
    loud = Reader(sheets.label_strip_html(demo_recipe("Deck Paint"))).text
    quiet = Reader(sheets.label_strip_html(demo_recipe("Gangway Clear"))).text
    assert "Copper carbonate: toxic" in loud and "toxic" not in quiet


def test_water_log_table_agrees_with_the_worked_slip() -> None:
    """90 mL per 100 g: (100 + 90) / (100 / 2.6 + 90) = 1.479 g/mL, and 100 mL of it hold 77.9 g of powder, by hand."""
    html = sheets.water_log_html()
    table = re.search(r'<table class="lookup">.*?</table>', html, re.DOTALL)[0]
    rows = [[text for _, text in Reader(row).texts] for row in re.findall(r"<tr>.*?</tr>", table, re.DOTALL)]
    column = rows[0].index("90")
    assert (rows[1][column], rows[2][column]) == ("148", "78")
    assert (rows[1][1], rows[1][-1]) == ("163", "131"), "60 and 160 mL per 100 g"


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
    text = Reader(sheets.what_happened_html()).text
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
        say("batch.weigh_titel")
    assert caught.value.hint == "weigh_title"
