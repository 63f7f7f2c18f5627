"""Every sheet in a real browser: on a wide screen, on a phone, zoomed, and as a PDF on A4 and US Letter paper."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from wording import text_of

import glazekit as gk
from glazekit.chemistry.substitute import substitute
from glazekit.kiln.schedule_text import schedule_from_text
from glazekit.recipe.reading import demo_recipe, demo_recipes
from glazekit.sheets.batch_sheet import batch_sheet_html
from glazekit.sheets.blank_chart import blank_chart_html
from glazekit.sheets.firing_sheet import firing_sheet_html
from glazekit.sheets.fit_sheets import fit_card_html, fit_ladder_html
from glazekit.sheets.footnotes import estimates_for
from glazekit.sheets.kiln_papers import shelf_plan_html, what_happened_html
from glazekit.sheets.labels import label_strip_html, tile_card_html
from glazekit.sheets.lesson_papers import home_page_html, step_card_html, studio_card_html
from glazekit.sheets.measuring import water_log_html
from glazekit.sheets.oxide_cards import flux_card_html, oxide_card_html
from glazekit.sheets.swap_sheet import swap_sheet_html
from glazekit.sheets.unity_worksheet import unity_worksheet_html
from glazekit.words.course import course

pytestmark = pytest.mark.browser

PLAN = schedule_from_text("100/h to 600; 150/h to 1120; 60/h to 1222; hold 10 min; 100/h to 900")
BASE_G = {"Gangway Clear": 100, "Timetable Satin": 2500}


def _batch(name: str) -> str:
    recipe = demo_recipe(name)
    return batch_sheet_html(gk.batch_sheet(recipe, base_g=BASE_G[name]))


def _without_formula(name: str) -> str:
    """What the hands need: the sheet of a glaze whose chemistry is not known ends there."""
    html = _batch(name)
    start = html.rindex("<section", 0, html.index(text_of("sheets.unity.title")))
    return html[:start] + html[html.index("</section>", start) + len("</section>") :]


def _estimated() -> str:
    """Outside the measured glasses: the longest words an estimate can have."""
    recipe, stock = demo_recipe("Mooring White"), gk.course_stock()
    estimates = estimates_for(recipe, stock, 1222, demo_recipe("Gangway Clear"))
    return batch_sheet_html(gk.batch_sheet(recipe), estimates=estimates)


def _hostile() -> str:
    nasty = "<script>window.hit=1</script><img src=x onerror='window.hit=2'>"
    stock = gk.course_stock().with_unknown(nasty)
    recipe = gk.Recipe(nasty, {"quartz": 60, nasty: 40}, note=nasty, atmosphere=nasty)
    return batch_sheet_html(gk.batch_sheet(recipe, stock=stock), stock=stock, who=nasty, label=nasty, date=nasty)


def _long() -> str:
    names = [material.name for material in gk.course_stock() if "poison" not in material.cautions][:20]
    return batch_sheet_html(gk.batch_sheet(gk.Recipe("Twenty Steps", dict.fromkeys(names, 5.0)), base_g=400))


def _swap() -> str:
    recipe = demo_recipe("Gangway Clear")
    found = substitute(recipe, "soda feldspar", ["nepheline syenite", "potash feldspar"])
    return swap_sheet_html(recipe, found.nearest.recipe, substitution=found)


LESSONS = [lesson for lesson in course() if "studio" in lesson.texts]
SHEETS = {  # name: how it is made, most pages it may take on A4 and on US Letter
    "batch": (lambda: _batch("Gangway Clear"), 2),
    "batch in kg": (lambda: _batch("Timetable Satin"), 3),
    "batch in kg, no formula": (lambda: _without_formula("Timetable Satin"), 2),
    "batch of twenty": (_long, 4),
    "batch with estimates": (_estimated, 3),
    "labels": (lambda: label_strip_html(demo_recipe("Timetable Satin")), 1),
    "tile card": (lambda: tile_card_html(demo_recipe("Gangway Clear")), 1),
    "step card": (step_card_html, 1),
    "water log": (lambda: water_log_html(demo_recipe("Gangway Clear"), dry_g=100), 1),
    "blank water log": (water_log_html, 1),
    "what happened": (what_happened_html, 2),
    "oxide card": (oxide_card_html, 2),
    "unity worksheet": (unity_worksheet_html, 2),
    "unity worksheet with a frit": (lambda: unity_worksheet_html(demo_recipe("Gangway Clear")), 2),
    "unity worksheet of eight materials": (lambda: unity_worksheet_html(demo_recipe("Deck Green")), 3),
    "blank chart": (blank_chart_html, 1),
    "flux card": (flux_card_html, 1),
    "swap sheet": (_swap, 2),
    "swap sheet of two": (lambda: swap_sheet_html(demo_recipe("Deck Green"), demo_recipe("Timetable Satin")), 2),
    "fit card": (fit_card_html, 1),
    "fit card of two": (
        lambda: fit_card_html(demo_recipe("Cracked Lamp"), reference=demo_recipe("Gangway Clear"), body="stoneware"),
        1,
    ),
    "fit ladder": (fit_ladder_html, 2),
    "blank firing sheet": (firing_sheet_html, 2),
    "firing sheet": (lambda: firing_sheet_html(PLAN, kiln="kitty"), 2),
    "blank shelf plan": (shelf_plan_html, 1),
    "shelf plan": (lambda: shelf_plan_html(demo_recipes(), atmosphere="reduction", fuel="gas"), 2),
    **{f"studio {one.number}": (lambda one=one: studio_card_html(one.number), 1) for one in LESSONS},
    **{f"home {one.number}": (lambda one=one: home_page_html(one.number), 1) for one in LESSONS if "home" in one.texts},
}
SIDEWAYS = ("unity worksheet", "blank chart")

SMALLEST_TEXT_PX = """() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let smallest = 999;
  while (walker.nextNode()) {
    if (!walker.currentNode.data.trim()) continue;
    smallest = Math.min(smallest, parseFloat(getComputedStyle(walker.currentNode.parentElement).fontSize));
  }
  return smallest;
}"""

SMALLEST_BOX_MM = """() => Math.min(...[...document.querySelectorAll('.box')].map(box => {
  const size = box.getBoundingClientRect();
  return Math.min(size.width, size.height) * 25.4 / 96;
}).filter(size => size > 0))"""

COLOURS = """() => [...new Set([...document.querySelectorAll('body, body *')].flatMap(part => {
  const style = getComputedStyle(part);
  return [style.color, style.backgroundColor, style.borderTopColor, style.borderBottomColor, style.fill, style.stroke];
}))]"""

STICKING_OUT = """() => [...document.querySelectorAll('main *')].filter(part => {
  if (part.closest('.scroll') || part.closest('.unseen')) return false;
  const box = part.getBoundingClientRect();
  return box.width > 0 && (box.right > innerWidth + 1 || box.left < -1);
}).map(part => part.outerHTML.slice(0, 80))"""


class Opened:
    """One sheet in a fresh window, with what the browser asked for and complained about."""

    def __init__(self, browser: Any, path: Path, html: str, width: int = 1280, scale: int = 1) -> None:
        path.write_text(html, encoding="utf-8")
        self.context = browser.new_context(viewport={"width": width, "height": 900}, device_scale_factor=scale)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.goto(path.as_uri())

    def __enter__(self) -> Opened:
        return self

    def __exit__(self, *error: object) -> None:
        self.context.close()


def _pages(opened: Opened, paper: str) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", opened.page.pdf(format=paper)))


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize(("width", "scale"), [(1280, 1), (640, 2), (390, 1)], ids=["wide", "zoomed twice", "phone"])
def test_screen(chromium: Any, tmp_path: Path, name: str, width: int, scale: int) -> None:
    make, _ = SHEETS[name]
    with Opened(chromium, tmp_path / "sheet.html", make(), width, scale) as opened:
        outside = [url for url in opened.asked if not url.startswith(("file:", "data:"))]
        assert not outside and not opened.complaints
        assert opened.page.evaluate("document.documentElement.scrollWidth") <= width
        assert opened.page.evaluate(STICKING_OUT) == []


@pytest.mark.parametrize("name", SHEETS)
def test_paper(chromium: Any, tmp_path: Path, name: str) -> None:
    make, most_pages = SHEETS[name]
    with Opened(chromium, tmp_path / "sheet.html", make(), width=720) as opened:
        opened.page.emulate_media(media="print")
        assert opened.page.evaluate(SMALLEST_TEXT_PX) >= 12 * 96 / 72 - 0.01
        if opened.page.query_selector(".box"):
            assert opened.page.evaluate(SMALLEST_BOX_MM) >= 6
        for colour in opened.page.evaluate(COLOURS):
            assert re.fullmatch(r"rgb\(0, 0, 0\)|rgb\(255, 255, 255\)|rgba\(0, 0, 0, 0\)|none", colour), colour
        for paper in ("A4", "Letter"):
            pages = _pages(opened, paper)
            assert 1 <= pages <= most_pages, f"{pages} pages of {paper}"


@pytest.mark.parametrize("name", SHEETS)
def test_paper_is_turned_where_the_sheet_is_wide(chromium: Any, tmp_path: Path, name: str) -> None:
    """Whatever paper the printer holds: the sheet asks only which way round."""
    make, _ = SHEETS[name]
    with Opened(chromium, tmp_path / "sheet.html", make()) as opened:
        boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", opened.page.pdf(format="Letter"))
        assert boxes and {tuple(sorted(map(float, box))) for box in boxes} == {(612.0, 792.0)}
        turned = [float(width) > float(height) for width, height in boxes]
        assert set(turned) == {name.startswith(SIDEWAYS)}


def test_chart_is_printed_at_its_true_size(chromium: Any, tmp_path: Path) -> None:
    """A square of the paper is 3 mm wide and 2.5 mm high, and the picture stays inside the margins of the narrower paper."""
    with Opened(chromium, tmp_path / "sheet.html", blank_chart_html(), width=950) as opened:
        opened.page.emulate_media(media="print")
        frame = opened.page.evaluate("document.querySelector('.chart .thin').getBoundingClientRect().toJSON()")
        assert frame["height"] == pytest.approx(45 * 2.5 / 25.4 * 96, abs=1)
        assert frame["width"] == pytest.approx(70 * 3 / 25.4 * 96, abs=1)
        picture = opened.page.evaluate("document.querySelector('.chart').getBoundingClientRect().width")
        assert picture * 25.4 / 96 <= 279.4 - 24


def test_hostile_text_stays_text(chromium: Any, tmp_path: Path) -> None:
    with Opened(chromium, tmp_path / "sheet.html", _hostile()) as opened:
        assert opened.page.evaluate("window.hit") is None
        assert opened.page.query_selector("script, img") is None
        assert "<script>window.hit=1</script>" in opened.page.inner_text("h1")
        assert not opened.complaints


def test_a_script_that_slipped_through_would_not_run(chromium: Any, tmp_path: Path) -> None:
    html = step_card_html().replace("</main>", "<script>window.hit=1</script></main>")
    with Opened(chromium, tmp_path / "sheet.html", html) as opened:
        assert opened.page.evaluate("window.hit") is None
        assert opened.complaints


def test_table_head_repeats_on_the_second_page(chromium: Any, tmp_path: Path) -> None:
    with Opened(chromium, tmp_path / "sheet.html", _long()) as opened:
        opened.page.emulate_media(media="print")
        assert opened.page.evaluate("getComputedStyle(document.querySelector('.weigh thead')).display") == "table-header-group"
        assert opened.page.evaluate("getComputedStyle(document.querySelector('.weigh tbody tr')).breakInside") == "avoid"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_batch_sheets_of_the_course_are_one_leaf(chromium: Any, tmp_path: Path, paper: str) -> None:
    """Two sides; three only where the poisons of a glaze and the fire need their words."""
    pages = {}
    for recipe in demo_recipes():
        with Opened(chromium, tmp_path / "sheet.html", batch_sheet_html(gk.batch_sheet(recipe)), width=720) as opened:
            pages[recipe.name] = _pages(opened, paper)
    longer = {name: count for name, count in pages.items() if count > 2}
    assert len(longer) <= 4 and all(count == 3 for count in longer.values()), longer
