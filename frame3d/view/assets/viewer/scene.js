// The scene of a frame: its distinct parts with their places, and the members that they make.

import {linear} from './colours.js';
import {readParts} from './glb.js';
import {mm, plus, sub, turned} from './vectors.js';

// What the graphics card is told of a member.
export const SELECTED = 1;
export const HOVERED = 2;
export const SAME = 4;
export const ALONE = 8;

export function placeOf(part, k) {
  return {shift: part.places.subarray(7 * k, 7 * k + 3),
          turn: part.places.subarray(7 * k + 3, 7 * k + 7)};
}

// The outermost corners of one of the members that a part makes.
export function cornersOf(part, k) {
  const {shift, turn} = placeOf(part, k);
  return part.outer.map((p) => plus(turned(turn, p), shift));
}

// Least and most of points along each axis.
function spans(points) {
  return [0, 1, 2].map((a) => {
    const values = points.map((p) => p[a]);
    return [Math.min(...values), Math.max(...values)];
  });
}

function describe(part, about, role) {
  const sizes = spans(part.outer).map(([low, high]) => high - low).sort((a, b) => a - b);
  Object.assign(part, {
    about, role: role.role, small: role.small,
    light: linear(role.colour), dark: linear(role.dark),
    // What it measures across: the head of a bolt, the outside of a tube.
    across: role.small ? sizes[1] : sizes[0],
  });
}

export class Scene {
  constructor(glb, members) {
    const parts = readParts(glb), next = new Uint32Array(parts.length);
    if (parts.length !== members.parts.length)
      throw new Error(`the scene has ${parts.length} parts, its list ${members.parts.length}`);
    this.parts = parts;
    this.members = members;
    // Of each member the number of its part, and which of the part's places is its own.
    this.slots = members.part_of.map((number, id) => {
      parts[number].ids[next[number]] = id;
      return [number, next[number]++];
    });
    parts.forEach((part, k) => {
      const about = members.parts[k];
      describe(part, about, members.roles[about.role]);
    });
  }

  at(id) {
    const [number, k] = this.slots[id], part = this.parts[number];
    return {part, k, ...placeOf(part, k)};
  }

  member(id) {
    const {members} = this, about = members.parts[members.part_of[id]];
    if (!about) return null;
    const role = members.roles[about.role];
    return {...about, id, role: role.role, colour: role.colour,
            place: members.places[members.place_of[id]]};
  }

  find({mark, role, place}) {
    const {members} = this, found = [];
    const fits = members.parts.map((part) => (mark === undefined || part.mark === mark)
      && (role === undefined || members.roles[part.role].role === role));
    members.part_of.forEach((part, id) => {
      if (fits[part] && (place === undefined || members.places[members.place_of[id]] === place))
        found.push(id);
    });
    return found;
  }

  // Returns the part, whose flags the graphics card does not know yet.
  flag(id, bit, on) {
    const {part, k} = this.at(id);
    part.flags[k] = on ? part.flags[k] | bit : part.flags[k] & ~bit;
    return part;
  }

  // The box round all members. Of a whole frame there are some 80,000 points: none is kept.
  box() {
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (let id = 0; id < this.slots.length; id++) {
      const {part, shift, turn} = this.at(id);
      const axes = [[1, 0, 0], [0, 1, 0], [0, 0, 1]].map((axis) => turned(turn, axis));
      for (let k = 0; k < 3; k++) {
        const x = axes[0][k], y = axes[1][k], z = axes[2][k];
        let least = Infinity, most = -Infinity;
        for (const p of part.outer) {
          const at = x * p[0] + y * p[1] + z * p[2];
          if (at < least) least = at;
          if (at > most) most = at;
        }
        low[k] = Math.min(low[k], least + shift[k]);
        high[k] = Math.max(high[k], most + shift[k]);
      }
    }
    return this.slots.length ? {low, high} : {low: [-1, -1, -1], high: [1, 1, 1]};
  }

  // The corner of a member that is nearest to its middle, mm.
  anchor(id) {
    const {part: {outer, points}, shift, turn} = this.at(id);
    const middle = spans(outer).map(([low, high]) => (low + high) / 2);
    let best = Infinity, at = [0, 0, 0];
    for (let n = 0; n < points.length; n += 3) {
      const p = [points[n], points[n + 1], points[n + 2]], far = Math.hypot(...sub(p, middle));
      if (far < best) { best = far; at = p; }
    }
    return mm(plus(turned(turn, at), shift));
  }
}
