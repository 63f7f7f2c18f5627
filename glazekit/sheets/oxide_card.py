"""The oxide card of lesson 4: what one mole weighs, what a material brings, what leaves in the kiln."""

from glazekit.chemistry.unity import mol_per_mol
from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import plain_text, show_number
from glazekit.materials.formula import molar_mass_g_mol, printed_formula
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import course_stock
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.course_materials import course_materials, course_oxides, gas_g_per_100g
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import caution, num, over, paragraphs, part, row, scroll, short, table

SOURCES_SHOWN = 3
SOURCE_FROM_WT_PCT = 5.0
"""A material counts as a source of an oxide from this share on [wt % raw]."""
EXAMPLE, EXAMPLE_G = "whiting", 10.0
_SAY = Say("oxide_card")


def oxide_card_html() -> str:
    """Both sides of the card: the oxides, then the materials; every number is computed from the formulas and analyses."""
    weighed = [material for material in course_materials() if "poison" not in material.cautions]
    theoretical = [material for material in weighed if material.formula]
    analysed = [material for material in weighed if not material.formula]
    front = _oxide_table() + part(_SAY("sum_title"), paragraphs(_example()), class_="framed")
    back = (
        el("h2", _SAY("materials_title")),
        caution(Say("flags")("firing"), _SAY.all("cautions")),
        scroll(_SAY("materials_title"), _material_table(theoretical)),
        _analysis_table(analysed),
    )
    return sheet_page(_SAY, front, el("div", *back, class_="new-page plain-part whole"))


def _oxide_table() -> Html:
    groups = []
    for group in words("oxide_card.groups"):
        members = [oxide for oxide in course_oxides() if OXIDES[oxide].role in group["roles"]]
        groups.append([over(group["title"], 4), *map(_oxide_row, members)])
    columns, classes = _SAY.all("oxide_columns"), ("", "", "num", "")
    return table(_SAY("oxide_caption"), columns, *groups, class_="card-table oxides", head_classes=classes)


def _oxide_row(oxide: str) -> Html:
    name = el("th", printed_formula(oxide), scope="row", class_="formula")
    about = OXIDES[oxide]
    return el("tr", name, el("td", about.name), num(show_number(about.molar_mass_g_mol, 2)), el("td", _sources(oxide)))


def _sources(oxide: str) -> str:
    """The materials richest in an oxide; one that comes only as a poison says so."""
    bringers = [material for material in course_materials() if material.oxide_wt_pct.get(oxide, 0.0) >= SOURCE_FROM_WT_PCT]
    bringers.sort(key=lambda material: -material.oxide_wt_pct[oxide])
    names = ", ".join(material.name for material in bringers[:SOURCES_SHOWN])
    poison = all("poison" in material.cautions for material in bringers)
    return _SAY("poison", materials=names) if poison else names


def _example() -> tuple[str, ...]:
    """The two sums of lesson 4, on a material that loses gas and on one that brings an oxide six times."""
    material = course_stock().find(EXAMPLE)
    ((oxide, left_pct),) = material.oxides
    left_g, mass = EXAMPLE_G * left_pct / 100, OXIDES[oxide].molar_mass_g_mol
    counted = {"grams": plain_text(EXAMPLE_G), "material": material.name, "oxide": OXIDES[oxide].name}
    weights = {"gas": EXAMPLE_G - left_g, "left": left_g, "mass": mass}
    moles = {"moles": show_number(left_g / mass, 4), "thousandths": show_number(1000 * left_g / mass, 0)}
    shown = {name: show_number(weight, 2) for name, weight in weights.items()}
    return _SAY("example", **counted, **shown, **moles), _SAY("example_formula")


def _material_table(materials: list[Material]) -> Html:
    rows = (
        row(
            material.name,
            num(show_number(molar_mass_g_mol(material.formula), 2)),
            _brings(material),
            num(show_number(material.loi_wt_pct_raw, 1) if _leaves(material) else _SAY("none")),
            _leaves(material),
        )
        for material in materials
    )
    columns, classes = _SAY.all("material_columns"), ("", "num", "", "num", "")
    return table(_SAY("material_caption"), columns, rows, class_="card-table materials", head_classes=classes)


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
        row(
            material.name,
            ", ".join(f"{printed_formula(oxide)} {plain_text(wt_pct)}" for oxide, wt_pct in material.oxides),
            num(show_number(material.loi_wt_pct_raw, 1) if material.loi_wt_pct_raw else _SAY("none")),
        )
        for material in materials
    )
    columns, classes = _SAY.all("analysis_columns"), ("", "", "num")
    return table(_SAY("analysis_caption"), columns, rows, class_="card-table analysed", head_classes=classes)


SHEET = Sheet("oxide card", oxide_card_html)
