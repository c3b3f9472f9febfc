// The room that people and machines need: see-through prisms along the tunnel.

import {linear} from './colours.js';

const COLOURS = {headroom: '#2a9d6e', machine: '#e0872d'};
const NO_ROOM = '#cc2936';

// The prism of a body in metres: corners of triangles and ends of lines, one after another.
export function prism({outline, from_mm, to_mm, kind, colour, fits}) {
  const at = ([x, z], y) => [x / 1000, y / 1000, z / 1000];
  const fill = [], lines = [], caps = earClip(outline);
  for (const y of [from_mm, to_mm]) for (const k of caps) fill.push(...at(outline[k], y));
  outline.forEach((p, k) => {
    const q = outline[(k + 1) % outline.length];
    const [a, b, c, d] = [at(p, from_mm), at(q, from_mm), at(q, to_mm), at(p, to_mm)];
    fill.push(...a, ...b, ...c, ...a, ...c, ...d);
    lines.push(...a, ...b, ...d, ...c);
    // Edges along the tunnel only where the outline turns a corner.
    const o = outline[(k + outline.length - 1) % outline.length];
    const bend = Math.atan2(q[1] - p[1], q[0] - p[0]) - Math.atan2(p[1] - o[1], p[0] - o[0]);
    if (Math.abs(Math.sin(bend)) > 0.2 || Math.cos(bend) < 0) lines.push(...a, ...d);
  });
  return {fill, lines, colour: linear(colour || (fits === false ? NO_ROOM : COLOURS[kind]))};
}

// An outline in triangles, by cutting off ears; numbers of its corners.
export function earClip(outline) {
  const area2 = (a, b, c) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
  let total = 0;
  outline.forEach((p, k) => {
    const q = outline[(k + 1) % outline.length];
    total += p[0] * q[1] - q[0] * p[1];
  });
  const left = outline.map((_, k) => k);
  if (total < 0) left.reverse();
  const found = [];
  let idle = 0;
  while (left.length > 3 && idle < left.length) {
    const [i, j, k] = [left[left.length - 1], left[0], left[1]];
    const [a, b, c] = [outline[i], outline[j], outline[k]];
    const ear = area2(a, b, c) > 0 && !left.slice(2, -1).some((n) => {
      const p = outline[n];
      return area2(a, b, p) >= 0 && area2(b, c, p) >= 0 && area2(c, a, p) >= 0;
    });
    if (ear) { found.push(i, j, k); left.shift(); idle = 0; }
    else { left.push(left.shift()); idle++; }
  }
  if (left.length === 3) found.push(...left);
  return found;
}
