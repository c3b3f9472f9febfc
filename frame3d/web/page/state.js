// The design on the page, its history, and where it came from.

import { tomlText } from "./toml.js";

const MOST_STEPS = 200;
const SAME_STEP_MS = 900;

/** A field by its place, as faults name it: rail[2].height. */
export function placeOf(section, number, field) {
  const start = number === null ? section : `${section}[${number + 1}]`;
  return field ? `${start}.${field}` : start;
}

const copy = (value) => structuredClone(value);

export class State extends EventTarget {
  #design = {};
  #past = [];
  #future = [];
  #lastPlace = "";
  #lastTime = 0;
  file = "my_tunnel.toml";
  /** The text of the file that it came from, whose comments are kept. */
  source = "";
  kept = null;

  get design() {
    return this.#design;
  }

  get text() {
    return tomlText(this.#design);
  }

  get units() {
    return this.#design.output?.units === "metric" ? "metric" : "imperial";
  }

  get canUndo() {
    return this.#past.length > 0;
  }

  get canRedo() {
    return this.#future.length > 0;
  }

  /** Another design in place of this one; it can be undone. */
  load(design, { file, source, first = false } = {}) {
    if (!first) this.#remember("");
    this.#design = copy(design);
    if (file !== undefined) this.file = file;
    if (source !== undefined) this.source = source;
    this.#changed("all", "", true);
  }

  /** Give a field a value, or undefined to leave it out. */
  set(section, number, field, value) {
    const place = placeOf(section, number, field);
    this.#remember(place);
    const next = copy(this.#design);
    const table = number === null ? (next[section] ??= {}) : next[section][number];
    if (value === undefined) delete table[field];
    else table[field] = value;
    if (number === null && !Object.keys(table).length && this.isImplied(section)) {
      delete next[section];
    }
    this.#design = next;
    this.#changed("field", place);
  }

  /** Whether a section with nothing in it means the same as none. */
  isImplied = () => false;

  /** Another table of a section of which there may be several, or the only one. */
  add(section, several, table = {}) {
    this.#remember("");
    const next = copy(this.#design);
    if (several) next[section] = [...(next[section] ?? []), table];
    else next[section] = table;
    this.#design = next;
    this.#changed("tables");
  }

  remove(section, number) {
    this.#remember("");
    const next = copy(this.#design);
    if (number === null) delete next[section];
    else next[section].splice(number, 1);
    if (number !== null && !next[section].length) delete next[section];
    this.#design = next;
    this.#changed("tables");
  }

  undo() {
    this.#step(this.#past, this.#future);
  }

  redo() {
    this.#step(this.#future, this.#past);
  }

  #step(from, to) {
    if (!from.length) return;
    to.push(this.#now());
    const then = from.pop();
    this.#design = then.design;
    this.file = then.file;
    this.source = then.source;
    this.#lastPlace = "";
    this.#changed("all");
  }

  #now() {
    return { design: this.#design, file: this.file, source: this.source };
  }

  #remember(place) {
    const time = Date.now();
    const same = place && place === this.#lastPlace && time - this.#lastTime < SAME_STEP_MS;
    this.#lastPlace = place;
    this.#lastTime = time;
    if (same) return;
    this.#past.push(this.#now());
    if (this.#past.length > MOST_STEPS) this.#past.shift();
    this.#future = [];
  }

  #changed(what, place = "", another = false) {
    this.dispatchEvent(new CustomEvent("change", { detail: { what, place, another } }));
  }
}
