"""Sheets to print for the glaze room: self-contained HTML, black on white, no scripts."""

from glazekit.teaching.sheets.batch_sheet import batch_sheet_html
from glazekit.teaching.sheets.prints import save_print

__all__ = ["batch_sheet_html", "save_print"]
