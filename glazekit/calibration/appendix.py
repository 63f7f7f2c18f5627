"""The page of the appendix notebook. It opens without numpy too, and then says in one sentence how to get it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec

from glazekit.drawing.markup import Html, el

Chosen = ParamSpec("Chosen")

NOTICE = el(
    "p",
    el("small", "Contains information from SciGlass, which is made available under the Open Database License (ODbL)."),
)


class Shown(str):
    """A piece of a page, as markup."""

    __slots__ = ()

    def _repr_html_(self) -> str:
        return self


def view(draw: Callable[Chosen, Html]) -> Callable[Chosen, Shown]:
    """A function of ``views`` as the notebook calls it: what it draws, with its source named below."""

    @wraps(draw)
    def show(*chosen: Chosen.args, **named: Chosen.kwargs) -> Shown:
        return Shown(draw(*chosen, **named) + NOTICE)

    return show


class ClosedPage:
    """The page where a package is missing: it offers nothing to choose, and every view says what to install.

    >>> "numpy" in ClosedPage("numpy").trap()
    True
    """

    WHATS = SUMS = GLASSES = OMISSIONS = WEIGHTS = ("-",)

    def __init__(self, missing: str) -> None:
        command = '.venv/bin/python -m pip install ".[appendix]"'
        self._said = Shown(
            el(
                "p",
                el("strong", f"This page computes with {missing}, which is not installed."),
                " In a terminal, in the folder of glazekit: ",
                el("code", command),
                ". Then press “Wake this page” again. All other lessons work without it.",
            )
        )

    def __getattr__(self, name: str) -> Callable[..., Shown]:
        def closed(**chosen: str) -> Shown:
            return self._said

        return closed


def open_appendix() -> Any:
    """The page: the module ``views``, or a closed page that has the same names."""
    try:
        from glazekit.calibration import views
    except ModuleNotFoundError as missing:
        return ClosedPage(str(missing.name))
    return views
