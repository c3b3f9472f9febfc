// The design as a form: groups, sections, and lists of sections that can grow and shrink.

import { byId, el, say } from "./dom.js";
import { Field, idOf } from "./field.js";
import { Finder } from "./find.js";
import { freeEnd, startingTable } from "./free_places.js";
import { placeOf } from "./state.js";

const OPEN_AT_FIRST = 1;

export class Form {
  #fields = new Map();
  #opened = null;
  #deep = new Set();
  #worked = {};
  #read = {};
  #faults = [];

  /** `facts` is what the server tells of the form. */
  constructor(facts, state) {
    this.facts = facts;
    this.state = state;
    this.root = byId("form");
    this.root.addEventListener("submit", (event) => event.preventDefault());
    this.root.addEventListener("focusin", (event) => this.#help(event.target));
    state.isImplied = (section) => !facts.sections[section]?.optional &&
      !facts.sections[section]?.several;
    document.body.append(
      el("datalist", { id: "tubes" }, facts.tubes.map((name) => el("option", { value: name }))),
      el("datalist", { id: "boards" }, facts.boards.map((name) => el("option", { value: name }))));
    state.addEventListener("change", (event) => this.#follow(event.detail));
    this.finder = new Finder(this.root, () => this.build());
  }

  #follow({ what }) {
    if (what === "field") this.refresh();
    else this.build();
  }

  /** Make the form anew; what is open stays open, and the focus stays where it was. */
  build() {
    const focus = document.activeElement?.id;
    this.#opened ??= new Set(this.facts.groups.slice(0, OPEN_AT_FIRST).map((g) => g.title));
    this.#fields.clear();
    this.root.replaceChildren(...this.facts.groups.map((group) => this.#group(group)));
    this.refresh();
    this.finder.again();
    if (focus) byId(focus)?.focus();
  }

  #group({ title, sections }) {
    const details = el("details", { class: "group", "data-title": title,
      open: this.#opened.has(title) },
    el("summary", {}, el("span", {}, title), el("span", { class: "mark" })),
    sections.map((name) => this.#section(name)));
    details.addEventListener("toggle", () => {
      if (this.finder.isOn) return;
      if (details.open) this.#opened.add(title);
      else this.#opened.delete(title);
    });
    return details;
  }

  /** The fields of a table that few need, behind a line that says how many there are. */
  #deeper(place, fields) {
    const details = el("details", { class: "deeper", open: this.#deep.has(place) },
      el("summary", {}), fields.map((field) => field.element));
    details.addEventListener("toggle", () => {
      if (this.finder.isOn) return;
      if (details.open) this.#deep.add(place);
      else this.#deep.delete(place);
    });
    return details;
  }

  #section(name) {
    const facts = this.facts.sections[name];
    if (facts.several) return this.#several(name, facts);
    const there = name in this.state.design;
    if (facts.optional && !there) {
      return this.#absent(name, facts, false);
    }
    return this.#table(name, null, facts, facts.title, facts.optional);
  }

  #several(name, facts) {
    const tables = this.state.design[name];
    const count = Array.isArray(tables) ? tables.length : 0;
    const made = [];
    for (let number = 0; number < count; number++) {
      made.push(this.#table(name, number, facts, `${facts.title} ${number + 1}`, true));
    }
    const full = (facts.most !== null && count >= facts.most)
      || (name === "end_wall" && freeEnd(name, this.#tables) === null);
    if (!full) made.push(this.#absent(name, facts, true));
    return el("div", { class: "several" }, made);
  }

  #absent(name, facts, several) {
    const title = facts.title.toLowerCase();
    const some = several && this.state.design[name]?.length;
    const id = `add-${name}`;
    return el("div", { class: "absent" },
      some ? null : el("p", { class: "quiet" }, facts.meaning),
      el("button", { type: "button", id, click: () => this.#add(name, several) },
        some ? `Add another ${title}` : `Add ${several ? article(title) : ""}${title}`));
  }

  #add(name, several) {
    const number = several ? this.state.design[name]?.length ?? 0 : null;
    this.state.add(name, several, startingTable(name, this.#tables));
    const first = this.facts.sections[name].fields[0].name;
    byId(idOf(placeOf(name, number, first)))?.focus();
    say(`${this.facts.sections[name].title} added.`);
  }

  /** What is given in a field of a table, or what it is without that; undefined for neither. */
  #look = (section, number, field) => {
    const table = this.state.design[section];
    const given = (number === null ? table : table?.[number])?.[field];
    return given ?? this.#worked.worked_out?.[placeOf(section, number, field)]
      ?? this.#defaultToday(section, number, field);
  };

  #tables = {
    look: this.#look,
    count: (section) => this.state.design[section]?.length ?? 0,
  };

  #defaultToday(section, number, field) {
    const facts = this.facts.sections[section]?.fields.find((one) => one.name === field);
    return facts?.[this.#unitsFor({ section, facts, number })].default ?? undefined;
  }

  /** What a field is that is left out of the design's file; undefined where it follows from others,
   * is nothing, or was otherwise in the format of the file. */
  defaultOf = (section, number, field) => ((this.state.design.format ?? 1) === this.facts.format
    ? this.#defaultToday(section, number, field) : undefined);

  #applies(field) {
    const { section, number, facts } = field;
    return !facts.applying.length || facts.applying.some((way) => Object.entries(way)
      .every(([name, allowed]) => {
        const [other, table] = name.split(".").reverse();
        const value = this.#look(table ?? section, table ? null : number, other) ?? null;
        const plain = Array.isArray(value) && !value.length ? null : value;
        return allowed.some((one) => (one === null ? plain === null : String(one) === String(plain)));
      }));
  }

  #remove(name, number) {
    const { title } = this.facts.sections[name];
    this.state.remove(name, number);
    byId(`add-${name}`)?.focus();
    say(`${title} removed. Undo brings it back.`);
  }

  #table(name, number, facts, title, removable) {
    const fields = facts.fields.map((one) => {
      const field = new Field(name, number, one, this.state);
      this.#fields.set(field.place, field);
      return field;
    });
    const place = placeOf(name, number);
    const [first, deeper] = [true, false].map((wanted) => fields.filter(
      (field) => field.facts.first === wanted));
    return el("fieldset", { "data-place": place },
      el("legend", {}, title),
      el("p", { class: "fault", id: `${idOf(place)}-fault`, hidden: true }),
      first.map((field) => field.element),
      deeper.length ? this.#deeper(place, deeper) : null,
      removable ? el("button", { type: "button", class: "remove",
        "aria-label": `Remove ${title.toLowerCase()}`,
        click: () => this.#remove(name, number) }, "Remove") : null);
  }

  /** Values, defaults and faults, without making anything anew. */
  refresh() {
    for (const radio of byId("units").querySelectorAll("input")) {
      radio.checked = radio.value === this.state.units;
    }
    for (const field of this.#fields.values()) {
      const left = field.facts[this.#unitsFor(field)].default;
      field.show(left);
      field.showLeftOut(left, this.#worked.worked_out?.[field.place]);
      field.showReading(this.#worked.readings?.[field.place], field.valueIn(this.#read));
      field.showApplying(this.#applies(field));
    }
    for (const details of this.root.querySelectorAll("details.deeper")) {
      const shown = details.querySelectorAll(".field:not([hidden])").length;
      const given = details.querySelectorAll(".field.given:not([hidden])").length;
      details.hidden = !shown;
      details.querySelector("summary").textContent = `${shown} more${given ? `, ${given} given` : ""}`;
    }
  }

  /** The units whose default a field gets: those of the design, or of the field it follows. */
  #unitsFor(field) {
    const follows = this.facts.follows[`${field.section}.${field.facts.name}`];
    const leader = follows && this.state.design[field.section]?.[follows.field];
    return (leader && follows.units[leader]) || this.state.units;
  }

  /** What the program has made of the design: readings, and what was left open. */
  know(worked, design) {
    this.#worked = worked;
    this.#read = design;
    this.refresh();
  }

  /** Put faults beside their fields; returns those that belong to none. */
  showFaults(faults) {
    this.#faults = faults;
    const left = [];
    const told = new Map();
    for (const fault of faults) {
      const place = this.#placeFor(fault.where);
      if (place === null) left.push(fault);
      else told.set(place, [...(told.get(place) ?? []), sentence(fault.message)]);
    }
    for (const [place, field] of this.#fields) {
      field.showFault(told.get(place) ?? []);
      if (!told.has(place)) continue;
      field.element.hidden = false;
      const deeper = field.element.closest("details.deeper");
      if (deeper) deeper.hidden = false, deeper.open = true;
    }
    for (const box of this.root.querySelectorAll("fieldset")) {
      const messages = told.get(box.dataset.place) ?? [];
      const line = byId(`${idOf(box.dataset.place)}-fault`);
      line.hidden = !messages.length;
      line.textContent = messages.join(" ");
    }
    for (const group of this.root.querySelectorAll("details.group")) {
      const wrong = group.querySelectorAll(".fault:not([hidden])").length;
      const mark = group.querySelector(".mark");
      mark.textContent = wrong ? `${wrong} to fix` : "";
    }
    return left;
  }

  /** The field or table on the page that a place in a message means; null for none. */
  #placeFor(where) {
    for (let place = where; place; place = place.replace(/(\[\d+\]|\.[^.[]*|^[^.[]*)$/, "")) {
      if (this.#fields.has(place) || this.root.querySelector(`fieldset[data-place="${place}"]`)) {
        return place;
      }
    }
    return null;
  }

  /** What a place is called in the form: "Rail 2, height" for rail[2].height. */
  nameOf(where) {
    const [, section, number, field] = /^([a-z_]+)(?:\[(\d+)\])?(?:\.([a-z_]+))?/.exec(where) ?? [];
    const facts = this.facts.sections[section];
    if (!facts) return where;
    const table = `${facts.title}${number ? ` ${number}` : ""}`;
    const label = facts.fields.find((one) => one.name === field)?.label;
    return label ? `${table}, ${label.charAt(0).toLowerCase()}${label.slice(1)}` : table;
  }

  /** Open the group of a field and go to it, or to where it can be added. */
  goTo(where) {
    this.finder.stop();
    const place = this.#placeFor(where) ?? this.#placeFor(`${where}[1]`);
    const field = this.#fields.get(place);
    const box = field?.element ?? this.root.querySelector(`fieldset[data-place="${place}"]`)
      ?? byId(`add-${/^[a-z_]*/.exec(where)[0]}`)?.parentElement;
    if (!box) return;
    for (let around = box; around; around = around.parentElement.closest("details")) {
      if (around.tagName === "DETAILS") around.open = true;
    }
    if (field) field.element.hidden = false;
    document.body.dataset.panel = "design";
    const target = field ? field.box : box.querySelector("input, select, button");
    target.focus();
    box.scrollIntoView({ block: "center" });
  }

  #help(target) {
    const field = this.#fields.get(target.closest?.("[data-place]")?.dataset.place);
    if (!field) return;
    const { facts } = field;
    const units = facts[this.#unitsFor(field)];
    const left = units.default ?? null;
    const lines = [el("p", {}, el("strong", {}, facts.label), `: ${sentence(facts.meaning)}`)];
    if (units.allowed) lines.push(el("p", {}, sentence(units.allowed)));
    if (facts.several && facts.kind !== "choice") lines.push(el("p", {}, "Separate several with commas."));
    if (left !== null && left.length !== 0) {
      const why = facts.why ? ` (${facts.why})` : "";
      lines.push(el("p", {}, `Default: ${[left].flat().join(", ")}${why}.`));
    } else {
      if (units.example !== null) lines.push(el("p", {}, `For example ${[units.example].flat().join(", ")}.`));
      if (facts.why) lines.push(el("p", {}, sentence(facts.why)));
    }
    if (facts.goes_by) lines.push(el("p", {}, `Default: follows ${facts.goes_by}.`));
    byId("help").replaceChildren(...lines);
  }
}

const article = (word) => (/^some/.test(word) ? "" : /^[aeiou]/.test(word) ? "an " : "a ");

export function sentence(text) {
  const start = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.?!]$/.test(start) ? start : `${start}.`;
}
