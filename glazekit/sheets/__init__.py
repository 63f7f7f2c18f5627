"""Sheets to print for the glaze room: self-contained HTML, black on white, no scripts."""

from glazekit.sheets.batch_sheet import batch_sheet_html
from glazekit.sheets.blank_chart import blank_chart_html
from glazekit.sheets.cards import step_card_html, studio_card_html, tile_card_html
from glazekit.sheets.faults import what_happened_html
from glazekit.sheets.firing_sheet import firing_sheet_html
from glazekit.sheets.fit_card import fit_card_html
from glazekit.sheets.flux_card import flux_card_html
from glazekit.sheets.home import home_page_html
from glazekit.sheets.labels import label_strip_html
from glazekit.sheets.oxide_card import oxide_card_html
from glazekit.sheets.shelf_plan import shelf_plan_html
from glazekit.sheets.swap_sheet import swap_sheet_html
from glazekit.sheets.unity_worksheet import unity_worksheet_html
from glazekit.sheets.water_log import water_log_html

__all__ = [
    "batch_sheet_html",
    "blank_chart_html",
    "firing_sheet_html",
    "fit_card_html",
    "flux_card_html",
    "home_page_html",
    "label_strip_html",
    "oxide_card_html",
    "shelf_plan_html",
    "step_card_html",
    "studio_card_html",
    "swap_sheet_html",
    "tile_card_html",
    "unity_worksheet_html",
    "water_log_html",
    "what_happened_html",
]
