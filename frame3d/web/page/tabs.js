// Tabs in the middle, and panels of which a phone shows one at a time.

import { byId } from "./dom.js";

/** `onShow(id)` when a tab comes to the front. */
export function useTabs(onShow) {
  const tabs = [...document.querySelectorAll("[role=tab]")];
  const choose = (tab, focus) => {
    for (const one of tabs) {
      const on = one === tab;
      one.setAttribute("aria-selected", String(on));
      one.tabIndex = on ? 0 : -1;
      byId(one.getAttribute("aria-controls")).hidden = !on;
    }
    if (focus) tab.focus();
    onShow(tab.getAttribute("aria-controls"));
  };
  tabs.forEach((tab, number) => {
    tab.addEventListener("click", () => choose(tab, false));
    tab.addEventListener("keydown", (event) => {
      const to = { ArrowRight: number + 1, ArrowLeft: number - 1, Home: 0, End: tabs.length - 1 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      choose(tabs[(to + tabs.length) % tabs.length], true);
    });
  });
  return (id) => choose(byId(`tab-${id}`), false);
}

export function usePanels() {
  const buttons = [...document.querySelectorAll(".panels button")];
  const mark = () => {
    for (const button of buttons) {
      if (button.dataset.show === document.body.dataset.panel) {
        button.setAttribute("aria-current", "true");
      } else button.removeAttribute("aria-current");
    }
  };
  for (const button of buttons) {
    button.addEventListener("click", () => { document.body.dataset.panel = button.dataset.show; });
  }
  new MutationObserver(mark).observe(document.body, { attributeFilter: ["data-panel"] });
}
