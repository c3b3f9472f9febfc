// The frame in three dimensions, with its controls.

import { byId, el, say, massName } from "./dom.js";
import { dress } from "./icons.js";
import { isPhone } from "./phone.js";
import { legend, swatch } from "/assets/legend.js";
import { Viewer } from "/assets/viewer.js";

const VIEWS = [["iso", "3D"], ["front", "Front"], ["back", "Back"], ["left", "Left"],
  ["right", "Right"], ["top", "Top"]];
const AXES = [["y", "Across the tunnel"], ["x", "Along the tunnel"], ["z", "Level"]];
const BAD = "#b3261e";

export class FrameView {
  #scene = false;
  #anew = true;
  #next = null;
  #found = null;
  #bodies = new Set();
  #states = {};
  #before = null;

  /** `onPick(ids)`: members were picked out; none to end it. */
  constructor({ onPick }) {
    this.onPick = onPick;
    const root = byId("view");
    this.canvas = el("canvas", { id: "canvas" });
    this.picked = el("div", { id: "picked", class: "picked-out", role: "status" });
    this.legend = el("ul", { class: "legend", "aria-label": "Colours" });
    root.append(this.#bar(), el("div", { class: "stage" }, this.canvas, this.picked), this.legend);
    dress(root);
    try {
      this.viewer = new Viewer(this.canvas, {
        theme: "auto",
        onPick: (id) => this.onPick(id === null ? [] : [id]),
        onMeasure: (measured) => this.#measured(measured),
      });
    } catch (error) {
      this.viewer = null;
      root.replaceChildren(el("p", { class: "notice" },
        `${error.message} The drawings and the parts list show the frame without it.`));
    }
  }

  /** Show all of the frame while the picture is small, and afterwards what was looked at. */
  beSmall(small) {
    if (!this.works || !this.#scene) return;
    if (small) {
      this.#before = this.viewer.camera();
      this.#resized(() => this.viewer.fit([]));
    } else if (this.#before) this.viewer.setCamera(this.#before);
  }

  /** Once the canvas has its new size. */
  #resized(run) {
    requestAnimationFrame(() => requestAnimationFrame(run));
  }

  /** The canvas with the picture on it, to be copied at once; null where there is none. */
  painted() {
    if (!this.works || !this.#scene || byId("view").hidden) return null;
    this.viewer.resize();
    this.viewer.picture();
    return this.canvas;
  }

  get works() {
    return this.viewer !== null;
  }

  #bar() {
    const views = VIEWS.map(([name, label]) => el("button", { type: "button", "data-view": name,
      click: () => this.viewer.view(name) }, label));
    this.measureButton = el("button", { type: "button", id: "measure", "aria-pressed": "false",
      "data-icon": "measure", click: () => this.#measure() }, "Measure");
    return el("div", { class: "bar" },
      el("div", { class: "set", role: "group", "aria-label": "Views" }, views,
        el("button", { type: "button", id: "fit", "data-icon": "fit", click: () => this.fit() }, "Fit")),
      el("div", { class: "set", role: "group", "aria-label": "Tools" },
        this.#drawer("Show", "show", this.shown = el("div", { class: "drawer" })),
        this.#drawer("Section", "section", this.#cutControls()), this.measureButton));
  }

  /** A panel that opens under its button. */
  #drawer(label, id, content) {
    const details = el("details", { class: "drop", id },
      el("summary", { "data-icon": id }, label), content);
    details.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !details.open) return;
      details.open = false;
      details.querySelector("summary").focus();
    });
    let before = null;
    details.firstChild.addEventListener("click", () => {
      if (isPhone() && !document.querySelector("details.drop[open]")) before = this.viewer.camera();
    });
    details.addEventListener("toggle", () => {
      const isOpen = document.querySelector("details.drop[open]") !== null;
      // On a phone a drawer takes the lower part of the picture.
      if (before && this.#scene) {
        const seen = before;
        this.#resized(() => (isOpen ? this.viewer.fit([]) : this.viewer.setCamera(seen)));
        if (!isOpen) before = null;
      }
      if (!details.open) return;
      for (const other of document.querySelectorAll("details.drop")) {
        if (other !== details) other.open = false;
      }
    });
    document.addEventListener("pointerdown", (event) => {
      if (details.open && !details.contains(event.target) && event.target !== this.canvas) {
        details.open = false;
      }
    });
    return details;
  }

  #cutControls() {
    const axes = [["", "None"], ...AXES].map(([axis, label]) => el("label", { class: "check" },
      el("input", { type: "radio", name: "cut", value: axis, checked: !axis,
        change: () => this.#cut(true) }), ` ${label}`));
    this.cutAt = el("input", { type: "range", id: "cut-at", min: 0, max: 1000, value: 500,
      disabled: true, input: () => this.#cut(false) });
    this.cutSide = el("input", { type: "checkbox", id: "cut-side", disabled: true,
      change: () => this.#cut(false) });
    this.cutSays = el("output", { for: "cut-at", class: "says" });
    return el("div", { class: "drawer" },
      el("fieldset", {}, el("legend", {}, "Section plane"), axes),
      el("label", { for: "cut-at" }, "Where"), this.cutAt, this.cutSays,
      el("label", { class: "check" }, this.cutSide, " Show the other side"));
  }

  #cut(anew) {
    const axis = byId("section").querySelector("input[name=cut]:checked").value;
    this.cutAt.disabled = this.cutSide.disabled = !axis;
    if (!axis || !this.#scene) {
      this.cutSays.textContent = "";
      this.viewer.section(null);
      return;
    }
    if (anew) this.cutAt.value = 500;
    const { low, high } = this.viewer.extent();
    const number = "xyz".indexOf(axis);
    const at = low[number] + (high[number] - low[number]) * (this.cutAt.value / 1000);
    const side = this.cutSide.checked === (axis === "y") ? "low" : "high";
    this.viewer.section({ axis, at_mm: at, side });
    this.cutSays.textContent = this.viewer.text(at);
    this.cutAt.setAttribute("aria-valuetext", this.viewer.text(at));
  }

  #measure() {
    const on = this.measureButton.getAttribute("aria-pressed") !== "true";
    this.measureButton.setAttribute("aria-pressed", String(on));
    this.viewer.measure(on);
    this.picked.replaceChildren(on
      ? el("p", {}, "Click two points. With the keyboard: focus the picture, turn it, Enter takes the "
        + "point in the middle, Esc starts over.") : "");
  }

  #measured({ a, b, distance, dx, dy, dz }) {
    if (!a) return;
    const say_ = (mm) => this.viewer.text(Math.abs(mm));
    this.picked.replaceChildren(el("p", {}, b
      ? `Distance ${say_(distance)}: across ${say_(dx)}, along ${say_(dy)}, up ${say_(dz)}`
      : "First point set; click the second."));
  }

  /** Another frame; the eye stays where it is, but for the first. */
  show(glb, members) {
    this.#next = [glb, members];
    this.look();
  }

  /** The next frame is of another design: look at all of it. */
  lookAnew() {
    this.#anew = true;
  }

  /** Draw what is new, if anybody looks: a picture behind another tab can wait. */
  look() {
    if (!this.works || !this.#next || byId("view").hidden) return;
    const [glb, members] = this.#next;
    this.#next = null;
    this.viewer.setScene(glb, members, { keepCamera: !this.#anew });
    this.#anew = false;
    this.#scene = true;
    this.#cut(false);
    this.#roles();
    this.#drawBodies();
    this.pick([]);
  }

  /** The ground under the frame as things of the viewer, and what colours of sockets mean. */
  showGround(things, states = {}) {
    if (!this.works) return;
    this.#states = states;
    this.viewer.setThings("ground", things);
    if (this.#scene) this.legend.replaceChildren(...legend(this.viewer.roles(), states));
  }

  /** The bodies of people and machines, once the checks have found them. */
  showFound(found) {
    this.#found = found;
    if (!this.#isDrawn()) return;
    this.#roles();
    this.#drawBodies();
  }

  #isDrawn() {
    this.look();
    return this.works && this.#scene && !this.#next;
  }

  #roles() {
    const focus = document.activeElement?.dataset?.role;
    const roles = this.viewer.roles().map((role) => el("label", { class: "check" },
      el("input", { type: "checkbox", checked: role.shown, "data-role": role.role,
        change: (event) => {
          this.viewer.showRoles({ [role.role]: event.target.checked });
          this.legend.replaceChildren(...legend(this.viewer.roles(), this.#states));
        } }),
      swatch(role.colour, role.dark), ` ${role.role} (${role.count})`));
    const bodies = (this.#found?.bodies ?? []).map((body, number) => el("label", { class: "check" },
      el("input", { type: "checkbox", checked: this.#bodies.has(keyOf(body)),
        "data-role": `body ${number}`, change: (event) => this.#body(body, event.target.checked) }),
      swatch(colourOf(body)),
      ` ${body.kind === "machine" ? body.name : "headroom, walking line"}`
        + `${body.fits ? "" : ", does not fit"}`));
    const all = (on) => () => {
      this.viewer.showRoles(Object.fromEntries(this.viewer.roles().map((r) => [r.role, on])));
      this.#roles();
    };
    this.shown.replaceChildren(
      bodies.length ? el("fieldset", {}, el("legend", {}, "People and machines"), bodies) : "",
      el("fieldset", {}, el("legend", {}, "Parts"),
        el("div", { class: "set" },
          el("button", { type: "button", click: all(true) }, "Show all"),
          el("button", { type: "button", click: all(false) }, "Hide all")),
        el("div", { class: "columns" }, roles)));
    this.legend.replaceChildren(...legend(this.viewer.roles(), this.#states));
    if (focus) this.shown.querySelector(`[data-role="${CSS.escape(focus)}"]`)?.focus();
  }

  #body(body, on) {
    if (on) this.#bodies.add(keyOf(body));
    else this.#bodies.delete(keyOf(body));
    this.#drawBodies();
  }

  #drawBodies() {
    const wanted = (this.#found?.bodies ?? []).filter((body) => this.#bodies.has(keyOf(body)));
    this.viewer.setBodies(wanted.map((body) => ({ ...body, colour: colourOf(body) })));
  }

  /** Pick members out, and say what they are; `go` brings them into the picture. */
  pick(ids, go = false) {
    if (!this.#isDrawn()) return;
    this.viewer.select(ids);
    if (go && ids.length) this.viewer.fit(ids);
    if (this.measureButton.getAttribute("aria-pressed") === "true") return;
    this.picked.replaceChildren(...this.#words(ids));
  }

  #words(ids) {
    if (!ids.length) return [];
    const marks = [...new Set(ids.map((id) => this.viewer.member(id).mark))];
    const one = this.viewer.member(ids[0]);
    const lines = [el("p", {}, el("strong", {}, marks.length > 3
      ? `${marks.slice(0, 3).join(", ")} and ${marks.length - 3} more` : marks.join(", ")),
    marks.length === 1 ? ` ${one.role}` : `: ${ids.length} members`)];
    if (marks.length === 1) {
      const place = ids.length === 1 ? one.place : `${ids.length} of ${one.count}`;
      const facts = [["Section", one.section], ["Length", one.length], ["Place", place],
        [massName(one.mass), one.mass], ["Description", one.what]].filter(([, text]) => text);
      lines.push(el("dl", {}, facts.flatMap(([n, t]) => [el("dt", {}, n), el("dd", {}, t)])));
    }
    lines.push(el("button", { type: "button", class: "link", click: () => {
      this.onPick([]);
      this.canvas.focus();
    } }, "Clear"));
    return lines;
  }

  fit() {
    this.viewer.fit(this.viewer.selected());
    say("The picture fits.");
  }
}

const keyOf = (body) => `${body.kind} ${body.name} ${body.kind === "headroom" ? body.outline[0][0] : ""}`;
const colourOf = (body) => (body.fits ? { headroom: "#2a9d6e", machine: "#e0872d" }[body.kind] : BAD);
