"""What only the browser can do: dress the panels, give controls a name that is spoken, open a print page in a new tab."""

from functools import cache
from importlib.resources import files

import anywidget
import traitlets

from glazekit.drawing.colours import INK, LINE, PAPER, TONES


@cache
def style_sheet() -> str:
    """The style sheet of the panels with the colours of ``drawing/colours.py`` filled in."""
    colours = {"paper": PAPER, "ink": INK, "line": LINE} | {name.replace(" ", "-"): tone for name, tone in TONES.items()}
    variables = "".join(f"  --gk-{name}: {colour};\n" for name, colour in colours.items())
    return f".gk-panel {{\n{variables}}}\n{files(__package__).joinpath('panel.css').read_text(encoding='utf-8')}"


class SpokenNames(anywidget.AnyWidget):
    """Invisible helper of each panel: brings the style sheet and repairs what the stock controls leave unsaid.

    Slider handles get their label as accessible name and the number in the box beside them as spoken value, a group of radio
    buttons its question, a box without a visible label its tooltip; status lines become live regions, so that a change is read
    aloud. Enter in a box marked ``gk-enter`` presses the panel's main button, after the box has sent what was typed.
    """

    _css = style_sheet()
    _esm = """
    const put = (node, key, value) => { if (node.getAttribute(key) !== value) node.setAttribute(key, value); };
    function name_all() {
      document.querySelectorAll(".gk-panel .widget-slider").forEach(slider => {
        const label = slider.querySelector(".widget-label")?.textContent || slider.title;
        const number = slider.parentElement.querySelector(".gk-fill input")?.value;
        slider.querySelectorAll(".noUi-handle").forEach(handle => {
          if (label) put(handle, "aria-label", label);
          if (number) put(handle, "aria-valuetext", number);
        });
      });
      document.querySelectorAll(".gk-panel .widget-radio").forEach(group => {
        const box = group.querySelector(".widget-radio-box");
        if (box && group.title) { put(box, "role", "radiogroup"); put(box, "aria-label", group.title); }
      });
      document.querySelectorAll(".gk-panel .gk-fill").forEach(box => {
        const field = box.querySelector("input, select"), name = field?.title || box.title;
        if (field && name) put(field, "aria-label", name);
      });
      document.querySelectorAll(".gk-panel .gk-status").forEach(line => {
        put(line, "role", "status"); put(line, "aria-live", "polite");
      });
    }
    // Running all cells leaves the reader at the page's end: when its first panel appears there, go back to the start.
    function back_to_top(el, panel) {
      const page = el.closest(".jp-WindowedPanel-outer");
      const cells = [...(page?.querySelectorAll(".jp-Cell") || [])];
      const at_end = cells.length && cells.at(-1).classList.contains("jp-mod-active");
      if (at_end && page.querySelector(".gk-panel") === panel) page.scrollTo(0, 0);
    }
    export default { render({ el }) {
      el.style.display = "none";
      let waiting = false;
      const later = () => { if (!waiting) { waiting = true; requestAnimationFrame(() => { waiting = false; name_all(); }); } };
      later();
      const observer = new MutationObserver(later);
      const enter = event => {
        if (event.key !== "Enter" || !event.target.matches(".gk-enter input[type=text]")) return;
        event.target.dispatchEvent(new Event("change", { bubbles: true }));
        // a kernel may hear its controls on several channels: let what was typed arrive before the button
        setTimeout(() => event.target.closest(".gk-panel").querySelector("button.gk-main").click(), 120);
      };
      // the notebook has plain keys for shortcuts of its own; in a panel they belong to the slider or button that has the focus
      const mine = event => { if (!event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation(); };
      let panel = null;
      requestAnimationFrame(() => {
        panel = el.closest(".gk-panel") || document.body;
        back_to_top(el, panel);
        const attributeFilter = ["title", "aria-valuetext"];
        observer.observe(panel, { childList: true, subtree: true, attributes: true, attributeFilter });
        panel.addEventListener("keydown", enter, true);
        if (panel !== document.body) panel.addEventListener("keydown", mine);
      });
      return () => {
        observer.disconnect();
        panel?.removeEventListener("keydown", enter, true);
        panel?.removeEventListener("keydown", mine);
      };
    } };
    """


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
