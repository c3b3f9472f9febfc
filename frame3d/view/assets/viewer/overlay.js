// Over the canvas, in SVG: the line and figure of a measure, a cross where keys pick, words beside
// things, and a compass.

import {clamp} from './vectors.js';

function make(name, parent, about) {
  const node = document.createElementNS('http://www.w3.org/2000/svg', name);
  set(node, about);
  parent?.append(node);
  return node;
}
function set(node, about) {
  for (const [key, value] of Object.entries(about)) node.setAttribute(key, value);
}
function show(node, on) { node.style.display = on ? '' : 'none'; }

export class Overlay {
  constructor(canvas) {
    this._canvas = canvas;
    this._svg = make('svg', null, {'aria-hidden': 'true'});
    const {style} = this._svg;
    Object.assign(style, {position: 'absolute', pointerEvents: 'none', overflow: 'hidden'});
    canvas.after(this._svg);
    [this._under, this._line] = [5, 2].map((wide) => make(
      'line', this._svg, {'stroke-linecap': 'round', 'stroke-width': wide}));
    this._dots = [0, 1].map(() => make('circle', this._svg, {r: 5, 'stroke-width': 2}));
    this._text = make('text', this._svg, {
      'text-anchor': 'middle', 'font-size': 15, 'font-weight': 600, 'stroke-width': 4,
      'paint-order': 'stroke', 'font-family': 'system-ui, sans-serif',
    });
    this._words = make('g', this._svg, {
      'text-anchor': 'middle', 'font-size': 13, 'stroke-width': 3.5, 'paint-order': 'stroke',
      'font-family': 'system-ui, sans-serif',
    });
    this._compass = make('g', this._svg, {});
    this._rim = make('circle', this._compass, {r: 20, 'stroke-width': 1.5});
    this._needle = make('g', this._compass, {});
    this._north = make('path', this._needle, {d: 'M0-15 5 0-5 0Z'});
    this._south = make('path', this._needle, {d: 'M0 15 5 0-5 0Z', 'fill-opacity': 0.35});
    this._letter = make('text', this._compass, {
      'text-anchor': 'middle', 'font-size': 12, 'font-weight': 700,
      'font-family': 'system-ui, sans-serif',
    });
    this._letter.textContent = 'N';
    this._cross = make('path', this._svg, {fill: 'none', 'stroke-width': 1.5});
  }

  // `at`: the points of a measure in CSS pixels; `words`: what lies between two.
  paint(at, words, theme, crossed) {
    const {offsetLeft, offsetTop, clientWidth, clientHeight} = this._canvas;
    Object.assign(this._svg.style, {left: `${offsetLeft}px`, top: `${offsetTop}px`,
                                    width: `${clientWidth}px`, height: `${clientHeight}px`});
    this._dots.forEach((dot, k) => {
      show(dot, at[k]);
      if (at[k]) set(dot, {cx: at[k][0], cy: at[k][1], fill: theme.accent, stroke: theme.halo});
    });
    for (const node of [this._under, this._line, this._text]) show(node, at.length === 2);
    if (at.length === 2) this._paintLine(at, words, theme);
    show(this._cross, crossed);
    const [x, y] = [clientWidth / 2, clientHeight / 2];
    if (crossed)
      set(this._cross, {d: `M${x - 9} ${y}h6m6 0h6M${x} ${y - 9}v6m0 6v6`, stroke: theme.ink});
  }

  // `labels`: [{at: [x, y] in CSS pixels, text}]; those that would lie on others before them are left out.
  label(given, theme) {
    const labels = [];
    for (const {at: [x, y], text} of given) {
      const half = 4 + 3.4 * text.length;
      if (!labels.some((one) => Math.abs(one.x - x) < half + one.half && Math.abs(one.y - y) < 15))
        labels.push({x, y, text, half});
    }
    set(this._words, {fill: theme.ink, stroke: theme.halo});
    while (this._words.childNodes.length > labels.length) this._words.lastChild.remove();
    labels.forEach(({x, y, text, half}, k) => {
      const node = this._words.childNodes[k] || make('text', this._words, {});
      if (node.textContent !== text) node.textContent = text;
      set(node, {x: clamp(x, half, Math.max(half, this._canvas.clientWidth - half)), y});
    });
  }

  // A compass whose needle is turned by so many degrees, or null for none.
  point(degrees, theme) {
    show(this._compass, degrees !== null && degrees !== undefined);
    if (degrees === null || degrees === undefined) return;
    const turn = degrees * Math.PI / 180;
    set(this._compass, {transform: `translate(${this._canvas.clientWidth - 44} 44)`});
    set(this._rim, {fill: theme.halo, 'fill-opacity': 0.7, stroke: theme.ink});
    set(this._needle, {transform: `rotate(${degrees.toFixed(1)})`});
    set(this._north, {fill: theme.accent});
    set(this._south, {fill: theme.ink});
    set(this._letter, {fill: theme.ink, x: 31 * Math.sin(turn), y: 4 - 31 * Math.cos(turn)});
  }

  _paintLine([[x1, y1], [x2, y2]], words, theme) {
    const {clientWidth, clientHeight} = this._canvas;
    set(this._under, {x1, y1, x2, y2, stroke: theme.halo});
    set(this._line, {x1, y1, x2, y2, stroke: theme.accent});
    set(this._text, {
      x: clamp((x1 + x2) / 2, 50, clientWidth - 50),
      y: clamp((y1 + y2) / 2 - 10, 20, clientHeight - 8), fill: theme.ink, stroke: theme.halo,
    });
    this._text.textContent = words;
  }
}
