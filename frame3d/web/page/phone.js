// A phone: the form has a small picture over it, and what a field means stands under the field.

import { byId } from "./dom.js";

const NARROW = matchMedia("(max-width: 900px)");
export const isPhone = () => NARROW.matches;

/** `onForm(is)` when a phone comes to the form, and when it leaves it. */
export function usePhone(onForm) {
  let was = false;
  const look = () => {
    const is = NARROW.matches && document.body.dataset.panel === "design";
    if (is !== was) onForm(is);
    was = is;
  };
  new MutationObserver(look).observe(document.body, { attributeFilter: ["data-panel"] });
  NARROW.addEventListener("change", look);
  const help = byId("help");
  const home = byId("design");
  const place = () => {
    const field = NARROW.matches && document.activeElement?.closest?.("#form .field");
    if (field) field.append(help);
    else if (help.parentElement !== home) home.append(help);
  };
  // After the form has put the words for the field into it.
  byId("form").addEventListener("focusin", () => queueMicrotask(place));
  NARROW.addEventListener("change", place);
}
