"""The estimates that stand on a batch sheet: which ones, in words, and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from typing import Any

from glazekit.glass.composition import composition_of
from glazekit.glass.melt import viscosity
from glazekit.glass.properties import properties
from glazekit.glass.sums import ask_sum
from glazekit.ground.errors import GlazekitError, RecipeError
from glazekit.ground.estimate import Estimate, say_change, say_estimate
from glazekit.materials.stock import Stock
from glazekit.recipe.recipe import Recipe


def estimates_for(
    recipe: Recipe, stock: Stock, peak_c: float | None = None, reference: Recipe | None = None
) -> tuple[Estimate, ...]:
    """Of the base, what properties.csv wants on a sheet; the viscosity only when the kiln's peak is known.

    Parameters
    ----------
    peak_c : what the kiln reads at its peak [°C]. The cone's own temperature is not it.
    reference : a glaze that has been fired; every estimate then carries its change.

    Raises GlazekitError for a temperature out of range or a reference without an analysis.
    """
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
    return tuple(found)


def estimate_lines(estimates: Sequence[Estimate]) -> Iterator[tuple[str, str]]:
    """(estimate in words, change in words or "") for each; reasons that all of them share come once, at the end, alone."""
    reasons = [estimate.note.split("; ") if estimate.note else [] for estimate in estimates]
    shared = [reason for reason in reasons[0] if all(reason in others for others in reasons)] if len(reasons) > 1 else []
    for estimate, own in zip(estimates, reasons, strict=True):
        said = replace(estimate, note="; ".join(reason for reason in own if reason not in shared))
        yield say_estimate(said), say_change(estimate.change) if estimate.change else ""
    for reason in shared:
        yield f"For all of them: {reason}.", ""


def estimate_data(estimate: Estimate) -> dict[str, Any]:
    """An estimate as plain data, its words included."""
    change = estimate.change
    return asdict(estimate) | {
        "change": None if change is None else asdict(change) | {"words": say_change(change)},
        "words": say_estimate(estimate),
    }
