// Places in a design as the form calls them: [[accept]] and door[1].width mean nothing to who has
// never seen the file.

const PLACES = /\[\[([a-z_]+)\]\]|\[([a-z_]+)\](?: ([a-z_]+)\b)?|\b([a-z_]+)(?:\[(\d+)\])(?:\.([a-z_]+))?|\b([a-z_]+)\.([a-z_]+)\b/g;

/** `text` with every place in it by its name; `sections` as the server tells the form, `nameOf` as
 * the form tells it. */
export function inWords(text, sections, nameOf) {
  const has = (section, field) => section in sections
    && (!field || sections[section].fields.some((one) => one.name === field));
  return text.replace(PLACES, (all, several, table, of, listed, number, field, section, last) => {
    if (several) return has(several) ? `“${sections[several].title}”` : all;
    if (table) {
      if (!has(table)) return all;
      return of && has(table, of) ? `“${nameOf(`${table}.${of}`)}”`
        : `“${sections[table].title}”${of ? ` ${of}` : ""}`;
    }
    if (listed) return has(listed, field) ? nameOf(`${listed}[${number}]${field ? `.${field}` : ""}`) : all;
    return has(section, last) ? `“${nameOf(all)}”` : all;
  });
}
