"""Where there is no clear glass: what has not melted yet, and what is likely to be full of crystals."""

from functools import cache
from math import inf

from glazekit.glass.composition import Composition, Reason
from glazekit.ground.tables import read_table

SIGNS = {
    "low_silica": "silica to alumina is low: it is likely to be matte, full of crystals",
    "lime_matte": "much lime and little silica: it is likely to be a lime matte, full of crystals",
    "magnesia_matte": "much magnesia and little silica: it is likely to be a magnesia matte, full of crystals",
    "baria_matte": "much baria or strontia and little silica: it is likely to be matte, full of crystals",
    "zinc_crystals": "much zinc and little alumina: zinc silicate is likely to crystallise, and what stays is another glass",
    "zinc_opaque": "much zinc and alumina: it is likely to be opaque, full of fine crystals",
    "spodumene": "lithia with alumina: beta-spodumene may crystallise; it hardly expands, so that flakes may fly off (shivering)",
}
"""A sign of data/crystal_signs.csv -> what it is likely to mean."""


def crystal_reasons(glass: Composition) -> tuple[Reason, ...]:
    """Every sign of crystals that a composition shows; each makes an estimate grey.

    >>> from glazekit.glass.composition import composition_of
    >>> matte = composition_of({"CaO": 26.6, "K2O": 4.7, "Al2O3": 12.8, "SiO2": 55.9})
    >>> [reason.key for reason in crystal_reasons(matte)]
    ['crystals_low_silica', 'crystals_lime_matte']

    Limits: borders of habit. A fast cooling may keep such a glaze clear, a slow one may fill another with crystals.
    """
    shares = glass.shares()
    flux = shares["R2O+RO"] - shares["MnO"]
    return tuple(
        Reason(f"crystals_{sign}", SIGNS[sign])
        for sign, parts in _signs().items()
        if all(low <= _amount(shares, part, flux) <= high for part, low, high in parts)
    )


@cache
def _signs() -> dict[str, list[tuple[str, float, float]]]:
    """Sign -> (part, least, most)."""
    found: dict[str, list[tuple[str, float, float]]] = {}
    for row in read_table("crystal_signs"):
        low, high = row["low"], row["high"]
        found.setdefault(row["sign"], []).append((row["part"], -inf if low is None else low, inf if high is None else high))
    return found


def _amount(shares: dict[str, float], part: str, flux: float) -> float:
    """Moles for each mole of flux, or silica to alumina; without any bound where there is nothing to divide by."""
    above, below = (shares["SiO2"], shares["Al2O3"]) if part == "silica_to_alumina" else (_sum(shares, part), flux)
    return above / below if below > 0 else inf


def _sum(shares: dict[str, float], part: str) -> float:
    return sum(shares[oxide] for oxide in part.split("+"))
