"""A unity formula on the screen: the names, the numbers, the classic three columns, two glazes side by side."""

from glazekit.chemistry.board import Board
from glazekit.chemistry.swap_by_moles import sum_words
from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el, join
from glazekit.ground.numbers import show_number
from glazekit.lab.prose import columns, small, table
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.words.texts import Words

BORON = "B2O3"
GROUPS = ("fluxes", "stabiliser", "former", "boron", "rest")


def name_of(oxide: str) -> str:
    """Name and symbol of an oxide; a sum of oxides by their names alone.

    >>> name_of("Na2O"), name_of("Na2O+K2O")
    ('soda Na₂O', 'soda + potash')
    """
    return sum_words(oxide) if "+" in oxide else f"{OXIDES[oxide].name} {printed_formula(oxide)}"


def show_mol(moles: float) -> str:
    """Moles in a formula: two decimals, a third where two would read 0.00.

    >>> show_mol(3.538), show_mol(0.0034)
    ('3.54', '0.003')
    """
    return show_number(moles, 2 if abs(moles) >= 0.005 or not moles else 3)


def show_change(change: float, decimals: int = 2) -> str:
    """A change with its sign.

    >>> show_change(0.278), show_change(-0.1), show_change(0.001)
    ('+0.28', '−0.10', '0.00')
    """
    text = show_number(abs(change), decimals)
    return text if not float(text) else f"{'+' if change > 0 else '−'}{text}"


def groups_of(formula: UnityFormula) -> dict[str, list[str]]:
    """Oxides of a formula sorted: "fluxes", "stabiliser", "former", "boron" and "rest" (colour, opacity)."""
    place = {"stabiliser": "stabiliser", "glass former": "former"}
    groups: dict[str, list[str]] = {name: [] for name in GROUPS}
    for oxide in formula.moles:
        flux = "fluxes" if oxide in formula.fluxes else ""
        groups[flux or ("boron" if oxide == BORON else place.get(OXIDES[oxide].role, "rest"))].append(oxide)
    return groups


def three_columns(formula: UnityFormula, words: Words) -> Html:
    """The formula as it has been written since the 1880s: fluxes, stabiliser, glass former; boron and the rest apart."""
    foot = words("sum", sum=show_mol(sum(formula.fluxes.values())))
    groups = {group: oxides for group, oxides in groups_of(formula).items() if oxides or group in GROUPS[:3]}
    return columns(*(_column(words(group), groups[group], formula, foot if group == "fluxes" else "") for group in groups))


def _column(head: str, oxides: list[str], formula: UnityFormula, foot: str = "") -> Html:
    rows = [
        el("tr", el("th", name_of(oxide), scope="row"), el("td", show_mol(formula[oxide]), class_="gk-number"))
        for oxide in oxides
    ]
    last = [el("tr", el("td", foot, colspan="2", class_="gk-number"), class_="gk-sum")] if foot else []
    return el("table", el("tr", el("th", head, scope="col", colspan="2")), *rows, *last)


def headline(formula: UnityFormula, words: Words) -> str:
    """The two ratios, and boron, in a sentence."""
    ratio = formula.silica_to_alumina_mol
    said = words("ratio", ratio=show_number(ratio, 1)) if ratio is not None else words("no_ratio")
    said += " " + words("alkali", share=show_number(100 * formula.alkali_share, 0))
    return said + (" " + words("boron_too", moles=show_mol(formula["B2O3"])) if formula["B2O3"] else "")


def board_table(board: Board) -> Html:
    """A board of the chemistry as an HTML table: sums below a line, notes at the foot, wide ones to be pushed sideways.

    >>> html = board_table(Board("Lime", ("material", "CaO [g]"), (("whiting", "20.0"), ("all", "20.0")), sums=1))
    >>> "CaO [g]" in html, html.count("gk-sum")
    (True, 1)
    """
    heads, *rows = ([_signs(cell) for cell in cells] for cells in (board.headings, *board.rows))
    notes = (small(note) for note in board.notes)
    return join(el("div", table(heads, rows, board.sums), class_="gk-scroll"), *notes)


def _signs(cell: str) -> str:
    """Symbols with lowered numbers, and a true minus sign.

    >>> _signs("lime CaO"), _signs("alumina Al2O3"), _signs("-0.10"), _signs("-")
    ('lime CaO', 'alumina Al₂O₃', '−0.10', '-')
    """
    words = [printed_formula(word) if word in OXIDES else word for word in cell.split(" ")]
    text = " ".join(words)
    return f"−{text[1:]}" if text[:1] == "-" and text[1:2].isdigit() else text
