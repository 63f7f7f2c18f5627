"""One calm look for every panel: colours, signs and the style sheet.

Meaning is never carried by colour alone: each colour here stands beside a sign, a word or a hatch, and the five tones lie at
least 12 steps of lightness (CIE L*) apart, so they stay distinct in a grey print. ``tests/lab/test_theme.py`` checks that.
"""

from __future__ import annotations

PAPER = "#fbfaf6"
INK = "#1d2a2b"
LINE = "#8b9694"
TONES = {
    "deep water": "#17434a",
    "slate": "#4c7076",
    "wet clay": "#b0764a",
    "straw": "#d9b36a",
    "mist": "#dfe7e4",
}
"""Fills for bars and drawings, dark to light."""

SIGNS = {"ok": "✓", "note": "•", "look": "▲", "under": "▽", "stop": "✕", "open": "○"}
"""A shape for each kind of message; it always stands with a word."""

CSS = f"""
.gk-panel {{
  --gk-paper: {PAPER}; --gk-ink: {INK}; --gk-line: {LINE}; --gk-deep: {TONES["deep water"]}; --gk-mist: {TONES["mist"]};
  --jp-widgets-color: var(--gk-ink); --jp-widgets-label-color: var(--gk-ink); --jp-widgets-readout-color: var(--gk-ink);
  --jp-widgets-input-color: var(--gk-ink); --jp-widgets-input-background-color: #ffffff; --jp-widgets-input-border-color: #6b7775;
  --jp-widgets-font-size: 16px; --jp-widgets-inline-height: 40px; --jp-widgets-inline-width: auto; --jp-widgets-input-padding: 8px;
  --jp-widgets-slider-active-handle-color: var(--gk-deep); --jp-widgets-input-focus-border-color: var(--gk-deep);
  background: var(--gk-paper); color: var(--gk-ink); border: 1px solid var(--gk-line); border-radius: 8px;
  padding: 14px 16px; max-width: 820px; box-sizing: border-box; overflow: visible; font: 16px/1.5 system-ui, sans-serif;
}}
.gk-panel .widget-box, .gk-panel .jupyter-widget-box {{ overflow: visible; }}
.gk-panel .widget-html, .gk-panel .widget-html-content {{ font-size: 16px; line-height: 1.5; height: auto; overflow: visible;
  color: var(--gk-ink); white-space: normal; }}
.gk-panel .widget-html {{ min-width: 0; margin: 2px; }}
.gk-panel .widget-html-content {{ width: 100%; }}
.gk-panel p {{ margin: 0 0 8px; }}
.gk-row {{ flex-flow: row wrap !important; align-items: center; gap: 4px 14px; }}
.gk-top {{ align-items: flex-start !important; }}
.gk-grow {{ flex: 1 1 250px; min-width: 0; }}
.gk-panel .widget-inline-hbox {{ flex-wrap: wrap; height: auto; min-height: 40px; width: auto; align-items: center; }}
.gk-panel .widget-inline-hbox .widget-label {{ width: auto !important; max-width: 100%; white-space: normal; text-align: left;
  overflow: visible; line-height: 1.3; height: auto; min-height: 0; }}
.gk-panel input[type="text"], .gk-panel textarea, .gk-panel select {{ font-size: 16px; border: 1px solid #6b7775; border-radius: 5px; }}
.gk-panel .widget-text input[type="text"] {{ height: 40px; min-width: 0; }}
.gk-panel .widget-dropdown select {{ height: 40px; padding-right: 24px; }}
.gk-panel .widget-checkbox, .gk-panel .widget-radio-box label {{ height: auto; min-height: 40px; line-height: 1.35; white-space: normal;
  display: flex; align-items: center; }}
.gk-panel .widget-radio {{ width: auto; max-width: 100%; align-items: flex-start; }}
.gk-panel .widget-radio-box {{ height: auto; margin: 0; }}
.gk-panel .widget-radio-box label {{ margin-bottom: 0; padding: 2px 0; }}
.gk-panel .widget-radio-box input, .gk-panel .widget-checkbox input {{ width: 20px; height: 20px; min-width: 20px; margin: 4px 10px 4px 0;
  accent-color: var(--gk-deep); position: static; }}
.gk-panel .widget-checkbox .widget-label-basic {{ height: auto; display: flex; align-items: center; white-space: normal; overflow: visible; }}
.gk-panel button.jupyter-button {{ min-height: 40px; height: auto; width: auto; padding: 7px 16px; line-height: 1.3; font-size: 16px;
  white-space: normal; border: 1px solid #6b7775; border-radius: 6px; background: #ffffff; color: var(--gk-ink); box-shadow: none; }}
.gk-panel button.jupyter-button:hover {{ background: var(--gk-mist); }}
.gk-panel button.jupyter-button:disabled {{ color: #5a6462; background: #eeeeea; border-style: dashed; }}
.gk-panel button.gk-main {{ background: var(--gk-deep); color: #ffffff; border-color: var(--gk-deep); }}
.gk-panel button.gk-main:hover {{ background: #0e3036; }}
.gk-panel :is(input, select, textarea, button, a, .noUi-handle):focus-visible {{ outline: 3px solid #b0764a; outline-offset: 2px; }}
.gk-panel .widget-slider {{ flex: 1 1 240px; min-width: 220px; }}
.gk-panel .widget-slider .slider-container {{ min-width: 150px; }}
.gk-panel .noUi-handle {{ width: 24px !important; height: 24px !important; top: -10px !important; right: -12px !important; }}
.gk-title h3 {{ margin: 0 0 2px; font-size: 21px; line-height: 1.25; font-weight: 650; color: var(--gk-deep); }}
.gk-title p {{ margin: 0; }}
.gk-saved {{ font-size: 14px; color: #4d5957; }}
.gk-status {{ border-left: 5px solid var(--gk-deep); background: #ffffff; border-radius: 0 6px 6px 0; margin: 8px 2px 4px !important; }}
.gk-status .widget-html-content {{ padding: 8px 12px; white-space: pre-line; box-sizing: border-box; }}
.gk-status b.gk-sign {{ display: inline-block; min-width: 1.4em; }}
.gk-caution .widget-html-content:not(:empty) {{ border: 2px solid var(--gk-ink); border-radius: 6px; padding: 8px 12px; background: #fff7e2;
  margin-top: 6px; box-sizing: border-box; }}
.gk-caution ul {{ margin: 4px 0 0; padding-left: 20px; }}
.gk-line {{ border-top: 1px solid #d5dad7; padding: 6px 0; }}
.gk-plain {{ margin: 0; padding: 0; list-style: none; }}
.gk-panel table {{ border-collapse: collapse; color: var(--gk-ink); font-size: 16px; background: transparent; margin: 4px 0; }}
.gk-panel th, .gk-panel td {{ padding: 5px 10px 5px 0; text-align: left; vertical-align: top; border-bottom: 1px solid #d5dad7;
  background: transparent !important; }}
.gk-panel td.gk-number, .gk-panel th.gk-number {{ text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }}
.gk-panel svg {{ display: block; width: 100%; height: auto; }}
.gk-panel svg text {{ font-family: system-ui, sans-serif; }}
.gk-stale svg, .gk-stale table {{ opacity: 0.45; }}
.gk-hide {{ display: none !important; }}
.gk-big {{ font-size: 26px; line-height: 1.2; font-weight: 650; font-variant-numeric: tabular-nums; }}
.gk-paper-link a {{ display: inline-block; min-height: 24px; padding: 8px 14px; border: 1px solid var(--gk-deep); border-radius: 6px;
  color: var(--gk-deep); background: #ffffff; text-decoration: underline; font: 16px/1.4 system-ui, sans-serif; }}
"""
