// Things beside the frame, which cannot be picked: who gives the scale, what lies under it.
//
// A thing: {triangles: [x, y, z, ...] in mm, colour: {light, dark} as '#rrggbb', alpha: 1, lit: true
// (else of one shade), at: [x, y] in mm where it stands, faces: true (it turns to the eye about its
// upright; its own y lies then along the sight), labels: [{at: [x, y, z] in mm, text}], ground: true
// (the flat ground is left out, as this is the real one)}.

import {earClip} from './bodies.js';
import {linear} from './colours.js';
import {SUN} from './shadow.js';
import {metres} from './vectors.js';

export class Things {
  constructor() {
    this._kinds = new Map();
  }

  get all() { return [...this._kinds.values()].flat(); }
  get hasGround() { return this.all.some((thing) => thing.given.ground); }
  get labels() { return this.all.flatMap((thing) => thing.given.labels || []); }

  // Those of one kind take the place of what was there of it; whether there are or were any.
  set(kind, list, graphics) {
    const before = this._kinds.get(kind) || [];
    for (const thing of before) graphics.gl.deleteBuffer(thing.buffer);
    this._kinds.set(kind, list.map((given) => this._made({given}, graphics)));
    return list.length > 0 || before.length > 0;
  }

  // A new context knows nothing of the old one.
  renew(graphics) { for (const thing of this.all) this._made(thing, graphics); }

  _made(thing, {gl}) {
    const points = new Float32Array(metres(thing.given.triangles));
    thing.count = points.length / 3;
    thing.buffer = gl.createBuffer();
    gl.bindVertexArray(null);
    gl.bindBuffer(gl.ARRAY_BUFFER, thing.buffer);
    gl.bufferData(gl.ARRAY_BUFFER, points, gl.STATIC_DRAW);
    return thing;
  }

  // Draws those that are seen through, or those that are not.
  paint(graphics, shown, look, theme, clear) {
    const some = this.all.filter(({given: {alpha = 1}}) => (alpha < 1) === clear);
    if (!some.length) return;
    const {gl} = graphics, program = graphics.use('thing', shown, look.matrix);
    gl.bindVertexArray(graphics.plain);
    gl.disable(gl.CULL_FACE);
    gl.uniform3fv(program.uSun, SUN);
    for (const {given, buffer, count} of some) {
      const at = metres(given.at || [0, 0]), turn = given.faces ? facing(at, look.eye) : [1, 0];
      gl.uniform4f(program.uAt, ...at, ...turn);
      gl.uniform3fv(program.uColour, linear(given.colour[theme.colour]));
      gl.uniform1f(program.uAlpha, given.alpha ?? 1);
      gl.uniform1f(program.uLit, given.lit === false ? 0 : 1);
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.enableVertexAttribArray(0);
      gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
      gl.drawArrays(gl.TRIANGLES, 0, count);
    }
  }
}

// Cosine and sine of the turn that lays x across the sight of an eye.
function facing([x, y], eye) {
  const [dx, dy] = [x - eye[0], y - eye[1]], far = Math.hypot(dx, dy) || 1;
  return [dy / far, -dx / far];
}

// Half the outline of somebody who stands: across and up, mm, from the neck down.
const HALF = [[50, 1530], [70, 1480], [205, 1430], [240, 1330], [262, 1090], [255, 830], [212, 820],
  [205, 1080], [172, 1290], [150, 1070], [178, 900], [158, 480], [118, 70], [165, 0], [45, 0],
  [50, 460], [22, 810]];
export const PERSON_MM = 1750;

// Somebody of 1.75 m, seen from wherever one stands, as a flat thing.
export function person(at, text) {
  const head = [...Array(16).keys()].map((k) => {
    const turn = Math.PI * (k / 8);
    return [92 * Math.cos(turn), PERSON_MM - 118 + 118 * Math.sin(turn)];
  });
  const body = [...HALF, ...HALF.map(([x, z]) => [-x, z]).reverse()];
  const triangles = [head, body].flatMap(
    (outline) => earClip(outline).flatMap((k) => [outline[k][0], 0, outline[k][1]]));
  return {triangles, at, faces: true, lit: false, colour: {light: '#6b7683', dark: '#98a3ae'},
          labels: [{at: [...at, PERSON_MM + 150], text}]};
}
