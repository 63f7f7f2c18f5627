"""How far a real bag may lie from the analysis it is reckoned with: the widths of data/analysis_spread.csv, by material."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazekit.ground.errors import DataError
from glazekit.ground.tables import read_table
from glazekit.materials.material import Material

ANY = "any"


@dataclass(frozen=True, slots=True)
class OxideSpread:
    """The width of one figure of an analysis.

    The true figure lies within ``half_width_wt_pct`` of the figure used, 90 times in 100 [wt % raw], for the ``reason`` given in
    a phrase. Today all of them are judgement, none is measured.
    """

    oxide: str
    half_width_wt_pct: float
    reason: str
    source: str
    status: str


def analysis_spread(material: Material) -> tuple[OxideSpread, ...]:
    """The width of every figure of a material's analysis.

    half_width = the larger of share_pct / 100 x figure and at_least_wt_pct

    >>> from glazekit.materials.stock import course_stock
    >>> [(one.oxide, round(one.half_width_wt_pct, 2), one.status) for one in analysis_spread(course_stock().find("kaolin"))]
    [('Al2O3', 1.97, 'practice'), ('SiO2', 1.86, 'practice')]

    Limits: an oxide that the analysis leaves out has no width, though a real bag of feldspar holds both alkalis.

    Raises DataError for a kind of material the table does not know.
    """
    return tuple(_spread(material, oxide, wt_pct) for oxide, wt_pct in material.oxides)


def _spread(material: Material, oxide: str, wt_pct: float) -> OxideSpread:
    row = _row(material, oxide)
    half_width = max(row["share_pct"] / 100 * wt_pct, row["at_least_wt_pct"])
    return OxideSpread(oxide, half_width, row["reason"], row["source"], row["status"])


def _row(material: Material, oxide: str) -> Mapping[str, Any]:
    """The row that says most about this figure: material before kind, oxide before any oxide."""
    rows = {(row["material"], row["oxide"]): row for row in read_table("analysis_spread") if row["kind"] == material.kind}
    for key in ((material.name, oxide), (material.name, ANY), (ANY, oxide), (ANY, ANY)):
        if key in rows:
            return rows[key]
    raise DataError(f"analysis_spread.csv has no row for the kind '{material.kind}' of {material.name}")
