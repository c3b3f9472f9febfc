// A word that is typed finds the fields that are about it, in both depths.

import { byId } from "./dom.js";

export class Finder {
  /** `root` holds the form; `onEnd()` when nothing is looked for any more. */
  constructor(root, onEnd) {
    this.root = root;
    this.onEnd = onEnd;
    this.box = byId("find");
    this.none = byId("find-none");
    this.box.addEventListener("input", () => (this.isOn ? this.again() : this.#end()));
    this.box.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !this.isOn) return;
      event.preventDefault();
      this.stop();
    });
  }

  get isOn() {
    return this.box.value.trim() !== "";
  }

  /** Find again, in a form that was made anew. */
  again() {
    if (!this.isOn) return;
    const words = this.box.value.trim().toLowerCase().split(/\s+/);
    let found = 0;
    for (const group of this.root.querySelectorAll("details.group")) {
      let here = 0;
      for (const table of group.querySelectorAll("fieldset")) {
        const title = table.querySelector("legend").textContent;
        let own = 0;
        for (const field of table.querySelectorAll(".field")) {
          const text = `${title} ${field.textContent}`.toLowerCase();
          const is = words.every((word) => text.includes(word));
          field.classList.toggle("unfound", !is);
          if (is && !field.hidden) own += 1;
        }
        table.classList.toggle("unfound", !own);
        here += own;
      }
      for (const details of [group, ...group.querySelectorAll("details.deeper")]) details.open = true;
      group.classList.toggle("unfound", !here);
      found += here;
    }
    this.root.classList.add("finding");
    this.none.hidden = found > 0;
  }

  stop() {
    if (!this.isOn) return;
    this.box.value = "";
    this.#end();
  }

  #end() {
    this.none.hidden = true;
    this.root.classList.remove("finding");
    this.onEnd();
  }
}
