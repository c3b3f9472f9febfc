// Sums on points and directions [x, y, z], turns [x, y, z, w] and matrices of 16 by columns.

export function unit(v) { const s = Math.hypot(...v) || 1; return v.map((x) => x / s); }
export function sub(a, b) { return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]; }
export function plus(a, b, k = 1) { return [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]; }
export function dot(a, b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
export function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
export function turned(q, v) {
  const u = [q[0], q[1], q[2]];
  return plus(v, cross(u, plus(cross(u, v), v, q[3])), 2);
}
export function times(a, b) {
  const out = new Float32Array(16);
  for (let c = 0; c < 4; c++)
    for (let r = 0; r < 4; r++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += a[k * 4 + r] * b[c * 4 + k];
      out[c * 4 + r] = sum;
    }
  return out;
}
export function clamp(v, low, high) { return Math.min(high, Math.max(low, v)); }
export function mm(v) { return v.map((x) => x * 1000); }
export function metres(v) { return v.map((x) => x / 1000); }
