// Icons beside the words of buttons; a button is never an icon alone.
//
// The shapes are those of Feather 4.29 (feathericons.com), each put into one path, under the MIT
// licence: Copyright (c) 2013-2023 Cole Bemis. Permission is hereby granted, free of charge, to any
// person obtaining a copy of this software and associated documentation files (the "Software"), to
// deal in the Software without restriction, including without limitation the rights to use, copy,
// modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit
// persons to whom the Software is furnished to do so, subject to the following conditions: The above
// copyright notice and this permission notice shall be included in all copies or substantial portions
// of the Software. THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED,
// INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND
// NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES
// OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN
// CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.

const SVG = 'http://www.w3.org/2000/svg';
const SHAPES = {
  undo: 'M1 4 1 10 7 10M3.51 15a9 9 0 1 0 2.13-9.36L1 10',
  redo: 'M23 4 23 10 17 10M20.49 15a9 9 0 1 1-2.12-9.36L23 10',
  save: 'M19 21H5a2 2 0 0 1-2-2V5a2 2 0 0 1 2-2h11l5 5v11a2 2 0 0 1-2 2zM17 21 17 13 7 13 7 21M7 3 7 8 15 8',
  open: 'M22 19a2 2 0 0 1-2 2H4a2 2 0 0 1-2-2V5a2 2 0 0 1 2-2h5l2 3h9a2 2 0 0 1 2 2z',
  begin: 'M3 3h7v7h-7zM14 3h7v7h-7zM14 14h7v7h-7zM3 14h7v7h-7z',
  get: 'M21 15v4a2 2 0 0 1-2 2H5a2 2 0 0 1-2-2v-4M7 10 12 15 17 10M12 15 12 3',
  fit: 'M8 3H5a2 2 0 0 0-2 2v3m18 0V5a2 2 0 0 0-2-2h-3m0 18h3a2 2 0 0 0 2-2v-3M3 16v3a2 2 0 0 0 2 2h3',
  show: 'M1 12s4-8 11-8 11 8 11 8-4 8-11 8-11-8-11-8zM9 12a3 3 0 1 0 6 0a3 3 0 1 0-6 0',
  section: 'M3 6a3 3 0 1 0 6 0a3 3 0 1 0-6 0M3 18a3 3 0 1 0 6 0a3 3 0 1 0-6 0M20 4 8.12 15.88M14.47 14.48 20 20M8.12 8.12 12 12',
  measure: 'M15 3 21 3 21 9M9 21 3 21 3 15M21 3 14 10M3 21 10 14',
  stop: 'M18 6 6 18M6 6 18 18',
};

export function icon(name) {
  const svg = document.createElementNS(SVG, 'svg'), path = document.createElementNS(SVG, 'path');
  for (const [key, value] of Object.entries({viewBox: '0 0 24 24', class: 'icon', 'aria-hidden': 'true',
    fill: 'none', stroke: 'currentColor', 'stroke-width': 2, 'stroke-linecap': 'round',
    'stroke-linejoin': 'round'})) svg.setAttribute(key, value);
  path.setAttribute('d', SHAPES[name]);
  svg.append(path);
  return svg;
}

// Puts its icon into every element that names one.
export function dress(root) {
  for (const one of root.querySelectorAll('[data-icon]'))
    if (!one.querySelector('.icon')) one.prepend(icon(one.dataset.icon));
}
