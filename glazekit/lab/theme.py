"""One calm look for every panel: colours, signs and the style sheet.

Meaning is never carried by colour alone: each colour here stands beside a sign, a word or a hatch, and the five tones lie at
least 12 steps of lightness (CIE L*) apart, so they stay distinct in a grey print. ``tests/lab/test_theme.py`` checks that.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

PAPER = "#fbfaf6"
INK = "#1d2a2b"
LINE = "#8b9694"
TONES = {
    "deep water": "#17434a",
    "slate": "#3f6369",
    "wet clay": "#b27848",
    "straw": "#d9b36a",
    "mist": "#dfe7e4",
}
"""Fills for bars and drawings, dark to light."""

SIGNS = {"ok": "✓", "note": "•", "look": "▲", "under": "▽", "stop": "✕", "open": "○"}
"""A shape for each kind of message; it always stands with a word."""

STYLES = ("panel.css", "benches.css")
"""The rules, in order: what every panel has, then what the larger benches add."""


@cache
def style_sheet() -> str:
    """The style sheet of the panels with these colours filled in."""
    colours = {"paper": PAPER, "ink": INK, "line": LINE} | {name.replace(" ", "-"): tone for name, tone in TONES.items()}
    variables = "".join(f"  --gk-{name}: {colour};\n" for name, colour in colours.items())
    rules = "".join(files(__package__).joinpath(name).read_text(encoding="utf-8") for name in STYLES)
    return f".gk-panel {{\n{variables}}}\n{rules}"
