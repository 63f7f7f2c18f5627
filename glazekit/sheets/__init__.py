"""Sheets to print for the glaze room: self-contained HTML, black on white, no scripts."""
