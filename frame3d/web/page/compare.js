// Two designs side by side: the one on the page and one that was kept, with what differs.

import { byId, el, say, massName } from "./dom.js";
import { placeOf } from "./state.js";
import { written } from "./toml.js";
import { swatch } from "/assets/legend.js";
import { Viewer } from "/assets/viewer.js";

const TITLES = ["On the page", "Kept"];

export class Compare {
  #viewers = null;
  #stale = true;
  #drawn = false;

  /** `onKeep`, `onSwap`, `onForget`: what the buttons do; `nameOf(place)` what a field is called. */
  constructor({ onKeep, onSwap, onForget, nameOf }) {
    this.nameOf = nameOf;
    this.root = byId("compare");
    this.swap = el("button", { type: "button", id: "swap", disabled: true, click: onSwap },
      "Swap");
    this.forget = el("button", { type: "button", id: "forget", disabled: true, click: onForget },
      "Clear");
    this.pair = el("div", { class: "pair", hidden: true });
    this.key = el("p", { class: "key", hidden: true },
      el("span", {}, swatch("#9aa0a6"), " the same in both"),
      el("span", {}, swatch("#d1611f"), " only in this one"));
    this.differences = el("div", { class: "differences", tabindex: "0", role: "region",
      "aria-label": "Differences" },
    el("p", { class: "quiet" }, "Keep the design as it is now, change it, and compare here."));
    this.root.append(
      el("div", { class: "bar" }, el("div", { class: "set" },
        el("button", { type: "button", id: "keep", click: onKeep }, "Keep this design"),
        this.swap, this.forget)),
      this.key, this.pair, this.differences);
  }

  /** `now` and `kept`: design, words, glb, found; kept is null for none. */
  know(now, kept) {
    this.#drawn &&= this.now?.glb === now?.glb && this.kept?.glb === kept?.glb;
    this.now = now;
    this.kept = kept;
    this.#stale = true;
    this.swap.disabled = this.forget.disabled = !kept;
    if (!this.root.hidden) this.look();
  }

  look() {
    if (!this.#stale || !this.now?.words) return;
    this.#stale = false;
    this.key.hidden = !this.kept?.words;
    this.pair.hidden = this.key.hidden || this.#viewers?.length === 0;
    if (!this.kept?.words) {
      this.differences.replaceChildren(el("p", { class: "quiet" },
        "Keep the design as it is now, change it, and compare here."));
      return;
    }
    if (!this.#drawn) this.#draw();
    this.#tell();
  }

  #draw() {
    if (this.#viewers === null) this.#make();
    if (!this.#viewers.length) return;
    const [left, right] = this.#viewers;
    const keep = { keepCamera: this.looked ?? false };
    left.setScene(this.now.glb, this.now.words.scene, keep);
    right.setScene(this.kept.glb, this.kept.words.scene, keep);
    left.setSecondScene(this.kept.glb, this.kept.words.scene, { draw: false });
    right.setSecondScene(this.now.glb, this.now.words.scene, { draw: false });
    // Both are seen from the same place: as far off as the larger one needs, once it has grown.
    const larger = largest(this.now) > largest(this.kept) ? left : right;
    const size = Math.max(largest(this.now), largest(this.kept));
    if (size !== this.size) larger.fit();
    this.size = size;
    this.looked = this.#drawn = true;
  }

  #make() {
    this.#viewers = [];
    let leading = false;
    const follow = (number) => (camera) => {
      if (leading || this.#viewers.length < 2) return;
      leading = true;
      this.#viewers[1 - number].setCamera(camera);
      leading = false;
    };
    try {
      for (const [number, title] of TITLES.entries()) {
        const canvas = el("canvas", {});
        this.pair.append(el("figure", {}, el("figcaption", {}, title),
          el("div", { class: "stage" }, canvas)));
        this.#viewers.push(new Viewer(canvas, { theme: "auto", onCamera: follow(number) }));
      }
    } catch (error) {
      this.#viewers = [];
      this.key.textContent = `${error.message} The differences are listed below.`;
      this.pair.hidden = true;
    }
  }

  #tell() {
    const { now, kept } = this;
    // The checks come later than the frame; until then there is nothing to compare of them.
    const checked = now.found && kept.found;
    const tables = [
      table("Fields", rowsOf(valuesOf(now.design), valuesOf(kept.design))
        .map(([place, ...values]) => [this.nameOf(place), ...values])),
      table("Figures", rowsOf(figures(now, checked), figures(kept, checked))),
      checked && table("Findings", rowsOf(findings(now), findings(kept))),
    ].filter(Boolean);
    this.differences.replaceChildren(...tables.length ? tables
      : [el("p", {}, "No differences.")]);
    say(tables.length ? "The differences are shown." : "No differences.");
  }
}

const largest = ({ words }) => Math.hypot(2 * words.scene.size_mm[0], ...words.scene.size_mm.slice(1));

function table(title, rows) {
  if (!rows.length) return null;
  return el("table", {}, el("caption", {}, title),
    el("thead", {}, el("tr", {}, ["", "On the page", "Kept"]
      .map((name) => (name ? el("th", { scope: "col" }, name) : el("td", {}))))),
    el("tbody", {}, rows.map(([name, one, other]) => el("tr", {},
      el("th", { scope: "row" }, name), el("td", {}, one ?? "–"), el("td", {}, other ?? "–")))));
}

/** Every value of a design by its place. */
function valuesOf(design) {
  const found = new Map();
  for (const [section, value] of Object.entries(design)) {
    const tables = Array.isArray(value) ? value : [value];
    tables.forEach((fields, number) => {
      const start = placeOf(section, Array.isArray(value) ? number : null);
      if (!Object.keys(fields).length) found.set(start, "there");
      for (const [field, item] of Object.entries(fields)) {
        found.set(`${start}.${field}`, typeof item === "string" ? item : written(item));
      }
    });
  }
  return found;
}

const figures = ({ words, found }, checked) =>
  new Map([...words.figures, ...checked ? [[`${massName(found.mass)} of all parts`, found.mass]] : []]);
const findings = ({ found }) =>
  new Map((found?.findings ?? []).map((f) => [`${f.rule}, ${f.where}`, `${f.severity}: ${f.message}`]));

function rowsOf(now, kept) {
  return [...new Set([...now.keys(), ...kept.keys()])]
    .map((name) => [name, now.get(name), kept.get(name)])
    .filter(([, one, other]) => one !== other);
}
