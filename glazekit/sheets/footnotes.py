"""What stands at the foot of a sheet: the unity formula, the estimates, and where each analysis comes from."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from typing import Any

from glazekit.chemistry.unity import UnityFormula
from glazekit.drawing.markup import Html, el
from glazekit.glass.composition import Reason, composition_of
from glazekit.glass.melt import not_molten, viscosity
from glazekit.glass.properties import properties
from glazekit.glass.sums import ask_sum
from glazekit.ground.errors import GlazekitError, RecipeError
from glazekit.ground.estimate import Estimate, say_against, say_change, say_estimate
from glazekit.ground.numbers import show_number
from glazekit.kiln.cones import cone_temperatures
from glazekit.materials.formula import printed_formula
from glazekit.materials.oxides import OXIDES
from glazekit.materials.stock import Stock, course_stock
from glazekit.recipe.recipe import Recipe
from glazekit.sheets.frame import Say, words
from glazekit.sheets.parts import paragraphs, row

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


def estimates_for(
    recipe: Recipe, stock: Stock, peak_c: float | None = None, reference: Recipe | None = None
) -> tuple[Estimate, ...]:
    """What properties.csv wants on a sheet, additions counted as in ``composition_of``; the viscosity only with the kiln's peak.
    ``peak_c``: what the kiln reads at its peak [°C], not the cone's own temperature. A glaze that has not melted there is no
    glass: every estimate then is uncertain, and says so first. With a ``reference``, a glaze that has been fired, every estimate
    carries its change. Raises GlazekitError for a temperature out of range or a reference not analysed."""
    if reference is not None:
        try:
            composition_of(reference, stock=stock)
        except GlazekitError as error:
            raise RecipeError(f"the reference {reference.name}: {error}") from None
    found = []
    for each in properties():
        if each.on_sheet == "yes" and each.model == "sum":
            found.append(ask_sum(each.name, recipe, reference, stock=stock))
        elif each.on_sheet == "yes" and peak_c is not None:
            found.append(viscosity(recipe, peak_c, reference, stock=stock))
    raw = () if peak_c is None else not_molten(composition_of(recipe, stock=stock), peak_c)
    cold = () if peak_c is None else _cold(recipe, peak_c)
    return tuple(_doubted(each, [reason for reason in raw if reason.key not in each.why], cold) for each in found)


def _cold(recipe: Recipe, peak_c: float) -> tuple[Reason, ...]:
    """A peak [°C] below any at which the cone that the recipe was made for is known to bend."""
    first = min(cone_temperatures(recipe.cone) if recipe.cone else (), key=lambda row: row.temp_c, default=None)
    if first is None or peak_c >= first.temp_c:
        return ()
    how = f"even when heated at {first.rate_c_per_h:g} °C/h it bends only at {first.temp_c:g} °C"
    return (Reason("below_its_cone", f"it was made for cone {recipe.cone}, and {how}: {peak_c:g} °C is too cold"),)


def _doubted(estimate: Estimate, first: Sequence[Reason], last: Sequence[Reason]) -> Estimate:
    """An estimate with more reasons not to believe it, told before its own and after them."""
    note = "; ".join(filter(None, (*(reason.words for reason in first), estimate.note, *(reason.words for reason in last))))
    why = (*(reason.key for reason in first), *estimate.why, *(reason.key for reason in last))
    return replace(estimate, in_range=estimate.in_range and not (first or last), note=note, why=why)


def estimate_lines(estimates: Sequence[Estimate]) -> Iterator[tuple[str, str]]:
    """(estimate in words, change in words or "") for each; reasons that all of them share come once, at the end, alone."""
    reasons = [estimate.note.split("; ") if estimate.note else [] for estimate in estimates]
    shared = [reason for reason in reasons[0] if all(reason in others for others in reasons)] if len(reasons) > 1 else []
    for estimate, own in zip(estimates, reasons, strict=True):
        said = replace(estimate, note="; ".join(reason for reason in own if reason not in shared))
        yield say_estimate(said), say_against(estimate)
    for reason in shared:
        yield f"For all of them: {reason}.", ""


def estimate_data(estimate: Estimate) -> dict[str, Any]:
    """An estimate as plain data, its words included."""
    change = estimate.change
    return asdict(estimate) | {
        "change": None if change is None else asdict(change) | {"words": say_change(change)},
        "words": say_estimate(estimate),
    }
