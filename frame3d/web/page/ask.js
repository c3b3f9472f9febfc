// Questions to the server, and dropping answers that are out of date.

import { packed } from "./pack.js";

const LONGEST_ADDRESS = 30000;

export class Refused extends Error {}

async function answerOf(path, options) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused("The server does not answer. Is frame3d serve still running?");
  }
  if (!answer.ok) {
    const words = await answer.json().catch(() => ({}));
    throw new Refused(words.refused || `The server answered ${answer.status}.`);
  }
  return answer;
}

/** A view of a design: in the address, or in the body where that would be too long or where
 * lists go with it. */
export async function view(path, text, { signal, more = "", lists = {} } = {}) {
  if (Object.keys(lists).length) return post(`${path}?${more.slice(1)}`, { text, lists }, signal);
  const design = await packed(text);
  signal?.throwIfAborted();
  if (design.length < LONGEST_ADDRESS) {
    return answerOf(`${path}?d=${design}${more}`, { signal });
  }
  return post(`${path}?${more.slice(1)}`, { text }, signal);
}

export function post(path, fields, signal) {
  return answerOf(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(fields),
    signal,
  });
}

export const json = async (path) => (await answerOf(path)).json();

/** The frame of a design on the ground of the lists that go with it: words, and the scene as GLB;
 * only faults where it has none. */
export async function frameOf(text, lists, signal) {
  const bytes = await (await view("/api/frame", text, { signal, lists })).arrayBuffer();
  const size = new DataView(bytes).getUint32(0, true);
  const words = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, size)));
  return { words, glb: bytes.slice(4 + size) };
}

/** The answer to a view that takes long; `onTold({what, done, total})` hears how far it is. */
export async function followed(path, text, { onTold, ...about }) {
  const answer = await view(path, text, { ...about, more: `${about.more ?? ""}&follow=1` });
  const lines = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await lines.read();
    if (done) throw new Refused("The server ended before the answer was there.");
    const whole = (rest + value).split("\n");
    rest = whole.pop();
    for (const line of whole) {
      const told = JSON.parse(line);
      if (told.answer) return told.answer;
      onTold(told);
    }
  }
}

export const findingsOf = async (text, lists, signal) =>
  (await view("/api/findings", text, { signal, lists })).json();
