// Measuring: two points on members, snapped to corners near by, and what lies between them.

import {cross, dot, metres, mm, plus, sub, turned} from './vectors.js';

// Where the ray through a pixel meets a member, mm: at the surface, or at the cut that opens it.
export function hit(shown, camera, id, x, y) {
  const {part: {points, indices}, shift, turn} = shown.scene.at(id);
  const back = [-turn[0], -turn[1], -turn[2], turn[3]], ray = camera.ray(x, y);
  const from = turned(back, sub(ray.from, [...shift])), way = turned(back, ray.way);
  const [nx, ny, nz, w] = shown.plane(), facing = dot([nx, ny, nz], ray.way);
  const open = shown.cut && facing < 0 ? (w - dot([nx, ny, nz], ray.from)) / facing : -Infinity;
  const corner = (n) => [points[3 * n], points[3 * n + 1], points[3 * n + 2]];
  let best = Infinity, inside = false;
  for (let n = 0; n < indices.length; n += 3) {
    const a = corner(indices[n]), e = sub(corner(indices[n + 1]), a);
    const f = sub(corner(indices[n + 2]), a), p = cross(way, f), det = dot(e, p);
    if (Math.abs(det) < 1e-14) continue;
    const s = sub(from, a), u = dot(s, p) / det, q = cross(s, e), v = dot(way, q) / det;
    const t = dot(f, q) / det;
    if (u < -1e-6 || v < -1e-6 || u + v > 1 + 1e-6 || t <= Math.max(0, open) || t >= best) continue;
    if (shown.cut && dot([nx, ny, nz], plus(ray.from, ray.way, t)) > w + 1e-6) continue;
    best = t;
    inside = det < 0;
  }
  if (best === Infinity) return null;
  return mm(plus(ray.from, ray.way, inside && open > 0 ? open : best));
}

// The corner of a member within `reach` CSS pixels, or where the ray meets it, mm.
function snapped(shown, camera, {id, x, y}, reach) {
  const surface = hit(shown, camera, id, x, y) || shown.scene.anchor(id);
  const {part: {points}, shift, turn} = shown.scene.at(id), [nx, ny, nz, w] = shown.plane();
  const toward = camera.toward(), depth = dot(metres(surface), toward);
  let best = reach, at = surface;
  for (let n = 0; n < points.length; n += 3) {
    const p = plus(turned(turn, [points[n], points[n + 1], points[n + 2]]), shift);
    if (dot([nx, ny, nz], p) > w || dot(p, toward) < depth - 0.08) continue;
    const [px, py] = camera.project(mm(p)), far = Math.hypot(px - x, py - y);
    if (far < best) { best = far; at = mm(p); }
  }
  return at;
}

export class Measure {
  constructor() { this.switch(false); }

  switch(on) {
    this.on = on;
    this.points = [];
  }

  // The next point, where a member was picked; a third one begins anew.
  add(picked, shown, camera) {
    if (this.points.length === 2) this.points = [];
    this.points.push(snapped(shown, camera, picked, 11));
  }

  told() {
    const [a, b] = this.points;
    const told = {a: a || null, b: b || null, distance: null, dx: null, dy: null, dz: null};
    if (a && b) {
      [told.dx, told.dy, told.dz] = sub(b, a);
      told.distance = Math.hypot(told.dx, told.dy, told.dz);
    }
    return told;
  }
}
