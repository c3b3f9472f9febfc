// What paper gets: a copy of the picture, since a canvas of WebGL is empty when it is printed.

import { byId } from "./dom.js";

/** `pictureOf()` is the canvas with the picture just painted, or null where there is none. */
export function usePrinting(pictureOf) {
  const paper = byId("print-picture");
  window.addEventListener("beforeprint", () => {
    const from = pictureOf();
    paper.hidden = !from;
    if (!from) return;
    paper.width = from.width;
    paper.height = from.height;
    paper.getContext("2d").drawImage(from, 0, 0);
  });
  window.addEventListener("afterprint", () => {
    paper.hidden = true;
    paper.width = paper.height = 1;
  });
}
