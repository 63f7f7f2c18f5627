"""The page of the appendix notebook. It opens without numpy too, and then says in one sentence how to get it."""

from collections.abc import Callable
from typing import Any

from glazekit.drawing.markup import Html, el


class ClosedPage:
    """The page where a package is missing: it offers nothing to choose, and every view says what to install.

    >>> "numpy" in ClosedPage("numpy").trap()
    True
    """

    WHATS = SUMS = GLASSES = OMISSIONS = WEIGHTS = ("-",)

    def __init__(self, missing: str) -> None:
        self._said = el(
            "p",
            el("strong", f"This page computes with {missing}, which is not installed."),
            " In a terminal, in the folder of glazekit: ",
            el("code", '.venv/bin/python -m pip install ".[appendix]"'),
            ". Then press “Wake this page” again. All other lessons work without it.",
        )

    def __getattr__(self, name: str) -> Callable[..., Html]:
        def closed(**chosen: str) -> Html:
            return self._said

        return closed


def open_appendix() -> Any:
    """The page: the module ``views``, or a closed page that has the same names."""
    try:
        from glazekit.calibration import views
    except ModuleNotFoundError as missing:
        return ClosedPage(str(missing.name))
    return views
