// What the server makes when it is asked to: placed, followed, stopped.

import { json, post, remove } from "./ask.js";
import { el } from "./dom.js";

const PAUSE_MS = 400;

/** Have something made. `state` shows how far it is and a button to stop it; what comes of it is
 * the order as the server tells it, or null where it was stopped. */
export async function ordered(fields, state, { name, gone }) {
  let stopped = false;
  const { key } = await (await post("/api/orders", fields)).json();
  const bar = el("progress", { "aria-label": name });
  const words = el("span", {}, "waiting");
  const stop = el("button", { type: "button", "aria-label": `Stop: ${name}`, click: async () => {
    stopped = true;
    await remove(`/api/orders/${key}`).catch(() => {});
  } }, "Stop");
  state.replaceChildren(bar, words, stop);
  try {
    for (;;) {
      const order = await json(`/api/orders/${key}`);
      if (stopped) return null;
      if (order.state === "gone") throw new Error(gone);
      words.textContent = order.what;
      if (order.total > 1) {
        bar.max = order.total;
        bar.value = order.done;
      } else bar.removeAttribute("value");
      if (order.state === "ready" || order.state === "failed") return { ...order, key };
      await new Promise((done) => { setTimeout(done, PAUSE_MS); });
    }
  } catch (error) {
    if (stopped) return null;
    throw error;
  }
}

export function sizeWords(bytes) {
  return bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}
