// The flux mixer: linked sliders whose shares always total 1, as one value {shares: {name: share}, locked: [name, ...]}.

const LEAST = 1e-9;

/**
 * What becomes of the shares when one of them is moved: locked ones stay, the other open ones rescale in proportion.
 * Where all other open ones are empty, they share alike. Returns {shares} or {refused: why}; `stopped` says the wish was too big.
 */
export function moved(shares, locked, name, wish) {
  if (locked.includes(name)) return { refused: "this_locked" };
  const open = Object.keys(shares).filter(other => other !== name && !locked.includes(other));
  if (!open.length) return { refused: "no_other" };
  const held = locked.reduce((sum, other) => sum + shares[other], 0);
  const room = Math.max(0, 1 - held);
  const to = Math.min(Math.max(wish, 0), room);
  const before = open.reduce((sum, other) => sum + shares[other], 0);
  const result = { ...shares, [name]: to };
  for (const other of open) result[other] = before > LEAST ? shares[other] * (room - to) / before : (room - to) / open.length;
  return { shares: result, stopped: wish > room + LEAST };
}

/** A typed share such as "0,25", ".25" or "25 %"; NaN when it is none. */
export function typed(text) {
  const found = /^\s*(\d*[.,]?\d+|\d+[.,])\s*(%?)\s*$/.exec(text);
  return found ? Number(found[1].replace(",", ".")) / (found[2] ? 100 : 1) : NaN;
}

const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_, key) => values[key]);
const two = share => share.toFixed(2);
const make = (tag, of, more = {}) => Object.assign(of.appendChild(document.createElement(tag)), more);

const PADLOCK = {
  true: '<svg viewBox="0 0 16 18" aria-hidden="true"><path d="M4 8V5a4 4 0 0 1 8 0v3" fill="none" stroke="currentColor" stroke-width="2"/><rect x="2" y="8" width="12" height="9" rx="1" fill="currentColor"/></svg>',
  false: '<svg viewBox="0 0 16 18" aria-hidden="true"><path d="M4 8V5a4 4 0 0 1 7.6-1.8" fill="none" stroke="currentColor" stroke-width="2"/><rect x="2.9" y="8.9" width="10.2" height="7.2" rx="1" fill="none" stroke="currentColor" stroke-width="1.8"/></svg>',
};

export default {
  render({ model, el }) {
    el.classList.add("gk-mixer");
    const say = make("p", el, { className: "gk-mixer-says" });
    say.setAttribute("role", "status");
    let rows = {};
    let start = null; // the shares when this slider was taken up, so that going there and back changes nothing
    let taken = "";
    let mine = "";

    const words = () => model.get("words");
    const now = () => model.get("value");

    function put(value) {
      mine = JSON.stringify(value);
      model.set("value", value);
      model.save_changes();
    }

    function tell(key, values = {}) {
      say.textContent = key ? fill(words()[key], values) : "";
    }

    function move(name, wish) {
      const { shares, locked } = now();
      if (taken !== name) [taken, start] = [name, shares];
      const label = rows[name].label;
      const result = moved(start, locked, name, wish);
      if (result.refused) {
        tell(result.refused, { name: label });
      } else {
        tell(result.stopped ? "stopped" : "", { name: label, share: two(result.shares[name]) });
        put({ shares: result.shares, locked });
      }
      paint();
    }

    function turn(name) {
      const { shares, locked } = now();
      const shut = !locked.includes(name);
      taken = "";
      put({ shares, locked: shut ? [...locked, name] : locked.filter(other => other !== name) });
      tell(Object.keys(shares).every(other => now().locked.includes(other)) ? "all_locked" : "");
      paint();
    }

    function build() {
      for (const { line } of Object.values(rows)) line.remove();
      rows = {};
      for (const { name, label } of model.get("names")) {
        const line = document.createElement("div");
        line.className = "gk-mixer-row";
        el.insertBefore(line, say);
        make("span", line, { className: "gk-mixer-name", textContent: label });
        const slider = make("input", line, { type: "range", min: 0, max: 1, step: 0.01 });
        slider.setAttribute("aria-label", label);
        const box = make("input", line, { type: "text", inputMode: "decimal" });
        box.setAttribute("aria-label", fill(words().box, { name: label }));
        const lock = make("button", line, { type: "button", className: "jupyter-button gk-lock" });
        slider.addEventListener("input", () => move(name, slider.valueAsNumber));
        box.addEventListener("change", () => {
          const share = typed(box.value);
          taken = "";
          if (share >= 0 && share <= 1) move(name, share);
          else { tell("unread", { typed: box.value }); box.select(); }
          taken = "";
        });
        lock.addEventListener("click", () => turn(name));
        rows[name] = { line, label, slider, box, lock };
      }
      paint();
    }

    function paint() {
      const { shares, locked } = now();
      for (const [name, { label, slider, box, lock }] of Object.entries(rows)) {
        const shut = locked.includes(name);
        slider.value = shares[name];
        slider.setAttribute("aria-valuetext", two(shares[name]));
        if (document.activeElement !== box || typed(box.value) >= 0) box.value = two(shares[name]);
        lock.innerHTML = PADLOCK[shut];
        lock.append(words()[shut ? "locked" : "open"]);
        lock.setAttribute("aria-pressed", String(shut));
        lock.setAttribute("aria-label", fill(words().padlock, { name: label }));
      }
    }

    function repaint() {
      if (JSON.stringify(now()) !== mine) taken = "";
      paint();
    }
    model.on("change:value", repaint);
    model.on("change:names", build);
    build();
    return () => { model.off("change:value", repaint); model.off("change:names", build); };
  },
};
