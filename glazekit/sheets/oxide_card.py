"""The oxide card of lesson 4: what one mole weighs, what a material brings, what leaves in the kiln."""

from __future__ import annotations

from glazekit.chemistry.reckoning import mol_per_mol
from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import plain_text, show_number
from glazekit.materials.formula import molar_mass_g_mol, printed_formula
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock
from glazekit.sheets.course_materials import course_materials, course_oxides, gas_g_per_100g
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import caution, head_row, scroll, short
from glazekit.sheets.wording import listed, say, words

SOURCES_SHOWN = 3
SOURCE_FROM_WT_PCT = 5.0
"""A material counts as a source of an oxide from this share on [wt % raw]."""
EXAMPLE, EXAMPLE_G = "whiting", 10.0


def oxide_card_html() -> str:
    """Both sides of the card: the oxides, then the materials; every number is computed from the formulas and analyses."""
    front = (
        heading(say("oxide_card.kind"), say("oxide_card.title"), say("oxide_card.facts")),
        _oxide_table(),
        el("section", el("h2", say("oxide_card.sum_title")), *(el("p", line) for line in _example()), class_="framed"),
    )
    weighed = [material for material in course_materials() if "poison" not in material.cautions]
    theoretical = [material for material in weighed if material.formula]
    analysed = [material for material in weighed if not material.formula]
    back = (
        el("h2", say("oxide_card.materials_title")),
        caution(say("flags.firing"), listed("oxide_card.cautions")),
        scroll(say("oxide_card.materials_title"), _material_table(theoretical)),
        _analysis_table(analysed),
    )
    return page(say("oxide_card.title"), el("div", *front), el("div", *back, class_="new-page plain-part whole"))


def _oxide_table() -> Html:
    groups = words("oxide_card.groups")
    bodies = []
    for group in groups:
        members = [oxide for oxide in course_oxides() if OXIDES[oxide].role in group["roles"]]
        title = el("tr", el("th", group["title"], colspan="4", scope="rowgroup"), class_="part")
        bodies.append(el("tbody", title, *(_oxide_row(oxide) for oxide in members)))
    heads = head_row(listed("oxide_card.oxide_columns"), ("", "", "num", ""))
    return el("table", el("caption", say("oxide_card.oxide_caption")), heads, *bodies, class_="card-table oxides")


def _oxide_row(oxide: str) -> Html:
    return el(
        "tr",
        el("th", printed_formula(oxide), scope="row", class_="formula"),
        el("td", OXIDES[oxide].name),
        el("td", show_number(OXIDES[oxide].molar_mass_g_mol, 2), class_="num"),
        el("td", _sources(oxide)),
    )


def _sources(oxide: str) -> str:
    """The materials richest in an oxide; one that comes only as a poison says so."""
    bringers = [material for material in course_materials() if material.oxide_wt_pct.get(oxide, 0.0) >= SOURCE_FROM_WT_PCT]
    bringers.sort(key=lambda material: -material.oxide_wt_pct[oxide])
    names = ", ".join(material.name for material in bringers[:SOURCES_SHOWN])
    poison = all("poison" in material.cautions for material in bringers)
    return say("oxide_card.poison", materials=names) if poison else names


def _example() -> tuple[str, ...]:
    """The two sums of lesson 4, on a material that loses gas and on one that brings an oxide six times."""
    material = course_stock().find(EXAMPLE)
    ((oxide, left_pct),) = material.oxides
    left_g, mass = EXAMPLE_G * left_pct / 100, OXIDES[oxide].molar_mass_g_mol
    lime = say(
        "oxide_card.example",
        grams=plain_text(EXAMPLE_G),
        material=material.name,
        gas=show_number(EXAMPLE_G - left_g, 2),
        left=show_number(left_g, 2),
        oxide=OXIDES[oxide].name,
        mass=show_number(mass, 2),
        moles=show_number(left_g / mass, 4),
        thousandths=show_number(1000 * left_g / mass, 0),
    )
    return lime, say("oxide_card.example_formula")


def _material_table(materials: list[Material]) -> Html:
    rows = (
        el(
            "tr",
            el("th", material.name, scope="row"),
            el("td", show_number(molar_mass_g_mol(material.formula), 2), class_="num"),
            el("td", _brings(material)),
            el("td", show_number(material.loi_wt_pct_raw, 1) if _leaves(material) else say("oxide_card.none"), class_="num"),
            el("td", _leaves(material)),
        )
        for material in materials
    )
    heads = head_row(listed("oxide_card.material_columns"), ("", "num", "", "num", ""))
    return el(
        "table", el("caption", say("oxide_card.material_caption")), heads, el("tbody", *rows), class_="card-table materials"
    )


def _brings(material: Material) -> str:
    counts = ((oxide, short(moles, 3)) for oxide, moles in mol_per_mol(material).items())
    return ", ".join(f"{count} {printed_formula(oxide)}" for oxide, count in counts)


def _leaves(material: Material) -> str:
    gases, names = gas_g_per_100g(material), words("oxide_card.gases")
    if len(gases) == 1:
        return str(names[next(iter(gases))])
    return ", ".join(f"{names[gas]} {show_number(grams, 1)}" for gas, grams in gases.items())


def _analysis_table(materials: list[Material]) -> Html:
    rows = (
        el(
            "tr",
            el("th", material.name, scope="row"),
            el("td", ", ".join(f"{printed_formula(oxide)} {plain_text(wt_pct)}" for oxide, wt_pct in material.oxides)),
            el(
                "td", show_number(material.loi_wt_pct_raw, 1) if material.loi_wt_pct_raw else say("oxide_card.none"), class_="num"
            ),
        )
        for material in materials
    )
    heads = head_row(listed("oxide_card.analysis_columns"), ("", "", "num"))
    return el("table", el("caption", say("oxide_card.analysis_caption")), heads, el("tbody", *rows), class_="card-table analysed")
