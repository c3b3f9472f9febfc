// Hands on the canvas. Mouse: drag turns, right or shift and drag moves, wheel zooms where it
// points, double click goes near. Touch: one finger turns, two move and zoom. Keys: see LABEL, and
// Escape takes back.

import {clamp} from './vectors.js';

const LABEL = 'The frame in 3D. Arrow keys turn it, Shift and arrow keys move it, plus and '
  + 'minus zoom, F fits it, 1 to 6 are views, Enter selects what is in the middle.';
const KEYS = ['front', 'back', 'left', 'right', 'top', 'iso'];
const ARROWS = {ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1]};

export class Controls {
  // `acts`: click(x, y, event), hover([x, y] or null), near(x, y), fit(), back(event), redraw().
  constructor(canvas, camera, acts) {
    this._canvas = canvas;
    this._camera = camera;
    this._acts = acts;
    // Whether the last hand was on the keys.
    this.byKeys = false;
    this._held = new Map();
    this._start = null;
    this._pause = 0;
    canvas.tabIndex = canvas.tabIndex >= 0 ? canvas.tabIndex : 0;
    Object.assign(canvas.style, {touchAction: 'none', cursor: 'grab'});
    if (!canvas.hasAttribute('aria-label')) canvas.setAttribute('aria-label', LABEL);
    if (!canvas.hasAttribute('role')) canvas.setAttribute('role', 'application');
    this._listen();
  }

  _listen() {
    const {_canvas: canvas, _acts: acts, _held: held} = this;
    const on = (name, act, more) => canvas.addEventListener(name, act, more);
    on('pointerdown', (event) => this._down(event));
    on('pointermove', (event) => this._move(event));
    on('pointerup', (event) => this._lift(event));
    on('pointercancel', (event) => this._lift(event));
    on('pointerleave', (event) => {
      if (!held.size && event.pointerType === 'mouse') acts.hover(null);
    });
    on('contextmenu', (event) => event.preventDefault());
    on('dblclick', (event) => acts.near(...this._where(event)));
    on('wheel', (event) => {
      event.preventDefault();
      const lines = event.deltaMode === 1 ? 18 : event.deltaMode === 2 ? 300 : 1;
      const factor = Math.exp(clamp(event.deltaY * lines, -240, 240) * 0.0016);
      this._camera.zoom(factor, ...this._where(event));
    }, {passive: false});
    on('keydown', (event) => this._key(event));
    on('focus', acts.redraw);
    on('blur', acts.redraw);
  }

  _where(event) {
    const box = this._canvas.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  _down(event) {
    this.byKeys = false;
    this._canvas.setPointerCapture(event.pointerId);
    this._held.set(event.pointerId, this._where(event));
    this._start = this._held.size === 1 ? {at: this._where(event), moved: false} : null;
  }

  _move(event) {
    const held = this._held, start = this._start;
    const at = this._where(event), before = held.get(event.pointerId);
    if (!before) {
      if (event.pointerType === 'mouse') this._lookUnder(at);
      return;
    }
    if (start && !start.moved && Math.hypot(at[0] - start.at[0], at[1] - start.at[1]) < 4) return;
    if (start) start.moved = true;
    const pair = [...held.values()];
    held.set(event.pointerId, at);
    const [dx, dy] = [at[0] - before[0], at[1] - before[1]];
    if (held.size === 1) {
      const aside = event.shiftKey || (event.buttons & 6);
      if (aside) this._camera.pan(dx, dy); else this._camera.turn(-dx * 0.35, dy * 0.35);
    } else if (held.size === 2) this._pinch(pair, [...held.values()]);
  }

  _pinch(before, now) {
    const middle = (p) => [(p[0][0] + p[1][0]) / 2, (p[0][1] + p[1][1]) / 2];
    const apart = (p) => Math.hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]) || 1;
    const [a, b] = [middle(before), middle(now)];
    this._camera.pan(b[0] - a[0], b[1] - a[1]);
    this._camera.zoom(apart(before) / apart(now), ...b);
  }

  _lift(event) {
    this._held.delete(event.pointerId);
    const still = this._start && !this._start.moved;
    if (event.type === 'pointerup' && still && event.button === 0)
      this._acts.click(...this._where(event), event);
    if (!this._held.size) this._start = null;
  }

  // On a slow machine the mouse is asked after only when it comes to rest.
  _lookUnder(at) {
    this._under = at;
    if (this._looking && this._pause < 40) return;
    clearTimeout(this._looking);
    this._looking = setTimeout(() => {
      this._looking = 0;
      const began = performance.now();
      this._acts.hover(this._under);
      this._pause = clamp(2 * (performance.now() - began), 0, 400);
    }, this._pause);
  }

  _key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const {key, shiftKey} = event, {_camera: camera, _acts: acts} = this;
    this.byKeys = true;
    const middle = [this._canvas.clientWidth / 2, this._canvas.clientHeight / 2];
    if (ARROWS[key]) {
      const [x, y] = ARROWS[key];
      if (shiftKey) camera.pan(30 * x, 30 * y); else camera.turn(-5 * x, 5 * y);
    } else if (key === '+' || key === '=') camera.zoom(0.85);
    else if (key === '-' || key === '_') camera.zoom(1 / 0.85);
    else if (key === 'f' || key === 'F') acts.fit();
    else if (key >= '1' && key <= '6') camera.view(KEYS[key - 1]);
    else if (key === 'Enter') acts.click(...middle, event);
    else if (key === 'Escape') acts.back(event);
    else { acts.redraw(); return; }
    event.preventDefault();
  }
}
