// The graphics card by WebGL 2: its programs, what is sent to it, and the drawing of parts.

import {prism} from './bodies.js';
import {SHADERS} from './shaders.js';

const HEAD = '#version 300 es\nprecision highp float;\n';
const STRIDE = 7 * 4;
// How much of a part is drawn.
const ALL = 0, OUTSIDE = 1, FEW = 2;

function linked(gl, vertex, fragment) {
  const program = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, HEAD + text);
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

// What a context holds; after a lost one another is made.
export class Graphics {
  constructor(gl) {
    this.gl = gl;
    this.lost = false;
    this._programs = Object.fromEntries(
      Object.entries(SHADERS).map(([name, pair]) => [name, linked(gl, ...pair)]));
    this.square = gl.createVertexArray();
    gl.bindVertexArray(this.square);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]), gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
    this.plain = gl.createVertexArray();
    gl.cullFace(gl.BACK);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
  }

  // From now on draws by a program, which goes by the cut and looks by a matrix.
  use(name, shown, matrix = null) {
    const {gl} = this, program = this._programs[name];
    gl.useProgram(program.program);
    gl.uniform4fv(program.uCut, shown.plane());
    if (matrix) gl.uniformMatrix4fv(program.uLook, false, matrix);
    return program;
  }

  upload(scene) {
    for (const part of scene.parts) this._uploadPart(part);
    this.gl.bindVertexArray(null);
  }

  _uploadPart(part) {
    const {gl} = this, {indices, far} = part, whole = [gl.UNSIGNED_INT, gl.UNSIGNED_BYTE];
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
    // Each corner has a point and a normal, each member all that follows.
    const place = (at, size, kind, stride = 0, offset = 0) => {
      gl.enableVertexAttribArray(at);
      if (whole.includes(kind)) gl.vertexAttribIPointer(at, size, kind, stride, offset);
      else gl.vertexAttribPointer(at, size, kind, kind === gl.BYTE, stride, offset);
      gl.vertexAttribDivisor(at, at > 1 ? 1 : 0);
    };
    put(part.points);
    place(0, 3, gl.FLOAT);
    put(part.normals);
    place(1, 3, gl.BYTE, 4);
    put(part.places);
    place(2, 3, gl.FLOAT, STRIDE);
    place(3, 4, gl.FLOAT, STRIDE, 12);
    put(part.ids);
    place(4, 1, gl.UNSIGNED_INT);
    part.flagBuffer = put(part.flags);
    place(5, 1, gl.UNSIGNED_BYTE);
    put(indices.byteLength + (far ? far.byteLength : 0), gl.ELEMENT_ARRAY_BUFFER);
    gl.bufferSubData(gl.ELEMENT_ARRAY_BUFFER, 0, indices);
    if (far) gl.bufferSubData(gl.ELEMENT_ARRAY_BUFFER, indices.byteLength, far);
    part.kind = indices instanceof Uint16Array ? gl.UNSIGNED_SHORT : gl.UNSIGNED_INT;
  }

  sendFlags(parts) {
    const {gl} = this;
    if (!this.lost) for (const part of parts) {
      gl.bindBuffer(gl.ARRAY_BUFFER, part.flagBuffer);
      gl.bufferSubData(gl.ARRAY_BUFFER, 0, part.flags);
    }
  }

  free(scene) {
    for (const part of scene.parts) {
      this.gl.deleteVertexArray(part.array);
      part.buffers.forEach((buffer) => this.gl.deleteBuffer(buffer));
    }
  }

  uploadBody(body) {
    const {gl} = this, {fill, lines, colour} = prism(body.given);
    body.colour = colour;
    for (const [name, list] of [['fill', fill], ['lines', lines]]) {
      body[name] = gl.createBuffer();
      body[name + 'Count'] = list.length / 3;
      gl.bindVertexArray(null);
      gl.bindBuffer(gl.ARRAY_BUFFER, body[name]);
      gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(list), gl.STATIC_DRAW);
    }
  }

  freeBody({fill, lines}) { for (const buffer of [fill, lines]) this.gl.deleteBuffer(buffer); }

  // Draws each part of a scene that is shown. From afar what is smaller than a `pixel` (metres) or
  // so is left out, nobody looks into a tube, and what is a few pixels across needs few triangles.
  draw(scene, shown, pixel, {prepare, casting = false} = {}) {
    for (const part of scene.parts) {
      if (!part.count || shown.hidden.has(part.role)) continue;
      if (part.small && (casting || part.across < 1.5 * pixel)) continue;
      prepare?.(part);
      const wide = shown.cut ? Infinity : part.across / pixel;
      this.drawPart(part, wide < 4 ? FEW : casting || wide < 5 ? OUTSIDE : ALL);
    }
  }

  drawPart(part, triangles = ALL) {
    const {gl} = this, few = triangles === FEW && part.far;
    const many = few ? part.far.length
      : triangles !== ALL && part.outside || part.indices.length;
    const start = few ? part.indices.byteLength : 0;
    gl.bindVertexArray(part.array);
    gl.drawElementsInstanced(gl.TRIANGLES, many, part.kind, start, part.count);
  }
}
