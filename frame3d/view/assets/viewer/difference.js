// What differs between two scenes: members that are made alike and stand alike are the same.

import {ALONE, SAME, placeOf} from './scene.js';

// Words that are equal for members that are made alike and stand alike.
function sameKeys(scene) {
  return scene.parts.map((part) => {
    const form = `${part.role} ${part.about.form}`;
    return Array.from({length: part.count}, (_, k) => {
      const {shift, turn} = placeOf(part, k), sign = turn[3] < -1e-6 ? -1 : 1;
      const where = [...shift].map((v) => Math.round(v * 1e3)).join(' ');
      return `${form} ${where} ${[...turn].map((v) => Math.round(v * sign * 1e3) + 0).join(' ')}`;
    });
  });
}

// Flags the members of `mine`, leaves in `other` what it has alone, and counts.
export function compare(mine, other) {
  const theirs = sameKeys(other), counts = {same: 0, first: 0, second: 0};
  const left = new Map(), met = new Map();
  for (const keys of theirs) for (const key of keys) left.set(key, (left.get(key) || 0) + 1);
  sameKeys(mine).forEach((keys, n) => keys.forEach((key, k) => {
    const many = left.get(key) || 0, here = (met.get(key) || 0) + 1;
    met.set(key, here);
    const same = here <= many;
    mine.parts[n].flags[k] |= same ? SAME : ALONE;
    counts[same ? 'same' : 'first']++;
  }));
  theirs.forEach((keys, n) => {
    const kept = [];
    keys.forEach((key, k) => {
      const many = met.get(key) || 0;
      if (many > 0) met.set(key, many - 1); else kept.push(k);
    });
    keepAlone(other.parts[n], kept);
    counts.second += kept.length;
  });
  return counts;
}

// What both have is drawn once, with the first.
function keepAlone(part, kept) {
  const places = new Float32Array(kept.length * 7);
  kept.forEach((k, at) => places.set(part.places.subarray(7 * k, 7 * k + 7), 7 * at));
  part.places = places;
  part.count = kept.length;
  part.ids = new Uint32Array(kept.length).fill(0xfffffe);
  part.flags = new Uint8Array(kept.length).fill(ALONE);
}

export function forget(scene) {
  for (const {flags} of scene.parts) flags.forEach((f, k) => { flags[k] = f & ~(SAME | ALONE); });
}
