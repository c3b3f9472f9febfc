// Plots of the rows: two figures against each other, and all of them side by side.

import {BEST} from './rows.js';

const MOST_LINES = 600;

function colours() {
  const style = getComputedStyle(document.documentElement);
  const [accent, meets, other, ink, line] = ['accent', 'meets', 'other', 'ink', 'line'].map(
    (name) => style.getPropertyValue(`--${name}`).trim());
  return {ranks: [other, meets, accent], ink, line};
}

function said(value) {
  return typeof value === 'number' ? String(Number(value.toPrecision(4))) : value;
}

export class Scatter {
  constructor(canvas, pick) {
    this.pick = pick;
    const {ranks, ink, line} = colours();
    const scale = () => ({
      type: 'linear', title: {display: true, text: '', color: ink}, ticks: {color: ink},
      grid: {color: line},
    });
    this.chart = new Chart(canvas, {
      type: 'scatter',
      data: {
        datasets: [0, 1, 2, 3].map((rank) => ({
          data: [], parsing: false, backgroundColor: rank === 3 ? 'transparent' : ranks[rank],
          borderColor: rank === 3 ? ink : ranks[rank], borderWidth: rank === 3 ? 2 : 0,
          pointRadius: [2.5, 3, 5, 9][rank], pointHitRadius: 4, order: 3 - rank,
        })),
      },
      options: {
        animation: false, maintainAspectRatio: false,
        scales: {x: scale(), y: scale()},
        plugins: {legend: {display: false}, tooltip: {callbacks: {label: ({raw}) => raw.row.title}}},
        onClick: (event, found) => {
          const point = found[0];
          if (point) this.pick(this.chart.data.datasets[point.datasetIndex].data[point.index].row);
        },
      },
    });
  }

  show(rows, across, up, picked) {
    const sets = [[], [], [], []];
    for (const row of rows) {
      const [x, y] = [across.of(row), up.of(row)];
      if (typeof x !== 'number' || typeof y !== 'number') continue;
      sets[row.rank].push({x, y, row});
      if (row === picked) sets[3].push({x, y, row});
    }
    sets.forEach((data, rank) => { this.chart.data.datasets[rank].data = data; });
    this.chart.options.scales.x.title.text = across.name;
    this.chart.options.scales.y.title.text = up.name;
    this.chart.update('none');
  }

  points() {
    return this.chart.data.datasets.slice(0, 3).reduce((sum, set) => sum + set.data.length, 0);
  }
}

// Parallel axes: one for each column, one line for each row.
export class Axes {
  constructor(canvas) {
    this.canvas = canvas;
    this.last = [[], [], null];
    new ResizeObserver(() => this.show(...this.last)).observe(canvas.parentElement);
  }

  show(rows, columns, picked) {
    this.last = [rows, columns, picked];
    const {canvas} = this, box = canvas.parentElement.getBoundingClientRect();
    const dense = window.devicePixelRatio || 1;
    canvas.width = box.width * dense;
    canvas.height = box.height * dense;
    canvas.style.width = `${box.width}px`;
    canvas.style.height = `${box.height}px`;
    const pen = canvas.getContext('2d');
    pen.scale(dense, dense);
    this._draw(pen, box, rows, columns, picked);
  }

  _draw(pen, {width, height}, rows, columns, picked) {
    const axes = columns.map((column) => this._axis(column, rows)).filter((axis) => axis.high > axis.low);
    if (axes.length < 2) return;
    const {ranks, ink, line} = colours();
    const place = (at) => 42 + (at * (width - 84)) / (axes.length - 1);
    const low = height - 34, high = 40;
    const stroke = (row, colour, wide, seen) => {
      pen.strokeStyle = colour;
      pen.lineWidth = wide;
      pen.globalAlpha = seen;
      pen.beginPath();
      axes.forEach((axis, at) => {
        const value = axis.value(row);
        const share = value === null ? 0 : (value - axis.low) / (axis.high - axis.low);
        pen[at ? 'lineTo' : 'moveTo'](place(at), low + (high - low) * share);
      });
      pen.stroke();
    };
    const best = rows.filter((row) => row.rank === BEST);
    const others = rows.filter((row) => row.rank !== BEST);
    const step = Math.max(1, Math.ceil(others.length / MOST_LINES));
    for (let at = 0; at < others.length; at += step) stroke(others[at], ranks[others[at].rank], 1, 0.25);
    for (const row of best) stroke(row, ranks[BEST], 1.6, 0.9);
    if (picked && rows.includes(picked)) stroke(picked, ink, 3, 1);
    pen.globalAlpha = 1;
    const room = place(1) - place(0);
    axes.forEach((axis, at) => this._label(pen, axis, place(at), room, low, high, at % 2, ink, line));
  }

  _axis(column, rows) {
    const value = (row) => {
      const own = column.of(row);
      if (typeof own === 'number') return own;
      const number = parseFloat(own);
      return Number.isNaN(number) ? (column.rank ? column.rank(row) : null) : number;
    };
    let [low, high] = [Infinity, -Infinity];
    const ends = ['', ''];
    for (const row of rows) {
      const own = value(row);
      if (own === null) continue;
      if (own < low) [low, ends[0]] = [own, said(column.of(row))];
      if (own > high) [high, ends[1]] = [own, said(column.of(row))];
    }
    return {name: column.name, value, low, high, ends};
  }

  _label(pen, axis, x, room, low, high, odd, ink, line) {
    pen.strokeStyle = line;
    pen.lineWidth = 1;
    pen.beginPath();
    pen.moveTo(x, low);
    pen.lineTo(x, high);
    pen.stroke();
    pen.fillStyle = ink;
    pen.font = '11px system-ui, sans-serif';
    pen.textAlign = 'center';
    pen.fillText(axis.name.replace(/^.*\./, ''), x, odd ? 11 : 24, 1.8 * room);
    pen.fillText(axis.ends[1], x, high - 3, 0.9 * room);
    pen.fillText(axis.ends[0], x, low + 13, 0.9 * room);
  }
}
