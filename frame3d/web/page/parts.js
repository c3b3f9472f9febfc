// Every distinct part in a table, from which its members can be picked out.

import { byId, el, massName } from "./dom.js";
import { swatch } from "/assets/legend.js";

const RIGHT = new Set(["Count", "Mass each", "Weight each"]);

export class Parts {
  /** `onPick(ids)` when a part is chosen. */
  constructor({ onPick }) {
    this.onPick = onPick;
    this.root = byId("parts");
  }

  show(members) {
    const ids = members.parts.map(() => []);
    members.part_of.forEach((part, id) => ids[part].push(id));
    const rows = members.parts.map((part, number) => {
      const role = members.roles[part.role];
      const button = el("button", { type: "button", class: "link", "aria-pressed": "false",
        click: () => this.onPick(ids[number]) }, part.mark);
      const row = el("tr", {}, el("th", { scope: "row" }, button),
        el("td", {}, swatch(role.colour, role.dark), ` ${role.role}`), el("td", { class: "right" }, part.count),
        el("td", { class: "length" }, part.length), el("td", {}, part.what), el("td", { class: "right" }, part.mass));
      return { row, button, ids: new Set(ids[number]) };
    });
    this.rows = rows;
    this.root.replaceChildren(el("table", {},
      el("caption", {}, `${members.parts.length} different parts, ${members.part_of.length} in all`),
      el("thead", {}, el("tr", {}, ["Mark", "Role", "Count", "Length", "Description",
        `${massName(members.parts[0]?.mass)} each`]
        .map((name) => el("th", { scope: "col", class: RIGHT.has(name) ? "right" : null }, name)))),
      el("tbody", {}, rows.map(({ row }) => row))));
  }

  mark(picked) {
    for (const { row, button, ids } of this.rows ?? []) {
      const about = picked.some((id) => ids.has(id));
      row.classList.toggle("picked", about);
      button.setAttribute("aria-pressed", String(about));
    }
  }
}
