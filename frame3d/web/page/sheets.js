// The sheets as drawings: chosen, moved and made larger.

import { afterwards, byId, el } from "./dom.js";
import { followed, view } from "./ask.js";
import { usePinch } from "./pinch.js";

const SCALES = [1, 1.5, 2, 3, 4, 6, 8];

export class Sheets {
  #wanted = null;
  #shown = null;
  #asked = null;
  #number = 1;
  /** What is looked at, by what draws it and the place among its like: numbers change. */
  #looked = { family: "cover", place: 0 };
  /** The sheet that is shown, as the server tells it. */
  #sheet = null;
  #scale = 1;
  #address = "";
  /** While something is typed nothing is drawn: what is begun and not wanted costs a process. */
  #soon = afterwards(350, () => this.root.hidden || this.look());

  constructor() {
    this.root = byId("sheets");
    this.choice = el("select", { id: "sheet", change: () => this.#choose(Number(this.choice.value)) });
    this.says = el("output", { class: "says", id: "scale" }, "100 %");
    this.picture = el("img", { alt: "", draggable: "false" });
    this.stage = el("div", { class: "paper", tabindex: "0", role: "region",
      "aria-label": "Drawing; scroll with the arrow keys, plus and minus zoom" }, this.picture);
    this.note = el("p", { class: "notice", role: "status" });
    this.early = el("p", { class: "notice early", hidden: true },
      "Drawn first. Numbers of sheets (?) and the list on the cover come with the whole set.");
    this.root.append(
      el("div", { class: "bar" },
        el("div", { class: "set" },
          el("label", { for: "sheet" }, "Sheet"), this.choice,
          el("button", { type: "button", "aria-label": "Previous sheet", click: () => this.#step(-1) }, "‹"),
          el("button", { type: "button", "aria-label": "Next sheet", click: () => this.#step(1) }, "›")),
        el("div", { class: "set", role: "group", "aria-label": "Size" },
          el("button", { type: "button", "aria-label": "Smaller", click: () => this.#zoom(-1) }, "−"),
          this.says,
          el("button", { type: "button", "aria-label": "Larger", click: () => this.#zoom(1) }, "+"),
          el("button", { type: "button", click: () => this.#resize(1) }, "Whole sheet"))),
      el("div", { class: "told" }, this.note, this.early), this.stage);
    this.#listen();
  }

  /** Another design, or other lists; it is drawn when the tab is looked at. */
  know(text, lists) {
    if (this.#wanted?.text !== text || this.#wanted.lists !== lists) this.#wanted = { text, lists };
    if (!this.root.hidden) this.#soon();
  }

  async look() {
    if (!this.#wanted || this.#wanted === this.#shown) return;
    this.#asked?.abort();
    const asked = this.#asked = new AbortController();
    const wanted = this.#wanted;
    const onTold = this.#progress(asked);
    this.stage.classList.add("old");
    try {
      await this.#drawFirst(wanted, asked);
      const found = await followed("/api/sheets", wanted.text,
        { signal: asked.signal, lists: wanted.lists, onTold });
      if (asked.signal.aborted) return;
      if (found.faults) {
        this.note.textContent = found.faults.map((fault) => fault.message).join(" ");
        return;
      }
      this.list = found.sheets;
      this.choice.replaceChildren(...found.sheets.map((sheet) => el("option",
        { value: sheet.number }, `${sheet.number} ${sheet.title}${
          sheet.scale === "none" ? "" : `, ${sheet.scale}`}`)));
      this.#number = this.#again(found.sheets);
      this.note.textContent = found.findings.join(" ");
      await this.#draw(wanted, asked);
    } catch (error) {
      if (error.name !== "AbortError") this.note.textContent = error.message;
    }
  }

  /** What is looked at comes first; the set takes longer. */
  async #drawFirst(wanted, asked) {
    const { family, place } = this.#looked;
    if (!family) return;
    const answer = await view("/api/first", wanted.text, { signal: asked.signal,
      lists: wanted.lists, more: `&family=${encodeURIComponent(family)}&place=${place}` });
    const { svg, ...sheet } = await answer.json();
    if (!svg || asked.signal.aborted) return;
    this.list = null;
    this.choice.replaceChildren(el("option", {}, sheet.title));
    this.#show(new Blob([svg], { type: "image/svg+xml" }), sheet, `${sheet.title}, drawn first`);
    this.early.hidden = false;
  }

  /** The number of the sheet that is looked at, in another set. */
  #again(sheets) {
    const alike = sheets.filter(({ family }) => family && family === this.#looked.family);
    return alike.length ? alike[Math.min(this.#looked.place, alike.length - 1)].number
      : Math.min(this.#number, sheets.length);
  }

  /** How far the drawings are, with a button to stop them; returns what is to be told of it. */
  #progress(asked) {
    const bar = el("progress", { "aria-label": "Drawing the sheets" });
    const words = el("span", {}, "drawing the sheets");
    const stop = el("button", { type: "button", "aria-label": "Stop drawing", click: () => {
      asked.abort();
      this.note.replaceChildren("Stopped. ", el("button", { type: "button", class: "link",
        click: () => this.look() }, "Draw the sheets"));
    } }, "Stop");
    this.note.replaceChildren(bar, words, stop);
    return ({ what, done, total }) => {
      words.textContent = what;
      if (total > 1) {
        bar.max = total;
        bar.value = done;
      }
    };
  }

  async #draw(wanted, asked) {
    this.choice.value = this.#number;
    const answer = await view("/api/sheet", wanted.text,
      { signal: asked.signal, lists: wanted.lists, more: `&number=${this.#number}` });
    const blob = await answer.blob();
    if (asked.signal.aborted) return;
    const sheet = this.list[this.#number - 1];
    const alike = this.list.filter(({ family }) => family === sheet.family);
    this.#looked = { family: sheet.family, place: alike.indexOf(sheet) };
    this.#shown = wanted;
    this.early.hidden = true;
    this.#show(blob, sheet, `Sheet ${sheet.number}, ${sheet.title}`);
  }

  #show(blob, sheet, name) {
    URL.revokeObjectURL(this.#address);
    this.#address = URL.createObjectURL(blob);
    this.#sheet = sheet;
    this.picture.src = this.#address;
    this.picture.alt = name;
    this.stage.classList.remove("old");
    this.#resize(this.#scale);
  }

  async #choose(number) {
    if (!this.list) return;
    this.#number = number;
    this.#asked?.abort();
    const asked = this.#asked = new AbortController();
    try {
      await this.#draw(this.#shown, asked);
    } catch (error) {
      if (error.name !== "AbortError") this.note.textContent = error.message;
    }
  }

  #step(by) {
    const many = this.list?.length ?? 0;
    if (many) this.#choose((this.#number - 1 + by + many) % many + 1);
  }

  #zoom(by) {
    const next = by > 0 ? SCALES.find((s) => s > this.#scale + 1e-6)
      : SCALES.findLast((s) => s < this.#scale - 1e-6);
    if (next) this.#resize(next);
  }

  /** Keep what is in the middle there. */
  #resize(scale, at = null) {
    const { stage } = this;
    const [x, y] = at ?? [stage.clientWidth / 2, stage.clientHeight / 2];
    const across = (stage.scrollLeft + x) / (this.picture.offsetWidth || 1);
    const down = (stage.scrollTop + y) / (this.picture.offsetHeight || 1);
    this.#scale = scale;
    const sheet = this.#sheet;
    if (sheet) {
      const whole = Math.min(stage.clientWidth,
        stage.clientHeight * sheet.width_mm / sheet.height_mm) - 4;
      this.picture.style.width = `${Math.max(whole, 200) * scale}px`;
      this.picture.style.aspectRatio = `${sheet.width_mm} / ${sheet.height_mm}`;
    }
    this.says.textContent = `${Math.round(100 * scale)} %`;
    stage.scrollLeft = across * this.picture.offsetWidth - x;
    stage.scrollTop = down * this.picture.offsetHeight - y;
  }

  #listen() {
    const { stage } = this;
    stage.addEventListener("keydown", (event) => {
      if (event.key === "+" || event.key === "=") this.#zoom(1);
      else if (event.key === "-") this.#zoom(-1);
      else if (event.key === "0") this.#resize(1);
      else return;
      event.preventDefault();
    });
    stage.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      const box = stage.getBoundingClientRect();
      const scale = Math.min(8, Math.max(1, this.#scale * Math.exp(-event.deltaY * 0.003)));
      this.#resize(scale, [event.clientX - box.left, event.clientY - box.top]);
    }, { passive: false });
    usePinch(stage, (times, at) => this.#resize(Math.min(8, Math.max(1, this.#scale * times)), at));
    let held = null;
    stage.addEventListener("pointerdown", (event) => {
      if (event.pointerType !== "mouse" || event.button) return;
      held = [event.clientX + stage.scrollLeft, event.clientY + stage.scrollTop];
      stage.setPointerCapture(event.pointerId);
    });
    stage.addEventListener("pointermove", (event) => {
      if (!held) return;
      stage.scrollLeft = held[0] - event.clientX;
      stage.scrollTop = held[1] - event.clientY;
    });
    for (const name of ["pointerup", "pointercancel"]) {
      stage.addEventListener(name, () => { held = null; });
    }
    new ResizeObserver(() => this.#resize(this.#scale)).observe(stage);
  }
}
