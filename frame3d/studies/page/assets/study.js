// The page of a study: what is in the file is unpacked, shown, sorted, filtered and plotted.

import {BEST, columnsOf, designText, filterOf, rowsOf, sorted, unpacked} from './rows.js';
import {Axes, Scatter} from './plots.js';

const PAGE = 50;
const MOST_AXES = 8;
const get = (id) => document.getElementById(id);

function make(name, about = {}, ...inside) {
  const node = document.createElement(name);
  Object.assign(node, about);
  node.append(...inside);
  return node;
}

function text(value) {
  if (value === null || value === undefined) return '';
  return typeof value === 'number' ? String(Math.round(value * 1e4) / 1e4) : value;
}

class StudyPage {
  constructor(data) {
    this.data = data;
    this.rows = rowsOf(data);
    this.columns = columnsOf(data);
    this.order = {column: this.columns[0], down: false};
    this.filters = new Map();
    this.from = 0;
    this.picked = null;
    for (const row of this.rows) row.title = this._title(row);
    get('why').hidden = true;
    get('live').hidden = false;
    this.scatter = new Scatter(get('scatter'), (row) => this.pick(row));
    this.axes = new Axes(get('axes'));
    this._heads();
    this._choices();
    this._moved();
    this._buttons();
    this.show();
  }

  _title(row) {
    const fields = this.data.fields.map((name, at) => `${name} ${row.values[at]}`);
    return `row ${row.number}: ${fields.join(', ')}`;
  }

  _heads() {
    for (const column of this.columns) {
      const button = make('button', {type: 'button', textContent: column.name, title: column.words});
      button.onclick = () => this.sort(column);
      column.head = make('th', {scope: 'col', className: column.figure ? '' : 'text'}, button);
      get('names').append(column.head);
      const input = make('input', {type: 'search', ariaLabel: `Filter for ${column.name}`});
      input.oninput = () => {
        this.filters.set(column, filterOf(input.value));
        this.show();
      };
      get('filters').append(make('td', {}, input));
    }
  }

  _choices() {
    const figures = this.columns.filter((column) => column.figure
      && this.rows.some((row) => typeof column.of(row) === 'number'));
    const goals = this.data.goals.map(({figure}) => figure);
    for (const [id, wanted] of [['x', goals[0]], ['y', goals[1]]]) {
      const select = get(id);
      figures.forEach((column) => select.append(make('option', {textContent: column.name})));
      select.value = wanted ?? figures[Math.min(id === 'x' ? 0 : 1, figures.length - 1)]?.name ?? '';
      select.onchange = () => this.show();
    }
    // Of fields that go together the first stands for all.
    const first = this.columns.filter((column) => this.data.axes.includes(column.name)
      || goals.includes(column.name));
    const rest = figures.filter((column) => !first.includes(column));
    this.shownAxes = [...first, ...rest].slice(0, MOST_AXES);
  }

  _moved() {
    for (const [figure, fields, share, low, high] of this.data.moved)
      get('moved').append(make('tr', {},
        make('td', {className: 'text', textContent: figure}),
        make('td', {className: 'text', textContent: fields}),
        make('td', {textContent: `${Math.round(share * 100)} %`}),
        make('td', {textContent: text(low)}), make('td', {textContent: text(high)})));
  }

  _buttons() {
    get('which').value = this.rows.some((row) => row.rank === BEST) ? '1' : '0';
    get('which').onchange = () => this.show();
    get('clear').onclick = () => {
      for (const input of get('filters').querySelectorAll('input')) input.value = '';
      this.filters.clear();
      this.show();
    };
    get('earlier').onclick = () => this.show(this.from - PAGE);
    get('later').onclick = () => this.show(this.from + PAGE);
    for (const button of document.querySelectorAll('[data-row]'))
      button.onclick = () => this.pick(this.rows[Number(button.dataset.row) - 1]);
  }

  sort(column) {
    this.order = {column, down: this.order.column === column && !this.order.down};
    this.show();
  }

  show(from = 0) {
    const least = Number(get('which').value);
    const wanted = this.rows.filter((row) => (least < 0 || (row.state === 'made' && row.rank >= least))
      && [...this.filters].every(([column, lets]) => lets(column.of(row))));
    this.shown = sorted(wanted, this.order.column, this.order.down);
    this.from = Math.max(0, Math.min(from, this.shown.length - 1));
    get('count').textContent = `${wanted.length} of ${this.rows.length} designs`;
    this._table();
    this._plots();
  }

  _plots() {
    const named = (id) => this.columns.find((column) => column.name === get(id).value);
    const [across, up] = [named('x'), named('y')];
    if (across && up) this.scatter.show(this.shown, across, up, this.picked);
    this.axes.show(this.shown, this.shownAxes, this.picked);
  }

  _table() {
    for (const column of this.columns) {
      const {head} = column;
      if (column === this.order.column)
        head.setAttribute('aria-sort', this.order.down ? 'descending' : 'ascending');
      else head.removeAttribute('aria-sort');
    }
    const page = this.shown.slice(this.from, this.from + PAGE);
    get('rows').replaceChildren(...page.map((row) => this._row(row)));
    get('earlier').disabled = this.from === 0;
    get('later').disabled = this.from + PAGE >= this.shown.length;
    get('where').textContent = page.length
      ? `${this.from + 1} to ${this.from + page.length} of ${this.shown.length}` : 'none';
  }

  _row(row) {
    const button = make('button', {type: 'button', textContent: row.number,
      ariaLabel: `Pick row ${row.number}`});
    button.onclick = () => this.pick(row);
    const cells = this.columns.slice(1).map((column) => {
      const value = column.of(row);
      return make('td', {className: typeof value === 'number' ? '' : 'text', textContent: text(value)});
    });
    const kind = row.rank === BEST ? 'best' : row.rank ? 'meets' : '';
    const node = make('tr', {className: `${kind}${row === this.picked ? ' picked' : ''}`},
      make('td', {}, button), ...cells);
    if (row.reason) node.append(make('td', {className: 'reason', textContent: row.reason}));
    return node;
  }

  pick(row) {
    this.picked = row;
    get('picked').hidden = false;
    get('h-picked').textContent = `Row ${row.number}`;
    const about = [];
    for (const column of this.columns.slice(1))
      about.push(make('dt', {textContent: column.name, title: column.words}),
        make('dd', {textContent: text(column.of(row))}));
    if (row.reason) about.push(make('dt', {textContent: 'why'}), make('dd', {textContent: row.reason}));
    get('about').replaceChildren(...about);
    const file = get('file');
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = URL.createObjectURL(new Blob([designText(this.data, row)], {type: 'application/toml'}));
    file.href = this.url;
    file.download = `${this.data.name}-row-${row.number}.toml`;
    this._table();
    this._plots();
  }
}

unpacked(get('data').textContent).then((data) => { window.studyPage = new StudyPage(data); });
