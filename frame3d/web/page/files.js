// Files: made when they are asked for, with progress, and stopped if they are not wanted.

import { byId, el, say } from "./dom.js";
import { letGo, linkTo, ordered, sizeWords } from "./orders.js";

const LABELS = { view: "View", zip: "ZIP", guide: "Guide", guide_pdf: "Guide PDF", pdf: "Sheets PDF",
  site: "Site", xlsx: "XLSX", requests: "Requests", labels: "Labels" };

export class Files {
  /** `kinds` from the server; `design()` promises the text, as it would be saved, and the lists
   * that go with it; `save()` hands over the design file, `link()` promises its address. */
  constructor(kinds, design, save, link) {
    this.design = design;
    const uses = [...new Set(kinds.map(({ use }) => use))];
    byId("files").append(
      el("p", { class: "quiet" }, "Exact solids take from seconds to minutes. You can go on working."),
      ...uses.flatMap((use, place) => [el("h3", {}, use), el("ul", { class: "files" },
        place ? null : this.#own(save, link),
        kinds.filter((one) => one.use === use).map(({ kind, meaning }) => this.#item(kind, meaning)))]));
  }

  /** The design itself, as a link and as a file. */
  #own(save, link) {
    const state = el("div", { class: "state" });
    const copy = async () => {
      const address = await link();
      const box = el("input", { type: "text", readonly: true, value: address, "aria-label": "Link to the design" });
      state.replaceChildren(box);
      box.select();
      const copied = await navigator.clipboard?.writeText(address).then(() => true, () => false);
      state.append(el("span", {}, copied ? "copied" : "copy it from here"));
      say(copied ? "The link is copied." : "The link is ready to copy.");
    };
    return [
      el("li", {}, el("button", { type: "button", class: "save", id: "copy-link", click: copy }, "Copy link"),
        el("span", { class: "meaning" }, "For those who reach frame3d at this address"), state),
      el("li", {}, el("button", { type: "button", class: "save", id: "save-design", click: save }, "TOML"),
        el("span", { class: "meaning" }, "The design, to open here again or build from"))];
  }

  /** Whether there is a design of which files can be made. */
  enable(can) {
    for (const button of byId("files").querySelectorAll("button.make")) button.disabled = !can;
  }

  #item(kind, meaning) {
    const state = el("div", { class: "state" });
    const button = el("button", { type: "button", class: "make", "data-kind": kind,
      click: () => this.make(kind, button, state) }, LABELS[kind] ?? kind.toUpperCase());
    return el("li", {}, button, el("span", { class: "meaning" }, meaning), state);
  }

  /** Have a file made; `state` shows how far it is. */
  async make(kind, button, state) {
    const label = button.textContent;
    button.disabled = true;
    try {
      const { text, lists } = await this.design();
      letGo(state);
      const order = await ordered({ text, lists, kind }, state, { name: `Making ${label}` });
      if (!order) state.replaceChildren(el("span", {}, "stopped"));
      else if (order.state === "failed") {
        state.replaceChildren(el("p", { class: "fault" }, order.faults.map((f) => f.message).join(" ")));
      } else this.#offer(order, state);
      say(!order ? `${label} stopped.` : order.state === "failed" ? `${label} failed.` : `${label} is ready.`);
    } catch (error) {
      state.replaceChildren(el("p", { class: "fault" }, error.message));
    } finally {
      button.disabled = false;
    }
  }

  #offer(order, state) {
    const link = linkTo(order);
    state.replaceChildren(link, el("span", {}, ` ${sizeWords(order.bytes)}`),
      ...order.lacks.map((words) => el("p", { class: "fault" }, words)));
    link.click();
  }
}
