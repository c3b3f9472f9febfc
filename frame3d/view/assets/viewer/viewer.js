// The frame on a canvas, by WebGL 2 and without a library, for the page and view.html.
//
//   const viewer = new Viewer(canvas, {onPick, onMeasure, onHover, onCamera, theme})
//
// Throws an Error with a plain message where the browser has no WebGL 2; show the sheets then.
// The canvas must stand in an element that is positioned: an overlay is put beside it. `theme` is
// 'light', 'dark' or 'auto'. Lengths are millimetres in the frame's axes: x across (right +), y
// along from the first hoop, z up from the ground. An id is a member's number in the scene, from 0.
//
// Called back:
//   onPick(id or null, event)   a member was clicked, tapped or entered; null beside all
//   onHover(id or null)         the mouse came over another member
//   onMeasure({a, b, distance, dx, dy, dz})   b and the figures are null after the first point;
//                               all are null when the measure was taken back
//   onCamera(camera)            the eye moved (to keep two viewers in step)
//
// Methods:
//   setScene(glb, members, {keepCamera})   an ArrayBuffer and its members as frame3d.view makes
//                               them; the eye goes aslant unless it is to be kept, and nothing
//                               is selected any more
//   setSecondScene(glb, members, {draw})   compares: equal members grey, those of the
//                               first alone and of the second alone each in a colour; draw: false
//                               colours without drawing the second. Returns {same, first, second}
//                               counts. setSecondScene(null) ends it.
//   setBodies([{kind, name, fits, outline: [[x, z], ...], from_mm, to_mm, colour}])   see-through
//                               prisms along the tunnel; kind 'headroom' or 'machine'
//   setThings(kind, [thing])    what stands beside or under the frame, in place of what was there
//                               of that kind; what a thing is: see things.js
//   showScale(on)               somebody for scale, the word front, and a compass where the
//                               design says where the front faces
//   showRoles({role: bool})     shows and hides; roles left out stay as they are
//   roles()                     [{role, group, colour, dark, count, small, shown}]
//   member(id)                  {id, mark, role, what, section, length, length_mm, mass, count,
//                               place, colour}
//   find({mark, role, place})   ids of the members for which all that is given holds
//   select(ids)                 picks members out; the others fade. select([]) ends it
//   selected()                  ids
//   section({axis, at_mm, side} or null)   cuts square to 'x', 'y' or 'z'; side 'low' or 'high'
//                               is the one that stays
//   extent()                    {low, high} of all members
//   measure(on)                 from now on two clicks are points, snapped to corners near by
//   view('front' | 'back' | 'left' | 'right' | 'top' | 'iso')
//   fit(ids)                    brings all that is shown, or these members, into the picture
//   camera(), setCamera(c)      {target, distance, azimuth, elevation}; plain numbers
//   resize()                    is called by itself when the canvas changes its size
//   project(point)              [x, y] in CSS pixels on the canvas; anchor(id): a point on a member
//   seen(point)                 as project, but null for what lies behind the eye
//   pickAt(x, y)                the id at CSS pixels on the canvas, or null
//   picture()                   the view as a data URL (PNG)
//   text(mm)                    a length in the scene's units
// Fields: lost (true while the browser has taken the context away), frames (drawn so far).

import {Camera} from './camera.js';
import {THEMES} from './colours.js';
import {Controls} from './controls.js';
import {compare, forget} from './difference.js';
import {lengthText} from './lengths.js';
import {Measure, hit} from './measuring.js';
import {Overlay} from './overlay.js';
import {Painting} from './painting.js';
import {Picking} from './picking.js';
import {Scene} from './scene.js';
import {LATER, Shadow} from './shadow.js';
import {Shown} from './shown.js';
import {PERSON_MM, Things, person} from './things.js';
import {metres, mm, plus} from './vectors.js';
import {Graphics} from './webgl.js';

export class Viewer {
  constructor(canvas, {onPick, onMeasure, onHover, onCamera, theme = 'auto'} = {}) {
    this.canvas = canvas;
    this._tell = {onPick, onMeasure, onHover, onCamera};
    this.frames = 0;
    this._scaled = true;
    this.gl = canvas.getContext('webgl2', {antialias: true, alpha: false, stencil: false});
    if (!this.gl)
      throw new Error('This browser cannot show 3D (WebGL 2 is missing).');
    this._shown = new Shown();
    this._measure = new Measure();
    this._things = new Things();
    this._camera = new Camera(canvas, this._shown, () => this._draw(), (x, y) => this._under(x, y));
    this._prepare();
    this._overlay = new Overlay(canvas);
    this._controls = new Controls(canvas, this._camera, {
      click: (x, y, event) => this._click(x, y, event),
      hover: (at) => this._hover(at && this.pickAt(...at, 2)),
      near: (x, y) => this._goNear(x, y),
      fit: () => this.fit(this.selected()),
      back: (event) => this._takeBack(event),
      redraw: () => this._draw(),
    });
    this._listen();
    this._follow(theme);
    this.resize();
  }

  get lost() { return this._graphics.lost; }

  // -- scene

  setScene(glb, members, {keepCamera = false} = {}) {
    const scene = new Scene(glb, members);
    this._shown.scenes.forEach((old) => this._graphics.free(old));
    this._shown.begin(scene);
    this._measure.points = [];
    this._graphics.upload(scene);
    // While a frame is shaped its picture comes first, and its shadow a moment later.
    this._shadow.stale = keepCamera && this._shadow.texture ? LATER : true;
    this._scale();
    if (!keepCamera) this._camera.view('iso', {at_once: true});
    else { this._camera.follow(); this._draw(); }
  }

  setSecondScene(glb, members, {draw = true} = {}) {
    const shown = this._shown;
    if (shown.second) this._graphics.free(shown.second);
    shown.second = null;
    forget(shown.scene);
    let counts = null;
    if (glb) {
      const other = new Scene(glb, members);
      counts = compare(shown.scene, other);
      if (draw) { shown.second = other; this._graphics.upload(other); }
    }
    this._graphics.sendFlags(shown.scene.parts);
    this._shadow.stale = true;
    this._draw();
    return counts;
  }

  setBodies(bodies) {
    // None after none changes nothing, and a picture takes its time.
    if (!bodies.length && !this._shown.bodies.length) return;
    this._shown.bodies.forEach((body) => this._graphics.freeBody(body));
    this._shown.bodies = bodies.map((given) => ({given}));
    this._shown.bodies.forEach((body) => this._graphics.uploadBody(body));
    this._draw();
  }

  showRoles(shown) {
    this._shown.showRoles(shown);
    this._shadow.stale = true;
    this._draw();
  }

  roles() { return this._shown.roles(); }
  member(id) { return this._shown.scene.member(id); }
  find(about = {}) { return this._shown.scene.find(about); }
  anchor(id) { return this._shown.scene.anchor(id); }
  extent() { return {low: mm(this._shown.box.low), high: mm(this._shown.box.high)}; }

  text(length) {
    return lengthText(length, this._shown.scene?.members || {units: 'metric', decimals: 0});
  }

  section(cut) {
    this._shown.cut = cut ? {...cut} : null;
    this._shadow.stale ||= true;
    this._draw();
  }

  setThings(kind, things) {
    if (this._things.set(kind, things, this._graphics)) this._draw();
  }

  showScale(on) {
    this._scaled = on;
    this._scale();
    this._draw();
  }

  // Somebody beside the front, and what is the front.
  _scale() {
    const {scene, box: {low, high}} = this._shown;
    if (!scene) return;
    const {front} = scene.members, [x, y] = mm([(low[0] + high[0]) / 2, low[1]]);
    const beside = [mm(low)[0] - 700, y + 500];
    this._things.set('scale', this._scaled ? [person(beside, this.text(PERSON_MM)), {
      triangles: [-260, -1300, 4, 260, -1300, 4, 0, -1800, 4, -70, -600, 4, 70, -600, 4, 70, -1300, 4,
                  -70, -600, 4, 70, -1300, 4, -70, -1300, 4],
      at: [x, y], lit: false, colour: {light: '#4a5661', dark: '#b4bec6'},
      labels: [{at: [x, y - 2600, 0], text: front ? `front, faces ${front.faces}` : 'front'}],
    }] : [], this._graphics);
  }

  // -- the eye

  camera() { return this._camera.told(); }
  setCamera(camera) { this._camera.set(camera); }
  view(name) { this._camera.view(name); }
  fit(ids) { this._camera.fit(ids); }
  project(point) { return this._camera.project(point); }
  seen(point) { return this._camera.seen(point); }

  // -- picking and measuring

  select(ids) {
    this._graphics.sendFlags(this._shown.select(ids || []));
    this._draw();
  }

  selected() { return [...this._shown.selected]; }
  pickAt(x, y, reach = 3) { return this._pick(x, y, reach)?.id ?? null; }

  measure(on) {
    this._measure.switch(Boolean(on));
    this.canvas.style.cursor = on ? 'crosshair' : 'grab';
    this._tellMeasure();
  }

  // The surface under a pixel, m: of a member, or of the ground where it is drawn.
  _under(x, y) {
    const picked = this._pick(x, y, 6), {_camera: camera, _shown: shown} = this;
    const met = picked && hit(shown, camera, picked.id, picked.x, picked.y);
    if (met) return metres(met);
    const {from, way} = camera.ray(x, y), {low, high} = shown.box;
    if (from[2] * way[2] >= 0) return null;
    const at = plus(from, way, -from[2] / way[2]);
    const wide = 0.7 * Math.max(high[0] - low[0], high[1] - low[1]) + 2;
    const off = [0, 1].map((k) => Math.max(low[k] - at[k], at[k] - high[k]));
    return Math.max(...off) < wide ? at : null;
  }

  _pick(x, y, reach) {
    if (!this._shown.scene || this.lost) return null;
    return this._picking.pick(this._shown, this._camera, x, y, reach);
  }

  _hover(id) {
    if (id === this._shown.hovered) return;
    this._graphics.sendFlags(this._shown.hover(id));
    this.canvas.style.cursor = this._measure.on ? 'crosshair' : id === null ? 'grab' : 'pointer';
    this._tell.onHover?.(id);
    this._draw();
  }

  _click(x, y, event) {
    const picked = this._pick(x, y, event.pointerType === 'touch' ? 10 : 4);
    if (!this._measure.on) this._tell.onPick?.(picked ? picked.id : null, event);
    else if (picked) {
      this._measure.add(picked, this._shown, this._camera);
      this._tellMeasure();
    }
  }

  _goNear(x, y) {
    const id = this._measure.on ? null : this.pickAt(x, y);
    if (id !== null) this.fit([id]);
  }

  _takeBack(event) {
    if (this._measure.on) this.measure(true);
    else this._tell.onPick?.(null, event);
  }

  _tellMeasure() {
    this._tell.onMeasure?.(this._measure.told());
    this._draw();
  }

  // -- drawing

  resize() {
    const {canvas} = this, scale = Math.min(devicePixelRatio || 1, 2.5);
    const width = Math.max(1, Math.round(canvas.clientWidth * scale));
    const height = Math.max(1, Math.round(canvas.clientHeight * scale));
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
      if (canvas.clientWidth) this._camera.reshape();
    }
    this._draw();
  }

  picture() {
    this._shadow.stale &&= true;
    this._paint();
    return this.canvas.toDataURL('image/png');
  }

  _prepare() {
    this._graphics = new Graphics(this.gl);
    this._shadow = new Shadow(this._graphics);
    this._picking = new Picking(this._graphics);
    this._painting = new Painting(this._graphics, this._shadow, this._things);
  }

  _listen() {
    this.canvas.addEventListener('webglcontextlost', (event) => {
      event.preventDefault();
      this._graphics.lost = true;
    });
    this.canvas.addEventListener('webglcontextrestored', () => {
      this._prepare();
      this._shown.scenes.forEach((scene) => this._graphics.upload(scene));
      this._shown.bodies.forEach((body) => this._graphics.uploadBody(body));
      this._things.renew(this._graphics);
      this._draw();
    });
    new ResizeObserver(() => this.resize()).observe(this.canvas);
  }

  // Takes the colours of a theme; 'auto' is what the reader's system prefers, also later.
  _follow(theme) {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const take = () => {
      this._theme = THEMES[theme === 'auto' ? (dark.matches ? 'dark' : 'light') : theme];
      this._draw();
    };
    dark.addEventListener('change', take);
    take();
  }

  _draw() {
    if (this._asked || this.lost) return;
    this._asked = requestAnimationFrame(() => {
      this._asked = 0;
      this._camera.step();
      this._paint();
    });
  }

  _paint() {
    if (this.lost) return;
    const {_camera: camera, _measure: {points}} = this;
    if (this._shadow.refresh(this._shown)) this._draw();
    this._painting.paint(this._shown, camera.look(), this._theme);
    const words = points.length === 2 ? this.text(this._measure.told().distance) : '';
    const keyed = document.activeElement === this.canvas && this._controls.byKeys;
    this._overlay.paint(points.map((p) => camera.project(p)), words, this._theme, keyed);
    const labels = this._things.labels.map(({at, text}) => ({at: camera.seen(at), text}));
    this._overlay.label(labels.filter(({at}) => at), this._theme);
    const {front} = this._shown.scene?.members || {};
    this._overlay.point(front && this._scaled ? camera.northward(front.degrees) : null, this._theme);
    this.frames++;
    if (camera.hasMoved()) this._tell.onCamera?.(this.camera());
  }
}
