// @ts-check
// The page on which readings are entered: what is typed goes to the core as texts, and what comes back is put in place.

import { readAddress } from "./address.mjs";
import { begin, whenWorthwhile } from "./begin.mjs";
import { watchButtons } from "./buttons.mjs";
import { carried } from "./carry.mjs";
import { watchFields } from "./fields.mjs";
import { save, textOf } from "./files.mjs";
import { keepReadings, keptReadings } from "./meter_kept.mjs";
import { offline } from "./offline.mjs";
import { data, one } from "./page.mjs";
import { patch } from "./patch.mjs";
import { ask } from "./runtime/client.mjs";
import { noTrouble, showTrouble, speak } from "./speak.mjs";
import { same } from "./state.mjs";

/**
 * @typedef {{ok: boolean, title?: string, readings?: Record<string, string>, spoken: string, file?: string,
 *   refused?: "design" | "readings", fragments: Record<string, string>}} Answer
 */

/** How long somebody may pause within a number before it is taken for finished, in milliseconds. */
const PATIENCE = 600;
const UNITS = "arraybook.units";

if (data) {
  const page = data;
  const says = /** @type {Record<string, string>} */ (/** @type {any} */ (page).says);
  const first = { name: page.name, base: page.file, set: {} };
  /** @type {import("./state.mjs").Layout} */
  let layout = first;
  let shown = page.file;
  /** @type {Record<string, string>} */
  let texts = {};
  let system = "us";
  let patience = 0;
  let wanted = false;
  let busy = false;
  /** @type {Promise<unknown>} */
  let line = Promise.resolve();

  /**
   * Put one question after those that were put before.
   * @param {object} [further]
   * @returns {Promise<Answer>}
   */
  function put(further = {}) {
    const asked = line.then(() => {
      const { base, set } = layout;
      return ask({ meter: { base, set, system, readings: texts, ...further } });
    });
    line = asked.catch(() => {});
    return asked;
  }

  /** @param {Answer} answer */
  function show(answer) {
    noTrouble();
    if (!answer.refused) shown = layout.base;
    patch({ fragments: answer.fragments, pieces: {} });
    if (answer.title) one("report-title").textContent = answer.title;
    if (answer.refused) one("report-problems").focus();
    speak(answer.spoken);
    one("bench-bar").hidden = false;
    document.documentElement.dataset.live = "changed"; // room below what has the keyboard
  }

  /** Ask about what stands in the form; while an answer is on its way, what is typed further is asked about after it. */
  async function run() {
    clearTimeout(patience);
    wanted = true;
    keepReadings(layout, texts);
    if (busy || !(await begin())) return;
    busy = true;
    try {
      while (wanted) {
        wanted = false;
        const answer = await put();
        if (!wanted) show(answer);
      }
    } catch (error) {
      showTrouble(/** @type {Error} */ (error).message);
    } finally {
      busy = false;
    }
  }

  /** @param {() => Promise<void>} deed something that needs the calculation */
  async function after(deed) {
    if (!(await begin())) return;
    try {
      await deed();
    } catch (error) {
      showTrouble(/** @type {Error} */ (error).message);
    }
  }

  /** @param {File} file */
  const openReadings = (file) => after(async () => {
    const answer = await put({ opened: await textOf(file) });
    if (answer.readings) texts = answer.readings;
    keepReadings(layout, texts);
    show(answer);
  });

  /** @param {File} file */
  const openDesign = (file) => after(async () => {
    const base = await textOf(file);
    const answer = await put({ base, set: {} });
    if (!answer.refused) take({ name: "", base, set: {} }, "");
    show(answer);
  });

  /** Another design; what was typed stays. @param {import("./state.mjs").Layout} other @param {string} address */
  function take(other, address) {
    layout = other;
    /** @type {HTMLSelectElement} */ (one("bench-from")).value = layout.name;
    history.replaceState(null, "", address || location.pathname + location.search);
    keepReadings(layout, texts);
  }

  /** @param {string} chosen */
  function units(chosen) {
    system = chosen === "metric" ? "metric" : "us";
    for (const choice of document.querySelectorAll('[name="units"]')) {
      /** @type {HTMLInputElement} */ (choice).checked = /** @type {HTMLInputElement} */ (choice).value === system;
    }
    try {
      localStorage.setItem(UNITS, system);
    } catch {
      // Nothing is kept; the choice holds for this page.
    }
  }

  /** The design that the address tells, or that was here last, with what was typed for it. */
  function listen() {
    const address = readAddress(location.hash);
    const kept = keptReadings();
    if (address) {
      const name = address.from ?? page.name;
      const known = page.bases[name];
      const along = carried(location.hash);
      const told = known && !along?.own ? { name, base: known, set: address.set } : along?.layout;
      layout = told || first;
      one("bench-said").textContent = told ? "" : says["not-kept"];
      texts = kept && same(kept.layout, layout) ? kept.texts : {};
      if (address.units) units(address.units);
    } else if (kept) ({ layout, texts } = kept);
    /** @type {HTMLSelectElement} */ (one("bench-from")).value = layout.name;
    one("report-form").inert = layout.base !== shown; // the fields of another design, until its own are here
    const typed = Object.values(texts).some((text) => text.trim());
    if (typed) one("bench-said").textContent = says.restored;
    return typed || layout !== first;
  }

  watchFields((changed, manner) => {
    Object.assign(texts, changed);
    clearTimeout(patience);
    if (manner.typing) patience = window.setTimeout(run, PATIENCE);
    else void run();
  });
  watchButtons({
    "open-design": () => one("bench-file").click(),
    open: () => one("readings-file").click(),
    save: () => after(async () => {
      const answer = await put({ save: true });
      show(answer);
      if (answer.file) save(`${layout.name || "design"}-readings.toml`, "application/toml", answer.file);
    }),
    clear: () => {
      texts = {};
      one("bench-said").textContent = "";
      void run();
    },
    print: () => window.print(),
    keep: () => void offline.keep(),
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) return;
    if (field.name === "units") {
      units(field.value);
      void run();
    } else if (field.id === "bench-from" && field.value in page.bases) {
      take({ name: field.value, base: page.bases[field.value], set: {} }, `#from=${encodeURIComponent(field.value)}`);
      void run();
    } else if (field instanceof HTMLInputElement && field.type === "file" && field.files?.[0]) {
      void (field.id === "bench-file" ? openDesign : openReadings)(field.files[0]);
      field.value = ""; // so that the same file can be opened again
    }
  });
  addEventListener("hashchange", () => listen() && void run());
  try {
    units(localStorage.getItem(UNITS) ?? "us");
  } catch {
    units("us");
  }
  if (listen() || system === "metric") void run();
  else whenWorthwhile(() => void run());
  void offline.show();
}
