"""The page of the appendix notebook. It opens without numpy too, and then says in one sentence how to get it."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

WHATS = {
    "thermal expansion": "expansion",
    "glass transition": "glass_transition",
    "elastic modulus": "elastic_modulus",
    "viscosity of the melt": "viscosity",
}
"""What a learner may choose, and its name in the tables."""
GLASSES = {"like a pottery glaze": "studio-like", "all of the box": "box"} | {
    name: name for name in ("zinc from 5 %", "lithia from 4 %", "lime from 15 %", "iron from 1 %", "boron over 15 %")
}
"""Which glasses to look at, and the subset's name in the tables."""
OMISSIONS = {
    "nothing": None,
    "gross errors (the course)": 6.0,
    "all that looks doubtful": 2.5,
}
"""Choices of cleaning: how many robust standard deviations a measurement may be off."""
WEIGHTS = {"like any other": 1.0, "three times (the course)": 3.0, "ten times": 10.0}
"""How much a glaze-like glass counts."""


MISSING = (
    "<p><strong>This page computes with {}, which is not installed.</strong> In a terminal, in the folder of glazekit: "
    '<code>.venv/bin/python -m pip install ".[appendix]"</code>. Then press “Wake this page” again. '
    "All other lessons work without it.</p>"
)


@dataclass(frozen=True, slots=True)
class Shown:
    """A piece of a page."""

    html: str

    def _repr_html_(self) -> str:
        return self.html


class AppendixPage:
    """Everything the appendix shows; every method fits and measures when it is called."""

    whats = tuple(WHATS)
    additive_whats = tuple(WHATS)[:3]
    omissions = tuple(OMISSIONS)
    weights = tuple(WEIGHTS)
    glasses = tuple(GLASSES)

    def measurements(self) -> Shown:
        """How many measurements there are."""
        return _shown("measurements")

    def predicted_and_measured(self, what: str = "thermal expansion", glasses: str = "like a pottery glaze") -> Shown:
        """A cloud of predictions for publications the fit had not seen."""
        return _shown("predicted_and_measured", WHATS[what], GLASSES[glasses])

    def factors(self, what: str = "thermal expansion") -> Shown:
        """What each oxide adds, how sure that is, and that a fresh fit gives the shipped table."""
        return _shown("factors", WHATS[what])

    def cleaning(self, omit: str = "gross errors (the course)", weight: str = "three times (the course)") -> Shown:
        """Fit the expansion with other measurements left out, and with glaze-like glasses counting more or less."""
        return _shown("cleaning", OMISSIONS[omit], WEIGHTS[weight])

    def trap(self) -> Shown:
        """Rows dealt at random against whole publications."""
        return _shown("trap")

    def coverage(self, what: str = "thermal expansion") -> Shown:
        """How much an interval holds, as it grows wider."""
        return _shown("coverage", WHATS[what])

    def changes(self, what: str = "thermal expansion") -> Shown:
        """Errors of differences, by how far two glazes are apart."""
        return _shown("changes", WHATS[what])

    def weak_spots(self, what: str = "thermal expansion") -> Shown:
        """Errors by kind of glass."""
        return _shown("weak_spots", WHATS[what])

    def liquidus(self) -> Shown:
        """The model that fails."""
        return _shown("liquidus")

    def old_tables(self) -> Shown:
        """Classic factor systems beside the fitted one."""
        return _shown("old_tables")

    def accuracy(self) -> Shown:
        """The figures that stand in the README."""
        return _shown("accuracy")


def open_appendix() -> AppendixPage:
    """The page."""
    return AppendixPage()


def _shown(view: str, *chosen: Any) -> Shown:
    try:
        from glazekit.calibration import views
    except ModuleNotFoundError as missing:
        return Shown(MISSING.format(escape(str(missing.name))))
    return Shown(getattr(views, view)(*chosen))
