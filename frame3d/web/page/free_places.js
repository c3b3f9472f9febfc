// Where another door, brace or wall goes: where there is none yet.

const ENDS = ["front", "back"];
const CORNERS = ["front left", "front right", "back left", "back right"];

/** What the tables of a section have in a field, all together. `tables` has `look(section, number,
 * field)`, which tells what a field is, given or by default, and `count(section)`. */
function taken(section, field, { look, count }) {
  const found = Array.from({ length: count(section) }, (_, number) => look(section, number, field));
  return new Set(found.flat().flatMap((one) => (one === "both" ? ENDS : [one])));
}

/** An end of the tunnel without one; null where both have one. */
export function freeEnd(section, tables) {
  const ends = taken(section, "at", tables);
  return ENDS.find((end) => !ends.has(end)) ?? null;
}

/** What another table of a section begins with; the first of a kind goes by its defaults. */
export function startingTable(section, tables) {
  if (section === "rail") return { fraction: 0.4 };
  if (!tables.count(section)) return {};
  if (section === "end_wall") return { at: freeEnd(section, tables) };
  if (section === "brace") {
    const corners = taken(section, "corners", tables);
    const free = CORNERS.find((corner) => !corners.has(corner));
    return free ? { corners: [free] } : {};
  }
  if (section === "door") {
    const [doors, walls] = [taken("door", "at", tables), taken("end_wall", "at", tables)];
    const free = ENDS.find((end) => walls.has(end) && !doors.has(end));
    return free ? { at: free } : {};
  }
  return {};
}
