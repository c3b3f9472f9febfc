// The picture: members in their colours, the ground with the shadow, bodies, what is picked out.

import {linear, shares} from './colours.js';
import {SUN} from './shadow.js';
import {plus, sub} from './vectors.js';

const DIFFERENT = {same: '#9aa0a6', first: '#d1611f', second: '#1f78b4'};

export class Painting {
  constructor(graphics, shadow, things) {
    this._graphics = graphics;
    this._things = things;
    this._shadow = shadow;
  }

  paint(shown, look, theme) {
    const {gl} = this._graphics;
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, gl.canvas.width, gl.canvas.height);
    gl.clearColor(...shares(theme.back), 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    if (!shown.scene) return;
    gl.enable(gl.DEPTH_TEST);
    gl.disable(gl.BLEND);
    this._members(shown, look, theme);
    this._things.paint(this._graphics, shown, look, theme, false);
    gl.enable(gl.BLEND);
    gl.depthMask(false);
    gl.disable(gl.CULL_FACE);
    if (!this._things.hasGround) this._ground(shown, look, theme);
    this._things.paint(this._graphics, shown, look, theme, true);
    if (shown.bodies.length) this._bodies(shown, look);
    if (shown.selected.size) this._through(shown, look, theme);
    gl.depthMask(true);
  }

  _members(shown, look, theme) {
    const {gl} = this._graphics, {low, high} = shown.box;
    if (shown.cut) gl.disable(gl.CULL_FACE); else gl.enable(gl.CULL_FACE);
    const program = this._graphics.use('solid', shown, look.matrix);
    const middle = plus(low, sub(high, low), 0.5);
    const far = Math.hypot(...sub(look.eye, middle)), reach = Math.hypot(...sub(high, low)) / 2;
    gl.uniform3fv(program.uAccent, linear(theme.accent));
    gl.uniform3fv(program.uSame, linear(DIFFERENT.same));
    gl.uniform3fv(program.uBack, linear(theme.back));
    gl.uniform3fv(program.uEye, look.eye);
    gl.uniform3fv(program.uSun, SUN);
    gl.uniform2f(program.uHaze, Math.max(0, far - reach), far + reach);
    gl.uniform1f(program.uDim, shown.selected.size ? 0.62 : 0);
    const prepare = (part) => gl.uniform3fv(program.uColour, part[theme.colour]);
    for (const scene of shown.scenes) {
      const alone = scene === shown.scene ? DIFFERENT.first : DIFFERENT.second;
      gl.uniform3fv(program.uAlone, linear(alone));
      this._graphics.draw(scene, shown, look.pixel, {prepare});
    }
  }

  _ground(shown, look, theme) {
    const {gl} = this._graphics, {low, high} = shown.box, size = sub(high, low);
    const margin = Math.max(1.5, 0.45 * Math.max(size[0], Math.min(size[1], 3 * size[0])));
    const imperial = shown.scene.members.units === 'imperial';
    const program = this._graphics.use('ground', shown, look.matrix);
    gl.uniform4f(program.uReach, (low[0] + high[0]) / 2, (low[1] + high[1]) / 2,
                 size[0] * 0.72 + margin * 1.3, size[1] * 0.72 + margin * 1.3);
    gl.uniform3fv(program.uGroundColour, linear(theme.ground));
    gl.uniform3fv(program.uGridColour, linear(theme.grid));
    gl.uniform4fv(program.uGround, this._shadow.ground);
    gl.uniform2f(program.uGrid, imperial ? 0.3048 : 1, imperial ? 3.048 : 5);
    gl.uniform1f(program.uShade, theme.shadow);
    gl.uniform1f(program.uSoft, this._shadow.soft);
    gl.uniform1f(program.uAlpha, look.eye[2] > 0 ? 0.84 : 0.30);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, this._shadow.texture);
    gl.uniform1i(program.uShadow, 0);
    gl.bindVertexArray(this._graphics.square);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
  }

  _bodies(shown, look) {
    const {gl} = this._graphics, program = this._graphics.use('body', shown, look.matrix);
    gl.bindVertexArray(this._graphics.plain);
    for (const body of shown.bodies) {
      gl.uniform3fv(program.uColour, body.colour);
      for (const [name, mode, alpha] of [['fill', gl.TRIANGLES, 0.16], ['lines', gl.LINES, 0.9]]) {
        gl.bindBuffer(gl.ARRAY_BUFFER, body[name]);
        gl.enableVertexAttribArray(0);
        gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
        gl.uniform1f(program.uAlpha, alpha);
        gl.drawArrays(mode, 0, body[name + 'Count']);
      }
    }
  }

  // What is picked out shines through whatever stands before it.
  _through(shown, look, theme) {
    const {gl} = this._graphics, program = this._graphics.use('through', shown, look.matrix);
    gl.disable(gl.DEPTH_TEST);
    gl.enable(gl.CULL_FACE);
    gl.uniform3fv(program.uColour, linear(theme.accent));
    for (const part of new Set([...shown.selected].map((id) => shown.scene.at(id).part)))
      if (!shown.hidden.has(part.role)) this._graphics.drawPart(part);
  }
}
