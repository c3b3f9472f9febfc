// Two fingers that make what is under them larger or smaller.

/** `onPinch(times, at)` as they move: how many times larger than before, about a point in the
 * element's own pixels. */
export function usePinch(element, onPinch) {
  let last = null;
  const told = ({ touches: [one, other] }) => {
    const box = element.getBoundingClientRect();
    return {
      apart: Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY),
      at: [(one.clientX + other.clientX) / 2 - box.left, (one.clientY + other.clientY) / 2 - box.top],
    };
  };
  element.addEventListener("touchstart", (event) => {
    last = event.touches.length === 2 ? told(event) : null;
  }, { passive: true });
  element.addEventListener("touchmove", (event) => {
    if (event.touches.length !== 2 || !last) return;
    event.preventDefault();
    const now = told(event);
    if (last.apart > 0) onPinch(now.apart / last.apart, now.at);
    last = now;
  }, { passive: false });
  for (const name of ["touchend", "touchcancel"]) {
    element.addEventListener(name, () => { last = null; }, { passive: true });
  }
}
