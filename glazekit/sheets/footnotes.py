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
from glazekit.sheets.parts import paragraphs, row
from glazekit.sheets.wording import Say, words

_GROUP_OF_ROLE = {"flux": 0, "stabiliser": 1, "glass former": 2}
_SAY = Say("unity")


def unity_part(unity: UnityFormula) -> Html:
    """The unity formula in its groups, with the two headline ratios in words."""
    names = _SAY.all("groups")
    groups: list[list[str]] = [[] for _ in names]
    for oxide, moles in unity.pairs:
        group = 0 if oxide in unity.fluxes else _GROUP_OF_ROLE.get(OXIDES[oxide].role, 3)
        amount = show_number(moles, 2) if moles >= 0.005 else _SAY("trace")
        groups[group].append(f"{OXIDES[oxide].name} {printed_formula(oxide)} {amount}")
    rows = (row(name, " · ".join(members)) for name, members in zip(names, groups, strict=True) if members)
    ratio, share = unity.silica_to_alumina_mol, f"{100 * unity.alkali_share:.0f}"
    headline = _SAY("no_alumina", share=share) if ratio is None else _SAY("ratios", ratio=f"{ratio:.1f}", share=share)
    return _note(_SAY("title"), el("table", el("tbody", *rows), class_="open"), paragraphs((headline, *unity.notes)))


def estimates_part(estimates: Sequence[Estimate]) -> Html:
    """The estimates, each with its interval, unit and status, and the change against a fired glaze below it."""
    lines = (line for said, change in estimate_lines(estimates) for line in (said, change) if line)
    return _note(Say("estimates")("title"), paragraphs(lines))


def analysis_notes(recipe: Recipe, stock: Stock | None = None) -> Html:
    """One line for each kind of analysis, naming the materials it stands for."""
    kinds, shelf = words("analysis_kinds"), stock or course_stock()
    by_kind: dict[str, list[str]] = {}
    for name in recipe.materials():
        material = shelf.find(name)
        by_kind.setdefault(material.kind, []).append(material.label)
    lines = (f"{kinds[kind]}: {', '.join(dict.fromkeys(by_kind[kind]))}." for kind in kinds if kind in by_kind)
    return _note(Say("batch")("status_title"), paragraphs(lines))


def _note(title: str, *body: Html) -> Html:
    return el("section", el("h3", title), *body, class_="plain-part")
