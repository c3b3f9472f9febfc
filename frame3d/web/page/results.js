// What is found, and the figures: on the right.

import { byId, el, massName } from "./dom.js";
import { sentence } from "./form.js";

/** Figures that are shown as cards, by how their names begin. */
const CARDS = ["Width", "Ridge height", "Length", "Weight", "Mass"];
const ORDER = ["error", "warning", "note"];
const WORDS = { error: ["error", "errors"], warning: ["warning", "warnings"], note: ["note", "notes"] };

export const countWords = (counts) => ORDER
  .map((kind) => `${counts[kind] || "no"} ${WORDS[kind][counts[kind] === 1 ? 0 : 1]}`).join(", ");

export class Results {
  #items = [];
  #counts = null;
  /** How many faults the design has. */
  wrong = 0;

  /** `onPick(finding)` when a finding is chosen, `onField(place)` for its field, called `nameOf`;
   * `worded(text)` is a text with the places in it as the form calls them. */
  constructor({ onPick, onField, nameOf, worded }) {
    this.worded = worded;
    this.onPick = onPick;
    this.onField = onField;
    this.nameOf = nameOf;
  }

  showFindings(found) {
    const list = byId("findings");
    this.found = found;
    this.#counts = found.counts;
    this.#head();
    this.#items = found.findings.map((finding) => this.#item(finding));
    const { headline, told } = found.status;
    list.replaceChildren(
      ...told.length ? [el("div", { class: "stop", id: "stop" },
        el("p", {}, headline || "This set is incomplete."),
        el("ul", {}, told.map((text) => el("li", {}, text))))] : [],
      el("p", { class: "count" }, sentence(countWords(found.counts))),
      el("ul", { class: "findings" }, this.#items.map((item) => item.element)),
      el("p", { class: "quiet" }, found.what_this_is));
  }

  #item(finding) {
    const text = finding.text;
    const limit = finding.required_is === "the most allowed" ? "At most" : "Needed";
    const numbers = text.required && text.provided
      ? el("p", { class: "numbers" },
        `${limit} ${text.required}, provided ${text.provided}, margin ${text.margin}`)
      : null;
    const button = el("button", { type: "button", class: "pick", "aria-pressed": "false",
      click: () => this.onPick(finding) },
    el("span", { class: `kind ${finding.severity}` }, finding.severity),
    el("span", { class: "message" }, this.worded(finding.message)),
    el("span", { class: "where" },
      finding.where === finding.field ? this.nameOf(finding.field) : this.worded(finding.where)));
    const more = finding.accepted
      ? el("p", {}, `Accepted: ${finding.accepted}`)
      : el("p", {}, this.worded(finding.advice));
    const fields = finding.fields.map((field) => el("button", { type: "button", class: "link",
      click: () => this.onField(field) }, `Go to ${this.nameOf(field)}`));
    const element = el("li", { class: finding.severity }, button, numbers, more,
      fields.length ? el("div", { class: "fields" }, fields) : null,
      el("p", { class: "source" }, `${finding.rule}. Source: ${finding.source}.`));
    return { finding, element, button };
  }

  /** With faults they are counted first: what else is shown is not of the design in the form. */
  showFaults(wrong) {
    this.wrong = wrong;
    this.#head();
  }

  #head() {
    const words = this.wrong ? `${this.wrong} to fix` : "";
    byId("badge").textContent = words ? `(${words})` : this.#counts ? badge(this.#counts) : "";
    byId("results-title").textContent = words ? `Findings: ${words} first` : "Findings";
  }

  /** Mark the findings that are about these members, and bring the first into sight. */
  mark(members) {
    const wanted = new Set(members);
    let first = null;
    for (const { finding, element, button } of this.#items) {
      const about = finding.members.some((number) => wanted.has(number));
      element.classList.toggle("picked", about);
      button.setAttribute("aria-pressed", String(about));
      if (about) first ??= element;
    }
    first?.scrollIntoView({ block: "nearest" });
    return first !== null;
  }

  showFigures(figures, mass) {
    const rows = mass ? [...figures, [`${massName(mass)} of all parts`, mass]] : figures;
    const cards = rows.filter(([name]) => CARDS.some((start) => name.startsWith(start)));
    byId("figures").replaceChildren(el("dl", { class: "tiles" }, cards.map(card)),
      el("dl", {}, rows.filter((row) => !cards.includes(row)).flatMap(
        ([name, value]) => [el("dt", {}, name), el("dd", {}, value)])));
  }

  /** While an answer is awaited, and when there is none. */
  busy(isBusy) {
    byId("results").setAttribute("aria-busy", String(isBusy));
    byId("findings").classList.toggle("old", isBusy);
  }
}

/** A figure to see at once: what it is between stands small, and other ways to measure it are
 * told on request. */
function card([name, value]) {
  const [first, ...others] = value.split(", ");
  const [, size, basis] = /^(.*?(?:["']|\u00a0?\b(?:mm|m|kg|lb|oz)))( .*)?$/.exec(first) ?? [null, first];
  return el("div", { class: "tile" }, el("dt", {}, name), el("dd", {},
    el("span", { class: "big" }, size), basis ? el("span", { class: "basis" }, basis) : null,
    others.length ? el("details", {}, el("summary", {}, "Measured otherwise"),
      el("ul", {}, others.map((other) => el("li", {}, other)))) : null));
}

function badge(counts) {
  const worst = ORDER.find((kind) => counts[kind]);
  return worst ? `(${counts[worst]} ${WORDS[worst][counts[worst] === 1 ? 0 : 1]})` : "";
}
