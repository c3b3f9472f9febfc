// The rows of a study: unpacked, filtered, sorted, and as design files.

export const BEST = 2;

export async function unpacked(text) {
  const bytes = Uint8Array.from(atob(text.trim()), (c) => c.charCodeAt(0));
  const opened = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'));
  return JSON.parse(await new Response(opened).text());
}

export function plain(toml) {
  if (toml === '') return 'left out';
  try {
    return String(JSON.parse(toml));
  } catch {
    return toml.replace(/^'(.*)'$/, '$1');
  }
}

// Columns of the table: what a row has there, as a number or a text.
export function columnsOf(data) {
  const columns = [{name: 'row', words: 'Number in the order of the plan', of: (row) => row.number}];
  data.fields.forEach((name, at) => columns.push({
    name, words: `The field ${name} of the design`, field: true,
    of: (row) => row.values[at], rank: (row) => row.ranks[at],
  }));
  data.figures.forEach(({name, words, unit}, at) => columns.push({
    name, words: unit ? `${words}, ${unit}` : words, figure: true,
    of: (row) => row.figures[at],
  }));
  columns.push({name: 'state', words: 'Made, refused or failed', of: (row) => row.state});
  return columns;
}

export function rowsOf(data) {
  const shown = data.texts.map(plain);
  return data.rows.map(([values, figures, state, reason, rank], at) => ({
    number: at + 1,
    values: values.map((text) => shown[text]),
    ranks: values,
    written: values.map((text) => data.texts[text]),
    figures: figures.map((value) => (typeof value === 'boolean' ? (value ? 'yes' : 'no') : value)),
    state, reason: data.reasons[reason], rank,
  }));
}

// What a filter lets through: a comparison of numbers, or a part of a text.
export function filterOf(text) {
  const wanted = text.trim().toLowerCase();
  if (!wanted) return () => true;
  const found = wanted.match(/^(<=|>=|<|>|=)?\s*(-?[\d.]+)$/);
  const limit = found ? Number(found[2]) : NaN;
  if (Number.isNaN(limit)) return (value) => String(value ?? '').toLowerCase().includes(wanted);
  const compare = {
    '<=': (v) => v <= limit, '>=': (v) => v >= limit, '<': (v) => v < limit, '>': (v) => v > limit,
    '=': (v) => v === limit,
  }[found[1] ?? '='];
  return (value) => {
    const number = typeof value === 'number' ? value : parseFloat(value);
    return value !== null && !Number.isNaN(number) && compare(number);
  };
}

export function sorted(rows, column, down) {
  const sign = down ? -1 : 1;
  const value = (row) => {
    const own = column.of(row);
    if (!column.field || own === null) return own;
    const number = parseFloat(own);
    return Number.isNaN(number) ? own : number;
  };
  return rows.slice().sort((a, b) => {
    const [x, y] = [value(a), value(b)];
    if (x === y) return a.number - b.number;
    if (x === null || y === null) return x === null ? 1 : -1;  // nothing comes last, always
    if (typeof x === typeof y) return (x < y ? -1 : 1) * sign;
    return (typeof x === 'number' ? -1 : 1) * sign;
  });
}

// The design file of a row: the base with the values in place of the marks.
export function designText(data, row) {
  return row.written.reduce((text, value, number) => {
    const mark = `"@@value-${number}@@"`;
    if (value) return text.replaceAll(mark, () => value);
    const alone = new RegExp(`^[ \\t]*[\\w-]+[ \\t]*=[ \\t]*${mark}.*(?:\\n|$)`, 'gm');
    const inside = new RegExp(`,\\s*[\\w-]+\\s*=\\s*${mark}|[\\w-]+\\s*=\\s*${mark}\\s*,?\\s*`, 'g');
    return text.replace(alone, '').replace(inside, '');
  }, data.template);
}
