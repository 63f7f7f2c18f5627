"""Reads what a panel shows, as a learner would."""

from __future__ import annotations

import re

import ipywidgets as widgets

from glazekit.lab.panel import Panel


def shown(widget: widgets.Widget) -> list[str]:
    """Every text that a panel shows; what a learner types stays as typed."""
    texts = [getattr(widget, name, "") or "" for name in ("description", "placeholder")]
    if isinstance(widget, widgets.HTML):
        texts.append(re.sub(r"<style.*?</style>", " ", widget.value, flags=re.DOTALL))
    texts += [str(option) for option in getattr(widget, "_options_labels", ())]
    return texts + [text for child in getattr(widget, "children", ()) for text in shown(child)]


def read(panel: Panel) -> str:
    """What stands between the marks of all that a panel shows."""
    return "\n".join(re.sub(r"<[^>]*>", " ", text) for text in shown(panel.box))
