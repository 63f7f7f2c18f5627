"""What only the browser can do: dress the panels, speak names, open a print page in a new tab, let sliders share 1 among them."""

from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from math import fsum, isfinite
from typing import Any

import anywidget
import traitlets

from glazekit.drawing.strokes import INK, LINE, PAPER, TONES

TOTAL_TOL = 1e-6


@cache
def style_sheet() -> str:
    """The style sheet of the panels with the colours of ``drawing/strokes.py`` filled in."""
    colours = {"paper": PAPER, "ink": INK, "line": LINE} | {name.replace(" ", "-"): tone for name, tone in TONES.items()}
    variables = "".join(f"  --gk-{name}: {colour};\n" for name, colour in colours.items())
    return f".gk-panel {{\n{variables}}}\n{files(__package__).joinpath('panel.css').read_text(encoding='utf-8')}"


class SpokenNames(anywidget.AnyWidget):
    """Invisible helper of each panel: brings the style sheet and repairs what the stock controls leave unsaid.

    Slider handles get their label as accessible name and the number in the box beside them as spoken value, a group of radio
    buttons its question and one Tab stop, a box without a visible label its tooltip; status lines become live regions, so that a
    change is read aloud. Enter in a box marked ``gk-enter`` presses the panel's main button, after the box has sent what was
    typed. A finger that scrolls the page moves no slider on its way.
    """

    _css = style_sheet()
    _esm = files(__package__).joinpath("panel.js").read_text(encoding="utf-8")


class PaperLink(anywidget.AnyWidget):
    """A link that opens a printable page in a new tab; the page travels with the link, so no server path is needed. ``html`` is
    the whole page, self-contained; while it is empty there is no link."""

    html = traitlets.Unicode("").tag(sync=True)
    label = traitlets.Unicode("").tag(sync=True)
    _esm = """
    export default { render({ model, el }) {
      el.classList.add("gk-paper-link");
      let url = null;
      function show() {
        if (url) URL.revokeObjectURL(url);
        url = null; el.replaceChildren();
        const html = model.get("html");
        if (!html) return;
        url = URL.createObjectURL(new Blob([html], { type: "text/html;charset=utf-8" }));
        const link = document.createElement("a");
        link.href = url; link.target = "_blank"; link.textContent = model.get("label");
        el.append(link);
      }
      model.on("change:html", show); model.on("change:label", show); show();
      return () => { if (url) URL.revokeObjectURL(url); };
    } };
    """


class FluxMix(anywidget.AnyWidget):
    """Linked sliders with padlocks; the browser does the sharing, so a slider never fights another one.

    Parameters: (name, label) of each share; name -> share at first, together 1, names not given start at 0; what it says:
    "open", "locked", "padlock" and "box" ({name}), "this_locked", "no_other", "all_locked", "stopped" ({name}, {share}) and
    "unread" ({typed}).

    ``value`` is ``{"shares": {name: share}, "locked": [name, ...]}``. A value whose shares do not total 1, or that names anything
    else, is refused with a TraitError and the old one stays.

    >>> mix = FluxMix([("Na2O", "soda"), ("CaO", "lime")], {"Na2O": 0.25, "CaO": 0.75}, {})
    >>> mix.shares["CaO"], mix.value["locked"]
    (0.75, [])
    """

    value = traitlets.Dict().tag(sync=True)
    names: traitlets.List[dict[str, str]] = traitlets.List().tag(sync=True)
    words = traitlets.Dict().tag(sync=True)
    _esm = files(__package__).joinpath("mixer.js").read_text(encoding="utf-8")

    def __init__(self, names: Sequence[tuple[str, str]], shares: dict[str, float], words: dict[str, str]) -> None:
        named = [{"name": name, "label": label} for name, label in names]
        self._known = {name for name, _ in names}
        value = {"shares": {name: float(shares.get(name, 0.0)) for name, _ in names}, "locked": []}
        super().__init__(names=named, words=words, value=value)

    @property
    def shares(self) -> dict[str, float]:
        """Name -> share; together 1."""
        return dict(self.value["shares"])

    @traitlets.validate("value")
    def _sound(self, proposal: Any) -> dict[str, Any]:
        value = proposal["value"]
        try:
            shares, locked = value["shares"], value["locked"]
            sound = set(shares) == self._known and set(locked) <= self._known and set(value) == {"shares", "locked"}
            sound = sound and all(isfinite(share) and share >= 0 for share in shares.values())
            sound = sound and abs(fsum(shares.values()) - 1) <= TOTAL_TOL
        except (KeyError, TypeError, AttributeError):
            sound = False
        if not sound:
            raise traitlets.TraitError(f"these are not shares of 1: {value}")
        return {"shares": {name: float(share) for name, share in shares.items()}, "locked": list(locked)}
