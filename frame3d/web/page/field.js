// One field of the form: its label, its box, what it becomes when it is left out, its fault.

import { el } from "./dom.js";
import { placeOf } from "./state.js";
import { written } from "./toml.js";

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)$/;
const NOT_GIVEN = "not given";
const NUMERIC = new Set(["whole", "number"]);

export const idOf = (place) => `f-${place.replaceAll(/[[\].]+/g, "-")}`;

/** What stands in the box for a value of the design. */
export function shownValue(facts, value) {
  if (value === undefined) return "";
  if (facts.several && Array.isArray(value)) {
    return value.map((item) => (typeof item === "string" ? item : written(item))).join(", ");
  }
  return typeof value === "string" ? value : written(value);
}

/** The value of the design for what stands in the box; undefined to leave the field out. */
export function readValue(facts, text) {
  const trimmed = text.trim();
  if (facts.several) {
    if (!trimmed) return undefined;
    return trimmed.split(/[,;]/).map((part) => one(facts, part.trim())).filter((p) => p !== "");
  }
  if (!trimmed) return undefined;
  return one(facts, facts.kind === "text" ? text : trimmed);
}

function one(facts, text) {
  if (NUMERIC.has(facts.kind) && NUMBER.test(text)) return Number(text);
  if (facts.kind === "choice" && facts.choices.some((choice) => typeof choice === "number")) {
    const number = facts.choices.find((choice) => String(choice) === text);
    return number ?? text;
  }
  if ((facts.kind === "tube" || facts.kind === "timber") && text.startsWith("{")) {
    return sizes(text) ?? text;
  }
  return text;
}

/** { outside = "42.4 mm", wall = "3.2 mm" } as an object; null where it is written otherwise. */
function sizes(text) {
  const inside = /^\{(.*)\}$/.exec(text)?.[1];
  if (inside === undefined) return null;
  const found = {};
  const pair = /\s*([a-z]+)\s*=\s*"([^"]*)"\s*(,|$)/gy;
  for (let match; pair.lastIndex < inside.length && (match = pair.exec(inside));) {
    found[match[1]] = match[2];
  }
  return Object.keys(found).length ? found : null;
}

/**
 * A field of the form.
 *
 * `look` tells what the page knows about a place: units, default, worked out, reading, fault.
 */
export class Field {
  constructor(section, number, facts, state) {
    this.section = section;
    this.number = number;
    this.facts = facts;
    this.state = state;
    this.place = placeOf(section, number, facts.name);
    const id = idOf(this.place);
    this.about = el("span", { class: "vh", id: `${id}-about` }, facts.meaning);
    this.reading = el("span", { class: "reading", id: `${id}-reading` });
    this.fault = el("p", { class: "fault", id: `${id}-fault`, hidden: true });
    this.box = this.#box(id);
    const whole = facts.kind === "choice" && facts.several;
    const label = whole
      ? el("span", { class: "label", id: `${id}-label` }, facts.label)
      : el("label", { class: "label", for: id }, facts.label);
    this.element = el("div", { class: "field", "data-place": this.place },
      label, this.box, this.reading, this.about, this.fault);
  }

  get value() {
    return this.valueIn(this.state.design);
  }

  valueIn(design) {
    const table = design[this.section];
    return (this.number === null ? table : table?.[this.number])?.[this.facts.name];
  }

  /** Shown while it applies; one that is given, wrong or being typed in stays. */
  showApplying(applies) {
    this.element.hidden = !applies && this.value === undefined && this.fault.hidden
      && !this.element.contains(document.activeElement);
  }

  #box(id) {
    const { facts } = this;
    const shared = { "aria-describedby": `${id}-about ${id}-reading ${id}-fault` };
    if (facts.kind === "choice" && facts.several) return this.#checks(id, shared);
    if (facts.kind === "choice") {
      this.left = el("option", { value: "" });
      const options = facts.choices.map((choice) => el("option", { value: choice }, `${choice}`));
      return el("select", { id, ...shared, change: (event) => this.#take(event.target.value) },
        this.left, options);
    }
    const list = { tube: "tubes", timber: "boards" }[facts.kind];
    return el("input", {
      id, type: "text", ...shared, list, spellcheck: "false", maxlength: 4000,
      inputmode: NUMERIC.has(facts.kind) ? "decimal" : null,
      input: (event) => this.#take(event.target.value),
    });
  }

  #checks(id, shared) {
    const boxes = this.facts.choices.map((choice) => el("label", { class: "check" },
      el("input", { type: "checkbox", value: choice, change: () => this.#takeChecks() }),
      ` ${choice}`));
    return el("div", { id, role: "group", class: "checks", "aria-labelledby": `${id}-label`,
      ...shared, tabindex: "-1" }, boxes);
  }

  #take(text) {
    this.state.set(this.section, this.number, this.facts.name, readValue(this.facts, text));
  }

  #takeChecks() {
    const chosen = [...this.box.querySelectorAll("input:checked")].map((box) => box.value);
    this.state.set(this.section, this.number, this.facts.name, chosen.length ? chosen : undefined);
  }

  /** Show the value of the design, unless somebody is typing it. */
  show(defaultValue) {
    const { facts } = this;
    const left = this.value === undefined;
    if (facts.kind === "choice" && facts.several) {
      const chosen = left ? defaultValue ?? [] : this.value;
      for (const box of this.box.querySelectorAll("input")) box.checked = chosen.includes(box.value);
      return;
    }
    const text = shownValue(facts, this.value);
    if (facts.kind === "choice" && text && ![...this.box.options].some((o) => o.value === text)) {
      this.box.append(el("option", { value: text }, text));
    }
    if (this.box.value !== text && !(document.activeElement === this.box &&
        JSON.stringify(readValue(facts, this.box.value)) === JSON.stringify(this.value))) {
      this.box.value = text;
    }
    this.element.classList.toggle("given", !left);
  }

  /** What it becomes when it is left out. */
  showLeftOut(defaultValue, workedOut) {
    const { facts } = this;
    const text = defaultValue === null || defaultValue === undefined || defaultValue.length === 0
      ? workedOut ?? "" : shownValue(facts, defaultValue);
    // Where nothing is given, the default itself is what is seen.
    if (this.left) this.left.textContent = text ? `${text} (default)` : NOT_GIVEN;
    else if (this.box.tagName === "INPUT") this.box.placeholder = text || NOT_GIVEN;
  }

  /** How the program has read it, where that looks different from what was typed. */
  showReading(text, of) {
    if (JSON.stringify(of) !== JSON.stringify(this.value)) {
      this.reading.textContent = "";
      return;
    }
    const typed = shownValue(this.facts, this.value);
    this.reading.textContent = text && typed && !alike(text, typed) ? `= ${text}` : "";
  }

  showFault(messages) {
    this.fault.hidden = !messages.length;
    this.fault.textContent = messages.join(" ");
    this.element.classList.toggle("wrong", messages.length > 0);
    if (messages.length) this.box.setAttribute("aria-invalid", "true");
    else this.box.removeAttribute("aria-invalid");
  }
}

const plain = (text) => text.toLowerCase().replaceAll(/\s*(feet|foot|ft)\.?\s*/g, "'")
  .replaceAll(/\s*(inches|inch|in)\.?/g, '"').replaceAll("deg", "°")
  .replaceAll(/-0"/g, "").replaceAll(/[\s-]/g, "");
/** Metric lengths are the same length in any unit of the system. */
const metric = (text) => {
  const match = /^([\d.]+)(mm|cm|m)$/.exec(plain(text));
  return match ? Math.round(match[1] * { mm: 1, cm: 10, m: 1000 }[match[2]]) : null;
};
const alike = (one, other) => plain(one) === plain(other) || plain(one).startsWith(plain(other)) ||
  (metric(one) !== null && metric(one) === metric(other));
