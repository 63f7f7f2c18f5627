"""What stands at the foot of a sheet: the unity formula, and where each analysis comes from."""

from __future__ import annotations

from collections.abc import Sequence

from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el
from glazekit.ground.estimate import Estimate
from glazekit.ground.numbers import show_number
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.estimates import estimate_lines
from glazekit.sheets.wording import listed, say, words

_GROUP_OF_ROLE = {"flux": 0, "stabiliser": 1, "glass former": 2}


def unity_part(unity: UnityFormula) -> Html:
    """The unity formula in its groups, with the two headline ratios in words."""
    names = listed("unity.groups")
    groups: list[list[str]] = [[] for _ in names]
    for oxide, moles in unity.pairs:
        group = 0 if oxide in unity.fluxes else _GROUP_OF_ROLE.get(OXIDES[oxide].role, 3)
        amount = show_number(moles, 2) if moles >= 0.005 else say("unity.trace")
        groups[group].append(f"{OXIDES[oxide].name} {printed_formula(oxide)} {amount}")
    rows = [
        el("tr", el("th", name, scope="row"), el("td", " · ".join(members)))
        for name, members in zip(names, groups, strict=True)
        if members
    ]
    ratio, share = unity.silica_to_alumina_mol, f"{100 * unity.alkali_share:.0f}"
    headline = say("unity.no_alumina", share=share) if ratio is None else say("unity.ratios", ratio=f"{ratio:.1f}", share=share)
    notes = (el("p", note) for note in unity.notes)
    table = el("table", el("tbody", *rows), class_="open")
    return el("section", el("h3", say("unity.title")), table, el("p", headline), *notes, class_="plain-part")


def estimates_part(estimates: Sequence[Estimate]) -> Html:
    """The estimates, each with its interval, unit and status, and the change against a fired glaze below it."""
    lines = (el("p", line) for said, change in estimate_lines(estimates) for line in (said, change) if line)
    return el("section", el("h3", say("estimates.title")), *lines, class_="plain-part")


def analysis_notes(recipe: Recipe, stock: Stock | None = None) -> Html:
    """One line for each kind of analysis, naming the materials it stands for."""
    kinds, shelf = words("analysis_kinds"), stock or course_stock()
    by_kind: dict[str, list[str]] = {}
    for name in recipe.materials():
        material = shelf.find(name)
        by_kind.setdefault(material.kind, []).append(material.label)
    lines = [el("p", f"{kinds[kind]}: {', '.join(dict.fromkeys(by_kind[kind]))}.") for kind in kinds if kind in by_kind]
    return el("section", el("h3", say("batch.status_title")), *lines, class_="plain-part")
