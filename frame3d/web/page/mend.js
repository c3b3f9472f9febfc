// One fault does not hide all other changes: what is at fault is shown as it last was.

const PLACE = /^([a-z_]+)(?:\[(\d+)\])?(?:\.([a-z_]+))?/;

/** `design` with everything that `faults` name as it is in `good`, the last one without faults, or
 * left out where it is not there; and the places that were put back. Null where a fault names none. */
export function mended(design, faults, good) {
  const made = structuredClone(design);
  const places = [];
  const gone = [];
  for (const { where } of faults) {
    const [whole, section, number, field] = PLACE.exec(where ?? "") ?? [];
    if (!section || !(section in made)) return null;
    const listed = Array.isArray(made[section]);
    const at = listed && number ? Number(number) - 1 : null;
    const before = listed && at !== null ? good[section]?.[at] : good[section];
    const table = at === null ? made[section] : made[section][at];
    if (table === undefined) return null;
    if (field && !Array.isArray(table)) put(table, field, before?.[field]);
    else if (at === null) put(made, section, before);
    else if (before) made[section][at] = structuredClone(before);
    else gone.push([section, at]);
    if (!places.includes(whole)) places.push(whole);
  }
  for (const [section, at] of gone.sort((a, b) => b[1] - a[1])) {
    made[section].splice(at, 1);
    if (!made[section].length) delete made[section];
  }
  return { design: made, places };
}

function put(table, name, value) {
  if (value === undefined) delete table[name];
  else table[name] = structuredClone(value);
}
