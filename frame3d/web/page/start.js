// Where a design begins: typical tunnels as pictures, then five questions about one of them.

import { json, post } from "./ask.js";
import { byId, el, say } from "./dom.js";

const pictureOf = (key, more = "") => `/api/picture?key=${encodeURIComponent(key)}${more}`;

/** The picture of a design to begin with, on light or on dark ground, as the page is. */
function show(picture, key) {
  picture.querySelector("source").srcset = pictureOf(key, "&on=dark");
  picture.querySelector("img").src = pictureOf(key);
}

const picture = (about) => el("picture", about,
  el("source", { media: "(prefers-color-scheme: dark)" }), el("img", { alt: "", width: 300, height: 190 }));
const AS_IT_IS = "As in the picture";

export class Start {
  #chosen = null;

  /** `facts` from the server; `onBegin(text, file)` when a design is chosen, `onOpen()` for a file
   * of the user's own, `onClose()` when the pictures are left without one. */
  constructor(facts, { onBegin, onOpen, onClose }) {
    this.questions = facts.questions;
    this.onBegin = onBegin;
    this.root = byId("starts");
    this.told = el("p", { class: "notice", role: "alert", hidden: true });
    const typical = facts.starts.filter((start) => start.use);
    const others = facts.starts.filter((start) => !start.use);
    this.pictures = el("div", { class: "start-pictures" },
      el("h2", { id: "starts-title" }, "Which is nearest to the tunnel you want?"),
      el("p", {}, "Every size can be changed afterwards."),
      el("ul", { class: "tunnels", id: "typical-list" }, typical.map((start) => this.#card(start))),
      el("h3", {}, "Or begin with"),
      el("div", { class: "starts", id: "starts-list" },
        others.map((start) => el("button", { type: "button", click: () => this.#take(start) }, start.title)),
        el("button", { type: "button", click: () => {
          this.root.close();
          onOpen();
        } }, "A design file of your own…")),
      el("button", { type: "button", id: "starts-close", click: () => this.root.close() },
        "Keep the design on the page"));
    this.asked = el("form", { class: "questions", id: "questions", hidden: true, autocomplete: "off",
      novalidate: true, submit: (event) => {
        event.preventDefault();
        this.#answer();
      } });
    this.root.append(this.told, this.pictures, this.asked);
    this.root.addEventListener("close", () => onClose());
  }

  /** Show the pictures, with something to tell above them. */
  open(told = "", canStay = true) {
    byId("starts-close").hidden = !canStay;
    this.told.textContent = told;
    this.told.hidden = !told;
    // Drawn by the server when they are first looked at, and not before.
    for (const one of this.pictures.querySelectorAll("picture[data-picture]")) {
      show(one, one.dataset.picture);
      delete one.dataset.picture;
    }
    this.#show(null);
    if (!this.root.open) this.root.showModal();
  }

  #card(start) {
    return el("li", {}, el("button", { type: "button", class: "tunnel", "data-start": start.key,
      click: () => this.#show(start) },
    picture({ "data-picture": start.key }),
    el("strong", {}, start.title),
    el("span", { class: "sizes" }, `${start.width} wide, ${start.height} high`),
    el("span", { class: "use" }, start.use)));
  }

  #show(start) {
    this.#chosen = start;
    this.pictures.hidden = start !== null;
    this.asked.hidden = start === null;
    this.root.setAttribute("aria-labelledby", start ? "questions-title" : "starts-title");
    if (!start) return;
    const beside = picture({});
    show(beside, start.key);
    this.asked.replaceChildren(
      el("div", { class: "beside" },
        beside,
        el("p", { class: "quiet" }, `${start.title}: ${start.use}.`)),
      el("div", { class: "five" },
        el("h2", { id: "questions-title" }, "Five questions"),
        this.#typed("width", "How wide?", start.width, "Between the centres of the ground posts"),
        this.#typed("length", "How long?", start.length, "From the first hoop to the last"),
        this.#choice("style", "Which form?", start.style),
        this.#choice("drives", "What drives in?", null),
        this.#choice("sides", "How do the sides open?", null),
        el("p", { class: "fault", id: "questions-fault", role: "alert" }),
        el("div", { class: "actions" },
          el("button", { type: "submit", class: "primary", id: "questions-done" }, "Show my tunnel"),
          el("button", { type: "button", click: () => this.#show(null) }, "Back to the pictures"))));
    this.root.scrollTop = 0;
    byId("q-width").focus();
    byId("q-width").select();
  }

  #typed(name, label, value, about) {
    return el("div", { class: "question" }, el("label", { for: `q-${name}` }, label),
      el("input", { type: "text", id: `q-${name}`, name, value, maxlength: 60, spellcheck: "false",
        "aria-describedby": `q-${name}-about` }),
      el("span", { class: "quiet", id: `q-${name}-about` }, about));
  }

  /** `now` is the answer that the picture has; null where it has none of these. */
  #choice(name, label, now) {
    const radio = (value, words) => el("label", { class: "check" }, el("input", { type: "radio",
      name, value, checked: value === (now ?? "") }), ` ${words}`);
    return el("fieldset", { class: "question" }, el("legend", {}, label),
      now === null ? radio("", AS_IT_IS) : null,
      this.questions[name].map(({ key, words }) => radio(key, words)));
  }

  async #answer() {
    const start = this.#chosen;
    const answers = {};
    for (const [name, value] of new FormData(this.asked)) {
      const text = value.trim();
      if (text && text !== start[name]) answers[name] = text;
    }
    const done = byId("questions-done");
    done.disabled = true;
    try {
      const begun = await (await post("/api/begin", { key: start.key, answers })).json();
      if (begun.faults) throw new Error(begun.faults.map((fault) => fault.message).join(" "));
      await this.#begin(begun.text, start.file);
    } catch (error) {
      byId("questions-fault").textContent = error.message;
    } finally {
      done.disabled = false;
    }
  }

  async #take(start) {
    try {
      const whole = await json(`/api/start?key=${encodeURIComponent(start.key)}`);
      await this.#begin(whole.text, whole.file);
    } catch (error) {
      this.told.hidden = false;
      this.told.textContent = error.message;
    }
  }

  async #begin(text, file) {
    await this.onBegin(text, file);
    this.root.close();
    say("The design is on the page.");
  }
}
