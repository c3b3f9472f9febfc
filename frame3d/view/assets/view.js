// The page around the viewer in view.html: what is in the file is unpacked, shown and listed.

import {groundThings} from './viewer/earth.js';
import {tied} from './viewer/lengths.js';
import {legend, swatch} from './viewer/legend.js';
import {Viewer} from './viewer/viewer.js';

const get = (id) => document.getElementById(id);

function make(name, about = {}, ...inside) {
  const node = document.createElement(name);
  Object.assign(node, about);
  node.append(...inside);
  return node;
}

function pressed(node, on) {
  if (on !== undefined) node.setAttribute('aria-pressed', String(on));
  return node.getAttribute('aria-pressed') === 'true';
}

async function unpacked(id) {
  if (!window.DecompressionStream)
    throw new Error('This browser is too old to show the frame in 3D; use one from 2023 or later.');
  const bytes = Uint8Array.from(atob(get(id).textContent.trim()), (c) => c.charCodeAt(0));
  const opened = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'));
  return new Response(opened).arrayBuffer();
}

class Page {
  constructor(viewer, data) {
    this.viewer = viewer;
    this.data = data;
    this._views();
    this._roles();
    this._cut();
    this._bodies();
    this._findings();
    this._ground();
    get('clear').onclick = () => this.pick(null);
    get('alike').onclick = () => this.choose(viewer.find({mark: this.mark}));
    addEventListener('beforeprint', () => {
      const image = make('img', {src: viewer.picture(), alt: 'The frame as shown on screen'});
      get('picture').replaceChildren(image);
      for (const id of ['findings', 'figures']) get(id).open = true;
    });
  }

  _views() {
    for (const button of document.querySelectorAll('[data-view]'))
      button.onclick = () => this.viewer.view(button.dataset.view);
    get('fit').onclick = () => this.viewer.fit(this.viewer.selected());
    get('measure').onclick = () => this.measure(!pressed(get('measure')));
  }

  measure(on) {
    pressed(get('measure'), on);
    this.viewer.measure(on);
    if (!on) this.say('');
  }

  measured({a, distance, dx, dy, dz}) {
    if (!pressed(get('measure'))) return;
    const text = (v) => this.viewer.text(v);
    if (distance !== null)
      this.say(`${text(distance)}; across ${text(Math.abs(dx))}, along ${text(Math.abs(dy))}, `
               + `up ${text(Math.abs(dz))}`);
    else this.say(a ? 'Now click the second point.' : 'Click two points; it snaps to nearby corners.');
  }

  say(words) { get('hint').textContent = tied(words); }

  hover(id) {
    if (pressed(get('measure'))) return;
    const member = id === null ? null : this.viewer.member(id);
    this.say(member ? `${member.mark}, ${member.role}: ${member.place}` : '');
  }

  pick(id) { this.choose(id === null ? [] : [id]); }

  // Picks members out and says what they are: one, or all that are made alike.
  choose(ids) {
    this.viewer.select(ids);
    get('picked').hidden = !ids.length;
    for (const node of get('found').querySelectorAll('button')) pressed(node, false);
    if (!ids.length) return;
    const member = this.viewer.member(ids[0]);
    const marks = [...new Set(ids.map((id) => this.viewer.member(id).mark))];
    this.mark = member.mark;
    const rows = marks.length > 1
      ? [['Marks', marks.join(', ')], ['Members', String(ids.length)]]
      : [['Mark', member.mark], ['Role', member.role], ['Description', member.what],
         ['Section', member.section], ['Length', member.length], [/ (?:lb|oz)$/.test(member.mass) ? 'Weight' : 'Mass', member.mass],
         ['Place', ids.length > 1 ? `${ids.length} places` : member.place],
         ['Count', String(member.count)]];
    get('about').replaceChildren(...rows.filter(([, text]) => text).flatMap(
      ([name, text]) => [make('dt', {textContent: name}), make('dd', {textContent: tied(text)})]));
    get('alike').hidden = marks.length > 1 || ids.length === member.count;
  }

  _roles() {
    const boxes = this.viewer.roles().map(({role, colour, dark, count}) => {
      const box = make('input', {type: 'checkbox', checked: true, name: role});
      box.onchange = () => {
        this.viewer.showRoles({[role]: box.checked});
        this._legend();
      };
      get('roles').append(make('label', {}, box, swatch(colour, dark), role,
                               make('span', {className: 'count', textContent: count})));
      return box;
    });
    const all = (on) => {
      for (const box of boxes) box.checked = on;
      this.viewer.showRoles(Object.fromEntries(boxes.map((box) => [box.name, on])));
      this._legend();
    };
    this._legend();
    get('all').onclick = () => all(true);
    get('none').onclick = () => all(false);
  }

  _legend() { get('legend').replaceChildren(...legend(this.viewer.roles(), this.data.ground?.states)); }

  _cut() {
    const [axis, at, side] = [get('axis'), get('at'), get('side')];
    const from = {x: 'from the middle', y: 'from the first hoop', z: 'above the ground'};
    const set = () => {
      at.disabled = side.disabled = !axis.value;
      if (!axis.value) {
        get('where').textContent = '-';
        this.viewer.section(null);
        return;
      }
      const {low, high} = this.viewer.extent(), k = 'xyz'.indexOf(axis.value);
      const at_mm = low[k] + (high[k] - low[k]) * at.value / 1000;
      get('where').textContent = `${this.viewer.text(at_mm)} ${from[axis.value]}`;
      // From the usual eye, what is cut away is what stands in front.
      const near = axis.value === 'z' ? 'low' : 'high';
      const other = near === 'low' ? 'high' : 'low';
      this.viewer.section({axis: axis.value, at_mm, side: side.checked ? other : near});
    };
    axis.onchange = at.oninput = side.onchange = set;
  }

  _bodies() {
    const shown = new Set(), draw = () => this.viewer.setBodies([...shown]);
    for (const body of this.data.bodies) {
      const box = make('input', {type: 'checkbox'});
      box.onchange = () => { if (box.checked) shown.add(body); else shown.delete(body); draw(); };
      const words = body.name + (body.fits ? '' : ' (does not fit)');
      get('bodies').append(make('label', {}, box, words));
    }
    get('room').hidden = !this.data.bodies.length;
  }

  _ground() {
    const {ground} = this.data;
    if (!ground) return;
    const times = get('times'), draw = () => this.viewer.setThings('ground', groundThings(
      ground, 0, +times.value, (mm) => this.viewer.text(mm)));
    times.append(...[1, 2, 5, 10].map((n) => new Option(n > 1 ? `${n} times` : 'true', n)));
    times.onchange = draw;
    draw();
    get('earth').hidden = false;
  }

  _findings() {
    for (const button of get('found').querySelectorAll('button')) {
      const ids = this.data.members_of[button.value];
      button.disabled = false;
      button.onclick = () => {
        this.choose(ids);
        pressed(button, true);
        this.viewer.fit(ids);
      };
    }
  }
}

async function begin() {
  try {
    const [scene, data] = await Promise.all([unpacked('scene'), unpacked('data')]);
    get('live').hidden = false;
    let page = null;
    const viewer = new Viewer(get('frame'), {
      onPick: (id) => page?.pick(id), onHover: (id) => page?.hover(id),
      onMeasure: (told) => page?.measured(told),
    });
    const told = JSON.parse(new TextDecoder().decode(data));
    viewer.setScene(scene, told.members);
    page = new Page(viewer, told);
    get('picture').hidden = true;
    window.frameViewer = viewer;
  } catch (error) {
    get('live').hidden = true;
    get('why').textContent = `${error.message} This picture shows the frame from the front left.`;
    for (const node of document.querySelectorAll('.needs')) node.hidden = true;
  }
}

begin();
