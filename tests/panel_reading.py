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


def seen(panel: Panel) -> list[str]:
    """Words that stand before a learner's eyes, in their order: nothing hidden, nothing folded up, no picture's hidden title."""

    def of(widget: widgets.Widget) -> list[str]:
        if "gk-hide" in getattr(widget, "_dom_classes", ()):
            return []
        if isinstance(widget, widgets.Dropdown):
            return [widget.description, widget.label]
        own = shown(widget) if not getattr(widget, "children", ()) else []
        return own + [text for child in getattr(widget, "children", ()) for text in of(child)]

    unseen = re.compile(r"<(title|desc|style)\b.*?</\1>|<[^>]*>|\u200b", re.DOTALL)
    return unseen.sub(" ", "\n".join(of(panel.box))).split()


def read(panel: Panel) -> str:
    """What stands between the marks of all that a panel shows."""
    return "\n".join(re.sub(r"<[^>]*>", " ", text) for text in shown(panel.box))
