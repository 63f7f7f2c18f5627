"""The cards of lessons 4 and 7: what one mole weighs, what a material brings and loses; what each flux does and takes."""

from collections.abc import Mapping
from types import MappingProxyType

from glazekit.chemistry.unity import mol_per_mol
from glazekit.drawing.markup import Html, el
from glazekit.ground.numbers import plain_text, show_number
from glazekit.ground.tables import Row, read_table
from glazekit.materials.formula import atom_counts, molar_mass_g_mol, printed_formula
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER, OXIDES
from glazekit.materials.stock import course_stock
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import caution, num, over, paragraphs, part, row, scroll, sentence, short, table

GASES = MappingProxyType({"H2O": "H", "CO2": "C"})
"""Gas -> the element that leaves with it, all of it."""
SHOWN_G = 0.005
"""Less than this does not show with two decimals [g of 100 g]."""
SOURCES_SHOWN = 3
SOURCE_FROM_WT_PCT = 5.0
"""A material counts as a source of an oxide from this share on [wt % raw]."""
EXAMPLE, EXAMPLE_G = "whiting", 10.0
PORTION_MOL = 0.1
"""The count whose weight is printed [mol]."""
_OXIDES, _FLUXES = Say("oxide_card"), Say("flux_card")


def flux_materials(note: Row) -> tuple[str, ...]:
    """The materials of a row of data/flux_notes.csv, the first choice first."""
    return tuple(name.strip() for name in note["materials"].split(";"))


def course_materials() -> tuple[Material, ...]:
    """Every material of a Ferry Yard recipe or of the flux notes that brings an oxide, in the order of materials.csv."""
    named = {line["material"] for line in read_table("recipes")}
    named.update(name for note in read_table("flux_notes") for name in flux_materials(note))
    return tuple(material for material in course_stock() if material.name in named and material.oxides)


def course_oxides() -> tuple[str, ...]:
    """Every oxide the course's materials bring, in the usual order.

    >>> "SrO" in course_oxides(), "PbO" in course_oxides()
    (True, False)
    """
    brought = {oxide for material in course_materials() for oxide, _ in material.oxides}
    return tuple(oxide for oxide in OXIDE_ORDER if oxide in brought)


def gas_g_per_100g(material: Material) -> Mapping[str, float]:
    """Steam and carbon dioxide from 100 g of a material with a formula: all its hydrogen, all its carbon [g per 100 g].

    >>> {gas: round(grams, 2) for gas, grams in gas_g_per_100g(course_stock().find("whiting")).items()}
    {'CO2': 43.97}
    """
    atoms, mass_g_mol = atom_counts(material.formula), molar_mass_g_mol(material.formula)
    found = {}
    for gas, element in GASES.items():
        moles = atoms.get(element, 0.0) / atom_counts(gas)[element]
        grams = 100 * moles * molar_mass_g_mol(gas) / mass_g_mol
        if grams >= SHOWN_G:
            found[gas] = grams
    return found


@printed_as("oxide card")
def oxide_card_html() -> str:
    """Both sides of the card: the oxides, then the materials; every number is computed from the formulas and analyses."""
    weighed = [material for material in course_materials() if "poison" not in material.cautions]
    theoretical = [material for material in weighed if material.formula]
    analysed = [material for material in weighed if not material.formula]
    front = _oxide_table() + part(_OXIDES("sum_title"), paragraphs(_example()), class_="framed")
    back = (
        el("h2", _OXIDES("materials_title")),
        caution(Say("flags")("firing"), _OXIDES.all("cautions")),
        scroll(_OXIDES("materials_title"), _material_table(theoretical)),
        _analysis_table(analysed),
    )
    return sheet_page(_OXIDES, front, el("div", *back, class_="new-page plain-part whole"))


def _oxide_table() -> Html:
    groups = []
    for group in words("oxide_card.groups"):
        members = [oxide for oxide in course_oxides() if OXIDES[oxide].role in group["roles"]]
        groups.append([over(group["title"], 4), *map(_oxide_row, members)])
    columns, classes = _OXIDES.all("oxide_columns"), ("", "", "num", "")
    return table(_OXIDES("oxide_caption"), columns, *groups, class_="card-table oxides", head_classes=classes)


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
    return _OXIDES("poison", materials=names) if poison else names


def _example() -> tuple[str, ...]:
    """The two sums of lesson 4, on a material that loses gas and on one that brings an oxide six times."""
    material = course_stock().find(EXAMPLE)
    ((oxide, left_pct),) = material.oxides
    left_g, mass = EXAMPLE_G * left_pct / 100, OXIDES[oxide].molar_mass_g_mol
    counted = {"grams": plain_text(EXAMPLE_G), "material": material.name, "oxide": OXIDES[oxide].name}
    weights = {"gas": EXAMPLE_G - left_g, "left": left_g, "mass": mass}
    moles = {"moles": show_number(left_g / mass, 4), "thousandths": show_number(1000 * left_g / mass, 0)}
    shown = {name: show_number(weight, 2) for name, weight in weights.items()}
    return _OXIDES("example", **counted, **shown, **moles), _OXIDES("example_formula")


def _material_table(materials: list[Material]) -> Html:
    rows = (
        row(
            material.name,
            num(show_number(molar_mass_g_mol(material.formula), 2)),
            ", ".join(f"{short(moles, 3)} {printed_formula(oxide)}" for oxide, moles in mol_per_mol(material).items()),
            num(show_number(material.loi_wt_pct_raw, 1) if _leaves(material) else _OXIDES("none")),
            _leaves(material),
        )
        for material in materials
    )
    columns, classes = _OXIDES.all("material_columns"), ("", "num", "", "num", "")
    return table(_OXIDES("material_caption"), columns, rows, class_="card-table materials", head_classes=classes)


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
            num(show_number(material.loi_wt_pct_raw, 1) if material.loi_wt_pct_raw else _OXIDES("none")),
        )
        for material in materials
    )
    columns, classes = _OXIDES.all("analysis_columns"), ("", "", "num")
    return table(_OXIDES("analysis_caption"), columns, rows, class_="card-table analysed", head_classes=classes)


@printed_as("flux card")
def flux_card_html() -> str:
    """The card, from data/flux_notes.csv; the grams are computed."""
    families = words("flux_card.families")
    notes = {family: [note for note in read_table("flux_notes") if note["family"] == family] for family in families}
    swap = el("p", el("strong", _FLUXES("swap_title")), " ", _FLUXES("swap", mol=f"{PORTION_MOL:g}"))
    return sheet_page(
        _FLUXES,
        *(el("div", *(_flux(note, families[family]) for note in mine), class_="family") for family, mine in notes.items()),
        el("div", swap, el("p", _FLUXES("status")), class_="framed"),
    )


def _flux(note: Row, family: str) -> Html:
    """One flux: name, family and sources, what it does, what to beware of."""
    materials, stock = flux_materials(note), course_stock()
    poison = any("poison" in stock.find(name).cautions for name in materials)
    oxide = f"{sentence(OXIDES[note['oxide']].name)} {printed_formula(note['oxide'])}"
    name = el("h2", f"{oxide}, ", el("span", family, class_="family-name"))
    others = _FLUXES("also_from", materials=", ".join(materials[1:])) if materials[1:] else ""
    if poison:
        portion = _FLUXES("not_used", material=materials[0])
    else:  # what to weigh of the first material for a tenth of a mole
        grams = PORTION_MOL / dict(stock.find(materials[0]).moles_per_g)[note["oxide"]]
        portion = _FLUXES("portion", mol=f"{PORTION_MOL:g}", grams=show_number(grams, 1), material=materials[0])
    flag = Say("flags")("stop") if poison else _FLUXES("beware")
    beware = caution(flag, [note["beware"]] if note["beware"] else [], stop=poison)
    head = el("div", name, el("p", portion), class_="flux-head")
    return el("section", head, el("p", " ".join((note["what_it_does"], others)).strip()), beware, class_="flux")
