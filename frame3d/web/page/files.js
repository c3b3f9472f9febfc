// Files: made when they are asked for, with progress, and stopped if they are not wanted.

import { byId, el, say } from "./dom.js";
import { ordered, sizeWords } from "./orders.js";

const LABELS = { step: "STEP", stl: "STL", glb: "GLB", dxf: "DXF", pdf: "PDF", xlsx: "XLSX", zip: "ZIP", site: "Site" };

export class Files {
  /** `kinds` from the server; `design()` promises the text, as it would be saved, and the lists
   * that go with it; `save()` hands over the design file. */
  constructor(kinds, design, save) {
    this.design = design;
    byId("files").append(
      el("p", { class: "quiet" }, "Exact solids take from seconds to minutes. You can go on working."),
      el("ul", { class: "files" },
        el("li", {}, el("button", { type: "button", class: "save", click: save }, "TOML"),
          el("span", { class: "meaning" }, "The design, to open here again or build from")),
        kinds.map(({ kind, meaning }) => this.#item(kind, meaning))));
  }

  /** Whether there is a design of which files can be made. */
  enable(can) {
    for (const button of byId("files").querySelectorAll("button.make")) button.disabled = !can;
  }

  #item(kind, meaning) {
    const state = el("div", { class: "state" });
    const button = el("button", { type: "button", class: "make", "data-kind": kind,
      click: () => this.#make(kind, button, state) }, LABELS[kind] ?? kind.toUpperCase());
    return el("li", {}, button, el("span", { class: "meaning" }, meaning), state);
  }

  async #make(kind, button, state) {
    const label = button.textContent;
    button.disabled = true;
    try {
      const { text, lists } = await this.design();
      const order = await ordered({ text, lists, kind }, state,
        { name: `Making ${label}`, gone: "The file is gone; make it again." });
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
    const link = el("a", { href: `/api/orders/${order.key}/file`, download: order.name }, `Save ${order.name}`);
    state.replaceChildren(link, el("span", {}, ` ${sizeWords(order.bytes)}`),
      ...order.lacks.map((words) => el("p", { class: "fault" }, words)));
    link.click();
  }
}
