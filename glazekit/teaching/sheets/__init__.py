"""Sheets to print for the glaze room: self-contained HTML, black on white, no scripts."""

from glazekit.teaching.sheets.batch_sheet import batch_sheet_html
from glazekit.teaching.sheets.cards import step_card_html, studio_card_html, tile_card_html
from glazekit.teaching.sheets.faults import what_happened_html
from glazekit.teaching.sheets.home import home_page_html
from glazekit.teaching.sheets.labels import label_strip_html
from glazekit.teaching.sheets.prints import save_print
from glazekit.teaching.sheets.water_log import water_log_html

__all__ = [
    "batch_sheet_html",
    "home_page_html",
    "label_strip_html",
    "save_print",
    "step_card_html",
    "studio_card_html",
    "tile_card_html",
    "water_log_html",
    "what_happened_html",
]
