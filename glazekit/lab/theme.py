"""The style sheet of the panels, with the colours of ``drawing/colours.py`` filled in."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from glazekit.drawing.colours import INK, LINE, PAPER, TONES

STYLES = ("panel.css", "benches.css")
"""The rules, in order: what every panel has, then what the larger benches add."""


@cache
def style_sheet() -> str:
    """The style sheet of the panels with these colours filled in."""
    colours = {"paper": PAPER, "ink": INK, "line": LINE} | {name.replace(" ", "-"): tone for name, tone in TONES.items()}
    variables = "".join(f"  --gk-{name}: {colour};\n" for name, colour in colours.items())
    rules = "".join(files(__package__).joinpath(name).read_text(encoding="utf-8") for name in STYLES)
    return f".gk-panel {{\n{variables}}}\n{rules}"
