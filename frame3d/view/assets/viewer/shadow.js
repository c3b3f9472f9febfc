// The shadow on the ground: drawn once, seen along the sun, and laid on it as a texture.

import {unit} from './vectors.js';

export const SUN = unit([-0.42, -0.5, 0.86]);
export const LATER = 'later';

export class Shadow {
  constructor(graphics) {
    this._graphics = graphics;
    // Whether it must be cast anew: true, false, or LATER for the picture first.
    this.stale = true;
    this._sharp = this._smooth = null;
  }

  get texture() { return this._smooth?.texture; }

  // Casts it if it must be; returns whether it is to be asked again, once there is a picture.
  refresh(shown) {
    const later = this.stale === LATER;
    if (this.stale && !later) this._cast(shown);
    this.stale = later;
    return later;
  }

  _cast(shown) {
    const graphics = this._graphics, {gl} = graphics;
    const [wide, high, fine] = this._lay(shown.box);
    this._room(wide, high);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
    this._onto(this._sharp);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    const program = graphics.use('shadow', shown);
    gl.uniform3fv(program.uSun, SUN);
    gl.uniform4fv(program.uGround, this.ground);
    for (const scene of shown.scenes) graphics.draw(scene, shown, 1 / fine, {casting: true});
    this._soften(shown);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  }

  // Four places round each point, or the steps of the texture would be seen from near by.
  _soften(shown) {
    const {gl, square} = this._graphics, {wide, high} = this._smooth;
    gl.bindTexture(gl.TEXTURE_2D, this._sharp.texture);
    gl.generateMipmap(gl.TEXTURE_2D);
    this._onto(this._smooth);
    const program = this._graphics.use('soften', shown);
    gl.uniform2f(program.uSize, wide, high);
    gl.uniform1f(program.uSoft, this.soft);
    gl.uniform1i(program.uShadow, 0);
    gl.bindVertexArray(square);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.bindTexture(gl.TEXTURE_2D, this._smooth.texture);
    gl.generateMipmap(gl.TEXTURE_2D);
  }

  _onto({frame, wide, high}) {
    const {gl} = this._graphics;
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.viewport(0, 0, wide, high);
  }

  // The rectangle of ground that it can fall on; returns its pixels and how many go to a metre.
  _lay({low, high}) {
    const {gl} = this._graphics, tall = Math.max(0, high[2]);
    const ends = [0, tall].flatMap((z) => [low, high].map(
      (p) => [p[0] - SUN[0] / SUN[2] * z, p[1] - SUN[1] / SUN[2] * z]));
    const from = [0, 1].map((k) => Math.min(...ends.map((e) => e[k])) - 0.3);
    const to = [0, 1].map((k) => Math.max(...ends.map((e) => e[k])) + 0.3);
    const size = [to[0] - from[0], to[1] - from[1]];
    this.ground = [from[0], from[1], 2 / size[0], 2 / size[1]];
    const most = Math.min(3072, gl.getParameter(gl.MAX_TEXTURE_SIZE));
    const fine = Math.min(160, most / Math.max(...size));
    // Its edge is as soft as 2 cm, however fine it is drawn.
    this.soft = Math.max(0.6, Math.log2(fine * 0.03));
    return [...size.map((s) => Math.max(4, Math.ceil(s * fine))), fine];
  }

  _room(wide, high) {
    const {gl} = this._graphics, less = 2 ** Math.floor(this.soft), size = `${wide} ${high} ${less}`;
    if (this._size === size) return;
    for (const {texture, frame} of [this._sharp, this._smooth].filter(Boolean)) {
      gl.deleteTexture(texture);
      gl.deleteFramebuffer(frame);
    }
    this._size = size;
    gl.activeTexture(gl.TEXTURE0);
    this._sharp = this._target(wide, high);
    this._smooth = this._target(Math.ceil(wide / less), Math.ceil(high / less));
  }

  _target(wide, high) {
    const {gl} = this._graphics, levels = Math.floor(Math.log2(Math.max(wide, high))) + 1;
    const texture = gl.createTexture(), frame = gl.createFramebuffer();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, levels, gl.R8, wide, high);
    for (const [name, value] of [
      [gl.TEXTURE_MIN_FILTER, gl.LINEAR_MIPMAP_LINEAR], [gl.TEXTURE_MAG_FILTER, gl.LINEAR],
      [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE], [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
    ]) gl.texParameteri(gl.TEXTURE_2D, name, value);
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0);
    return {texture, frame, wide, high};
  }
}
