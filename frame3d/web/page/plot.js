// The plot round the frame, as things of the viewer: boundary, what stands nearby, services.

import { earClip } from "/assets/bodies.js";

export const COLOURS = {
  boundary: { light: "#7a3b8f", dark: "#c79bd6", text: "boundary of the plot" },
  nearby: { light: "#7d8790", dark: "#9aa4ad", text: "what stands nearby" },
  service: { light: "#00796b", dark: "#5fc9b8", text: "service" },
};

/** Walls over the lines of each, and a roof on what is closed and stands nearby. */
export function plotThings(plot) {
  return plot.map(({ kind, name, closed, high, corners }) => {
    const next = (k) => corners[(k + 1) % corners.length];
    const walls = corners.slice(0, closed ? corners.length : -1).flatMap(([a, b], k) => {
      const [c, d] = next(k);
      return [a, b, 0, c, d, 0, c, d, high, a, b, 0, c, d, high, a, b, high];
    });
    const roof = closed && kind === "nearby"
      ? earClip(corners).flatMap((k) => [...corners[k], high]) : [];
    const [x, y] = [0, 1].map((n) => corners.reduce((sum, at) => sum + at[n], 0) / corners.length);
    return { triangles: [...walls, ...roof], colour: COLOURS[kind], alpha: kind === "nearby" ? .35 : .8,
      labels: kind === "boundary" && closed ? [] : [{ at: [x, y, high + 300], text: name }] };
  });
}
