"""What only the browser can do: dress the panels, give controls a name that is spoken, open a print page in a new tab."""

from functools import cache
from importlib.resources import files

import anywidget
import traitlets

from glazekit.drawing.strokes import INK, LINE, PAPER, TONES


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
    """A link that opens a printable page in a new tab; the page travels with the link, so no server path is needed.

    ``html`` is the whole page, self-contained; while it is empty there is no link.
    """

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
