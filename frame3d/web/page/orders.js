// What the server makes when it is asked to: told how far it is, sent, stopped.

import { post, Refused } from "./ask.js";
import { el } from "./dom.js";

const LINE_END = 10;

/** Have something made. `state` shows how far it is and a button to stop it; what comes of it is
 * what the server tells, with the file as a `blob` where there is one; null where it was stopped. */
export async function ordered(fields, state, { name }) {
  const asked = new AbortController();
  const bar = el("progress", { "aria-label": name });
  const words = el("span", {}, "waiting");
  const stop = el("button", { type: "button", "aria-label": `Stop: ${name}`,
    click: () => asked.abort() }, "Stop");
  state.replaceChildren(bar, words, stop);
  try {
    const answer = await post("/api/file", fields, asked.signal);
    return await read(answer.body.getReader(), ({ what, done, total }) => {
      words.textContent = what;
      if (total > 1) {
        bar.max = total;
        bar.value = done;
      } else bar.removeAttribute("value");
    });
  } catch (error) {
    if (asked.signal.aborted) return null;
    throw error instanceof TypeError ? new Refused("The connection was lost; make it again.") : error;
  }
}

/** The lines up to the answer, and the file behind it. */
async function read(pieces, onTold) {
  let rest = new Uint8Array();
  for (;;) {
    const { value, done } = await pieces.read();
    if (done) throw new Refused("The server ended before the file was there; make it again.");
    rest = joined(rest, value);
    for (let end = rest.indexOf(LINE_END); end >= 0; end = rest.indexOf(LINE_END)) {
      const told = JSON.parse(new TextDecoder().decode(rest.subarray(0, end)));
      rest = rest.subarray(end + 1);
      if (told.answer) return withFile(told.answer, rest, pieces);
      onTold(told);
    }
  }
}

async function withFile(answer, first, pieces) {
  if (answer.state !== "ready") return answer;
  const parts = [first];
  let size = first.length;
  for (;;) {
    const { value, done } = await pieces.read();
    if (done) break;
    parts.push(value);
    size += value.length;
  }
  if (size !== answer.bytes) throw new Refused("The file was cut off on its way; make it again.");
  return { ...answer, blob: new Blob(parts) };
}

function joined(one, other) {
  const both = new Uint8Array(one.length + other.length);
  both.set(one);
  both.set(other, one.length);
  return both;
}

/** A link to save what was made, of which the page holds the only copy. */
export function linkTo({ blob, name }) {
  return el("a", { href: URL.createObjectURL(blob), download: name }, `Save ${name}`);
}

/** Let go of what links in there lead to. */
export function letGo(place) {
  for (const link of place.querySelectorAll("a[download]")) URL.revokeObjectURL(link.href);
}

export function sizeWords(bytes) {
  return bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}
