// The design under the same loads as another, and as itself with one thing changed at a time.

import { byId, el, say } from "./dom.js";
import { letGo, linkTo, ordered, sizeWords } from "./orders.js";

export class Loads {
  #other = null;
  #now = null;
  #compared = null;
  #pictures = [];

  /** `cautions` and `cautions_beside` from the server, `most` bytes of a design; `lists()` what
   * goes with each question. */
  constructor({ cautions, cautions_beside: beside }, most, lists) {
    this.cautions = { alone: cautions, beside };
    this.most = most;
    this.lists = lists;
    this.loud = el("ul", {});
    this.file = el("input", { type: "file", accept: ".toml,text/plain", id: "against",
      "aria-describedby": "against-told" });
    this.told = el("span", { id: "against-told", role: "status" });
    this.drop = el("button", { type: "button", hidden: true,
      "aria-label": "Compare with no other design", click: () => this.#give(null) }, "Remove");
    this.row = el("div", { class: "against" },
      el("label", { for: "against" }, "Another design to compare with, if you have one"),
      this.file, this.told, this.drop);
    this.go = el("button", { type: "button", id: "compare-loads", disabled: true,
      click: () => this.#run() }, "Compare under loads");
    this.state = el("div", { class: "state" });
    this.old = el("p", { class: "stale", hidden: true },
      "Out of date: the design has changed since. Compare again.");
    this.found = el("div", { class: "compared" });
    byId("loads").append(
      el("div", { class: "loud", role: "note", "aria-label": "Cautions" }, this.loud),
      el("h2", {}, "What changes it, under the same loads"),
      el("p", { class: "quiet" }, "The design is compared with itself, one thing changed at a time, "
        + "and with another design if you choose its file or drop it here. It takes from seconds to "
        + "minutes; you can go on working."),
      this.row, el("div", { class: "set" }, this.go, this.state), this.old, this.found);
    this.#listen();
    this.#warn(this.cautions.alone);
  }

  /** The design that is laid out. */
  know(text) {
    this.#now = text;
    this.go.disabled = this.busy || !text;
    this.old.hidden = !this.#compared || this.#compared === text;
  }

  #warn(texts) {
    this.loud.replaceChildren(...texts.map((text) => el("li", {}, text)));
  }

  #listen() {
    this.file.addEventListener("change", () => {
      const [first] = this.file.files;
      if (first) this.#take(first);
    });
    this.row.addEventListener("dragover", (event) => {
      event.preventDefault();
      this.row.classList.add("over");
    });
    this.row.addEventListener("dragleave", () => this.row.classList.remove("over"));
    this.row.addEventListener("drop", (event) => {
      event.preventDefault();
      this.row.classList.remove("over");
      const [first] = event.dataTransfer.files;
      if (first) this.#take(first);
    });
  }

  async #take(file) {
    if (file.size > this.most) {
      this.#give(null, `${file.name} is larger than ${this.most / 1000} kB, the limit for a design.`);
      return;
    }
    try {
      const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
      this.#give({ name: file.name, text });
    } catch {
      this.#give(null, `${file.name} is not text in UTF-8, so it is not a design.`);
    }
  }

  #give(other, fault = "") {
    this.#other = other;
    this.file.value = "";
    this.drop.hidden = !other;
    this.told.textContent = fault || (other?.name ?? "");
    this.told.classList.toggle("fault", Boolean(fault));
    this.#warn(other ? this.cautions.beside : this.cautions.alone);
  }

  async #run() {
    const text = this.#now;
    this.busy = this.go.disabled = true;
    try {
      const order = await ordered(
        { text, kind: "loads", lists: this.lists(), against: this.#other }, this.state,
        { name: "Comparing" });
      this.state.replaceChildren();
      if (!order) this.state.append(el("span", {}, "stopped"));
      else if (order.state === "failed") this.#refuse(order.faults.map((f) => f.message));
      else this.#show(order, text);
      say(!order ? "Stopped." : order.state === "failed" ? "Not compared." : "Compared.");
    } catch (error) {
      this.#refuse([error.message]);
    } finally {
      this.busy = false;
      this.know(this.#now);
    }
  }

  #refuse(messages) {
    this.state.replaceChildren(...messages.map((text) => el("p", { class: "fault" }, text)));
  }

  #show({ shown, blob, name, bytes }, text) {
    this.#compared = text;
    letGo(this.found);
    for (const address of this.#pictures) URL.revokeObjectURL(address);
    this.#pictures = [];
    this.#warn(shown.cautions);
    const [first, ...rest] = shown.tables;
    this.found.replaceChildren(...[
      el("h3", {}, shown.title),
      // Wherever the page is scrolled to, it is in sight.
      el("p", { class: "still" }, shown.cautions[0]),
      ...shown.notes.map((text) => el("p", { class: "told-first" }, text)),
      shown.bands && this.#picture(shown.bands, "Each index on its band; the line at 1 is the other design."),
      first && table(first),
      el("div", { class: "pictures" },
        shown.pictures.map(({ svg, caption }) => this.#picture(svg, caption))),
      shown.pictures.length ? el("p", { class: "quiet" }, shown.pictures_note) : null,
      ...rest.map(table),
      el("h4", {}, "Assumptions"), list(shown.basis),
      el("h4", {}, "Unit loads and where their shapes come from"), list(shown.sources),
      el("p", {}, linkTo({ blob, name }), ` ${sizeWords(bytes)}: PDF, pictures, JSON and CSV`),
    ].filter(Boolean));
  }

  #picture(svg, caption) {
    const address = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
    this.#pictures.push(address);
    return el("figure", {}, el("img", { src: address, alt: "" }), el("figcaption", {}, caption));
  }
}

const list = (texts) => el("ul", { class: "quiet" }, texts.map((text) => el("li", {}, text)));

function table({ title, header, rows, note }) {
  return el("div", {},
    el("h4", {}, title), note ? el("p", { class: "quiet" }, note) : null,
    el("div", { class: "wide", tabindex: "0", role: "region", "aria-label": title },
      el("table", {},
        el("thead", {}, el("tr", {}, header.map((name) => el("th", { scope: "col" }, name)))),
        el("tbody", {}, rows.map(([name, ...cells]) => el("tr", {},
          el("th", { scope: "row" }, name), cells.map((cell) => el("td", {}, cell))))))));
}
