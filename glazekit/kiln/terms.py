"""The words of a firing: air, fuel, how a cone looks; and what each air does to a glaze."""

from __future__ import annotations

from collections.abc import Mapping

ATMOSPHERES = ("oxidation", "reduction", "neutral")
FUELS = ("electric", "gas", "wood", "oil")
CONE_STATES = ("standing", "leaning", "down", "flat")
"""How a witness cone looks when the kiln is opened; it is read as down from "down" on."""

ATMOSPHERE_NOTES: Mapping[str, str] = {
    "oxidation": "Oxidation: air all the way. Iron stays amber to brown, copper green; zinc stays in the glaze.",
    "reduction": "Reduction: too little air, so the fire takes oxygen from the glaze. Iron turns grey-green to blue, copper may "
    "turn red, zinc leaves as fume. Carbon monoxide comes with it: trained kiln team only, ventilation on, never left alone.",
    "neutral": "Neutral: neither clearly one nor the other. Note where each tile stood; the colours of iron and copper tell.",
}
"""What each atmosphere does (course practice)."""
