"""Water on paper: where to start, and one box for each helping, with the running total under it."""

from __future__ import annotations

from math import floor, log10

from glazekit.drawing.markup import Html, el
from glazekit.sheets.parts import box, form, short, write_in
from glazekit.sheets.wording import Say
from glazekit.water.slip import START_WATER_ML_PER_100G, WATER_STEP_ML

HELPINGS = 10
"""Boxes for helpings of water after the start."""
_SAY = Say("water")


def start_water_ml(dry_g: float, water_ml_per_100g: float = START_WATER_ML_PER_100G) -> float:
    """Water to start with, in steps a jug can show: 1 mL below 50 mL, 5 mL below 500 mL, then 10 mL [mL].

    >>> start_water_ml(100), start_water_ml(102), start_water_ml(2666)
    (60.0, 60.0, 1600.0)
    """
    exact = water_ml_per_100g * dry_g / 100
    division = 1.0 if exact < 50 else 5.0 if exact < 500 else 10.0
    return round(exact / division) * division


def helping_ml(dry_g: float) -> float:
    """One helping of water: 10 mL for each 100 g of dry powder, as a round number [mL].

    >>> helping_ml(100), helping_ml(107), helping_ml(2666)
    (10.0, 10.0, 250.0)
    """
    wanted = WATER_STEP_ML * dry_g / 100
    scale = 10.0 ** floor(log10(wanted))
    return min((nice * scale for nice in (1, 2, 2.5, 5, 10)), key=lambda nice: abs(nice - wanted))


def water_boxes(dry_g: float, water_ml_per_100g: float = START_WATER_ML_PER_100G) -> Html:
    """Ten boxes to cross, then the sum that turns the total into mL per 100 g of dry powder."""
    start, helping = start_water_ml(dry_g, water_ml_per_100g), helping_ml(dry_g)
    boxes = []
    for i in range(1, HELPINGS + 1):
        so_far = f"{start + i * helping:.6g}"
        boxes.append(el("li", _SAY("helping", ml=f"{helping:g}"), box(_SAY("box", ml=so_far)), so_far))
    divided = write_in(_SAY("divided", hundreds=short(dry_g / 100, 3)), unit=_SAY("per_100g_unit"))
    return el("ol", *boxes, class_="water") + form(write_in(_SAY("in_all"), unit=_SAY("in_all_unit")), divided)
