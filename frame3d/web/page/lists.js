// Lists of the user: prices, stock, surveys. They stay in the page and go with each question.

import { byId, el, say } from "./dom.js";

const FIELD = { prices: ["order", "price_file"], stock: ["order", "stock_file"],
  levels: ["staking", "levels"], measured: ["staking", "measured"], built: ["staking", "built"] };

export class Lists {
  #given = {};
  #rows = new Map();

  /** `kinds` from the server and how large a list may be; `onGiven(section, field, name)` when one is
   * taken whose name the design holds in that field, `onChange()` after every change. */
  constructor(kinds, most, { onGiven, onChange }) {
    this.most = most;
    this.onGiven = onGiven;
    this.onChange = onChange;
    byId("lists").append(
      el("p", { class: "quiet" }, "Your CSV files: choose them, or drop them on their line. "
        + "They stay in this page only, until you close it."),
      el("ul", { class: "lists" }, kinds.map(({ what, title }) => this.#row(what, title))));
  }

  /** By what they are of: name and text. */
  get given() {
    return this.#given;
  }

  #row(what, title) {
    const file = el("input", { type: "file", accept: ".csv,text/csv,text/plain", id: `list-${what}`,
      "aria-describedby": `told-${what}` });
    const told = el("div", { class: "told", id: `told-${what}`, role: "status" });
    const drop = el("button", { type: "button", hidden: true, "aria-label": `Remove: ${title}`,
      click: () => this.#set(what, null) }, "Remove");
    const row = el("li", { "data-list": what }, el("label", { for: `list-${what}` }, title), file, drop, told);
    file.addEventListener("change", () => {
      const [first] = file.files;
      if (first) this.#take(what, first);
    });
    row.addEventListener("dragover", (event) => {
      event.preventDefault();
      row.classList.add("over");
    });
    row.addEventListener("dragleave", () => row.classList.remove("over"));
    row.addEventListener("drop", (event) => {
      event.preventDefault();
      row.classList.remove("over");
      const [first] = event.dataTransfer.files;
      if (first) this.#take(what, first);
    });
    this.#rows.set(what, { file, told, drop, title });
    return row;
  }

  async #take(what, file) {
    const { told } = this.#rows.get(what);
    if (file.size > this.most) {
      this.#refuse(what, `${file.name} is larger than ${this.most / 1000} kB, the limit for a list.`);
      return;
    }
    try {
      const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
      told.replaceChildren();
      this.#set(what, { name: file.name, text });
    } catch {
      this.#refuse(what, `${file.name} is not text in UTF-8; save it as CSV UTF-8.`);
    }
  }

  #refuse(what, message) {
    const { told, file } = this.#rows.get(what);
    file.value = "";
    told.replaceChildren(el("p", { class: "fault" }, message));
  }

  #set(what, list) {
    const { file, told, drop, title } = this.#rows.get(what);
    this.#given = { ...this.#given };
    if (list) this.#given[what] = list;
    else delete this.#given[what];
    file.value = "";
    drop.hidden = !list;
    told.replaceChildren(...list ? [el("p", {}, list.name)] : []);
    say(list ? `${title}: ${list.name} added.` : `${title} removed.`);
    if (list && FIELD[what]) this.onGiven(...FIELD[what], list.name);
    this.onChange();
  }

  /** What the server says of them: faults of each, and those that the design names in vain. */
  know({ faults, missing }) {
    for (const [what, { told }] of this.#rows) {
      const list = this.#given[what];
      told.replaceChildren(
        ...list ? [el("p", {}, list.name)] : [],
        ...(faults[what] ?? []).map((fault) => el("p", { class: "fault" }, fault)),
        ...missing.includes(what) && !list
          ? [el("p", {}, "The design names one; without it the set is marked incomplete.")] : []);
    }
  }
}
