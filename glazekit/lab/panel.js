// What the stock controls leave unsaid or undone in a browser: names that are spoken, Enter, keys, fingers.
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
    const box = group.querySelector(".widget-radio-box"), question = group.title || group.querySelector(".widget-label")?.title;
    if (!box || !question) return;
    put(box, "role", "radiogroup"); put(box, "aria-label", question);
    group.dataset.group ||= `gk-${Math.random()}`; // buttons of one name are one Tab stop, and the arrows go from one to the next
    box.querySelectorAll("input").forEach(input => put(input, "name", group.dataset.group));
  });
  document.querySelectorAll(".gk-panel .gk-fill").forEach(box => {
    const field = box.querySelector("input, select"), name = field?.title || box.title;
    if (field && name) put(field, "aria-label", name);
  });
  document.querySelectorAll(".gk-panel :is(.gk-status, .gk-told)").forEach(line => {
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
// A finger that begins on a slider may want the page: the slider hears of it only once the finger has gone sideways. (A tap comes
// to it as a click.) The style sheet leaves up and down to the page. The browser's own sliders answer at once: what one held
// before is given back when the browser says that the finger was the page's.
const SURE_PX = 6;
let finger = null, held = null;
function taken(event) {
  if (event.type === "pointerdown") held = event.target.matches("input[type=range]") ? { slider: event.target, value: event.target.value } : null;
  else if (held && held.slider.value !== held.value) {
    held.slider.value = held.value;
    held.slider.dispatchEvent(new Event("input", { bubbles: true }));
  }
}
function touched(event) {
  if (!event.isTrusted) return; // our own word to the slider, below
  const touch = event.changedTouches[0];
  if (event.type === "touchstart" && event.touches.length === 1 && event.target.closest(".noUi-target")) {
    event.stopPropagation();
    finger = { target: event.target, touch };
    return;
  }
  const across = finger && Math.abs(touch.clientX - finger.touch.clientX), down = finger && Math.abs(touch.clientY - finger.touch.clientY);
  if (event.type === "touchmove" && Math.max(across, down) < SURE_PX) return;
  if (event.type === "touchmove" && finger && across > down) {
    const touches = [finger.touch], told = { bubbles: true, cancelable: true, touches, targetTouches: touches, changedTouches: touches };
    finger.target.dispatchEvent(new TouchEvent("touchstart", told));
  }
  finger = null;
}
const EARLY = { capture: true, passive: true };
const HEARD = [
  ...["touchstart", "touchmove", "touchend", "touchcancel"].map(type => [type, touched]),
  ...["pointerdown", "pointercancel"].map(type => [type, taken]),
];

// A lesson opens in its place, as from a link in the text; after Back, the page of the address is the one that is shown.
const go = path => window.jupyterapp.commands.execute("docmanager:open", { path });
const follow = event => {
  const lesson = event.target.closest?.("a[href$='.ipynb']");
  if (!lesson || !window.jupyterapp) return;
  event.preventDefault();
  go(lesson.getAttribute("href"));
};
if (window.jupyterapp && !window.glazekitBack) {
  window.glazekitBack = () => {
    const path = /\/tree\/([^?]*\.ipynb)$/.exec(decodeURIComponent(location.pathname))?.[1];
    const shown = document.querySelector(".jp-NotebookPanel:not(.lm-mod-hidden)");
    if (path && shown) go(path);
  };
  window.addEventListener("popstate", window.glazekitBack);
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
    HEARD.forEach(([type, hear]) => panel.addEventListener(type, hear, EARLY));
    panel.addEventListener("click", follow);
    if (panel !== document.body) panel.addEventListener("keydown", mine);
  });
  return () => {
    observer.disconnect();
    panel?.removeEventListener("keydown", enter, true);
    HEARD.forEach(([type, hear]) => panel?.removeEventListener(type, hear, EARLY));
    panel?.removeEventListener("click", follow);
    panel?.removeEventListener("keydown", mine);
  };
} };
