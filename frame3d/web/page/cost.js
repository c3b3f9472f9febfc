// What there is to buy, by who sells it, and what it costs by the price lists at hand.
//
// Prices stay in this browser: they go with a question and are kept nowhere else.

import { post } from "./ask.js";
import { afterwards, byId, el, say } from "./dom.js";

const KEPT = "frame3d.prices";
const TYPED = "Typed here.csv";
const MOST_LISTS = 6;
const AMOUNT = /^\d{1,9}([.,]\d{1,4})?$/;
const CELL = /[",\n]/;

export class Cost {
  #wanted = null;
  #shown = null;
  #asked = null;
  #rows = new Map();
  #lines = [];
  #prices = { typed: {}, currency: "", lists: [] };

  /** `most` is how large a list may be; `makeFile(kind, button, state)` has a file made. */
  constructor(most, makeFile) {
    this.most = most;
    this.root = byId("cost");
    this.#recall();
    this.askSoon = afterwards(500, () => this.#ask());
    this.told = el("div", { class: "told", role: "status" });
    this.list = el("div", { class: "shopping" });
    this.sums = el("div", { class: "sums" });
    this.chosen = el("ul", { class: "quotes" });
    this.currency = el("input", { type: "text", id: "cost-currency", maxlength: 12, size: 5,
      value: this.#prices.currency, input: () => {
        this.#prices.currency = this.currency.value.trim();
        this.#changed();
      } });
    this.root.append(el("div", { class: "cost" },
      el("h2", {}, "What to buy"), this.told, this.list,
      el("h2", {}, "What it costs"), this.sums,
      el("h2", { class: "screen" }, "Prices"), this.#pricesBox(),
      el("h2", { class: "screen" }, "To take to suppliers"), this.#files(makeFile)));
  }

  /** Another design or other lists; they are asked for when the tab is looked at. */
  know(text, lists) {
    this.#wanted = { text, lists };
    if (!this.root.hidden) this.askSoon();
  }

  look() {
    if (this.#wanted && this.#wanted !== this.#shown) this.#ask();
  }

  // ---- prices, and where they are kept

  #recall() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEPT));
      if (kept) this.#prices = { ...this.#prices, ...kept };
    } catch { /* none, or a browser that keeps nothing */ }
  }

  #changed() {
    try {
      localStorage.setItem(KEPT, JSON.stringify(this.#prices));
    } catch { /* they last as long as the page */ }
    this.askSoon();
  }

  #pricesBox() {
    const file = el("input", { type: "file", id: "cost-file", multiple: true,
      accept: ".csv,text/csv,text/plain", change: () => {
        this.#take([...file.files]);
        file.value = "";
      } });
    const box = el("div", { class: "against screen" },
      el("label", { for: "cost-file" }, "Price lists of suppliers (CSV): choose them, or drop them here"),
      file, this.chosen);
    box.addEventListener("dragover", (event) => {
      event.preventDefault();
      box.classList.add("over");
    });
    box.addEventListener("dragleave", () => box.classList.remove("over"));
    box.addEventListener("drop", (event) => {
      event.preventDefault();
      box.classList.remove("over");
      this.#take([...event.dataTransfer.files]);
    });
    return el("div", { class: "screen" },
      el("p", { class: "quiet" }, "Type prices beside the things above, or give lists: a request for "
        + "quotation that came back filled in is one. All of it is kept in this browser only."),
      el("p", {}, el("label", { for: "cost-currency" }, "Currency of typed prices "), this.currency),
      box, this.note = el("p", { class: "fault", role: "alert" }),
      el("button", { type: "button", id: "cost-forget", click: () => this.#forget() },
        "Forget all prices in this browser"));
  }

  async #take(files) {
    this.note.textContent = "";
    for (const file of files) {
      if (file.size > this.most) {
        this.note.textContent = `${file.name} is larger than ${this.most / 1000} kB, the limit for a list.`;
        continue;
      }
      try {
        const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
        const others = this.#prices.lists.filter((one) => one.name !== file.name);
        if (others.length >= MOST_LISTS) {
          this.note.textContent = `No more than ${MOST_LISTS} lists at once; remove one first.`;
          continue;
        }
        this.#prices.lists = [...others, { name: file.name, text }];
      } catch {
        this.note.textContent = `${file.name} is not text in UTF-8; save it as CSV UTF-8.`;
      }
    }
    this.#changed();
  }

  #forget() {
    this.#prices = { typed: {}, currency: "", lists: [] };
    this.currency.value = "";
    for (const { input } of this.#rows.values()) input.value = "";
    this.#changed();
    say("All prices are forgotten.");
  }

  /** The typed prices as a list that the server reads like any other. */
  #typedList() {
    const cell = (text) => (CELL.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
    const rows = this.#lines.flatMap((line) => {
      const price = this.#prices.typed[keyOf(line)];
      return price && AMOUNT.test(price)
        ? [[line.item, line.exact, price.replace(",", "."), "each", this.#prices.currency].map(cell).join(",")]
        : [];
    });
    return rows.length ? [{ name: TYPED, text: ["item,length,price,per,currency", ...rows].join("\n") }] : [];
  }

  #quotes() {
    const named = this.#wanted.lists.prices;
    return [...this.#typedList(), ...this.#prices.lists,
      ...named && !this.#prices.lists.some((one) => one.name === named.name) ? [named] : []];
  }

  // ---- asking and showing

  async #ask() {
    if (!this.#wanted) return;
    this.#asked?.abort();
    const asked = this.#asked = new AbortController();
    const wanted = this.#wanted;
    if (wanted !== this.#shown) this.list.classList.add("old");
    if (!this.#shown) this.told.textContent = "Working out what to buy…";
    try {
      let found = await this.#answer(wanted, asked);
      // What was typed for things that were not known before counts from here on.
      const known = this.#lines.length;
      this.#lines = found.groups?.flatMap((group) => group.lines) ?? [];
      if (!known && this.#typedList().length) found = await this.#answer(wanted, asked);
      if (asked.signal.aborted) return;
      this.#shown = wanted;
      this.list.classList.remove("old");
      if (found.faults && !found.groups) {
        this.told.textContent = found.faults.map((fault) => fault.message).join(" ");
        return;
      }
      this.#show(found);
    } catch (error) {
      if (error.name !== "AbortError") this.told.textContent = error.message;
    }
  }

  async #answer({ text, lists }, { signal }) {
    return (await post("/api/cost", { text, lists, quotes: this.#quotes() }, signal)).json();
  }

  #show(found) {
    this.told.replaceChildren(...found.told.length ? [
      el("p", {}, el("strong", {}, found.stopped || "Before you order:")),
      el("ul", {}, found.told.map((text) => el("li", {}, text)))] : []);
    this.#showLines(found.groups);
    this.#showSums(found);
    this.chosen.replaceChildren(...this.#prices.lists.map((one) => el("li", {}, one.name, " ",
      el("button", { type: "button", "aria-label": `Remove ${one.name}`, click: () => {
        this.#prices.lists = this.#prices.lists.filter((other) => other !== one);
        this.#changed();
      } }, "Remove"),
      (found.faults[one.name] ?? []).map((fault) => el("p", { class: "fault" }, fault)))));
    const shown = new Set(this.#prices.lists.map((one) => one.name));
    const others = Object.entries(found.faults).filter(([name]) => !shown.has(name));
    this.note.textContent = others.map(([name, faults]) => `${name}: ${faults.join(" ")}`).join(" ");
  }

  #showLines(groups) {
    const keys = groups.flatMap((group) => group.lines.map(keyOf)).join("\n");
    // The boxes stay, so that nobody loses the one in which they type.
    if (keys !== [...this.#rows.keys()].join("\n")) {
      this.#rows.clear();
      this.list.replaceChildren(...groups.map((group) => el("div", { class: "wide" }, el("table", {},
        el("caption", {}, group.title.charAt(0).toUpperCase() + group.title.slice(1)),
        el("thead", {}, el("tr", {}, ["Item", "Length", "Quantity", "Price of one", "From", "Cost"]
          .map((name) => el("th", { scope: "col" }, name)))),
        el("tbody", {}, group.lines.map((line) => this.#row(line)))))));
    }
    for (const line of groups.flatMap((group) => group.lines)) {
      const row = this.#rows.get(keyOf(line));
      row.quantity.textContent = line.quantity;
      row.from.textContent = line.bought.map((buy) => buy.supplier).join(", ");
      row.cost.textContent = line.bought.map((buy) => `${buy.amount} ${buy.currency}`.trim()).join(", ")
        || "no price yet";
      row.cost.classList.toggle("quiet", !line.bought.length);
    }
  }

  #row(line) {
    const key = keyOf(line);
    const input = el("input", { type: "text", inputmode: "decimal", size: 8, maxlength: 15,
      value: this.#prices.typed[key] ?? "",
      "aria-label": `Price of one: ${line.item}${line.length ? `, ${line.length}` : ""}`,
      input: () => {
        const text = input.value.trim();
        if (text) this.#prices.typed[key] = text;
        else delete this.#prices.typed[key];
        const wrong = text && !AMOUNT.test(text);
        if (wrong) input.setAttribute("aria-invalid", "true");
        else input.removeAttribute("aria-invalid");
        row.wrong.textContent = wrong ? "A price is a number, such as 12.50." : "";
        this.#changed();
      } });
    const row = { input, wrong: el("span", { class: "fault" }), quantity: el("td", { class: "length" }),
      from: el("td"), cost: el("td", { class: "right" }) };
    this.#rows.set(key, row);
    return el("tr", {}, el("th", { scope: "row" }, line.item,
      line.asked ? el("span", { class: "asked" }, line.asked) : null),
    el("td", { class: "length" }, line.length), row.quantity,
    el("td", { class: "typed" }, input, row.wrong), row.from, row.cost);
  }

  #showSums({ mixes, missing }) {
    const all = this.#lines.length;
    this.sums.replaceChildren(
      ...mixes.flatMap((mix) => [
        el("p", { class: "total" }, `${mix.total} ${mix.currency}`.trim(),
          el("span", { class: "quiet" }, ` for ${all - mix.missing.length} of ${all} lines, freight and tax as listed`)),
        mix.least ? el("p", { class: "quiet" }, `Not proven least: no mix costs less than ${mix.least}.`) : null,
        el("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "Cost by supplier" },
          billTable(mix))].filter(Boolean)),
      ...mixes.length > 1 ? [el("p", {}, "Currencies are compared apart and never added.")] : [],
      ...mixes.length ? [] : [el("p", {}, "No price yet: type one beside a thing above, or give a price list below.")],
      ...mixes.length && missing.length ? [
        el("p", { class: "count" }, `${missing.length} without a price:`),
        el("ul", { class: "missing" }, missing.map((name) => el("li", {}, name)))] : []);
  }

  #files(makeFile) {
    return el("ul", { class: "files screen" }, [["requests", "Requests", "One for each kind of supplier, to print and to fill in"],
      ["labels", "Labels", "For every part that is made"]].map(([kind, label, meaning]) => {
      const state = el("div", { class: "state" });
      const button = el("button", { type: "button", class: "make",
        click: () => makeFile(kind, button, state) }, label);
      return el("li", {}, button, el("span", { class: "meaning" }, meaning), state);
    }), el("li", {}, el("button", { type: "button", class: "make", click: () => print() }, "Print"),
      el("span", { class: "meaning" }, "The list and its sum on paper")));
  }
}

const keyOf = (line) => `${line.item} | ${line.exact}`;

function billTable(mix) {
  const head = ["Supplier", "Lines", "Goods", "To minimum order", "Freight", "Tax", "To pay"];
  const cells = ({ supplier, lines, goods, to_minimum: minimum, freight, tax, total }) => [
    el("th", { scope: "row" }, supplier),
    ...[String(lines), goods, minimum, freight, tax, total].map((text) => el("td", { class: "right" }, text))];
  return el("table", {}, el("caption", {}, "The cheapest mix"),
    el("thead", {}, el("tr", {}, head.map((name, place) => el("th", { scope: "col",
      class: place ? "right" : null }, name)))),
    el("tbody", {}, mix.bills.map((bill) => el("tr", {}, cells(bill)))));
}
