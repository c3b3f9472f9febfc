// The ground along both sides with the sockets on it, and the string over them to drag.

import { byId, el } from "./dom.js";
import { groundThings, moved } from "/assets/earth.js";
import { swatch } from "/assets/legend.js";

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

/** Cut and fill in m³ for the pad that lies under the string, with that moved up by `by` mm.
 *
 * A piece is flat: area, m², and heights of its corners over the pad, mm, rising. What is above (or
 * below) the pad at one corner is a tetrahedron, a third of its base by its height; the rest follows
 * from the whole of the piece.
 */
export function earthMoved(pieces, by) {
  let [cut, fill] = [0, 0];
  for (const [area, ...heights] of pieces) {
    const [low, middle, high] = heights.map((height) => (height - by) / 1000);
    const whole = area * (low + middle + high) / 3;
    const tip = (one, two, three) => area * one ** 3 / (3 * (one - two) * (one - three));
    const above = low >= 0 ? whole : high <= 0 ? 0
      : middle <= 0 ? tip(high, middle, low) : whole + tip(-low, -middle, -high);
    cut += above;
    fill += above - whole;
  }
  return { cut, fill };
}

export class GroundView {
  #ground = null;
  #by = 0;
  #times = 5;
  #deep = 1;

  /** `onSurface(things, states)` when there is other ground under the frame, or none. */
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
    this.deep = el("select", { id: "picture-times", change: () => {
      this.#deep = Number(this.deep.value);
      this.#picture();
    } }, TIMES.map((times) => el("option", { value: times }, times === 1 ? "true" : `${times} times`)));
    this.colours = el("ul", { class: "legend", "aria-label": "Colours of sockets" });
    this.told = el("p", { role: "status", id: "ground-told" });
    this.drawn = el("div", { class: "profiles" });
    this.rows = el("tbody");
    this.figure = el("div", { hidden: true }, this.drawn,
      el("label", { for: "string-moved" }, "String up or down"), this.string,
      el("label", { class: "times" }, "Heights drawn here ", this.exaggeration),
      el("label", { class: "times" }, "In the 3D picture ", this.deep),
      this.colours,
      this.told,
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
    this.figure.hidden = !ground.scene;
    this.rows.replaceChildren(...ground.marks.map(
      (texts) => el("tr", {}, texts.map((text) => el("td", {}, text)))));
    this.colours.replaceChildren(...Object.values(ground.scene?.states ?? {}).map(
      (state) => el("li", {}, swatch(state.light, state.dark), state.text)));
    this.string.value = "0";
    this.#move(0);
  }

  #say(length) {
    return this.#ground.inches ? `${(length / 25.4).toFixed(1)} in` : `${Math.round(length)} mm`;
  }

  #move(by) {
    this.#by = by;
    this.#picture();
    if (!this.#ground.scene) return;
    const { sockets, limits } = this.#ground.scene;
    const all = sockets.map((one) => moved(one, limits, by));
    const sum = (what) => this.#say(all.reduce((total, one) => total + one[what], 0));
    const count = (what) => all.filter((one) => one[what] > 0.05).length;
    this.told.textContent = `String ${by ? `${this.#say(Math.abs(by))} ${by > 0 ? "higher" : "lower"}`
      : "as set out"}: dig ${sum("dig")} at ${count("dig")} sockets, fill ${sum("fill")} at ${count("fill")}.${this.#volumes()}`;
    this.#draw();
  }

  #picture() {
    const { scene } = this.#ground;
    this.onSurface(scene ? groundThings(scene, this.#by, this.#deep, (mm) => this.#say(mm)) : [],
      scene?.states);
  }

  /** What is moved for a pad that follows the string. */
  #volumes() {
    if (!this.#ground.earth.length) return "";
    const { cut, fill } = earthMoved(this.#ground.earth, this.#by);
    const say = (volume) => (this.#ground.inches ? `${(volume / .9144 ** 3).toFixed(1)} yd\u00b3`
      : `${volume.toFixed(2)} m\u00b3`);
    return ` A pad under this string: cut ${say(cut)}, fill ${say(fill)}.`;
  }

  #draw() {
    this.drawn.replaceChildren(...["left", "right"].map((side) => this.#profile(side)));
  }

  #profile(side) {
    const { sockets, limits } = this.#ground.scene;
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
      const { stands, dig, fill, state } = moved(one, limits, this.#by);
      const [x, foot] = at(one.y, one.ground);
      const [, top] = at(one.y, one.top + this.#by);
      const words = `${one.name}: ${this.#say(stands)} out of the ground`
        + `${state === "clear" ? "" : `, ${state} ${this.#say(dig + fill)}`}`;
      return svg("g", { class: `socket ${state}` },
        svg("title", {}, words), svg("line", { x1: x, y1: foot, x2: x, y2: top }),
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
