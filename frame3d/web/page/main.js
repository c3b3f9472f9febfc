// The page: what is typed goes to the server, what comes back is shown.

import { BrokenAddress, isOurs, linkOf, readAddress, writeAddress } from "./address.js";
import { findingsOf, frameOf, json, post } from "./ask.js";
import { Compare } from "./compare.js";
import { Cost } from "./cost.js";
import { afterwards, byId, download, el, promptly, say } from "./dom.js";
import { Files } from "./files.js";
import { Form, sentence } from "./form.js";
import { GroundView } from "./ground.js";
import { Lists } from "./lists.js";
import { Loads } from "./loads.js";
import { mended } from "./mend.js";
import { Parts } from "./parts.js";
import { countWords, Results } from "./results.js";
import { usePhone } from "./phone.js";
import { usePrinting } from "./printing.js";
import { Sheets } from "./sheets.js";
import { Start } from "./start.js";
import { State } from "./state.js";
import { tomlText } from "./toml.js";
import { usePanels, useTabs } from "./tabs.js";
import { FrameView } from "./view.js";
import { inWords } from "./wording.js";
import { dress } from "./icons.js";

const WAIT_MS = 40;
const MOST_MENDED = 3;
const LARGEST_FILE = 250_000;

const state = new State();
const facts = await json("/api/form");
const form = new Form(facts, state);
const view = new FrameView({ onPick: (ids) => pick(ids) });
const parts = new Parts({ onPick: (ids) => pick(ids, true) });
const worded = (text) => inWords(text, facts.sections, (place) => form.nameOf(place));
const results = new Results({ worded, onPick: pickFinding, onField: (place) => form.goTo(place),
  nameOf: (place) => form.nameOf(place) });
const sheets = new Sheets();
const compare = new Compare({ onKeep: keep, onSwap: swap, onForget: forget,
  nameOf: (place) => form.nameOf(place) });
const lists = new Lists(facts.lists, facts.list_bytes, {
  onGiven: (section, field, name) => {
    if (state.design[section]?.[field] !== name) state.set(section, null, field, name);
  },
  onChange: () => updateSoon(),
});
const ground = new GroundView((things, states) => view.showGround(things, states));
const files = new Files(facts.files,
  async () => ({ text: (await savedText()) ?? state.text, lists: lists.given }), guarded(save),
  () => linkOf(state, form.defaultOf));
const cost = new Cost(facts.list_bytes, (...made) => files.make(...made));
const start = new Start(facts, {
  onBegin: (text, file) => open(text, file, { first: !now }),
  onOpen: () => byId("file").click(),
  onClose: guarded(async () => {
    if (!Object.keys(state.design).length) await begin(facts.starts[0].key, { first: true });
  }),
});
const loads = new Loads(facts.loads, LARGEST_FILE, () => lists.given);
const showTab = useTabs((id) => ({ view, sheets, compare, cost }[id]?.look()));
usePanels();
usePhone((isForm) => {
  if (isForm) showTab("view");
  view.beSmall(isForm);
});
usePrinting(() => view.painted());
// Without three dimensions the drawings show the frame.
if (!view.works) showTab("sheets");

/** What is shown: text, design, words, glb and found; and the last design without faults. */
let now = null;
let good = { text: "", design: {} };
let asked = null;

async function update() {
  asked?.abort();
  const here = asked = new AbortController();
  const { text } = state;
  results.busy(true);
  try {
    const begun = performance.now();
    const { words, glb } = await frameOf(text, lists.given, here.signal);
    if (here.signal.aborted) return;
    performance.measure("answered", { start: begun });
    if (words.faults) {
      showFaults(words.faults);
      await showMended(words.faults, here);
      return;
    }
    showFaults([]);
    good = { text, design: state.design };
    await show({ text, design: state.design, words, glb, found: null }, here, begun);
  } catch (error) {
    if (error.name !== "AbortError") showFaults([{ where: "", message: error.message }]);
  } finally {
    if (asked === here) results.busy(false);
  }
}

/** What of a design with faults can be laid out: all else that was changed since the last one. */
async function showMended(faults, here) {
  const places = [];
  let { design } = state;
  for (let turn = 0; turn < MOST_MENDED && faults; turn++) {
    const made = mended(design, faults, good.design);
    if (!made) return;
    ({ design } = made);
    places.push(...made.places);
    const text = tomlText(design);
    tellStale(text === good.text ? [] : places);
    if (text === now?.text) return;
    const { words, glb } = await frameOf(text, lists.given, here.signal);
    if (here.signal.aborted) return;
    if (!words.faults) {
      await show({ text, design, words, glb, found: null }, here, performance.now());
    }
    ({ faults } = words);
  }
}

async function show(shown, here, begun) {
  const { text, words, glb } = now = shown;
  view.show(glb, words.scene);
  parts.show(words.scene);
  form.know(words, now.design);
  results.showFigures(words.figures);
  byId("name").textContent = words.name;
  title(results.wrong);
  document.body.dataset.shown = String(Math.round(performance.now() - begun));
  performance.measure("shown", { start: begun });
  sheets.know(text, lists.given);
  compare.know(now, state.kept);
  cost.know(text, lists.given);
  loads.know(results.wrong ? null : text);
  await showFound(here);
}

async function showFound(here) {
  const found = await findingsOf(now.text, lists.given, here.signal);
  if (here.signal.aborted) return;
  if (found.faults) {
    showFaults(found.faults);
    return;
  }
  now.found = found;
  results.showFindings(found);
  lists.know(found.lists);
  ground.know(found.ground);
  results.showFigures(now.words.figures, found.mass);
  view.showFound(found);
  compare.know(now, state.kept);
  say(`Laid out. ${sentence(countWords(found.counts))}`);
}

function showFaults(told) {
  const faults = told.map((fault) => ({ ...fault, message: worded(fault.message) }));
  const homeless = form.showFaults(faults);
  results.showFaults(faults.length);
  document.body.classList.toggle("last-good", faults.length > 0);
  title(faults.length);
  tellStale(faults.length ? [] : null);
  files.enable(!faults.length);
  if (faults.length) loads.know(null);
  byId("faults").replaceChildren(...faults.length ? [
    el("p", {}, faults.length === 1 ? "One thing to fix:" : `${faults.length} things to fix:`),
    // What stands beside its field is not said twice.
    el("ul", {}, faults.map((fault) => el("li", {},
      fault.where ? el("button", { type: "button", class: "link",
        click: () => form.goTo(fault.where) }, form.nameOf(fault.where)) : null,
      homeless.includes(fault) ? ` ${sentence(fault.message)}` : null))),
  ] : []);
}

/** Says over the picture and the findings that they are not of what stands in the form; `places`
 * are shown as they last were, null where there is nothing to say. */
function tellStale(places) {
  const kept = places?.map((place) => form.nameOf(place)).join("; ");
  for (const note of document.querySelectorAll(".stale")) {
    note.hidden = !places;
    note.textContent = !places ? "" : kept
      ? `This is the last good design with your other changes. As it last was: ${kept}.`
      : now ? "This is the last good design."
        : "Nothing is shown until the design can be laid out: fix the faults first.";
  }
}

function title(wrong) {
  const name = now?.words.name ?? "frame3d";
  document.title = `${wrong ? `(${wrong} to fix) ` : ""}${name} - frame3d`;
}

function pick(ids, go = false) {
  view.pick(ids, go);
  parts.mark(ids);
  results.mark(ids);
}

function pickFinding(finding) {
  if (finding.members.length) {
    showTab(view.works ? "view" : "parts");
    document.body.dataset.panel = "frame";
  } else if (finding.field) form.goTo(finding.field);
  pick(finding.members, true);
}

// ---- keeping and comparing

function keep() {
  if (!now) return;
  state.kept = now;
  compare.know(now, state.kept);
  remember();
  say("Kept. Change the design and compare here.");
}

function swap() {
  const { kept } = state;
  state.kept = now;
  state.load(kept.design);
}

function forget() {
  state.kept = null;
  compare.know(now, null);
  remember();
}

/** A design that was kept before the page was loaded again. */
async function keepText(text) {
  const opened = await (await post("/api/open", { text })).json();
  const { words, glb } = await frameOf(text, {});
  if (opened.faults || words.faults) return;
  const found = await findingsOf(text, {});
  state.kept = { text, design: opened.design, words, glb, found };
  compare.know(now, state.kept);
}

// ---- files of designs

const fileStem = () => state.file.replace(/\.[^.]*$/, "") || "tunnel";

async function open(text, file, options = {}) {
  const opened = await (await post("/api/open", { text })).json();
  if (opened.faults) {
    byId("faults").replaceChildren(
      el("p", {}, `${file} cannot be opened; the design on the page is unchanged.`),
      el("ul", {}, opened.faults.map((fault) => el("li", {},
        fault.line ? `line ${fault.line}: ${fault.message}` : fault.message))));
    document.body.dataset.panel = "design";
    return false;
  }
  // What has changed since a file of an older format was written.
  byId("older").hidden = !opened.notes.length;
  byId("older").replaceChildren(...opened.notes.map((note) => el("li", {}, note)));
  state.load(opened.design, { file, source: options.source ?? text, first: options.first });
  return true;
}

/** The design as a file with the comments of the one it came from; null if it has faults. */
async function savedText() {
  const answer = await post("/api/save", { text: state.text, source: state.source });
  const saved = await answer.json();
  if (saved.faults) {
    showFaults(saved.faults);
    return null;
  }
  return saved.text;
}

async function save() {
  const text = await savedText();
  if (text === null) return;
  state.source = text;
  download(state.file.endsWith(".toml") ? state.file : `${fileStem()}.toml`, text, "text/plain");
  say(`${state.file} saved.`);
  remember();
}

async function begin(key, options = {}) {
  const start = await json(`/api/start?key=${encodeURIComponent(key)}`);
  return open(start.text, start.file, options);
}

function guarded(run) {
  return async (...values) => {
    try {
      await run(...values);
    } catch (error) {
      showFaults([{ where: "", message: error.message }]);
    }
  };
}

function listen() {
  dress(document);
  byId("get").addEventListener("click", () => {
    document.body.dataset.panel = "results";
    byId("files-title").scrollIntoView({ block: "start" });
    byId("files-title").focus();
  });
  byId("open").addEventListener("click", () => byId("file").click());
  byId("file").addEventListener("change", guarded(async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    if (file.size > LARGEST_FILE) throw new Error(`${file.name} is too large for a design.`);
    await open(await file.text(), file.name);
  }));
  byId("save").addEventListener("click", guarded(save));
  byId("undo").addEventListener("click", () => state.undo());
  byId("redo").addEventListener("click", () => state.redo());
  byId("begin").addEventListener("click", () => start.open());
  byId("units").addEventListener("change", (event) => {
    state.set("output", null, "units", event.target.value);
  });
  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches?.("input[type=text]");
    if (!(event.ctrlKey || event.metaKey) || event.altKey || typing) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) state.undo();
    else if (key === "y" || (key === "z" && event.shiftKey)) state.redo();
    else return;
    event.preventDefault();
  });
  // To jump to a part of the page leaves the design in the address.
  for (const skip of document.querySelectorAll("a.skip")) {
    skip.addEventListener("click", (event) => {
      event.preventDefault();
      document.querySelector(skip.getAttribute("href")).focus();
    });
  }
  window.addEventListener("hashchange", guarded(async () => {
    if (!isOurs()) await fromAddress(false);
  }));
}

const remember = afterwards(300, guarded(() => writeAddress(state, form.defaultOf)));
const updateSoon = promptly(WAIT_MS, update);

state.addEventListener("change", ({ detail }) => {
  if (detail.another) view.lookAnew();
  byId("undo").disabled = !state.canUndo;
  byId("redo").disabled = !state.canRedo;
  updateSoon();
  remember();
});

/** Whether the address says what the page is to show: a design, or that it is broken. */
async function fromAddress(first) {
  let found;
  try {
    found = await readAddress();
  } catch (error) {
    if (!(error instanceof BrokenAddress)) throw error;
    start.open(error.message, Boolean(now));
    return true;
  }
  if (!found || !await open(found.text, found.file, { source: found.source, first })) return false;
  if (found.kept) keepText(found.kept).catch(() => {});
  return true;
}

byId("cautions-short").textContent = facts.cautions_in_short;
byId("cautions").querySelector("ul").append(...facts.cautions.map((text) => el("li", {}, text)));
byId("words").querySelector("dl").append(...facts.glossary.flatMap(([word, meaning]) => [
  el("dt", {}, word), el("dd", {}, meaning)]));
listen();
await guarded(async () => {
  if (await fromAddress(true)) return;
  const [given] = facts.starts;
  if (given.key === "given") await begin(given.key, { first: true });
  else start.open("", false);
})();
