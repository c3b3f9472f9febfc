// A design as TOML text: sections, and lists of sections, with plain values.

const BARE = /^[A-Za-z0-9_-]+$/;

/** The text of a design; what is undefined or null is left out. */
export function tomlText(design) {
  const blocks = [];
  for (const [name, value] of Object.entries(design)) {
    const several = Array.isArray(value);
    for (const table of several ? value : [value]) {
      if (table === null || typeof table !== "object" || Array.isArray(table)) {
        blocks.unshift(`${key(name)} = ${written(value)}\n`);
        break;
      }
      const lines = [several ? `[[${key(name)}]]` : `[${key(name)}]`];
      for (const [field, item] of Object.entries(table)) {
        if (item !== undefined && item !== null) lines.push(`${key(field)} = ${written(item)}`);
      }
      blocks.push(lines.join("\n") + "\n");
    }
    if (several && !value.length) blocks.unshift(`${key(name)} = []\n`);
  }
  return blocks.join("\n");
}

const key = (name) => (BARE.test(name) ? name : quoted(name));

/** One value as it stands after the equals sign. */
export function written(value) {
  if (Array.isArray(value)) return `[${value.map(written).join(", ")}]`;
  if (value !== null && typeof value === "object") {
    const inside = Object.entries(value).map(([name, item]) => `${key(name)} = ${written(item)}`);
    return inside.length ? `{ ${inside.join(", ")} }` : "{}";
  }
  return typeof value === "string" ? quoted(value) : String(value);
}

/** A JSON string is a TOML string, but for DEL and for halves of letters. */
function quoted(text) {
  return JSON.stringify(text.toWellFormed ? text.toWellFormed() : text)
    .replace(/\u007f/g, "\\u007f");
}
