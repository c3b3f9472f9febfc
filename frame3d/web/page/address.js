// The design in the page's own address, after the #, so that a reload or a copy brings it back.
//
// A link holds what differs from the defaults and the name of the file; it ends with the design,
// so that one that was cut off is seen to be. What is for this window alone, the comments of the
// file and the design kept to compare with, stays in the browser's history.

import { packed, unpacked } from "./pack.js";
import { tomlText } from "./toml.js";

export class BrokenAddress extends Error {}

const BROKEN = "The address of this page is broken or cut off, so the design in it cannot be "
  + "opened. Ask for the whole link again, or for the design file, or begin anew; the address "
  + "stays as it is until then.";

/** What the address holds, or null where it holds nothing; throws BrokenAddress. */
export async function readAddress() {
  const hash = location.hash.slice(1);
  if (!hash.includes("=")) return null;
  const parts = new URLSearchParams(hash);
  const here = history.state?.hash === location.hash ? history.state : {};
  try {
    return {
      text: await unpacked(parts.get("d")),
      source: here.source ?? "",
      kept: here.kept ?? "",
      file: parts.get("f") || "my_tunnel.toml",
    };
  } catch {
    throw new BrokenAddress(BROKEN);
  }
}

let ours = "";

/** Put the design into the address, without a step in the browser's history. */
export async function writeAddress(state, defaultOf) {
  ours = await hashOf(state, defaultOf);
  history.replaceState({ hash: ours, source: state.source, kept: state.kept?.text ?? "" }, "", ours);
}

/** The address that brings the design to somebody else. */
export async function linkOf(state, defaultOf) {
  return new URL(await hashOf(state, defaultOf), location.href).href;
}

/** Whether the address is what the page has put there. */
export const isOurs = () => location.hash === ours;

async function hashOf(state, defaultOf) {
  const text = tomlText(withoutDefaults(state.design, defaultOf));
  return `#${new URLSearchParams({ f: state.file, d: await packed(text, "deflate") })}`;
}

/** `defaultOf(section, number, field)` is what a field is that is left out; undefined where
 * that follows from other fields. */
export function withoutDefaults(design, defaultOf) {
  const kept = {};
  for (const [section, value] of Object.entries(design)) {
    const several = Array.isArray(value);
    if (!several && (value === null || typeof value !== "object")) {
      kept[section] = value;
      continue;
    }
    const tables = (several ? value : [value]).map((table, number) => (
      table === null || typeof table !== "object" ? table
        : Object.fromEntries(Object.entries(table).filter(([field, given]) => (
          JSON.stringify(given) !== JSON.stringify(defaultOf(section, several ? number : null, field)))))));
    kept[section] = several ? tables : tables[0];
  }
  return kept;
}
