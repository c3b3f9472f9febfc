// The frame on a canvas: one WebGL 2 module without dependencies, for the page and view.html.
//
//   const viewer = new Viewer(canvas, {onPick, onMeasure, onHover, onCamera, theme})
//
// Throws an Error with a plain message where the browser has no WebGL 2; show the sheets then.
// The canvas must stand in an element that is positioned (the module adds an overlay for lines
// of measures beside it). All lengths of this interface are millimetres in the frame's axes: x
// across (right +), y along from the first hoop, z up from the ground. An id is a member's
// number in the scene, from 0.
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
//   showRoles({role: bool})     shows and hides; roles left out stay as they are
//   roles()                     [{role, colour, count, small, shown}]
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
//   pickAt(x, y)                the id at CSS pixels on the canvas, or null
//   setTheme('light' | 'dark' | 'auto')
//   picture()                   the view as a data URL (PNG)
//   text(mm)                    a length in the scene's units
//   dispose()
// Fields: lost (true while the browser has taken the context away), frames (drawn so far),
//   frameTime (ms that drawing the last one took, without the graphics card's own time).
//
// Mouse: drag turns, right or shift and drag moves, wheel zooms where it points, double click
// goes near. Touch: one finger turns, two move and zoom. Keys, with the canvas in focus: arrows
// turn, shift and arrows move, + and - zoom, f fits, 1 to 6 are front, back, left, right, top
// and aslant, Enter picks what is in the middle, Escape takes back.

const VIEWS = {
  front: [-90, 0], back: [90, 0], left: [180, 0], right: [0, 0], top: [-90, 90], iso: [-122, 20],
};
const KEYS = ['front', 'back', 'left', 'right', 'top', 'iso'];
const FIELD = 26 * Math.PI / 180;
const SUN = unit([-0.42, -0.5, 0.86]);
const THEMES = {
  light: {back: '#f2f3ef', ground: '#dfe1d8', grid: '#b9bdb0', accent: '#d3196b', ink: '#16202a',
          halo: '#ffffff', shadow: 0.48},
  dark: {back: '#1b1f23', ground: '#2a2f33', grid: '#474f55', accent: '#ff6fae', ink: '#f2f5f7',
         halo: '#10151a', shadow: 0.55},
};
const DIFFERENT = {same: '#9aa0a6', first: '#d1611f', second: '#1f78b4'};
const BODY_COLOURS = {headroom: '#2a9d6e', machine: '#e0872d'};
const NO_ROOM = '#cc2936';
const SELECTED = 1, HOVERED = 2, SAME = 4, ALONE = 8;
const STRIDE = 7 * 4;
const LATER = 'later';
// How much of a part is drawn.
const ALL = 0, OUTSIDE = 1, FEW = 2;

// ---- shaders -------------------------------------------------------------------------------

const PLACED = `#version 300 es
precision highp float;
layout(location=0) in vec3 aPoint;
layout(location=1) in vec3 aNormal;
layout(location=2) in vec3 aShift;
layout(location=3) in vec4 aTurn;
layout(location=4) in uint aId;
layout(location=5) in uint aFlags;
uniform mat4 uLook;
vec3 turned(vec3 v) { return v + 2.0 * cross(aTurn.xyz, cross(aTurn.xyz, v) + aTurn.w * v); }
`;
const SOLID_VERTEX = PLACED + `
out vec3 vPoint, vNormal;
flat out uint vFlags;
void main() {
  vPoint = turned(aPoint) + aShift;
  vNormal = turned(aNormal);
  vFlags = aFlags;
  gl_Position = uLook * vec4(vPoint, 1.0);
}`;
const CUT = `
uniform vec4 uCut;
void cutAway(vec3 p) { if (dot(uCut.xyz, p) > uCut.w) discard; }
`;
const SCREEN = `
vec3 screen(vec3 c) {
  return mix(12.92 * c, 1.055 * pow(max(c, 0.0), vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c));
}
`;
const SOLID_FRAGMENT = `#version 300 es
precision highp float;
in vec3 vPoint, vNormal;
flat in uint vFlags;
uniform vec3 uColour, uAccent, uSame, uAlone, uBack, uEye, uSun;
uniform vec2 uHaze;
uniform float uDim, uAlpha;
out vec4 oColour;
${CUT}${SCREEN}
void main() {
  cutAway(vPoint);
  vec3 colour = uColour;
  bool chosen = (vFlags & 1u) != 0u;
  if ((vFlags & 4u) != 0u) colour = uSame;
  if ((vFlags & 8u) != 0u) colour = uAlone;
  if (chosen) colour = uAccent;
  else if ((vFlags & 2u) != 0u) colour = mix(colour, uAccent, 0.45);
  vec3 sight = normalize(uEye - vPoint);
  vec3 n = normalize(vNormal);
  vec3 lit;
  if (!gl_FrontFacing) {
    // Behind a cut the inside of a body is seen: its cap, flat and a little darker.
    lit = colour * 0.62;
  } else {
    vec3 sky = vec3(0.60, 0.64, 0.70), earth = vec3(0.34, 0.31, 0.27);
    float sun = max(dot(n, uSun), 0.0);
    vec3 light = mix(earth, sky, n.z * 0.5 + 0.5) + sun * vec3(0.72, 0.68, 0.60)
      + 0.10 * max(dot(n, sight), 0.0);
    float shine = pow(max(dot(n, normalize(uSun + sight)), 0.0), 48.0);
    lit = colour * light + 0.10 * shine;
  }
  float far = clamp((distance(uEye, vPoint) - uHaze.x) / max(uHaze.y - uHaze.x, 0.01), 0.0, 1.0);
  lit = mix(lit, uBack, 0.20 * far);
  if (uDim > 0.0 && !chosen) lit = mix(lit, uBack, uDim);
  oColour = vec4(screen(lit), uAlpha);
}`;
const THROUGH_FRAGMENT = `#version 300 es
precision highp float;
in vec3 vPoint, vNormal;
flat in uint vFlags;
uniform vec3 uColour;
out vec4 oColour;
${CUT}${SCREEN}
void main() {
  if ((vFlags & 1u) == 0u) discard;
  cutAway(vPoint);
  oColour = vec4(screen(uColour), 0.45);
}`;
const PICK_VERTEX = PLACED + `
out vec3 vPoint;
flat out uint vId;
void main() {
  vPoint = turned(aPoint) + aShift;
  vId = aId;
  gl_Position = uLook * vec4(vPoint, 1.0);
}`;
const PICK_FRAGMENT = `#version 300 es
precision highp float;
in vec3 vPoint;
flat in uint vId;
out vec4 oId;
${CUT}
void main() {
  cutAway(vPoint);
  uint n = vId + 1u;
  oId = vec4(n & 255u, (n >> 8) & 255u, (n >> 16) & 255u, 255u) / 255.0;
}`;
const SHADOW_VERTEX = PLACED + `
uniform vec3 uSun;
uniform vec4 uGround;
out vec3 vPoint;
void main() {
  vPoint = turned(aPoint) + aShift;
  vec2 p = vPoint.xy - uSun.xy / uSun.z * max(vPoint.z, 0.0);
  gl_Position = vec4((p - uGround.xy) * uGround.zw - 1.0, 0.0, 1.0);
}`;
const SHADOW_FRAGMENT = `#version 300 es
precision highp float;
in vec3 vPoint;
out vec4 oColour;
${CUT}
void main() { cutAway(vPoint); if (vPoint.z < 0.0) discard; oColour = vec4(1.0); }`;
const GROUND_VERTEX = `#version 300 es
precision highp float;
layout(location=0) in vec2 aCorner;
uniform mat4 uLook;
uniform vec4 uReach;
out vec2 vPoint;
void main() {
  vPoint = uReach.xy + aCorner * uReach.zw;
  gl_Position = uLook * vec4(vPoint, 0.0, 1.0);
}`;
const GROUND_FRAGMENT = `#version 300 es
precision highp float;
in vec2 vPoint;
uniform vec3 uGroundColour, uGridColour;
uniform vec4 uReach, uGround, uCut;
uniform vec2 uGrid;
uniform float uShade, uSoft, uAlpha;
uniform sampler2D uShadow;
out vec4 oColour;
${SCREEN}
float lines(float step_m) {
  vec2 at = vPoint / step_m, wide = fwidth(at);
  vec2 off = abs(fract(at - 0.5) - 0.5) / max(wide, vec2(1e-6));
  float line = 1.0 - min(min(off.x, off.y), 1.0);
  // Lines that come too close melt away.
  return line * (1.0 - smoothstep(0.12, 0.45, max(wide.x, wide.y)));
}
void main() {
  if (dot(uCut.xyz, vec3(vPoint, 0.0)) > uCut.w) discard;
  vec2 from = (vPoint - uReach.xy) / uReach.zw;
  float edge = 1.0 - smoothstep(0.55, 1.0, length(from));
  vec3 colour = mix(uGroundColour, uGridColour, 0.45 * lines(uGrid.x));
  colour = mix(colour, uGridColour, 0.8 * lines(uGrid.y));
  vec2 at = (vPoint - uGround.xy) * uGround.zw * 0.5;
  float shade = texture(uShadow, at, uSoft).r;
  if (any(lessThan(at, vec2(0.0))) || any(greaterThan(at, vec2(1.0)))) shade = 0.0;
  colour *= 1.0 - uShade * shade;
  oColour = vec4(screen(colour), uAlpha * edge);
}`;
const BODY_VERTEX = `#version 300 es
precision highp float;
layout(location=0) in vec3 aPoint;
uniform mat4 uLook;
out vec3 vPoint;
void main() { vPoint = aPoint; gl_Position = uLook * vec4(aPoint, 1.0); }`;
const BODY_FRAGMENT = `#version 300 es
precision highp float;
in vec3 vPoint;
uniform vec3 uColour;
uniform float uAlpha;
out vec4 oColour;
${CUT}${SCREEN}
void main() { cutAway(vPoint); oColour = vec4(screen(uColour), uAlpha); }`;

// ---- small sums ----------------------------------------------------------------------------

function unit(v) { const s = Math.hypot(...v) || 1; return v.map((x) => x / s); }
function sub(a, b) { return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]; }
function plus(a, b, k = 1) { return [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]; }
function dot(a, b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
function turned(q, v) {
  const u = [q[0], q[1], q[2]];
  return plus(v, cross(u, plus(cross(u, v), v, q[3])), 2);
}
function linear(hex) {
  return [1, 3, 5].map((k) => {
    const v = parseInt(hex.slice(k, k + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
}
function times(a, b) {
  const out = new Float32Array(16);
  for (let c = 0; c < 4; c++)
    for (let r = 0; r < 4; r++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += a[k * 4 + r] * b[c * 4 + k];
      out[c * 4 + r] = sum;
    }
  return out;
}
function clamp(v, low, high) { return Math.min(high, Math.max(low, v)); }
function mm(v) { return v.map((x) => x * 1000); }
function metres(v) { return v.map((x) => x / 1000); }

// ---- reading a scene -----------------------------------------------------------------------

function readParts(glb) {
  const view = new DataView(glb);
  if (glb.byteLength < 20 || view.getUint32(0, true) !== 0x46546c67)
    throw new Error('the scene is not a GLB file');
  const length = view.getUint32(12, true);
  const tree = JSON.parse(new TextDecoder().decode(new Uint8Array(glb, 20, length)));
  const start = 20 + length + 8;
  const kinds = {5120: Int8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array};
  const wide = {SCALAR: 1, VEC3: 3, VEC4: 4};
  const numbers = (index) => {
    const accessor = tree.accessors[index], slot = tree.bufferViews[accessor.bufferView];
    const kind = kinds[accessor.componentType];
    const many = slot.byteStride ? accessor.count * slot.byteStride / kind.BYTES_PER_ELEMENT
      : accessor.count * wide[accessor.type];
    return new kind(glb, start + slot.byteOffset + (accessor.byteOffset || 0), many);
  };
  return tree.nodes.filter((node) => node.mesh !== undefined).map((node) => {
    const form = tree.meshes[node.mesh].primitives[0];
    const placed = node.extensions.EXT_mesh_gpu_instancing.attributes;
    const shift = numbers(placed.TRANSLATION), turn = numbers(placed.ROTATION);
    const count = shift.length / 3, places = new Float32Array(count * 7);
    for (let k = 0; k < count; k++) {
      places.set(shift.subarray(3 * k, 3 * k + 3), 7 * k);
      places.set(turn.subarray(4 * k, 4 * k + 4), 7 * k + 3);
    }
    const points = numbers(form.attributes.POSITION), {outside, far} = form.extras || {};
    return {
      points, normals: numbers(form.attributes.NORMAL), indices: numbers(form.indices), places,
      count, outside, far: far === undefined ? null : numbers(far), ids: new Uint32Array(count),
      flags: new Uint8Array(count), outer: outermost(points),
    };
  });
}

// The corners that reach farthest in 26 directions, to find what a member takes up.
function outermost(points) {
  const found = new Set();
  for (let a = -1; a <= 1; a++) for (let b = -1; b <= 1; b++) for (let c = -1; c <= 1; c++) {
    if (!a && !b && !c) continue;
    let best = -Infinity, at = 0;
    for (let k = 0; k < points.length; k += 3) {
      const reach = a * points[k] + b * points[k + 1] + c * points[k + 2];
      if (reach > best) { best = reach; at = k; }
    }
    found.add(at);
  }
  return [...found].map((k) => [points[k], points[k + 1], points[k + 2]]);
}

function readScene(glb, members) {
  const parts = readParts(glb), next = new Uint32Array(parts.length);
  if (parts.length !== members.parts.length)
    throw new Error(`the scene has ${parts.length} parts, its list ${members.parts.length}`);
  const slots = new Array(members.part_of.length);
  members.part_of.forEach((number, id) => {
    const part = parts[number];
    slots[id] = [number, next[number]];
    part.ids[next[number]++] = id;
  });
  parts.forEach((part, k) => {
    const about = members.parts[k], role = members.roles[about.role];
    part.about = about;
    part.role = role.role;
    part.small = role.small;
    part.colour = linear(role.colour);
    const sizes = [0, 1, 2].map((a) => {
      const values = part.outer.map((p) => p[a]);
      return Math.max(...values) - Math.min(...values);
    }).sort((a, b) => a - b);
    // What it measures across: the head of a bolt, the outside of a tube.
    part.across = part.small ? sizes[1] : sizes[0];
  });
  return {parts, members, slots};
}

function placeOf(part, k) {
  return {shift: part.places.subarray(7 * k, 7 * k + 3),
          turn: part.places.subarray(7 * k + 3, 7 * k + 7)};
}

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

function earClip(outline) {
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

// ---- the viewer ----------------------------------------------------------------------------

class Viewer {
  constructor(canvas, {onPick, onMeasure, onHover, onCamera, theme = 'auto'} = {}) {
    this.canvas = canvas;
    this._tell = {onPick, onMeasure, onHover, onCamera};
    this.lost = false;
    this.frames = 0;
    this.frameTime = 0;
    const gl = canvas.getContext('webgl2', {antialias: true, alpha: false, stencil: false});
    if (!gl) throw new Error('This browser cannot draw in three dimensions (WebGL 2 is missing).');
    this.gl = gl;
    this._scene = this._second = null;
    this._hidden = new Set();
    this._selected = new Set();
    this._hovered = null;
    this._bodies = [];
    this._cut = null;
    this._measuring = false;
    this._points = [];
    this._pause = 0;
    this._eye = {target: [0, 0, 0], distance: 10, azimuth: VIEWS.iso[0], elevation: VIEWS.iso[1]};
    this._box = {low: [-1, -1, -1], high: [1, 1, 1]};
    this._listening = new AbortController();
    this._prefers = matchMedia('(prefers-color-scheme: dark)');
    this._build();
    this._overlay();
    this._listen();
    this.setTheme(theme);
    this.resize();
  }

  // -- scene

  setScene(glb, members, {keepCamera = false} = {}) {
    this._free(this._scene);
    this._second = this._free(this._second);
    this._scene = readScene(glb, members);
    this._selected = new Set();
    this._hovered = null;
    this._points = [];
    this._upload(this._scene);
    this._box = this._reach(this._all());
    // While a frame is shaped its picture comes first, and its shadow a moment later.
    this._stale = keepCamera && this._shadow ? LATER : true;
    if (keepCamera) this._draw(); else this.view('iso', {at_once: true});
  }

  setSecondScene(glb, members, {draw = true} = {}) {
    this._second = this._free(this._second);
    for (const part of this._scene.parts) part.flags.forEach((f, k) => {
      part.flags[k] = f & ~(SAME | ALONE);
    });
    let counts = null;
    if (glb) {
      const other = readScene(glb, members);
      counts = this._compare(other);
      if (draw) { this._second = other; this._upload(other); }
    }
    for (const part of this._scene.parts) this._sendFlags(part);
    this._box = this._reach(this._all());
    this._stale = true;
    this._draw();
    return counts;
  }

  _compare(other) {
    const mine = sameKeys(this._scene), theirs = sameKeys(other);
    const counts = {same: 0, first: 0, second: 0};
    const left = new Map();
    for (const keys of theirs) for (const key of keys) left.set(key, (left.get(key) || 0) + 1);
    const met = new Map();
    mine.forEach((keys, n) => keys.forEach((key, k) => {
      const many = left.get(key) || 0, here = (met.get(key) || 0) + 1;
      met.set(key, here);
      const same = here <= many;
      this._scene.parts[n].flags[k] |= same ? SAME : ALONE;
      counts[same ? 'same' : 'first']++;
    }));
    theirs.forEach((keys, n) => {
      const part = other.parts[n], kept = [];
      keys.forEach((key, k) => {
        const many = met.get(key) || 0;
        if (many > 0) met.set(key, many - 1); else kept.push(k);
      });
      // What both have is drawn once, with the first.
      const places = new Float32Array(kept.length * 7);
      kept.forEach((k, at) => places.set(part.places.subarray(7 * k, 7 * k + 7), 7 * at));
      part.places = places;
      part.count = kept.length;
      part.ids = new Uint32Array(kept.length).fill(0xfffffe);
      part.flags = new Uint8Array(kept.length).fill(ALONE);
      counts.second += kept.length;
    });
    return counts;
  }

  setBodies(bodies) {
    const gl = this.gl;
    for (const body of this._bodies) { gl.deleteBuffer(body.fill); gl.deleteBuffer(body.lines); }
    this._bodies = bodies.map((body) => ({given: body}));
    for (const body of this._bodies) this._raise(body);
    this._draw();
  }

  _raise(body) {
    const {outline, from_mm, to_mm, kind, colour, fits} = body.given;
    const at = ([x, z], y) => [x / 1000, y / 1000, z / 1000];
    const fill = [], lines = [];
    const caps = earClip(outline);
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
    const gl = this.gl;
    body.colour = linear(colour || (fits === false && NO_ROOM) || BODY_COLOURS[kind] || '#5577aa');
    for (const [name, list] of [['fill', fill], ['lines', lines]]) {
      body[name] = gl.createBuffer();
      body[name + 'Count'] = list.length / 3;
      gl.bindVertexArray(null);
      gl.bindBuffer(gl.ARRAY_BUFFER, body[name]);
      gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(list), gl.STATIC_DRAW);
    }
  }

  showRoles(shown) {
    for (const [role, is] of Object.entries(shown))
      if (is) this._hidden.delete(role); else this._hidden.add(role);
    this._stale = true;
    this._draw();
  }

  roles() {
    if (!this._scene) return [];
    return this._scene.members.roles.map(
      (role) => ({...role, shown: !this._hidden.has(role.role)}));
  }

  member(id) {
    const {members} = this._scene, about = members.parts[members.part_of[id]];
    if (!about) return null;
    const role = members.roles[about.role];
    return {...about, id, role: role.role, colour: role.colour,
            place: members.places[members.place_of[id]]};
  }

  find({mark, role, place} = {}) {
    const {members} = this._scene, found = [];
    const fits = members.parts.map((part) => (mark === undefined || part.mark === mark)
      && (role === undefined || members.roles[part.role].role === role));
    members.part_of.forEach((part, id) => {
      if (fits[part] && (place === undefined || members.places[members.place_of[id]] === place))
        found.push(id);
    });
    return found;
  }

  select(ids) {
    const before = this._selected;
    this._selected = new Set(ids || []);
    const touched = new Set();
    for (const [list, on] of [[before, false], [this._selected, true]])
      for (const id of list) touched.add(this._flag(id, SELECTED, on));
    touched.forEach((part) => this._sendFlags(part));
    this._draw();
  }

  selected() { return [...this._selected]; }

  _flag(id, bit, on) {
    const [number, k] = this._scene.slots[id], part = this._scene.parts[number];
    part.flags[k] = on ? part.flags[k] | bit : part.flags[k] & ~bit;
    return part;
  }

  _hover(id) {
    if (id === this._hovered) return;
    for (const [one, on] of [[this._hovered, false], [id, true]])
      if (one !== null && this._scene) this._sendFlags(this._flag(one, HOVERED, on));
    this._hovered = id;
    this.canvas.style.cursor = this._measuring ? 'crosshair' : id === null ? 'grab' : 'pointer';
    this._tell.onHover?.(id);
    this._draw();
  }

  section(cut) {
    this._cut = cut ? {...cut} : null;
    this._stale ||= true;
    this._draw();
  }

  extent() { return {low: mm(this._box.low), high: mm(this._box.high)}; }

  // -- the eye

  camera() { return {...this._eye, target: mm(this._eye.target)}; }

  setCamera({target, distance, azimuth, elevation}) {
    this._moving = null;
    this._eye = {target: metres(target), distance, azimuth, elevation};
    // Whoever sets it knows it: two viewers in step do not call each other for ever.
    const words = JSON.stringify(this.camera());
    if (words === this._told) return;
    this._told = words;
    this._draw();
  }

  view(name, {at_once = false} = {}) {
    const [azimuth, elevation] = VIEWS[name] || VIEWS.iso;
    this._go(this._fitted(this._shownPoints(), azimuth, elevation), at_once);
  }

  fit(ids) {
    const {azimuth, elevation} = this._eye;
    const chosen = ids && ids.length ? this._pointsOf(ids) : this._shownPoints();
    this._go(this._fitted(chosen, azimuth, elevation, ids && ids.length ? 1.6 : 0));
  }

  _axes({azimuth, elevation} = this._eye) {
    const a = azimuth * Math.PI / 180, e = elevation * Math.PI / 180;
    const [ca, sa, ce, se] = [Math.cos(a), Math.sin(a), Math.cos(e), Math.sin(e)];
    return {right: [-sa, ca, 0], up: [-se * ca, -se * sa, ce], toward: [ce * ca, ce * sa, se]};
  }

  // The nearest eye that sees all points: along each axis two bounds meet.
  _fitted(points, azimuth, elevation, least = 0) {
    const {right, up, toward} = this._axes({azimuth, elevation});
    const tall = Math.tan(FIELD / 2) * 0.88, wide = tall * this._aspect();
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

  _go(eye, at_once = false) {
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    if (at_once || still) {
      this._eye = eye;
      this._moving = null;
    } else {
      const from = {...this._eye};
      const turn = ((eye.azimuth - from.azimuth) % 360 + 540) % 360 - 180;
      this._moving = {from, to: {...eye, azimuth: from.azimuth + turn}, start: performance.now()};
    }
    this._draw();
  }

  _step() {
    const {from, to, start} = this._moving;
    const t = clamp((performance.now() - start) / 280, 0, 1), s = t * t * (3 - 2 * t);
    const mix = (a, b) => a + (b - a) * s;
    this._eye = {
      target: from.target.map((v, k) => mix(v, to.target[k])),
      distance: Math.exp(mix(Math.log(from.distance), Math.log(to.distance))),
      azimuth: mix(from.azimuth, to.azimuth), elevation: mix(from.elevation, to.elevation),
    };
    if (t >= 1) this._moving = null; else this._draw();
  }

  _turn(across, up) {
    this._moving = null;
    this._eye.azimuth = (this._eye.azimuth + across) % 360;
    this._eye.elevation = clamp(this._eye.elevation + up, -89.9, 90);
    this._draw();
  }

  // By CSS pixels: what was under the finger stays under it.
  _pan(dx, dy) {
    this._moving = null;
    const {right, up} = this._axes();
    const scale = 2 * this._eye.distance * Math.tan(FIELD / 2) / this.canvas.clientHeight;
    this._eye.target = plus(plus(this._eye.target, right, -dx * scale), up, dy * scale);
    this._draw();
  }

  _zoom(factor, x = this.canvas.clientWidth / 2, y = this.canvas.clientHeight / 2) {
    this._moving = null;
    const most = 60 * Math.max(1, Math.hypot(...sub(this._box.high, this._box.low)));
    const distance = clamp(this._eye.distance * factor, 0.15, most);
    const {right, up} = this._axes();
    const scale = 2 * this._eye.distance * Math.tan(FIELD / 2) / this.canvas.clientHeight;
    const k = 1 - distance / this._eye.distance;
    this._eye.target = plus(plus(this._eye.target, right,
      k * scale * (x - this.canvas.clientWidth / 2)), up,
      k * scale * (this.canvas.clientHeight / 2 - y));
    this._eye.distance = distance;
    this._draw();
  }

  _aspect() { return (this.canvas.clientWidth || 1) / (this.canvas.clientHeight || 1); }

  // Looking matrix; with a window (x, y in CSS pixels, size) only that bit of the picture.
  _look(window = null) {
    const {right, up, toward} = this._axes(), {target, distance} = this._eye;
    const eye = plus(target, toward, distance);
    const reach = Math.hypot(...sub(this._box.high, this._box.low)) + Math.hypot(
      ...sub(target, this._box.low));
    const near = Math.max(distance * 0.02, 0.02), far = distance + 3 * reach + 20;
    const tall = 1 / Math.tan(FIELD / 2), wide = tall / this._aspect();
    const see = new Float32Array([
      right[0], up[0], toward[0], 0, right[1], up[1], toward[1], 0,
      right[2], up[2], toward[2], 0, -dot(right, eye), -dot(up, eye), -dot(toward, eye), 1,
    ]);
    let flat = new Float32Array([
      wide, 0, 0, 0, 0, tall, 0, 0, 0, 0, (far + near) / (near - far), -1,
      0, 0, 2 * far * near / (near - far), 0,
    ]);
    if (window) {
      const {clientWidth: w, clientHeight: h} = this.canvas, {x, y, size} = window;
      const [sx, sy] = [w / size, h / size];
      const [cx, cy] = [2 * x / w - 1, 1 - 2 * y / h];
      flat = times(new Float32Array(
        [sx, 0, 0, 0, 0, sy, 0, 0, 0, 0, 1, 0, -cx * sx, -cy * sy, 0, 1]), flat);
    }
    return {matrix: times(flat, see), eye};
  }

  project(point) {
    const p = metres(point), {matrix: m} = this._look();
    const at = (r) => m[r] * p[0] + m[4 + r] * p[1] + m[8 + r] * p[2] + m[12 + r];
    const w = at(3);
    return [(at(0) / w + 1) / 2 * this.canvas.clientWidth,
            (1 - at(1) / w) / 2 * this.canvas.clientHeight];
  }

  _ray(x, y) {
    const {right, up, toward} = this._axes(), tall = Math.tan(FIELD / 2);
    const across = (2 * x / this.canvas.clientWidth - 1) * tall * this._aspect();
    const high = (1 - 2 * y / this.canvas.clientHeight) * tall;
    const way = unit(plus(plus(plus([0, 0, 0], right, across), up, high), toward, -1));
    return {from: plus(this._eye.target, toward, this._eye.distance), way};
  }

  // -- members in space

  _all() { return this._scene ? this._scene.members.part_of.map((_, id) => id) : []; }

  _pointsOf(ids) {
    const found = [];
    for (const id of ids) {
      const [number, k] = this._scene.slots[id], part = this._scene.parts[number];
      const {shift, turn} = placeOf(part, k);
      for (const p of part.outer) found.push(plus(turned(turn, p), shift));
    }
    return found;
  }

  _shownPoints() {
    const found = [];
    for (const scene of [this._scene, this._second]) for (const part of scene?.parts || []) {
      if (this._hidden.has(part.role) || part.small) continue;
      for (let k = 0; k < part.count; k++) {
        const {shift, turn} = placeOf(part, k);
        for (const p of part.outer) found.push(plus(turned(turn, p), shift));
      }
    }
    return found.length ? found : [this._box.low, this._box.high];
  }

  // The box round members. Of a whole frame there are some 80,000 points: none is kept.
  _reach(ids) {
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (const id of ids) {
      const [number, n] = this._scene.slots[id], part = this._scene.parts[number];
      const {shift, turn} = placeOf(part, n);
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
    return ids.length ? {low, high} : {low: [-1, -1, -1], high: [1, 1, 1]};
  }

  anchor(id) {
    const [number, k] = this._scene.slots[id], part = this._scene.parts[number];
    const {shift, turn} = placeOf(part, k), {points} = part;
    const middle = [0, 1, 2].map((a) => {
      const values = part.outer.map((p) => p[a]);
      return (Math.min(...values) + Math.max(...values)) / 2;
    });
    let best = Infinity, at = [0, 0, 0];
    for (let n = 0; n < points.length; n += 3) {
      const p = [points[n], points[n + 1], points[n + 2]], far = Math.hypot(...sub(p, middle));
      if (far < best) { best = far; at = p; }
    }
    return mm(plus(turned(turn, at), shift));
  }

  // -- picking and measuring

  pickAt(x, y, reach = 3) { return this._pick(x, y, reach)?.id ?? null; }

  _pick(x, y, reach) {
    if (!this._scene || this.lost) return null;
    const gl = this.gl, size = 2 * reach + 1;
    this._room(size);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this._picking.frame);
    gl.viewport(0, 0, size, size);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.disable(gl.BLEND);
    gl.disable(gl.CULL_FACE);
    const program = this._use('pick');
    const {matrix, eye} = this._look({x, y, size});
    gl.uniformMatrix4fv(program.uLook, false, matrix);
    gl.uniform4fv(program.uCut, this._plane());
    this._each(this._scene, () => {}, eye);
    const bytes = new Uint8Array(size * size * 4);
    gl.readPixels(0, 0, size, size, gl.RGBA, gl.UNSIGNED_BYTE, bytes);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    let best = Infinity, found = null;
    for (let row = 0; row < size; row++) for (let col = 0; col < size; col++) {
      const k = 4 * (row * size + col);
      const id = bytes[k] + 256 * bytes[k + 1] + 65536 * bytes[k + 2] - 1;
      const far = Math.hypot(col - reach, row - reach);
      if (id >= 0 && far < best) {
        best = far;
        found = {id, x: x + col - reach, y: y + reach - row};
      }
    }
    return found;
  }

  _room(size) {
    if (this._picking?.size === size) return;
    const gl = this.gl;
    if (this._picking) {
      gl.deleteFramebuffer(this._picking.frame);
      this._picking.buffers.forEach((buffer) => gl.deleteRenderbuffer(buffer));
    }
    const frame = gl.createFramebuffer(), buffers = [];
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    for (const [format, at] of [[gl.RGBA8, gl.COLOR_ATTACHMENT0],
                                [gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT]]) {
      const buffer = gl.createRenderbuffer();
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorage(gl.RENDERBUFFER, format, size, size);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, at, gl.RENDERBUFFER, buffer);
      buffers.push(buffer);
    }
    this._picking = {frame, buffers, size};
  }

  // Where a ray meets a member, mm: at the surface, or at the cut where that opens it.
  _hit(id, x, y) {
    const [number, k] = this._scene.slots[id], part = this._scene.parts[number];
    const {shift, turn} = placeOf(part, k), back = [-turn[0], -turn[1], -turn[2], turn[3]];
    const ray = this._ray(x, y);
    const from = turned(back, sub(ray.from, [...shift])), way = turned(back, ray.way);
    const {points, indices} = part, [nx, ny, nz, w] = this._plane();
    const facing = dot([nx, ny, nz], ray.way);
    const open = this._cut && facing < 0 ? (w - dot([nx, ny, nz], ray.from)) / facing : -Infinity;
    const corner = (n) => [points[3 * n], points[3 * n + 1], points[3 * n + 2]];
    let best = Infinity, inside = false;
    for (let n = 0; n < indices.length; n += 3) {
      const a = corner(indices[n]), e = sub(corner(indices[n + 1]), a);
      const f = sub(corner(indices[n + 2]), a), p = cross(way, f), det = dot(e, p);
      if (Math.abs(det) < 1e-14) continue;
      const s = sub(from, a), u = dot(s, p) / det, q = cross(s, e), v = dot(way, q) / det;
      const t = dot(f, q) / det;
      if (u < -1e-6 || v < -1e-6 || u + v > 1 + 1e-6 || t <= Math.max(0, open) || t >= best) continue;
      if (this._cut && dot([nx, ny, nz], plus(ray.from, ray.way, t)) > w + 1e-6) continue;
      best = t;
      inside = det < 0;
    }
    if (best === Infinity) return null;
    return mm(plus(ray.from, ray.way, inside && open > 0 ? open : best));
  }

  _snapped(id, x, y, reach) {
    const hit = this._hit(id, x, y) || this.anchor(id);
    const [number, k] = this._scene.slots[id], part = this._scene.parts[number];
    const {shift, turn} = placeOf(part, k), [nx, ny, nz, w] = this._plane();
    const {toward} = this._axes(), depth = dot(metres(hit), toward);
    let best = reach, at = hit;
    for (let n = 0; n < part.points.length; n += 3) {
      const p = plus(turned(turn, [part.points[n], part.points[n + 1], part.points[n + 2]]), shift);
      if (dot([nx, ny, nz], p) > w || dot(p, toward) < depth - 0.08) continue;
      const [px, py] = this.project(mm(p)), far = Math.hypot(px - x, py - y);
      if (far < best) { best = far; at = mm(p); }
    }
    return at;
  }

  measure(on) {
    this._measuring = Boolean(on);
    this._points = [];
    this.canvas.style.cursor = on ? 'crosshair' : 'grab';
    this._tellMeasure();
    this._draw();
  }

  _addPoint(found) {
    if (!found) return;
    if (this._points.length === 2) this._points = [];
    this._points.push(this._snapped(found.id, found.x, found.y, 11));
    this._tellMeasure();
    this._draw();
  }

  _tellMeasure() {
    const [a, b] = this._points;
    const told = {a: a || null, b: b || null, distance: null, dx: null, dy: null, dz: null};
    if (a && b) {
      [told.dx, told.dy, told.dz] = sub(b, a);
      told.distance = Math.hypot(told.dx, told.dy, told.dz);
    }
    this._tell.onMeasure?.(told);
  }

  text(length) {
    const about = this._scene?.members || {units: 'metric', decimals: 0};
    if (about.units !== 'imperial') {
      const written = length.toFixed(Math.max(1, about.decimals || 0)).replace(/\.?0+$/, '');
      return `${written === '-0' ? '0' : written} mm`;
    }
    const parts = about.fraction || 16, sign = length < 0 ? '-' : '';
    let steps = Math.round(Math.abs(length) / 25.4 * parts);
    const feet = Math.floor(steps / (12 * parts));
    steps -= feet * 12 * parts;
    const inches = Math.floor(steps / parts);
    let [top, under] = [steps % parts, parts];
    while (top && top % 2 === 0) { top /= 2; under /= 2; }
    const fraction = top ? `${inches ? ' ' : ''}${top}/${under}` : '';
    const small = `${inches || !top ? inches : ''}${fraction}"`;
    return steps || feet ? `${sign}${feet ? `${feet}'-` : ''}${small}` : '0"';
  }

  // -- drawing

  resize() {
    const {canvas} = this, scale = Math.min(devicePixelRatio || 1, 2.5);
    const width = Math.max(1, Math.round(canvas.clientWidth * scale));
    const height = Math.max(1, Math.round(canvas.clientHeight * scale));
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    this._draw();
  }

  setTheme(theme) {
    this._themed = theme;
    const name = theme === 'auto' ? (this._prefers.matches ? 'dark' : 'light') : theme;
    this._theme = THEMES[name] || THEMES.light;
    this._draw();
  }

  picture() {
    this._stale &&= true;
    this._paint();
    return this.canvas.toDataURL('image/png');
  }

  _draw() {
    if (this._asked || this.lost) return;
    this._asked = requestAnimationFrame(() => {
      this._asked = 0;
      if (this._moving) this._step();
      this._paint();
    });
  }

  _paint() {
    if (this.lost) return;
    const began = performance.now(), gl = this.gl, theme = this._theme;
    if (this._stale === LATER) {
      this._stale = true;
      this._draw();
    } else if (this._stale) this._castShadow();
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, this.canvas.width, this.canvas.height);
    gl.clearColor(...[1, 3, 5].map((k) => parseInt(theme.back.slice(k, k + 2), 16) / 255), 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    if (this._scene) {
      const look = this._look();
      this._paintSolids(look);
      this._paintGround(look);
      this._paintBodies(look);
      if (this._selected.size) this._paintThrough(look);
    }
    this._paintOverlay();
    this.frames++;
    this.frameTime = performance.now() - began;
    this._tellCamera();
  }

  _tellCamera() {
    const words = JSON.stringify(this.camera());
    if (words === this._told) return;
    this._told = words;
    this._tell.onCamera?.(this.camera());
  }

  _solid(look, alpha, dim) {
    const gl = this.gl, theme = this._theme, program = this._use('solid');
    const {low, high} = this._box, middle = plus(low, sub(high, low), 0.5);
    const far = Math.hypot(...sub(look.eye, middle)), reach = Math.hypot(...sub(high, low)) / 2;
    gl.uniformMatrix4fv(program.uLook, false, look.matrix);
    gl.uniform3fv(program.uAccent, linear(theme.accent));
    gl.uniform3fv(program.uSame, linear(DIFFERENT.same));
    gl.uniform3fv(program.uBack, linear(theme.back));
    gl.uniform3fv(program.uEye, look.eye);
    gl.uniform3fv(program.uSun, SUN);
    gl.uniform2f(program.uHaze, Math.max(0, far - reach), far + reach);
    gl.uniform1f(program.uDim, dim);
    gl.uniform1f(program.uAlpha, alpha);
    gl.uniform4fv(program.uCut, this._plane());
    return program;
  }

  _paintSolids(look) {
    const gl = this.gl;
    gl.enable(gl.DEPTH_TEST);
    gl.depthMask(true);
    gl.disable(gl.BLEND);
    if (this._cut) gl.disable(gl.CULL_FACE); else gl.enable(gl.CULL_FACE);
    const program = this._solid(look, 1, this._selected.size ? 0.62 : 0);
    for (const [scene, alone] of [[this._scene, DIFFERENT.first],
                                  [this._second, DIFFERENT.second]]) {
      if (!scene) continue;
      gl.uniform3fv(program.uAlone, linear(alone));
      this._each(scene, (part) => gl.uniform3fv(program.uColour, part.colour), look.eye);
    }
  }

  // What is picked out shines through whatever stands before it.
  _paintThrough(look) {
    const gl = this.gl, numbers = new Set([...this._selected].map((id) => this._scene.slots[id][0]));
    gl.disable(gl.DEPTH_TEST);
    gl.enable(gl.CULL_FACE);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    const program = this._use('through');
    gl.uniformMatrix4fv(program.uLook, false, look.matrix);
    gl.uniform3fv(program.uColour, linear(this._theme.accent));
    gl.uniform4fv(program.uCut, this._plane());
    for (const number of numbers) {
      const part = this._scene.parts[number];
      if (!this._hidden.has(part.role)) this._drawPart(part);
    }
    gl.disable(gl.BLEND);
  }

  _paintGround(look) {
    const gl = this.gl, theme = this._theme, program = this._use('ground');
    const {low, high} = this._box, size = sub(high, low);
    const margin = Math.max(1.5, 0.45 * Math.max(size[0], Math.min(size[1], 3 * size[0])));
    const imperial = this._scene.members.units === 'imperial';
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    gl.disable(gl.CULL_FACE);
    gl.depthMask(false);
    gl.uniformMatrix4fv(program.uLook, false, look.matrix);
    gl.uniform4f(program.uReach, (low[0] + high[0]) / 2, (low[1] + high[1]) / 2,
                 size[0] * 0.72 + margin * 1.3, size[1] * 0.72 + margin * 1.3);
    gl.uniform3fv(program.uGroundColour, linear(theme.ground));
    gl.uniform3fv(program.uGridColour, linear(theme.grid));
    gl.uniform4fv(program.uGround, this._ground);
    gl.uniform4fv(program.uCut, this._plane());
    gl.uniform2f(program.uGrid, imperial ? 0.3048 : 1, imperial ? 3.048 : 5);
    gl.uniform1f(program.uShade, theme.shadow);
    gl.uniform1f(program.uSoft, this._soft);
    gl.uniform1f(program.uAlpha, look.eye[2] > 0 ? 0.84 : 0.30);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this._shadow.texture);
    gl.uniform1i(program.uShadow, 0);
    gl.bindVertexArray(this._square);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.depthMask(true);
    gl.disable(gl.BLEND);
  }

  _paintBodies(look) {
    if (!this._bodies.length) return;
    const gl = this.gl, program = this._use('body');
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    gl.disable(gl.CULL_FACE);
    gl.depthMask(false);
    gl.uniformMatrix4fv(program.uLook, false, look.matrix);
    gl.uniform4fv(program.uCut, this._plane());
    gl.bindVertexArray(this._plain);
    for (const body of this._bodies) {
      gl.uniform3fv(program.uColour, body.colour);
      for (const [name, mode, alpha] of [['fill', gl.TRIANGLES, 0.16], ['lines', gl.LINES, 0.9]]) {
        gl.bindBuffer(gl.ARRAY_BUFFER, body[name]);
        gl.enableVertexAttribArray(0);
        gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
        gl.uniform1f(program.uAlpha, alpha);
        gl.drawArrays(mode, 0, body[name + 'Count']);
      }
    }
    gl.depthMask(true);
    gl.disable(gl.BLEND);
  }

  // The shadow on the ground is drawn once, seen along the sun, and laid on it.
  _castShadow() {
    this._stale = false;
    const gl = this.gl, {low, high} = this._box, tall = Math.max(0, high[2]);
    const ends = [0, tall].flatMap((z) => [low, high].map(
      (p) => [p[0] - SUN[0] / SUN[2] * z, p[1] - SUN[1] / SUN[2] * z]));
    const from = [0, 1].map((k) => Math.min(...ends.map((e) => e[k])) - 0.3);
    const to = [0, 1].map((k) => Math.max(...ends.map((e) => e[k])) + 0.3);
    const size = [to[0] - from[0], to[1] - from[1]];
    this._ground = [from[0], from[1], 2 / size[0], 2 / size[1]];
    const most = Math.min(3072, gl.getParameter(gl.MAX_TEXTURE_SIZE));
    const fine = Math.min(160, most / Math.max(...size));
    // Its edge is as soft as 2 cm, however fine it is drawn.
    this._soft = Math.max(0.6, Math.log2(fine * 0.03));
    const [wide, high_] = size.map((s) => Math.max(4, Math.ceil(s * fine)));
    this._shadowRoom(wide, high_);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this._shadow.frame);
    gl.viewport(0, 0, wide, high_);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
    const program = this._use('shadow');
    gl.uniform3fv(program.uSun, SUN);
    gl.uniform4fv(program.uGround, this._ground);
    gl.uniform4fv(program.uCut, this._plane());
    for (const scene of [this._scene, this._second])
      if (scene) this._each(scene, () => {}, null, 1 / fine);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.bindTexture(gl.TEXTURE_2D, this._shadow.texture);
    gl.generateMipmap(gl.TEXTURE_2D);
  }

  _shadowRoom(wide, high) {
    const gl = this.gl;
    if (this._shadow?.wide === wide && this._shadow?.high === high) return;
    if (this._shadow) {
      gl.deleteTexture(this._shadow.texture);
      gl.deleteFramebuffer(this._shadow.frame);
    }
    const texture = gl.createTexture(), frame = gl.createFramebuffer();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, Math.floor(Math.log2(Math.max(wide, high))) + 1, gl.R8,
                    wide, high);
    for (const [name, value] of [
      [gl.TEXTURE_MIN_FILTER, gl.LINEAR_MIPMAP_LINEAR], [gl.TEXTURE_MAG_FILTER, gl.LINEAR],
      [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE], [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
    ]) gl.texParameteri(gl.TEXTURE_2D, name, value);
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0);
    this._shadow = {texture, frame, wide, high};
  }

  // The plane of the cut: what lies on its positive side is taken away.
  _plane() {
    if (!this._cut) return [0, 0, 0, 1];
    const {axis, at_mm, side} = this._cut, way = side === 'high' ? -1 : 1;
    const plane = [0, 0, 0, way * at_mm / 1000];
    plane['xyz'.indexOf(axis)] = way;
    return plane;
  }

  // Draws each part that is shown. From afar what is smaller than a pixel or so is left out,
  // nobody looks into a tube, and what is a few pixels across needs few triangles. A shadow has no
  // eye and pixels of a size given.
  _each(scene, prepare, eye = null, pixel = 0) {
    const casting = !eye && pixel > 0;
    if (eye) {
      const off = [0, 1, 2].map((k) => Math.max(this._box.low[k] - eye[k], 0,
                                               eye[k] - this._box.high[k]));
      pixel = Math.hypot(...off) * 2 * Math.tan(FIELD / 2) / this.canvas.height;
    }
    for (const part of scene.parts) {
      if (!part.count || this._hidden.has(part.role)) continue;
      if (part.small && (casting || part.across < 1.5 * pixel)) continue;
      prepare(part);
      const wide = this._cut ? Infinity : part.across / pixel;
      this._drawPart(part, wide < 4 ? FEW : casting || wide < 5 ? OUTSIDE : ALL);
    }
  }

  _drawPart(part, triangles = ALL) {
    const gl = this.gl, few = triangles === FEW && part.far;
    const many = few ? part.far.length
      : triangles !== ALL && part.outside || part.indices.length;
    const start = few ? part.indices.byteLength : 0;
    gl.bindVertexArray(part.array);
    gl.drawElementsInstanced(gl.TRIANGLES, many, part.kind, start, part.count);
  }

  // -- the graphics card's side

  _build() {
    const gl = this.gl;
    const texts = {
      solid: [SOLID_VERTEX, SOLID_FRAGMENT], pick: [PICK_VERTEX, PICK_FRAGMENT],
      shadow: [SHADOW_VERTEX, SHADOW_FRAGMENT], ground: [GROUND_VERTEX, GROUND_FRAGMENT],
      body: [BODY_VERTEX, BODY_FRAGMENT], through: [SOLID_VERTEX, THROUGH_FRAGMENT],
    };
    this._programs = Object.fromEntries(
      Object.entries(texts).map(([name, pair]) => [name, this._link(...pair)]));
    this._square = gl.createVertexArray();
    gl.bindVertexArray(this._square);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]), gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
    this._plain = gl.createVertexArray();
    this._picking = this._shadow = null;
    this._stale = true;
    gl.cullFace(gl.BACK);
  }

  _link(vertex, fragment) {
    const gl = this.gl, program = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS) && !gl.isContextLost())
        throw new Error(`drawing could not be prepared: ${gl.getShaderInfoLog(shader)}`);
    }
    gl.linkProgram(program);
    if (!gl.getProgramParameter(program, gl.LINK_STATUS) && !gl.isContextLost())
      throw new Error(`drawing could not be prepared: ${gl.getProgramInfoLog(program)}`);
    const found = {program}, many = gl.getProgramParameter(program, gl.ACTIVE_UNIFORMS) || 0;
    for (let k = 0; k < many; k++) {
      const {name} = gl.getActiveUniform(program, k);
      found[name] = gl.getUniformLocation(program, name);
    }
    return found;
  }

  _use(name) {
    this.gl.useProgram(this._programs[name].program);
    return this._programs[name];
  }

  _upload(scene) {
    const gl = this.gl;
    for (const part of scene.parts) {
      part.buffers = [];
      part.array = gl.createVertexArray();
      gl.bindVertexArray(part.array);
      const put = (values, target = gl.ARRAY_BUFFER) => {
        const buffer = gl.createBuffer();
        part.buffers.push(buffer);
        gl.bindBuffer(target, buffer);
        gl.bufferData(target, values, gl.STATIC_DRAW);
        return buffer;
      };
      const place = (at, size, kind, turned_, stride, offset, whole = false) => {
        gl.enableVertexAttribArray(at);
        if (whole) gl.vertexAttribIPointer(at, size, kind, stride, offset);
        else gl.vertexAttribPointer(at, size, kind, kind === gl.BYTE, stride, offset);
        gl.vertexAttribDivisor(at, turned_ ? 1 : 0);
      };
      put(part.points);
      place(0, 3, gl.FLOAT, false, 0, 0);
      put(part.normals);
      place(1, 3, gl.BYTE, false, 4, 0);
      put(part.places);
      place(2, 3, gl.FLOAT, true, STRIDE, 0);
      place(3, 4, gl.FLOAT, true, STRIDE, 12);
      put(part.ids);
      place(4, 1, gl.UNSIGNED_INT, true, 0, 0, true);
      part.flagBuffer = put(part.flags);
      place(5, 1, gl.UNSIGNED_BYTE, true, 0, 0, true);
      const {indices, far} = part;
      put(indices.byteLength + (far ? far.byteLength : 0), gl.ELEMENT_ARRAY_BUFFER);
      gl.bufferSubData(gl.ELEMENT_ARRAY_BUFFER, 0, indices);
      if (far) gl.bufferSubData(gl.ELEMENT_ARRAY_BUFFER, indices.byteLength, far);
      part.kind = part.indices instanceof Uint16Array ? gl.UNSIGNED_SHORT : gl.UNSIGNED_INT;
    }
    gl.bindVertexArray(null);
  }

  _sendFlags(part) {
    const gl = this.gl;
    if (!part.flagBuffer || this.lost) return;
    gl.bindBuffer(gl.ARRAY_BUFFER, part.flagBuffer);
    gl.bufferSubData(gl.ARRAY_BUFFER, 0, part.flags);
  }

  _free(scene) {
    for (const part of scene?.parts || []) {
      this.gl.deleteVertexArray(part.array);
      part.buffers?.forEach((buffer) => this.gl.deleteBuffer(buffer));
    }
    return null;
  }

  // -- lines and figures of a measure, over the canvas

  _overlay() {
    const make = (name, parent, about = {}) => {
      const node = document.createElementNS('http://www.w3.org/2000/svg', name);
      for (const [key, value] of Object.entries(about)) node.setAttribute(key, value);
      parent?.append(node);
      return node;
    };
    const svg = make('svg', null, {'aria-hidden': 'true'});
    Object.assign(svg.style, {position: 'absolute', pointerEvents: 'none', overflow: 'hidden'});
    this.canvas.after(svg);
    const line = {'stroke-linecap': 'round'};
    this._drawn = {
      svg,
      under: make('line', svg, {...line, 'stroke-width': 5}),
      line: make('line', svg, {...line, 'stroke-width': 2}),
      dots: [0, 1].map(() => make('circle', svg, {r: 5, 'stroke-width': 2})),
      text: make('text', svg, {
        'text-anchor': 'middle', 'font-size': 15, 'font-weight': 600, 'stroke-width': 4,
        'paint-order': 'stroke', 'font-family': 'system-ui, sans-serif',
      }),
      cross: make('path', svg, {fill: 'none', 'stroke-width': 1.5}),
    };
  }

  _paintOverlay() {
    const {svg, under, line, dots, text, cross: mark} = this._drawn, theme = this._theme;
    const {offsetLeft, offsetTop, clientWidth, clientHeight} = this.canvas;
    Object.assign(svg.style, {left: `${offsetLeft}px`, top: `${offsetTop}px`,
                              width: `${clientWidth}px`, height: `${clientHeight}px`});
    const show = (node, on) => { node.style.display = on ? '' : 'none'; };
    const at = this._points.map((p) => this.project(p));
    dots.forEach((dot_, k) => {
      show(dot_, at[k]);
      if (!at[k]) return;
      dot_.setAttribute('cx', at[k][0]);
      dot_.setAttribute('cy', at[k][1]);
      dot_.setAttribute('fill', theme.accent);
      dot_.setAttribute('stroke', theme.halo);
    });
    const both = at.length === 2;
    for (const node of [under, line, text]) show(node, both);
    if (both) {
      for (const node of [under, line]) ['x1', 'y1', 'x2', 'y2'].forEach(
        (name, k) => node.setAttribute(name, at[k >> 1][k & 1]));
      under.setAttribute('stroke', theme.halo);
      line.setAttribute('stroke', theme.accent);
      text.setAttribute('x', clamp((at[0][0] + at[1][0]) / 2, 50, clientWidth - 50));
      text.setAttribute('y', clamp((at[0][1] + at[1][1]) / 2 - 10, 20, clientHeight - 8));
      text.setAttribute('fill', theme.ink);
      text.setAttribute('stroke', theme.halo);
      text.textContent = this.text(Math.hypot(...sub(this._points[1], this._points[0])));
    }
    const keyed = document.activeElement === this.canvas && this._byKeys;
    show(mark, keyed);
    if (keyed) {
      const [x, y] = [clientWidth / 2, clientHeight / 2];
      mark.setAttribute('d', `M${x - 9} ${y}h6m6 0h6M${x} ${y - 9}v6m0 6v6`);
      mark.setAttribute('stroke', theme.ink);
    }
  }

  // -- hands

  _listen() {
    const {canvas} = this, {signal} = this._listening, held = new Map();
    const on = (target, name, act, more = {}) =>
      target.addEventListener(name, act, {signal, ...more});
    canvas.tabIndex = canvas.tabIndex >= 0 ? canvas.tabIndex : 0;
    Object.assign(canvas.style, {touchAction: 'none', cursor: 'grab'});
    if (!canvas.hasAttribute('aria-label')) canvas.setAttribute('aria-label',
      'The frame in three dimensions. Arrows turn it, shift and arrows move it, plus and minus '
      + 'zoom, f fits it, 1 to 6 are views, Enter picks what is in the middle.');
    if (!canvas.hasAttribute('role')) canvas.setAttribute('role', 'application');
    const where = (event) => {
      const box = canvas.getBoundingClientRect();
      return [event.clientX - box.left, event.clientY - box.top];
    };
    let start = null;
    on(canvas, 'pointerdown', (event) => {
      this._byKeys = false;
      canvas.setPointerCapture(event.pointerId);
      held.set(event.pointerId, where(event));
      start = held.size === 1 ? {at: where(event), moved: false} : null;
    });
    on(canvas, 'pointermove', (event) => {
      const at = where(event), before = held.get(event.pointerId);
      if (!before) {
        if (event.pointerType === 'mouse') this._lookUnder(at);
        return;
      }
      if (start && !start.moved && Math.hypot(at[0] - start.at[0], at[1] - start.at[1]) < 4) return;
      if (start) start.moved = true;
      const pair = held.size === 2 ? [...held.values()] : null;
      held.set(event.pointerId, at);
      const [dx, dy] = [at[0] - before[0], at[1] - before[1]];
      if (held.size === 1) {
        const aside = event.shiftKey || (event.buttons & 6);
        if (aside) this._pan(dx, dy); else this._turn(-dx * 0.35, dy * 0.35);
      } else if (pair) {
        const now = [...held.values()];
        const middle = (p) => [(p[0][0] + p[1][0]) / 2, (p[0][1] + p[1][1]) / 2];
        const apart = (p) => Math.hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]) || 1;
        const [a, b] = [middle(pair), middle(now)];
        this._pan(b[0] - a[0], b[1] - a[1]);
        this._zoom(apart(pair) / apart(now), ...b);
      }
    });
    const lift = (event) => {
      held.delete(event.pointerId);
      if (event.type === 'pointerup' && start && !start.moved && event.button === 0)
        this._click(...where(event), event);
      if (!held.size) start = null;
    };
    on(canvas, 'pointerup', lift);
    on(canvas, 'pointercancel', lift);
    on(canvas, 'pointerleave', (event) => {
      if (!held.size && event.pointerType === 'mouse') this._hover(null);
    });
    on(canvas, 'contextmenu', (event) => event.preventDefault());
    on(canvas, 'dblclick', (event) => {
      const id = this._measuring ? null : this.pickAt(...where(event));
      if (id !== null) this.fit([id]);
    });
    on(canvas, 'wheel', (event) => {
      event.preventDefault();
      const lines = event.deltaMode === 1 ? 18 : event.deltaMode === 2 ? 300 : 1;
      this._zoom(Math.exp(clamp(event.deltaY * lines, -240, 240) * 0.0016), ...where(event));
    }, {passive: false});
    on(canvas, 'keydown', (event) => this._key(event));
    on(canvas, 'focus', () => this._draw());
    on(canvas, 'blur', () => this._draw());
    on(canvas, 'webglcontextlost', (event) => { event.preventDefault(); this.lost = true; });
    on(canvas, 'webglcontextrestored', () => this._restore());
    on(this._prefers, 'change', () => this.setTheme(this._themed));
    this._watch = new ResizeObserver(() => this.resize());
    this._watch.observe(canvas);
  }

  _restore() {
    this.lost = false;
    this._build();
    for (const scene of [this._scene, this._second]) if (scene) this._upload(scene);
    for (const body of this._bodies) this._raise(body);
    this._draw();
  }

  _lookUnder(at) {
    // On a slow machine the mouse is asked after only when it comes to rest.
    this._under = at;
    if (this._looking && this._pause < 40) return;
    clearTimeout(this._looking);
    this._looking = setTimeout(() => {
      this._looking = 0;
      if (this.lost || !this._scene) return;
      const began = performance.now();
      this._hover(this.pickAt(...this._under, 2));
      this._pause = clamp(2 * (performance.now() - began), 0, 400);
    }, this._pause);
  }

  _click(x, y, event) {
    const found = this._pick(x, y, event.pointerType === 'touch' ? 10 : 4);
    if (this._measuring) this._addPoint(found);
    else this._tell.onPick?.(found ? found.id : null, event);
  }

  _key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const {key, shiftKey} = event, arrows = {
      ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1],
    };
    this._byKeys = true;
    const middle = [this.canvas.clientWidth / 2, this.canvas.clientHeight / 2];
    if (arrows[key]) {
      const [x, y] = arrows[key];
      if (shiftKey) this._pan(30 * x, 30 * y); else this._turn(-5 * x, 5 * y);
    } else if (key === '+' || key === '=') this._zoom(0.85);
    else if (key === '-' || key === '_') this._zoom(1 / 0.85);
    else if (key === 'f' || key === 'F') this.fit(this.selected());
    else if (key >= '1' && key <= '6') this.view(KEYS[key - 1]);
    else if (key === 'Enter') this._click(...middle, event);
    else if (key === 'Escape') {
      if (this._measuring) this.measure(true);
      else this._tell.onPick?.(null, event);
    } else { this._draw(); return; }
    event.preventDefault();
  }

  dispose() {
    this._listening.abort();
    this._watch.disconnect();
    cancelAnimationFrame(this._asked);
    clearTimeout(this._looking);
    this._drawn.svg.remove();
    this._free(this._scene);
    this._free(this._second);
    this.gl.getExtension('WEBGL_lose_context')?.loseContext();
    this.lost = true;
  }
}

// A text in which a number stays on one line with its fraction and its unit.
function tied(text) {
  return text.replace(/(\d) (?=\d+\/\d|(?:mm|m|kg|g|lb|oz|in|ft|deg)\b)/g, '$1\u00a0');
}

export { Viewer, tied };
