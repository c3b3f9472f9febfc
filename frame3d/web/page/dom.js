// Making elements, and a few habits of the page.

import { tied } from "/assets/lengths.js";

/** An element with attributes and children; a function becomes a listener. */
export function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") made.addEventListener(name, value);
    else if (name === "class") made.className = value;
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter((child) => child !== null && child !== undefined)
    .map((child) => (typeof child === "string" ? tied(child) : child)));
  return made;
}

/** What a mass is called: weight where it is told in pounds. */
export const massName = (text) => (/ (?:lb|oz)$/.test(text) ? "Weight" : "Mass");

export const byId = (id) => document.getElementById(id);

/** Say something to those who do not see the page change. */
export function say(text) {
  byId("status").textContent = text;
}

/** Run after the last of several calls. */
export function afterwards(wait, run) {
  let timer = 0;
  return (...values) => {
    clearTimeout(timer);
    timer = setTimeout(() => run(...values), wait);
  };
}

/** Run at once after a rest, and after the last of several calls that follow each other. */
export function promptly(wait, run) {
  let timer = 0;
  let last = -Infinity;
  return (...values) => {
    clearTimeout(timer);
    const time = performance.now();
    timer = setTimeout(() => run(...values), time - last < 4 * wait ? wait : 0);
    last = time;
  };
}

/** Hand text or bytes to the browser as a file. */
export function download(name, content, type) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = el("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
