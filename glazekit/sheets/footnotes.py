"""What stands at the foot of a sheet: the unity formula, and where each analysis comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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


def oxide_groups(unity: UnityFormula) -> list[tuple[str, list[str]]]:
    """The oxides of a formula by what they do, each group with its name; no empty group."""
    names = _SAY.all("groups")
    groups: list[list[str]] = [[] for _ in names]
    for oxide in unity.moles:
        groups[0 if oxide in unity.fluxes else _GROUP_OF_ROLE.get(OXIDES[oxide].role, 3)].append(oxide)
    return [(name, oxides) for name, oxides in zip(names, groups, strict=True) if oxides]


def unity_part(unity: UnityFormula) -> Html:
    """The unity formula in its groups, with the two headline ratios in words."""

    def told(oxide: str) -> str:
        amount = show_number(unity[oxide], 2) if unity[oxide] >= 0.005 else _SAY("trace")
        return f"{OXIDES[oxide].name} {printed_formula(oxide)} {amount}"

    rows = (row(name, " · ".join(map(told, oxides))) for name, oxides in oxide_groups(unity))
    ratio, share = unity.silica_to_alumina_mol, f"{100 * unity.alkali_share:.0f}"
    headline = _SAY("no_alumina", share=share) if ratio is None else _SAY("ratios", ratio=f"{ratio:.1f}", share=share)
    return _note(_SAY("title"), el("table", el("tbody", *rows), class_="open"), paragraphs((headline, *unity.notes)))


def estimates_part(estimates: Sequence[Estimate]) -> Html:
    """The estimates, each with its interval, unit and status, and the change against a fired glaze below it."""
    lines = (line for said, change in estimate_lines(estimates) for line in (said, change) if line)
    return _note(Say("estimates")("title"), paragraphs(lines))


def analysis_notes(recipe: Recipe, stock: Stock | None = None) -> Html:
    """Where each analysis comes from."""
    return _note(Say("batch")("status_title"), paragraphs(analysis_lines(recipe, stock or course_stock())))


def analysis_lines(recipe: Recipe, stock: Stock) -> Iterator[str]:
    """One line for each kind of analysis, naming the materials it stands for; a bag with the day it was analysed."""
    labels: dict[str, dict[str, None]] = {}
    for material in map(stock.find, recipe.materials()):
        day = f" ({material.analysed_on})" if material.analysed_on else ""
        labels.setdefault(material.kind, {})[f"{material.label}{day}"] = None
    kinds = words("analysis_kinds")
    return (f"{said}: {', '.join(labels[kind])}." for kind, said in kinds.items() if kind in labels)


def _note(title: str, *body: Html) -> Html:
    return el("section", el("h3", title), *body, class_="plain-part")
