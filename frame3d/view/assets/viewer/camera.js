// The camera: where the eye is and how it moves, and what lies where on the canvas.

import {clamp, dot, metres, mm, plus, sub, times, unit} from './vectors.js';

const VIEWS = {
  front: [-90, 0], back: [90, 0], left: [180, 0], right: [0, 0], top: [-90, 90], iso: [-122, 20],
};
const FIELD = 26 * Math.PI / 180;
const TALL = Math.tan(FIELD / 2);
// How near the eye comes to what it is brought to, metres.
const NEAREST = 0.25;
// By how much a frame may outgrow the picture, or shrink in it, before all of it is looked at.
const GROWN = 1.04, SHRUNK = 0.6;

function axesOf({azimuth, elevation}) {
  const a = azimuth * Math.PI / 180, e = elevation * Math.PI / 180;
  const [ca, sa, ce, se] = [Math.cos(a), Math.sin(a), Math.cos(e), Math.sin(e)];
  return {right: [-sa, ca, 0], up: [-se * ca, -se * sa, ce], toward: [ce * ca, ce * sa, se]};
}

// The nearest eye that sees all points: along each axis two bounds meet.
function fitted(points, aspect, azimuth, elevation, least) {
  const {right, up, toward} = axesOf({azimuth, elevation});
  const tall = TALL * 0.88, wide = tall * aspect;
  let across = [Infinity, -Infinity], along = [Infinity, -Infinity], deep = [Infinity, -Infinity];
  for (const p of points) {
    const x = dot(p, right), y = dot(p, up), z = dot(p, toward);
    across = [Math.min(across[0], x - z * wide), Math.max(across[1], x + z * wide)];
    along = [Math.min(along[0], y - z * tall), Math.max(along[1], y + z * tall)];
    deep = [Math.min(deep[0], z), Math.max(deep[1], z)];
  }
  const off = Math.max((across[1] - across[0]) / 2 / wide, (along[1] - along[0]) / 2 / tall);
  const middle = (deep[0] + deep[1]) / 2;
  const x = (across[0] + across[1]) / 2, y = (along[0] + along[1]) / 2;
  const target = [0, 1, 2].map((k) => right[k] * x + up[k] * y + toward[k] * middle);
  return {target, distance: Math.max(off - middle, least, 0.3), azimuth, elevation};
}

function cornersOfBox({low, high}) {
  return [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [0, 1, 2].map((a) => ((k >> a) & 1 ? high : low)[a]));
}

// Where on the way from a to b a box begins, as a share of it: 1 or more for nowhere, 0 inside.
function entered(a, b, {low, high}) {
  let from = 0, to = Infinity;
  for (let k = 0; k < 3; k++) {
    const way = b[k] - a[k];
    if (Math.abs(way) < 1e-9) {
      if (a[k] < low[k] || a[k] > high[k]) return Infinity;
      continue;
    }
    const ends = [(low[k] - a[k]) / way, (high[k] - a[k]) / way];
    from = Math.max(from, Math.min(...ends));
    to = Math.min(to, Math.max(...ends));
  }
  return from <= to ? from : Infinity;
}

export class Camera {
  // `onChange()`: the eye has moved, or begins to. `surface(x, y)`: what lies under CSS pixels on
  // the canvas, in metres; null for nothing.
  constructor(canvas, shown, onChange, surface = () => null) {
    this.canvas = canvas;
    this.shown = shown;
    this._onChange = onChange;
    this._surface = surface;
    // The box of what is looked at as a whole; null once the eye was brought to a part of it.
    this._whole = null;
    // What zooming goes to, and where on the canvas that is.
    this._about = null;
    this._eye = {target: [0, 0, 0], distance: 10, azimuth: VIEWS.iso[0], elevation: VIEWS.iso[1]};
  }

  told() { return {...this._eye, target: mm(this._eye.target)}; }

  // Whoever sets it knows it: two viewers in step do not call each other for ever.
  set({target, distance, azimuth, elevation}) {
    this._moving = this._whole = this._about = null;
    this._eye = {target: metres(target), distance, azimuth, elevation};
    if (this.hasMoved()) this._onChange();
  }

  // Whether the eye is elsewhere than when this was last asked.
  hasMoved() {
    const before = this._words;
    this._words = JSON.stringify(this.told());
    return this._words !== before;
  }

  view(name, {at_once = false} = {}) {
    const [azimuth, elevation] = VIEWS[name] || VIEWS.iso;
    this._whole = this.shown.box;
    this._go(fitted(this.shown.points(), this._aspect(), azimuth, elevation, 0), at_once);
  }

  fit(ids, {at_once = false} = {}) {
    const {azimuth, elevation} = this._eye, least = ids?.length ? 1.6 : 0;
    this._whole = ids?.length ? null : this.shown.box;
    this._go(fitted(this.shown.points(ids), this._aspect(), azimuth, elevation, least), at_once);
  }

  // The frame is another: whoever looked at all of the last one looks at all of this one too,
  // once it has outgrown the picture or shrunk in it.
  follow() {
    this._about = null;
    if (!this._whole) return;
    const {azimuth, elevation} = this._moving?.to || this._eye;
    const [before, now] = [this._whole, this.shown.box].map(
      (box) => fitted(cornersOfBox(box), this._aspect(), azimuth, elevation, 0).distance);
    if (now > GROWN * before || now < SHRUNK * before) this.fit();
  }

  // The canvas has another shape.
  reshape() {
    if (this._whole && this.shown.scene) this.fit(null, {at_once: true});
  }

  _go(eye, at_once = false) {
    this._about = null;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    if (at_once || still) {
      this._eye = eye;
      this._moving = null;
    } else {
      const from = {...this._eye};
      const turn = ((eye.azimuth - from.azimuth) % 360 + 540) % 360 - 180;
      this._moving = {from, to: {...eye, azimuth: from.azimuth + turn}, start: performance.now()};
    }
    this._onChange();
  }

  // One picture further on the way to where it goes.
  step() {
    if (!this._moving) return;
    const {from, to, start} = this._moving;
    const t = clamp((performance.now() - start) / 280, 0, 1), s = t * t * (3 - 2 * t);
    const mix = (a, b) => a + (b - a) * s;
    this._eye = {
      target: from.target.map((v, k) => mix(v, to.target[k])),
      distance: Math.exp(mix(Math.log(from.distance), Math.log(to.distance))),
      azimuth: mix(from.azimuth, to.azimuth), elevation: mix(from.elevation, to.elevation),
    };
    if (t >= 1) this._moving = null; else this._onChange();
  }

  turn(across, up) {
    this._moving = this._about = null;
    this._eye.azimuth = (this._eye.azimuth + across) % 360;
    this._eye.elevation = clamp(this._eye.elevation + up, -89.9, 90);
    this._onChange();
  }

  // By CSS pixels: what was under the finger stays under it.
  pan(dx, dy) {
    this._moving = this._whole = null;
    if (this._about) { this._about.x += dx; this._about.y += dy; }
    this._shift(-dx * this._scale(), dy * this._scale());
    this._onChange();
  }

  // Toward or away from what lies under CSS pixels on the canvas, which stays under them.
  zoom(factor, x = this.canvas.clientWidth / 2, y = this.canvas.clientHeight / 2) {
    this._moving = this._whole = null;
    const {low, high} = this.shown.box, {target, distance} = this._eye;
    const most = 60 * Math.max(1, Math.hypot(...sub(high, low)));
    const eye = this.ray(x, y).from, {point, solid} = this._aim(x, y);
    let share = clamp(factor, 0, most / distance);
    if (share < 1) share = Math.max(share, Math.min(1, NEAREST / Math.hypot(...sub(eye, point))));
    // Beside everything nothing stops the eye but the frame, which it does not fly into.
    const way = plus(point, sub(eye, point), share);
    if (!solid && share < 1 && entered(eye, way, this.shown.box) < 1) return;
    this._eye.target = plus(point, sub(target, point), share);
    this._eye.distance = distance * share;
    this._onChange();
  }

  // What lies there, worked out once for a wheel that goes on turning.
  _aim(x, y) {
    const about = this._about;
    if (about && Math.hypot(x - about.x, y - about.y) < 3) return about;
    const found = this._surface(x, y), {from, way} = this.ray(x, y);
    const deep = this._eye.distance / -dot(way, this.toward());
    this._about = {x, y, point: found || plus(from, way, deep), solid: Boolean(found)};
    return this._about;
  }

  _shift(across, high) {
    const {right, up} = axesOf(this._eye);
    this._eye.target = plus(plus(this._eye.target, right, across), up, high);
  }

  // Metres of a CSS pixel at the target.
  _scale() { return 2 * this._eye.distance * TALL / this.canvas.clientHeight; }

  _aspect() { return (this.canvas.clientWidth || 1) / (this.canvas.clientHeight || 1); }

  toward() { return axesOf(this._eye).toward; }

  // Looking matrix, the eye, and how many metres a pixel shows of what is nearest to it; with a
  // window (x, y in CSS pixels, size) only that bit of the picture.
  look(window = null) {
    const {right, up, toward} = axesOf(this._eye), {target, distance} = this._eye;
    const eye = plus(target, toward, distance), {low, high} = this.shown.box;
    const reach = Math.hypot(...sub(high, low)) + Math.hypot(...sub(target, low));
    const near = Math.max(distance * 0.02, 0.02), far = distance + 3 * reach + 20;
    const tall = 1 / TALL, wide = tall / this._aspect();
    const see = new Float32Array([
      right[0], up[0], toward[0], 0, right[1], up[1], toward[1], 0,
      right[2], up[2], toward[2], 0, -dot(right, eye), -dot(up, eye), -dot(toward, eye), 1,
    ]);
    const flat = new Float32Array([
      wide, 0, 0, 0, 0, tall, 0, 0, 0, 0, (far + near) / (near - far), -1,
      0, 0, 2 * far * near / (near - far), 0,
    ]);
    const off = [0, 1, 2].map((k) => Math.max(low[k] - eye[k], 0, eye[k] - high[k]));
    const pixel = Math.hypot(...off) * 2 * TALL / this.canvas.height;
    return {matrix: times(window ? this._within(window, flat) : flat, see), eye, pixel};
  }

  _within({x, y, size}, flat) {
    const {clientWidth: w, clientHeight: h} = this.canvas;
    const [sx, sy] = [w / size, h / size];
    const [cx, cy] = [2 * x / w - 1, 1 - 2 * y / h];
    return times(new Float32Array(
      [sx, 0, 0, 0, 0, sy, 0, 0, 0, 0, 1, 0, -cx * sx, -cy * sy, 0, 1]), flat);
  }

  project(point) {
    const p = metres(point), {matrix: m} = this.look();
    const at = (r) => m[r] * p[0] + m[4 + r] * p[1] + m[8 + r] * p[2] + m[12 + r];
    const w = at(3);
    return [(at(0) / w + 1) / 2 * this.canvas.clientWidth,
            (1 - at(1) / w) / 2 * this.canvas.clientHeight];
  }

  // As project, but null for what is behind the eye.
  seen(point) {
    const {eye} = this.look(), ahead = dot(sub(eye, metres(point)), this.toward());
    return ahead > 0.05 ? this.project(point) : null;
  }

  // Degrees from straight up, clockwise, at which a needle seen from above points north, where the
  // front faces so many degrees from it.
  northward(faces) {
    const turn = faces * Math.PI / 180, north = [Math.sin(turn), -Math.cos(turn), 0];
    const {right} = axesOf(this._eye), ahead = [-right[1], right[0], 0];
    return Math.atan2(dot(north, right), dot(north, ahead)) * 180 / Math.PI;
  }

  ray(x, y) {
    const {right, up, toward} = axesOf(this._eye);
    const across = (2 * x / this.canvas.clientWidth - 1) * TALL * this._aspect();
    const high = (1 - 2 * y / this.canvas.clientHeight) * TALL;
    const way = unit(plus(plus(plus([0, 0, 0], right, across), up, high), toward, -1));
    return {from: plus(this._eye.target, toward, this._eye.distance), way};
  }
}
