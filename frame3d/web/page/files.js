// Files: made when they are asked for, with progress, and stopped if they are not wanted.

import { json, post, remove } from "./ask.js";
import { byId, el, say } from "./dom.js";

const LABELS = { step: "STEP", stl: "STL", glb: "GLB", dxf: "DXF", pdf: "PDF", xlsx: "XLSX", zip: "ZIP", site: "Site" };
const PAUSE_MS = 400;

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
    let stopped = false;
    try {
      const { text, lists } = await this.design();
      const { key } = await (await post("/api/orders", { text, lists, kind })).json();
      const bar = el("progress", { "aria-label": `Making ${label}` });
      const words = el("span", {}, "waiting");
      const stop = el("button", { type: "button", "aria-label": `Stop making ${label}`, click: async () => {
        stopped = true;
        await remove(`/api/orders/${key}`).catch(() => {});
      } }, "Stop");
      state.replaceChildren(bar, words, stop);
      const order = await this.#follow(key, bar, words, () => stopped);
      if (stopped) state.replaceChildren(el("span", {}, "stopped"));
      else if (order.state === "failed") {
        state.replaceChildren(el("p", { class: "fault" }, order.faults.map((f) => f.message).join(" ")));
      } else this.#offer(key, order, state);
      say(stopped ? `${label} stopped.` : order.state === "failed" ? `${label} failed.` : `${label} is ready.`);
    } catch (error) {
      if (stopped) state.replaceChildren(el("span", {}, "stopped"));
      else state.replaceChildren(el("p", { class: "fault" }, error.message));
    } finally {
      button.disabled = false;
    }
  }

  async #follow(key, bar, words, isStopped) {
    for (;;) {
      const order = await json(`/api/orders/${key}`);
      if (order.state === "gone") {
        if (isStopped()) return order;
        throw new Error("The file is gone; make it again.");
      }
      words.textContent = order.what;
      if (order.total > 1) {
        bar.max = order.total;
        bar.value = order.done;
      } else bar.removeAttribute("value");
      if (isStopped() || order.state === "ready" || order.state === "failed") return order;
      await new Promise((done) => { setTimeout(done, PAUSE_MS); });
    }
  }

  #offer(key, order, state) {
    const link = el("a", { href: `/api/orders/${key}/file`, download: order.name }, `Save ${order.name}`);
    state.replaceChildren(link, el("span", {}, ` ${sizeWords(order.bytes)}`),
      ...order.lacks.map((words) => el("p", { class: "fault" }, words)));
    link.click();
  }
}

function sizeWords(bytes) {
  return bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}
