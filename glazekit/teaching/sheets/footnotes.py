"""What stands at the foot of a sheet: the unity formula, and where each analysis comes from."""

from __future__ import annotations

from glazekit.chemistry.unity import UnityFormula
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.teaching.sheets.markup import Html, el
from glazekit.teaching.sheets.wording import words

_LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_GROUP_OF_ROLE = {"flux": 0, "stabiliser": 1, "glass former": 2}


def unity_part(unity: UnityFormula) -> Html:
    """The unity formula in its groups, with the two headline ratios in words."""
    text = words("batch")
    groups: list[list[str]] = [[] for _ in text["unity_groups"]]
    for oxide, moles in unity.pairs:
        group = 0 if oxide in unity.fluxes else _GROUP_OF_ROLE.get(OXIDES[oxide].role, 3)
        groups[group].append(f"{OXIDES[oxide].name} {oxide.translate(_LOWERED)} {moles:.2f}")
    rows = [
        el("tr", el("th", name, scope="row"), el("td", " · ".join(members)))
        for name, members in zip(text["unity_groups"], groups, strict=True)
        if members
    ]
    ratio, share = unity.silica_to_alumina_mol, f"{100 * unity.alkali_share:.0f}"
    line = (
        text["unity_no_alumina"].format(share=share)
        if ratio is None
        else text["unity_ratios"].format(ratio=f"{ratio:.1f}", share=share)
    )
    notes = (el("p", note) for note in unity.notes)
    return el(
        "section",
        el("h3", text["unity_title"]),
        el("table", el("tbody", *rows)),
        el("p", line),
        *notes,
        class_="plain-part small",
    )


def analysis_notes(recipe: Recipe, stock: Stock | None = None) -> Html:
    """One line for each kind of analysis, naming the materials it stands for."""
    text, kinds = words("batch"), words("analysis_kinds")
    shelf = stock or course_stock()
    by_kind: dict[str, list[str]] = {}
    for name in recipe.materials():
        material = shelf.find(name)
        by_kind.setdefault(material.kind, []).append(material.label)
    lines = [
        el("p", text["status_line"].format(what=kinds[kind], materials=", ".join(dict.fromkeys(by_kind[kind]))))
        for kind in kinds
        if kind in by_kind
    ]
    return el("section", el("h3", text["status_title"]), *lines, class_="plain-part small")
