// What is shown: one scene or two compared, hidden roles, members picked out, bodies, the cut.

import {HOVERED, SELECTED, cornersOf} from './scene.js';

export class Shown {
  constructor() {
    this.scene = this.second = this.hovered = this.cut = null;
    this.selected = new Set();
    this.hidden = new Set();
    this.bodies = [];
    this.box = {low: [-1, -1, -1], high: [1, 1, 1]};
  }

  get scenes() { return [this.scene, this.second].filter(Boolean); }

  begin(scene) {
    this.scene = scene;
    this.second = this.hovered = null;
    this.selected = new Set();
    this.box = scene.box();
  }

  // Both return the parts whose flags have changed.
  select(ids) {
    const touched = new Set(), before = this.selected;
    this.selected = new Set(ids);
    for (const [list, on] of [[before, false], [this.selected, true]])
      for (const id of list) touched.add(this.scene.flag(id, SELECTED, on));
    return touched;
  }

  hover(id) {
    const touched = [];
    for (const [one, on] of [[this.hovered, false], [id, true]])
      if (one !== null && this.scene) touched.push(this.scene.flag(one, HOVERED, on));
    this.hovered = id;
    return touched;
  }

  showRoles(shown) {
    for (const [role, is] of Object.entries(shown))
      if (is) this.hidden.delete(role); else this.hidden.add(role);
  }

  roles() {
    return (this.scene?.members.roles || []).map(
      (role) => ({...role, shown: !this.hidden.has(role.role)}));
  }

  // Outermost corners of these members, or of all that is shown.
  points(ids) {
    const found = [];
    if (ids?.length) for (const id of ids) {
      const {part, k} = this.scene.at(id);
      found.push(...cornersOf(part, k));
    } else for (const scene of this.scenes) for (const part of scene.parts) {
      if (this.hidden.has(part.role) || part.small) continue;
      for (let k = 0; k < part.count; k++) found.push(...cornersOf(part, k));
    }
    return found.length ? found : [this.box.low, this.box.high];
  }

  // The plane of the cut: what lies on its positive side is taken away.
  plane() {
    if (!this.cut) return [0, 0, 0, 1];
    const {axis, at_mm, side} = this.cut, way = side === 'high' ? -1 : 1;
    const plane = [0, 0, 0, way * at_mm / 1000];
    plane['xyz'.indexOf(axis)] = way;
    return plane;
  }
}
