// What paper gets: all cautions, and a copy of the picture, since a canvas of WebGL is empty when it
// is printed.

import { byId } from "./dom.js";

/** `pictureOf()` is the canvas with the picture just painted, or null where there is none. */
export function usePrinting(pictureOf) {
  const paper = byId("print-picture");
  const cautions = byId("cautions").querySelector("details");
  let wasOpen = false;
  window.addEventListener("beforeprint", () => {
    wasOpen = cautions.open;
    cautions.open = true;
    const from = pictureOf();
    paper.hidden = !from;
    if (!from) return;
    paper.width = from.width;
    paper.height = from.height;
    paper.getContext("2d").drawImage(from, 0, 0);
  });
  window.addEventListener("afterprint", () => {
    cautions.open = wasOpen;
    paper.hidden = true;
    paper.width = paper.height = 1;
  });
}
