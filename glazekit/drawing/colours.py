"""One calm look for panels, drawings, charts and sheets: colours and signs.

Meaning is never carried by colour alone: each colour here stands beside a sign, a word or a hatch, and the five tones lie at
least 12 steps of lightness (CIE L*) apart, so they stay distinct in a grey print. ``tests/lab/test_theme.py`` checks that.
"""

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
