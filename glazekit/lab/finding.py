"""Panels are found, not listed: the name a lesson writes tells the file in lab/panels/ and the class in it."""

from __future__ import annotations

import re
from importlib import import_module
from inspect import getmembers, isclass
from pkgutil import iter_modules

from glazekit.ground.errors import GlazekitError, unknown_name
from glazekit.lab import panels
from glazekit.lab.panel import Panel


def panel_named(name: str) -> type[Panel]:
    """The panel that lessons call ``name``; GlazekitError with the nearest name when there is none.

    >>> panel_named("two-strip sketch").__name__
    'TwoStripSketch'
    """
    stem = file_of(name)
    for panel in panels_in(stem) if stem in panel_files() else ():
        if panel.name == name:
            return panel
    raise unknown_name(GlazekitError, "panel", name, panel_names())


def file_of(name: str) -> str:
    """The file of lab/panels/ that makes the panel of this name.

    >>> file_of("two-strip sketch")
    'two_strip_sketch'
    """
    return re.sub("[ -]", "_", name)


def panel_names() -> tuple[str, ...]:
    """Names of all panels, in the order of their files."""
    return tuple(panel.name for stem in panel_files() for panel in panels_in(stem))


def panel_files() -> tuple[str, ...]:
    """Names of the files in lab/panels/, each without its ending."""
    return tuple(sorted(module.name for module in iter_modules(panels.__path__)))


def panels_in(stem: str) -> tuple[type[Panel], ...]:
    """The panels that a file of lab/panels/ makes: one, by the rule of the house."""
    module = import_module(f"{panels.__name__}.{stem}")
    classes = (thing for _, thing in getmembers(module, isclass) if thing.__module__ == module.__name__)
    return tuple(thing for thing in classes if issubclass(thing, Panel))
