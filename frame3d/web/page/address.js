// The design in the page's own address, after the #, so that a reload or a copy brings it back.

import { packed, unpacked } from "./pack.js";

/** What the address holds, or null. */
export async function readAddress() {
  const parts = new URLSearchParams(location.hash.slice(1));
  if (!parts.get("d")) return null;
  try {
    return {
      text: await unpacked(parts.get("d")),
      source: parts.get("s") ? await unpacked(parts.get("s")) : "",
      kept: parts.get("b") ? await unpacked(parts.get("b")) : "",
      file: parts.get("f") || "my_tunnel.toml",
    };
  } catch {
    return null;
  }
}

let ours = "";

/** Put the design into the address, without a step in the browser's history. */
export async function writeAddress(state) {
  const parts = new URLSearchParams({ d: await packed(state.text), f: state.file });
  if (state.kept) parts.set("b", await packed(state.kept.text));
  if (state.source) parts.set("s", await packed(state.source));
  ours = `#${parts}`;
  if (location.hash !== ours) history.replaceState(null, "", ours);
}

/** Whether the address is what the page has put there. */
export const isOurs = () => location.hash === ours;
