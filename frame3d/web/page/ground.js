// The ground along both sides with the sockets on it, and the string over them to drag.

import { byId, el } from "./dom.js";

const SPACE = "http://www.w3.org/2000/svg";
const WIDE = 360;
const HIGH = 130;
const NAMES = 40; // room over the string for what stands out
const EDGE = 14;
const TIMES = [1, 2, 5, 10, 20];
const MOST_NAMED = 26;

function svg(tag, attributes, ...children) {
  const made = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** What stands out of the ground, and what is dug or filled for it, with the string moved, mm. */
export function moved(socket, [least, most], by) {
  const stands = socket.top + by - socket.ground;
  return { stands, dig: Math.max(0, least - stands), fill: Math.max(0, stands - most) };
}

/** The ground under the frame for the viewer: two triangles for each cell of the grid. */
export function surface({ xs, ys, zs }, by) {
  const at = (i, j) => [xs[i], ys[j], zs[j * xs.length + i] - by];
  const triangles = [];
  for (let j = 0; j + 1 < ys.length; j++) {
    for (let i = 0; i + 1 < xs.length; i++) {
      const [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
      triangles.push(...a, ...b, ...c, ...a, ...c, ...d);
    }
  }
  return { triangles, colour: { light: "#a8946d", dark: "#6f6248" }, alpha: .6, ground: true };
}

export class GroundView {
  #ground = null;
  #by = 0;
  #times = 5;

  /** `onSurface(things)` when there is other ground under the frame, or none. */
  constructor(onSurface) {
    this.onSurface = onSurface;
    this.string = el("input", { type: "range", id: "string-moved", min: -300, max: 300, step: 5,
      value: 0, input: () => this.#move(Number(this.string.value)) });
    this.exaggeration = el("select", { id: "ground-times",
      change: () => {
        this.#times = Number(this.exaggeration.value);
        this.#draw();
      } }, TIMES.map((times) => el("option", { value: times, selected: times === this.#times },
      times === 1 ? "true" : `${times} times`)));
    this.told = el("p", { role: "status", id: "ground-told" });
    this.drawn = el("div", { class: "profiles" });
    this.rows = el("tbody");
    this.figure = el("div", { hidden: true }, this.drawn,
      el("label", { for: "string-moved" }, "String up or down"), this.string,
      el("label", { for: "ground-times" }, "Heights drawn"), this.exaggeration, this.told,
      el("details", {}, el("summary", {}, "Sockets as they are set out"), el("table", { class: "marks" },
        el("thead", {}, el("tr", {}, ["Socket", "Top to mark", "Lower hole", "Dig", "Fill"].map(
          (head) => el("th", { scope: "col" }, head)))), this.rows)));
    this.words = el("p", { class: "quiet", id: "ground-words" });
    byId("lists").append(el("section", { "aria-label": "Ground" }, this.words, this.figure));
  }

  /** What the server found of the ground. */
  know(ground) {
    this.#ground = ground;
    this.words.textContent = ground.text;
    this.figure.hidden = !ground.sockets.length;
    this.rows.replaceChildren(...ground.sockets.map((one) => el("tr", {},
      [one.name, one.mark, one.hole, one.dig, one.fill].map((text) => el("td", {}, text)))));
    this.string.value = "0";
    this.#move(0);
  }

  #say(length) {
    return this.#ground.inches ? `${(length / 25.4).toFixed(1)} in` : `${Math.round(length)} mm`;
  }

  #move(by) {
    this.#by = by;
    const { sockets, limits } = this.#ground;
    this.onSurface(this.#ground.surface ? [surface(this.#ground.surface, by)] : []);
    if (!sockets.length) return;
    const all = sockets.map((one) => moved(one, limits, by));
    const sum = (what) => this.#say(all.reduce((total, one) => total + one[what], 0));
    const count = (what) => all.filter((one) => one[what] > 0.05).length;
    this.told.textContent = `String ${by ? `${this.#say(Math.abs(by))} ${by > 0 ? "higher" : "lower"}`
      : "as set out"}: dig ${sum("dig")} at ${count("dig")} sockets, fill ${sum("fill")} at ${count("fill")}.`;
    this.#draw();
  }

  #draw() {
    this.drawn.replaceChildren(...["left", "right"].map((side) => this.#profile(side)));
  }

  #profile(side) {
    const { sockets, limits } = this.#ground;
    const row = sockets.filter((one) => one.side === side);
    const far = Math.max(...row.map((one) => one.y)) || 1;
    const scale = (WIDE - 2 * EDGE) / far;
    const levels = row.flatMap((one) => [one.ground, one.top + this.#by]);
    const [low, high] = [Math.min(...levels), Math.max(...levels)];
    const most = (HIGH - NAMES - EDGE) / (Math.max(high - low, 1) * scale);
    const times = Math.min(this.#times, most);
    const at = (y, z) => [EDGE + y * scale,
      NAMES + (HIGH - NAMES - EDGE) / 2 - (z - (low + high) / 2) * scale * times];
    const points = (heights) => row.map((one) => at(one.y, heights(one)).map((n) => n.toFixed(1)).join(","));
    const stems = row.map((one) => {
      const { stands, dig, fill } = moved(one, limits, this.#by);
      const [x, foot] = at(one.y, one.ground);
      const [, top] = at(one.y, one.top + this.#by);
      const state = dig > 0.05 ? "dug" : fill > 0.05 ? "filled" : "clear";
      const told = `${one.name}: ${this.#say(stands)} out of the ground`
        + `${dig > 0.05 ? `, dig ${this.#say(dig)}` : ""}${fill > 0.05 ? `, fill ${this.#say(fill)}` : ""}`;
      return svg("g", { class: `socket ${state}` },
        svg("title", {}, told), svg("line", { x1: x, y1: foot, x2: x, y2: top }),
        ...row.length > MOST_NAMED ? [] : [
          svg("text", { x: x + 3, y: top - 3, transform: `rotate(-60 ${x} ${top})` }, this.#say(stands))]);
    });
    return el("figure", {}, svg("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img",
      "aria-label": `Ground and sockets, ${side} side` },
    svg("polyline", { class: "earth", points: points((one) => one.ground).join(" ") }),
    svg("polyline", { class: "string", points: points((one) => one.top + this.#by).join(" ") }),
    ...stems), el("figcaption", {}, `${side[0].toUpperCase()}${side.slice(1)} side, first hoop at the left: what `
      + `stands out of the ground; heights drawn ${times === 1 ? "true" : `${Number(times.toFixed(1))} times`}`));
  }
}
