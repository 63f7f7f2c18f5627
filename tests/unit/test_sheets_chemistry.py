"""The sheets of lessons 4 to 8: their numbers against hand sums and another library, and read as a learner reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator

import periodictable
import pytest
from page_reader import NASTY, Reader, rows_of, texts_of, told
from wording import spoken, text_of

import glazekit as gk
from glazekit.chemistry.base_limits import PLASTIC_CLAY_PCT
from glazekit.chemistry.substitute import substitute
from glazekit.exercises.lesson_04 import acid_g
from glazekit.ground.errors import NoAnalysisError, RecipeError
from glazekit.ground.tables import read_table
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import FLUXES, OXIDES
from glazekit.recipe.cautions import cautions_for
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.sheets.blank_chart import blank_chart_html
from glazekit.sheets.frame import words
from glazekit.sheets.lesson_papers import figures_of, home_page_html, studio_card_html
from glazekit.sheets.oxide_cards import course_materials, course_oxides, flux_card_html, gas_g_per_100g, oxide_card_html
from glazekit.sheets.swap_sheet import _change, swap_sheet_html
from glazekit.sheets.unity_worksheet import unity_worksheet_html
from glazekit.words.course import course

PLAIN = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")


# --- oxide card --------------------------------------------------------------------------------------------------------


def test_every_molar_mass_on_the_oxide_card_agrees_with_another_library() -> None:
    rows = [row for row in rows_of(oxide_card_html(), "card-table oxides") if len(row) == 4][1:]
    assert len(rows) == len(course_oxides()) >= 17
    for symbol, _, mass, _ in rows:
        assert float(mass) == pytest.approx(periodictable.formula(symbol.translate(PLAIN)).mass, abs=0.02), symbol


def test_oxides_stand_under_what_they_do() -> None:
    text = Reader(oxide_card_html()).text
    fluxes, stabiliser, formers, colour = (text.index(group["title"]) for group in words("oxide_card.groups"))
    assert fluxes < text.index("CaO lime") < stabiliser < text.index("Al₂O₃ alumina") < formers
    assert formers < text.index("B₂O₃ boric") < text.index("SiO₂ silica") < colour < text.index("CuO copper")


def test_what_a_mole_of_a_mineral_brings_and_what_leaves_it() -> None:
    """Reckoned by hand: talc is 3 MgO, 4 SiO2, 1 H2O of 379.3 g; whiting 44.01 of 100.09 g; the copper 2 CuO, 1 CO2, 1 H2O."""
    rows = {row[0]: row[1:] for row in rows_of(oxide_card_html(), "card-table materials")}
    steam, carbon = words("oxide_card.gases").values()
    assert rows["soda feldspar"] == ["524.44", ", ".join(["1 Na₂O", "1 Al₂O₃", "6 SiO₂"]), text_of("sheets.oxide_card.none"), ""]
    assert rows["talc"][1:] == [", ".join(["3 MgO", "4 SiO₂"]), "4.8", steam]
    assert rows["whiting"][1:] == ["1 CaO", "44.0", carbon]
    assert rows["nepheline syenite"][1] == ", ".join(["0.75 Na₂O", "0.25 K₂O", "1.1 Al₂O₃", "4.5 SiO₂"])
    assert rows["copper carbonate"][1:] == ["2 CuO", "28.1", f"{steam} 8.1, {carbon} 19.9"]


@pytest.mark.parametrize("material", [one for one in course_materials() if one.formula], ids=lambda one: one.name)
def test_steam_and_carbon_dioxide_are_all_that_leaves(material: gk.Material) -> None:
    """If a material gave off anything else, or took up oxygen, the card would have to say so."""
    assert sum(gas_g_per_100g(material).values()) == pytest.approx(material.loi_wt_pct_raw, abs=0.01)


def test_nothing_poisonous_is_offered_for_weighing() -> None:
    html = oxide_card_html()
    assert not any("barium" in cell for row in rows_of(html, "card-table materials") for cell in row)
    assert text_of("sheets.oxide_card.poison").format(materials="barium carbonate") in Reader(html).text


def test_the_sum_on_the_oxide_card_can_be_followed() -> None:
    """10 g of whiting, 56.03 % of it lime: 5.60 / 56.08 = 0.0999 mol."""
    sum_ = told(oxide_card_html(), "sheets.oxide_card.example")
    assert (sum_["grams"], sum_["material"], sum_["oxide"]) == ("10", "whiting", "lime")
    numbers = (sum_[name] for name in ("gas", "left", "mass", "moles", "thousandths"))
    assert tuple(numbers) == ("4.40", "5.60", "56.08", "0.0999", "100")


def test_analyses_on_the_oxide_card_are_those_of_the_table_and_say_they_are_made_up() -> None:
    html = oxide_card_html()
    rows = {row[0]: row[1:] for row in rows_of(html, "card-table analysed")}
    frit = {row["oxide"]: row["wt_pct_raw"] for row in read_table("analyses") if row["material"] == "calcium borosilicate frit"}
    printed = dict(pair.split() for pair in rows["calcium borosilicate frit"][0].translate(PLAIN).split(", "))
    assert {oxide: float(pct) for oxide, pct in printed.items()} == {oxide: pct for oxide, pct in frit.items() if oxide != "LOI"}
    assert text_of("sheets.oxide_card.analysis_caption") in Reader(html).text


# --- unity worksheet ---------------------------------------------------------------------------------------------------


def worked_through(html: str) -> dict[str, float]:
    """Fill in the first table of a worksheet the way a learner does it, from what is printed alone; returns the formula."""
    head, *rows = rows_of(html, "working")
    oxides = [cell.split()[0] for cell in head[3:]]
    is_flux = [cell.endswith(" flux") for cell in head[3:]]
    sums = [0.0] * len(oxides)
    for _, sum_, _, *boxes in rows[:-2]:
        over = re.fullmatch(r"([\d.]+) ÷ ([\d.]+) =", sum_)
        for i, box in enumerate(boxes):
            if times := re.fullmatch(r"× ([\d.]+)", box):
                sums[i] += float(over[1]) / float(over[2]) * float(times[1])
            elif share := re.fullmatch(r"([\d.]+) × ([\d.]+) % ÷ ([\d.]+)", box):
                sums[i] += float(share[1]) * float(share[2]) / 100 / float(share[3])
            else:
                assert box == "-"
    flux_sum = sum(moles for moles, flux in zip(sums, is_flux, strict=True) if flux)
    return {oxide.translate(PLAIN): moles / flux_sum for oxide, moles in zip(oxides, sums, strict=True)}


@pytest.mark.parametrize("recipe", demo_recipes(), ids=lambda recipe: recipe.name)
def test_a_learner_who_fills_in_the_boxes_finds_the_unity_formula(recipe: gk.Recipe) -> None:
    found, unity = worked_through(unity_worksheet_html(recipe)), gk.unity_formula(recipe)
    assert found == pytest.approx({oxide: unity[oxide] for oxide in found}, abs=0.006, rel=0.006)
    assert {oxide for oxide, moles in unity.moles.items() if moles >= 0.005} == set(found)


def test_the_practice_glaze_has_the_boxes_of_lesson_five_and_no_answers() -> None:
    """Exercises 5.1 to 5.4 ask for 0.2717, 3.55, 0.478 and 7.41: none of them may stand on the page."""
    html = unity_worksheet_html()
    front = html[: html.index(words("unity_sheet.example_title"))]
    found = worked_through(html)
    assert (found["SiO2"], found["Al2O3"]) == (pytest.approx(3.55, abs=0.02), pytest.approx(0.478, abs=0.004))
    assert front.count('class="write"') == 3 + 1 + 2 + 1 + 4 + 2 * 4, "oxide boxes, one box of moles each, two rows of sums"
    assert 'class="answer"' not in front and 'class="given"' not in front
    assert not re.search(r"0\.27|3\.55|0\.47|7\.41", Reader(unity_worksheet_html()).text)


def test_the_small_example_is_worked_out_as_by_hand() -> None:
    """60 / 524.44 = 0.1144, 20 / 100.09 = 0.1998, 20 / 60.08 = 0.3329; silica 6 x 0.1144 + 0.3329 = 1.0193; fluxes 0.3142."""
    html = unity_worksheet_html()
    back = html[html.index(words("unity_sheet.example_title")) :]
    rows = {row[0]: row[1:] for row in rows_of(back, "working")}
    names = ("soda feldspar", "whiting")
    feldspar, whiting = ([re.sub("[ ×÷=]+", "|", cell).strip("|") for cell in rows[name]] for name in names)
    assert feldspar == ["60|524.44", "0.1144", "1|0.1144", "-", "1|0.1144", "6|0.6864"]
    assert whiting == ["20|100.09", "0.1998", "-", "1|0.1998", "-", "-"]
    assert rows[words("unity_sheet.together")] == ["0.1144", "0.1998", "0.1144", "1.0193"]
    assert rows[words("unity_sheet.divided")] == ["0.364", "0.636", "0.364", "3.244"]
    text = Reader(unity_worksheet_html()).text
    assert re.search(r"Na₂O\s\+\sCaO\s=\s0\.3142\smol", text)
    assert f"{text_of('sheets.unity_sheet.ratio')} 8.9" in text and f"{text_of('sheets.unity_sheet.alkali_share')} 36 %" in text


def test_boron_stands_apart_and_never_in_the_flux_sum() -> None:
    text = Reader(unity_worksheet_html(demo_recipe("Handrail Clear"))).text
    boron = text_of("sheets.unity_sheet.trays.3")
    assert " + ".join(["Na₂O", "K₂O", "CaO ="]) in text and f"{boron} B₂O₃" in text
    assert boron not in Reader(unity_worksheet_html()).text


def test_what_a_worksheet_leaves_out_it_says() -> None:
    text = Reader(unity_worksheet_html(demo_recipe("Anchor Chain"))).text
    traces = ", ".join(["soda", "titania", "iron oxide"])
    assert text_of("sheets.unity_sheet.traces").format(names=traces) in text
    assert text_of("sheets.unity_sheet.additions").format(names="red iron oxide") in text


def test_two_names_of_one_material_make_one_row() -> None:
    twice = gk.Recipe("twice", {"whiting": 10, "calcium carbonate": 10, "potash feldspar": 40, "quartz": 40})
    rows = rows_of(unity_worksheet_html(twice), "working")
    sum_ = text_of("sheets.unity_sheet.by_formula").format(grams=20, mass=100.09)
    assert [row[1] for row in rows if row[0] == "whiting"] == [sum_]
    assert worked_through(unity_worksheet_html(twice))["SiO2"] == pytest.approx(gk.unity_formula(twice)["SiO2"], rel=1e-3)


def test_a_worksheet_that_cannot_be_made_says_why() -> None:
    stock = gk.course_stock().with_unknown("aunt's ash")
    with pytest.raises(NoAnalysisError, match="aunt's ash"):
        unity_worksheet_html(gk.Recipe("ash", {"aunt's ash": 50, "quartz": 50}), stock=stock)
    with pytest.raises(RecipeError, match="no flux"):
        unity_worksheet_html(gk.Recipe("clay", {"kaolin": 50, "quartz": 50}))


# --- blank chart -------------------------------------------------------------------------------------------------------


def words_in_the_chart() -> Iterator[tuple[str, float, float]]:
    """Each text of the picture with the place it is anchored at."""
    picture = re.search(r"<svg viewBox.*?</svg>", blank_chart_html(), re.DOTALL)[0]
    for x, y, text in re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)</text>', picture):
        yield text, float(x), float(y)


def test_ratio_lines_leave_the_corner_and_keep_their_ratio() -> None:
    """The axis numbers give the scale, the lines are measured with it."""
    places = {text: (x, y) for text, x, y in words_in_the_chart()}
    px_per_silica = (places["7"][0] - places["1"][0]) / 6
    px_per_alumina = (places["0.1"][1] - places["0.7"][1]) / 0.6
    lines = re.findall(r'<path class="ratio" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', blank_chart_html())
    found = []
    for line in lines:
        x1, y1, x2, y2 = map(float, line)
        assert x1 == pytest.approx(places["1"][0] - px_per_silica, abs=0.1), "all begin where silica is 0"
        found.append((x2 - x1) / px_per_silica / ((y1 - y2) / px_per_alumina))
    assert found == pytest.approx([4, 5, 6, 8, 10], rel=1e-3)
    for ratio, line in zip((4, 5, 6, 8, 10), lines, strict=True):
        right, down = (its - float(end) for its, end in zip(places[f"{ratio} to 1"], line[2:], strict=True))
        assert -0.1 < right < 7 and -9 < down < 7, "each ratio stands at the end of its line, above it or to its right"


def test_every_published_point_has_a_place_on_the_paper() -> None:
    """The grids of 1886 and 1914, by the scale of the axis numbers."""
    places = {text: (x, y) for text, x, y in words_in_the_chart()}
    px_per_silica = (places["7"][0] - places["1"][0]) / 6
    px_per_alumina = (places["0.1"][1] - places["0.7"][1]) / 0.6
    frame = re.search(r'<path class="strong" d="(.*?)"', blank_chart_html())[1]
    corners = [tuple(map(float, spot.split())) for spot in re.findall(r"[\d.]+ [\d.]+", frame)]
    right, top = max(x for x, _ in corners), min(y for _, y in corners)
    below_its_line = 1.5 / 25.4 * 96  # a number of the upright axis stands so far below its line
    rows = read_table("silica_alumina_points")
    assert len(rows) == 125
    for row in rows:
        assert places["1"][0] + (row["sio2_mol"] - 1) * px_per_silica < right
        assert places["0.1"][1] - below_its_line - (row["al2o3_mol"] - 0.1) * px_per_alumina > top


def test_the_chart_names_no_zones() -> None:
    said = {text for text, _, _ in words_in_the_chart()}
    numbers = {text for text in said if re.fullmatch(r"[\d.]+( to 1)?", text)}
    assert said - numbers == {words("chart.silica"), words("chart.alumina"), words("chart.ratio_title")}


def test_the_notes_of_a_chart_are_printed_as_given() -> None:
    html = blank_chart_html(fluxes=NASTY, cone="6", who=NASTY, begun_on=NASTY)
    read = Reader(html)
    assert not read.all("script") and [text for _, text in read.texts].count(NASTY) == 3
    assert html.count('class="line"') == 0 and blank_chart_html().count('class="line"') == 4


# --- flux card ---------------------------------------------------------------------------------------------------------


def test_every_flux_note_names_an_oxide_and_materials_that_bring_it() -> None:
    stock = gk.course_stock()
    rows = read_table("flux_notes")
    assert {row["oxide"] for row in rows} == {oxide for oxide in course_oxides() if oxide in FLUXES} | {"B2O3"}
    for row in rows:
        for name in row["materials"].split("; "):
            assert stock.find(name).name == name and stock.find(name).oxide_wt_pct[row["oxide"]] > 5, (row["oxide"], name)
        assert (row["family"] == "boron") == (row["oxide"] not in FLUXES)


def test_a_card_that_says_which_swells_more_says_what_was_measured() -> None:
    """Fitted factors count moles; divided by the mass of a mole they count grams. Potash: more by the mole, less by the gram."""
    by_mole = {row["oxide"]: row["factor_1e6_per_k"] for row in read_table("expansion_factors")}
    by_gram = {oxide: factor / OXIDES[oxide].molar_mass_g_mol for oxide, factor in by_mole.items()}
    notes = {row["oxide"]: row["what_it_does"].casefold() for row in read_table("flux_notes")}
    assert by_mole["K2O"] > 1.1 * by_mole["Na2O"] and by_gram["K2O"] < 0.9 * by_gram["Na2O"]
    assert re.search(r"by the mole .*\bmore\b.*, by weight less", notes["K2O"])
    assert by_mole["Li2O"] < by_mole["Na2O"] and re.search(r"by the mole .*\bless\b", notes["Li2O"])


@pytest.mark.parametrize(
    ("oxide", "grams", "material"),
    [
        ("CaO", "10.0", "whiting"),  # 100.09 / 10
        ("Na2O", "52.4", "soda feldspar"),  # 524.44 / 10
        ("MgO", "12.6", "talc"),  # 379.27 / 3 / 10: a talc holds three
        ("SrO", "14.8", "strontium carbonate"),  # 147.63 / 10
        ("Li2O", "7.4", "lithium carbonate"),  # 73.89 / 10
        ("B2O3", "31.6", "calcium borosilicate frit"),  # 6.962 / 0.22
    ],
)
def test_grams_for_a_tenth_of_a_mole(oxide: str, grams: str, material: str) -> None:
    sections = re.findall(r'<section class="flux">.*?</section>', flux_card_html(), re.DOTALL)
    (mine,) = (section for section in sections if printed_formula(oxide) in Reader(section).texts[0][1])
    assert text_of("sheets.flux_card.portion").format(mol="0.1", grams=grams, material=material) in texts_of(mine)


def test_the_hazards_of_lesson_seven_stand_with_their_flux() -> None:
    sections = {
        texts_of(part)[0]: part for part in re.findall(r'<section class="flux">.*?</section>', flux_card_html(), re.DOTALL)
    }
    barium = next(part for title, part in sections.items() if title.startswith("Baria"))
    assert 'class="caution stop"' in barium and "POISON" in barium and " g " not in Reader(barium).text
    assert sum('class="caution stop"' in part for part in sections.values()) == 1
    for title, warning in (("Lithia", "Gloves on"), ("Zinc", "electric kiln"), ("Strontia", "barium carbonate")):
        (part,) = (part for name, part in sections.items() if name.startswith(title))
        assert warning in Reader(part).text and 'role="note"' in part


# --- swap sheet --------------------------------------------------------------------------------------------------------


def nepheline() -> tuple[gk.Recipe, str]:
    """Gangway Clear without soda feldspar, the swap of lesson 8."""
    clear = demo_recipe("Gangway Clear")
    found = substitute(clear, "soda feldspar", ["nepheline syenite"])
    return found.exact.recipe, swap_sheet_html(clear, found.exact.recipe, substitution=found)


def test_swap_sheet_shows_the_course_swap() -> None:
    """Exercise 8.3: 22.44 of nepheline syenite, kaolin cut by 1.28, quartz up by 5.06; 8.6: gram for gram 7.2 and 24 %."""
    _, html = nepheline()
    rows = {row[0]: row[1:] for row in rows_of(html, "card-table swap")}
    assert rows["soda feldspar"] == ["26.00", "none", "−26.00", "none"]
    assert rows["nepheline syenite"][:3] == ["none", "22.44", "+22.44"]
    assert rows["kaolin"][:3] == ["13.00", "11.72", "−1.28"] and rows["quartz"][:3] == ["22.00", "27.06", "+5.06"]
    assert rows["whiting"][:3] == ["14.00", "14.00", "same"]
    ways, kinds = {row[0]: row[1:] for row in rows_of(html, "card-table ways")}, words("swap.way_kinds")
    exact_moves, *exact_ratios = ways[f"{kinds['exact']} {text_of('sheets.swap.chosen')}"]
    moves, *ratios = ways[kinds["weight_for_weight"]]
    out, more_syenite = "soda feldspar −26.00", "nepheline syenite"
    assert exact_moves.split(", ") == [out, "kaolin −1.28", "quartz +5.06", f"{more_syenite} +22.44"]
    assert moves.split(", ") == [out, f"{more_syenite} +26.00"]
    assert exact_ratios[1:] == ["8.3", "22"] and ratios[1:] == ["7.2", "24"]
    assert exact_ratios[0].split(", ") == ["Na₂O −0.04", "K₂O +0.04"], "and nothing else moves"
    assert "SiO₂ −0.24" in ratios[0].split(", "), "3.54 to 3.30"


def test_the_column_to_weigh_adds_up_to_100() -> None:
    after, html = nepheline()
    rows = [row for row in rows_of(html, "card-table swap") if row[0] in {line.material for line in after.base}]
    assert sum(float(row[4]) for row in rows) == pytest.approx(100, abs=0.3), "each rounded to 0.1"
    assert after.base_sum == pytest.approx(100.22, abs=0.01)


def test_test_first_stands_before_what_to_weigh_and_says_why() -> None:
    _, html = nepheline()
    text = Reader(html).text
    keys = ("test_title", "test_lines.0", "test_ticks.1", "recipe_title")
    places = [text.index(text_of(f"sheets.swap.{key}")) for key in keys]
    places += [text.index("silica dust"), text.index("26.00")]
    assert places == sorted(places)


def test_formulas_stand_side_by_side() -> None:
    """Section 1 of the course: Gangway Clear 0.21 soda, 3.54 silica, 8.3; Timetable Satin 0.29 magnesia, 2.81 silica, 6.5."""
    html = swap_sheet_html(demo_recipe("Gangway Clear"), demo_recipe("Timetable Satin"))
    formula = html[html.index(words("swap.formula_title")) :]
    rows = {row[0]: row[1:] for row in rows_of(formula, "card-table swap")}
    assert rows["SiO₂ silica"] == ["3.54", "2.81", "−0.73"]
    assert rows["MgO magnesia"] == ["none", "0.29", "+0.29"]
    assert rows[words("swap.ratio")] == ["8.3", "6.5", "−1.8"]


def test_two_recipes_are_compared_on_a_base_of_100_additions_apart() -> None:
    """Timetable Satin: soda feldspar 30 of 105.5 is 28.44, tin oxide 5 of 105.5 is 4.74, both by hand."""
    html = swap_sheet_html(demo_recipe("Gangway Clear"), demo_recipe("Timetable Satin"))
    rows = {row[0]: row[1:] for row in rows_of(html, "card-table swap")}
    assert rows["soda feldspar"] == ["26.00", "28.44", "+2.44"] and rows["tin oxide"] == ["none", "4.74", "+4.74"]
    assert rows[words("swap.total")] == ["100.00", "100.00", "same"]


@pytest.mark.parametrize("new", ["Timetable Satin", "Handrail Clear", "Deck Green", "Late Boat"])
def test_a_change_is_the_difference_of_the_numbers_beside_it(new: str) -> None:
    html, same = swap_sheet_html(demo_recipe("Gangway Clear"), demo_recipe(new)), text_of("sheets.swap.same")
    heads = words("swap.columns")[1:4]
    rows = [row[1:4] for row in rows_of(html, "card-table swap") if len(row) >= 4 and row[1:4] != heads]
    changed = 0
    for was, is_, change in rows:
        before, after = (0.0 if shown == text_of("sheets.swap.none") else float(shown) for shown in (was, is_))
        said = 0.0 if change == same else float(change.replace("−", "-"))
        assert said == pytest.approx(after - before, abs=1e-9) and (change == same) == (before == after), (was, is_, change)
        changed += change != same
    assert changed >= 4


def test_a_change_too_small_to_show_before_rounding_shows_where_the_printed_numbers_differ() -> None:
    assert _change(0.4249, 0.4251, 2) == "+0.01" and _change(7.96, 5.349, 1) == "−2.7"
    assert _change(1.0, 1.0049, 2) == text_of("sheets.swap.same")


def test_a_swap_brings_the_mixing_cautions_of_the_new_recipe() -> None:
    text = Reader(nepheline()[1]).text
    mixing = cautions_for(nepheline()[0], moment="mixing")
    assert "soluble" in {caution.key for caution in mixing} and all(caution.text[1:] in text for caution in mixing)


def test_a_swap_brings_the_cautions_of_the_new_material_and_warns_of_too_little_clay() -> None:
    old = gk.Recipe("thin", {"potash feldspar": 60, "whiting": 20, "quartz": 20})
    new = gk.Recipe("thin", {"potash feldspar": 60, "wollastonite": 23.2, "quartz": 8, "kaolin": 5})
    text = Reader(swap_sheet_html(old, new)).text
    assert text.index("fibrous dust") < text.index("20.00")
    assert spoken("sheets.swap.clay_low", text) == {"clay": "5.2", "least": f"{PLASTIC_CLAY_PCT:g}"}
    assert spoken("sheets.swap.clay_low", Reader(nepheline()[1]).text) is None


def test_when_there_is_no_exact_way_the_sheet_says_why() -> None:
    late = demo_recipe("Late Boat")
    found = substitute(late, "potash feldspar", ["soda feldspar"], keep=["K2O", "Al2O3", "SiO2"])
    assert found.exact is None
    html = swap_sheet_html(late, found.nearest.recipe, substitution=found)
    assert text_of("sheets.swap.no_exact").format(why=found.why_not) in Reader(html).text
    assert spoken("sheets.swap.merged", Reader(html).text) == {"oxides": "Na₂O+K₂O"}
    kinds = words("swap.way_kinds")
    nearest = f"{kinds['nearest']} {text_of('sheets.swap.chosen')}"
    assert [row[0] for row in rows_of(html, "card-table ways")][1:] == [kinds["by_family"], nearest, kinds["weight_for_weight"]]


def test_typed_names_stay_text_on_the_new_sheets() -> None:
    material = gk.Material.from_formula(NASTY, "CaCO3")
    stock = gk.course_stock().with_materials([material])
    recipe = gk.Recipe(NASTY, {"potash feldspar": 40, NASTY: 20, "quartz": 40}, {NASTY: 2}, "parts")
    for html in (
        unity_worksheet_html(recipe, stock=stock),
        swap_sheet_html(recipe, demo_recipe("Late Boat"), stock=stock, who=NASTY, date=NASTY),
    ):
        read = Reader(html)
        assert not read.all("script") and not read.all("b")
        assert any(tag == "h1" and NASTY in text for tag, text in read.texts)


# --- home pages and studio cards ---------------------------------------------------------------------------------------


def test_whiting_in_vinegar_as_by_hand() -> None:
    """10 g of 100.09 g/mol are 0.0999 mol: so is the gas of 44.01 g/mol, 4.40 g; twice that of acid, 60.05, is 12.0 g."""
    figures = figures_of("04")
    assert (figures["whiting"], figures["gas"], figures["gas_per_100"]) == ("10", "4.4", "44")
    assert acid_g(10) == pytest.approx(12.0, abs=0.01)
    assert acid_g(10) < 0.05 * float(figures["vinegar"]) < 1.5 * acid_g(10), "enough acid, and not much more"
    assert figures["gas_of_recipe"] == "6.2", "14 g of whiting lose 44 %"


def test_the_vinegar_page_says_what_keeps_it_safe() -> None:
    text = Reader(home_page_html("04")).text
    first_step = text.index("Weigh what goes in")
    rules = (
        "Goggles on",
        "Respirator on",
        "Never in a closed bottle",
        "Table vinegar, nothing stronger",
        "No bleach",
        "Window open",
    )
    for rule in rules:
        assert text.index(rule) < first_step


def test_salt_and_sugar_as_by_hand() -> None:
    """3 / 58.44 = 0.0513 mol of salt, 3 / 342.3 = 0.0088 mol of sugar; 0.0513 x 342.3 = 17.6 g."""
    figures = figures_of("07")
    assert [figures[name] for name in ("salt_moles", "sugar_moles", "sugar_as_many")] == ["51", "9", "18"]


@pytest.mark.parametrize("lesson", [one.number for one in course() if "home" in one.texts])
def test_every_figure_of_a_home_page_is_used(lesson: str) -> None:
    told = str(words(f"lesson_{lesson}.home"))
    assert all(f"{{{name}}}" in told for name in figures_of(lesson))


BEANS = ("red bean", "white bean", "chickpea", "pea")


def counts(text: str) -> list[int]:
    """How many of each sort a sentence names."""
    return [int(found[1]) if (found := re.search(rf"(\d+) {sort}s?\b", text)) else 0 for sort in BEANS]


def bought(order: list[int], packets: list[list[int]], sorts: tuple[int, ...]) -> tuple[list[int], list[int]]:
    """Buy in order, each packet for the sort it is bought for; returns packets and what is left."""
    left, numbers = list(order), []
    for packet, sort in zip(packets, sorts, strict=True):
        numbers.append(left[sort])
        left = [have - numbers[-1] * brings for have, brings in zip(left, packet, strict=True)]
    return numbers, left


def test_the_bean_shop_can_fill_its_first_order_and_not_its_second() -> None:
    shop, first, second, frit, _ = (step["text"] for step in words("lesson_08.home.steps"))
    packets = [counts(part) for part in re.split(r"Whiting|Kaolin|Quartz", shop)]
    assert packets == [[1, 0, 1, 6], [0, 1, 0, 0], [0, 0, 1, 2], [0, 0, 0, 1]]
    numbers, left = bought(counts(first), packets, (0, 1, 2, 3))
    assert left == [0, 0, 0, 0] and min(numbers) > 0
    impossible, _ = bought(counts(second), packets, (0, 1, 2, 3))
    assert impossible[2] < 0, "the feldspar alone brings too many chickpeas"
    with_frit = counts(frit)
    feldspar = counts(second)[2]
    rest = [want - feldspar * brings for want, brings in zip(counts(second), packets[0], strict=True)]
    rest = [want - rest[0] * brings for want, brings in zip(rest, with_frit, strict=True)]
    assert rest[0] == rest[2] == 0 and rest[1] > 0 and rest[3] > 0, "whiting and quartz fill what is left"


def test_lemonade_keeps_its_ratio_when_water_comes_in() -> None:
    first, water, both, line, _ = (step["text"] for step in words("lesson_06.home.steps"))
    sugar, lemon = (float(re.search(rf"(\d+) g {what}", first)[1]) for what in ("sugar", "lemon juice"))
    assert f"{sugar:g} divided by {lemon:g}" in first
    assert [re.findall(r"(\d+) g (?:of )?water", text) for text in (first, water)] == [["100"], ["100", "100"]]
    assert (sugar + 4) / (lemon + 4) < sugar / lemon, "more of both in equal parts leaves the line"
    assert re.findall(r"(\d+) g (sugar|lemon)", both)[:2] == [("4", "sugar"), ("4", "lemon")]
    assert ("6", "lemon") in re.findall(r"(\d+) g (sugar|lemon)", line)


def test_the_clay_rule_on_the_studio_card_is_the_one_the_program_keeps() -> None:
    (line,) = (line for line in words("lesson_08.studio.lines") if "clay" in line)
    assert re.findall(r"\d+", line) == [f"{PLASTIC_CLAY_PCT:g}"] and line in Reader(studio_card_html("08")).text


def test_every_oxide_has_a_name_for_the_cards() -> None:
    assert len(course_oxides()) > 9 and all(OXIDES[oxide].name != oxide for oxide in course_oxides())
