// Picking: the ids of members are drawn as colours round a point and read back.

export class Picking {
  constructor(graphics) { this._graphics = graphics; }

  // The member nearest to CSS pixels on the canvas within `reach` of them: {id, x, y} or null.
  pick(shown, camera, x, y, reach) {
    const graphics = this._graphics, {gl} = graphics, size = 2 * reach + 1;
    this._room(size);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this._frame);
    gl.viewport(0, 0, size, size);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.disable(gl.BLEND);
    gl.disable(gl.CULL_FACE);
    const {matrix, pixel} = camera.look({x, y, size});
    graphics.use('pick', shown, matrix);
    graphics.draw(shown.scene, shown, pixel);
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
    if (this._size === size) return;
    const {gl} = this._graphics;
    if (this._frame) {
      gl.deleteFramebuffer(this._frame);
      this._buffers.forEach((buffer) => gl.deleteRenderbuffer(buffer));
    }
    this._size = size;
    this._frame = gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, this._frame);
    this._buffers = [[gl.RGBA8, gl.COLOR_ATTACHMENT0],
                     [gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT]].map(([format, at]) => {
      const buffer = gl.createRenderbuffer();
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorage(gl.RENDERBUFFER, format, size, size);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, at, gl.RENDERBUFFER, buffer);
      return buffer;
    });
  }
}
