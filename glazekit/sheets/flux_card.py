"""The flux card of lesson 7: what each flux does, what it comes with, what to beware of, and how much a mole of it takes."""

from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import show_number
from glazekit.ground.tables import Row, read_table
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.course_materials import flux_materials
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import caution, sentence

PORTION_MOL = 0.1
"""The count whose weight is printed [mol]."""
_SAY = Say("flux_card")


def flux_card_html() -> str:
    """The card, from data/flux_notes.csv; the grams are computed."""
    families = words("flux_card.families")
    rows = {family: [row for row in read_table("flux_notes") if row["family"] == family] for family in families}
    swap = el("p", el("strong", _SAY("swap_title")), " ", _SAY("swap", mol=f"{PORTION_MOL:g}"))
    return sheet_page(
        _SAY,
        *(el("div", *(_flux(row, families[family]) for row in mine), class_="family") for family, mine in rows.items()),
        el("div", swap, el("p", _SAY("status")), class_="framed"),
    )


def _flux(row: Row, family: str) -> Html:
    """One flux: name, family and sources, what it does, what to beware of."""
    materials, stock = flux_materials(row), course_stock()
    poison = any("poison" in stock.find(name).cautions for name in materials)
    oxide = f"{sentence(OXIDES[row['oxide']].name)} {printed_formula(row['oxide'])}"
    name = el("h2", f"{oxide}, ", el("span", family, class_="family-name"))
    others = _SAY("also_from", materials=", ".join(materials[1:])) if materials[1:] else ""
    portion = _SAY("not_used", material=materials[0]) if poison else _portion(row["oxide"], materials[0])
    flag = Say("flags")("stop") if poison else _SAY("beware")
    beware = caution(flag, [row["beware"]] if row["beware"] else [], stop=poison)
    head = el("div", name, el("p", portion), class_="flux-head")
    return el("section", head, el("p", " ".join((row["what_it_does"], others)).strip()), beware, class_="flux")


def _portion(oxide: str, name: str) -> str:
    """What to weigh of the first material for a tenth of a mole."""
    grams = PORTION_MOL / dict(course_stock().find(name).moles_per_g)[oxide]
    return _SAY("portion", mol=f"{PORTION_MOL:g}", grams=show_number(grams, 1), material=name)


SHEET = Sheet("flux card", flux_card_html)
