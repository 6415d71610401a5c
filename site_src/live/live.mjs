// @ts-check
// A page whose design can be changed: this joins the form, the core and the report. Without it the report stands as it was built.

import { readAddress, writeAddress } from "./address.mjs";
import { Bench } from "./bench.mjs";
import { watchButtons } from "./buttons.mjs";
import { isTyping, watchFields } from "./fields.mjs";
import { copyLink, save, textOf } from "./files.mjs";
import { begin, whenWorthwhile } from "./begin.mjs";
import { carryToMeter } from "./carry.mjs";
import { Later } from "./later.mjs";
import { Layouts } from "./layouts.mjs";
import { offline } from "./offline.mjs";
import { data, one, words } from "./page.mjs";
import { did, noTrouble, showTrouble, speak } from "./speak.mjs";
import { History } from "./state.mjs";
import { keepTicks } from "./ticks.mjs";
import { turning } from "./turning.mjs";
import { Work } from "./work.mjs";

/** @typedef {import("./work.mjs").Answer} Answer */

const UNITS = "arraybook.units";
/** How long a design stands before the address tells it as a step of its own, in milliseconds. */
const STEADY = 400;

if (data) {
  const page = data;
  const history = new History({ name: page.name, base: page.file, set: {} });
  const bench = new Bench(page);
  let system = kept() ?? "us";
  /** @type {Record<string, string>} */
  let differs = {};
  let telling = 0;
  /** Sections of which the reader asked for the whole; else the page only offers what takes long. @type {Set<string>} */
  const whole = new Set();
  /** The design came from the address, which may tell it in other words; putting them right is no step of the reader's. */
  let heard = false;

  const question = () => ({
    base: history.now.base,
    set: history.now.set,
    origin: page.bases[history.now.name] ?? page.file,
    pinned: bench.pinned,
    system,
    home: page.home,
    lesson: page.lesson,
  });

  const work = new Work(page.file, question, {
    answered(answer, manner) {
      noTrouble();
      differs = answer.differs;
      if (answer.ok) headings(answer);
      else if (manner.settled && wantsFocus(answer, manner.path)) one("report-problems").focus();
      speak(answer.spoken);
      clearTimeout(telling);
      telling = window.setTimeout(tell, STEADY);
    },
    /** @returns {Promise<void>} */
    seen: () => later.look(early),
    painted() {
      later.mark();
      ticks();
      document.dispatchEvent(new CustomEvent("arraybook:painted"));
    },
    failed(error) {
      showTrouble(/** @type {Error} */ (error).message);
    },
  }, page.parts);

  const ticks = keepTicks(() => `${history.now.name || page.name} ${JSON.stringify(differs)}`);

  const later = new Later(async (name) => {
    if (work.waiting || work.busy) return false; // a newer design is on its way, and will mark them again
    if (name === "layouts") return layouts.renew();
    const all = whole.has(name) || document.querySelector(`#report-${name}[data-whole]`) !== null;
    const answer = await work.put({ parts: [name], ...(all && { adding: true, moves: true }) });
    if (answer.ok) work.show(answer);
    ticks();
    return answer.ok;
  });

  const layouts = new Layouts({
    put: (further) => work.put(further),
    show: (answer) => work.show(answer),
    newer: () => work.waiting !== null || work.busy,
  });

  /** A section that the reader is looking at, before the rest of the page. @param {string} name @returns {Promise<boolean>} */
  async function early(name) {
    const answer = await work.put({ parts: [name] });
    if (!answer.ok || work.waiting) return false; // a newer design is on its way
    work.show(answer);
    return true;
  }

  /** @param {Partial<import("./work.mjs").Manner> & {heard?: boolean}} manner */
  const again = async (manner) => {
    heard &&= manner.heard ?? false;
    setTimeout(buttons); // while the question is on its way
    if (!(await begin())) return;
    turning(() => work.busy);
    work.wanted(manner);
  };

  /** Title and story belong to the file; they are texts and stay texts. @param {Answer} answer */
  function headings(answer) {
    const title = document.getElementById("report-title");
    const story = document.getElementById("report-story");
    if (title && answer.title) write(title, answer.title);
    if (story) write(story, answer.story ?? "");
  }

  /** A text that is set anew makes the browser lay out the page, also where it is the same. @param {HTMLElement} element @param {string} text */
  function write(element, text) {
    if (element.textContent !== text) element.textContent = text;
  }

  /** @param {Answer} answer @param {string} path */
  function wantsFocus(answer, path) {
    return path === "" || (answer.problems ?? []).some((problem) => problem.path === path || problem.path === "");
  }

  function buttons() {
    /** @type {Record<string, boolean>} */
    const enabled = {
      undo: history.past.length > 0 || history.now !== history.settled,
      redo: history.future.length > 0,
      reset: Object.keys(history.now.set).length > 0,
    };
    for (const holder of [one("bench"), one("bench-bar")]) {
      for (const button of holder.querySelectorAll("button")) {
        const what = button.dataset.do ?? "";
        if (what in enabled) button.disabled = !enabled[what];
      }
    }
    one("bench-bar").hidden = false;
    document.documentElement.dataset.live = "changed"; // room below what has the keyboard
    bench.show(history.now);
  }

  /** Tell the design in the address, as a step that the browser's own back button undoes. */
  function tell() {
    const text = told();
    const now = readAddress(location.hash) ? location.hash.slice(1) : "";
    if (text === now) return;
    const step = heard ? "replaceState" : "pushState";
    window.history[step](null, "", text ? `#${text}` : location.pathname + location.search);
  }

  function told() {
    const units = system === "us" ? null : system;
    return writeAddress({ ...bench.address(history.now, differs), units });
  }

  /** A link within the page has put its place into the address; the design comes back once that place is shown. */
  function tellAgain() {
    const text = told();
    if (text && location.hash && !readAddress(location.hash)) window.history.replaceState(null, "", `#${text}`);
  }

  /** Take over what the address says. @param {boolean} atStart */
  function listen(atStart) {
    const address = readAddress(location.hash);
    if (!address && (atStart || location.hash)) return; // a place on the page, or nothing at all
    if (address?.units) units(address.units === "metric" ? "metric" : "us");
    heard = true;
    bench.take(address?.pinned);
    history.take(bench.layoutOf(address ?? { from: null, set: {} }));
    const box = /** @type {HTMLDetailsElement | null} */ (document.getElementById("bench-box"));
    if (box) box.open = true;
    void again({ settled: true, heard: true });
  }

  /** @param {string} wanted */
  function units(wanted) {
    system = wanted;
    for (const choice of document.querySelectorAll('[name="units"]')) {
      /** @type {HTMLInputElement} */ (choice).checked = /** @type {HTMLInputElement} */ (choice).value === wanted;
    }
    try {
      localStorage.setItem(UNITS, wanted);
    } catch {
      // Nothing is kept; the choice holds for this page.
    }
  }

  /** @returns {string | null} */
  function kept() {
    try {
      return localStorage.getItem(UNITS);
    } catch {
      return null;
    }
  }

  /** A file becomes the design of the page when the core can read it; else its problems are shown and nothing is lost. @param {File} file */
  async function open(file) {
    if (!(await begin())) return;
    const base = await textOf(file);
    const answer = await work.put({ base, set: {}, opened: true, parts: ["problems"] });
    work.show(answer);
    speak(answer.spoken);
    if (!answer.ok) {
      one("report-problems").focus();
      return;
    }
    history.take({ name: "", base, set: {} });
    await again({ settled: true });
  }

  /** @param {"file" | "assessment"} what */
  async function saved(what) {
    if (!(await begin())) return;
    const answer = await work.put({ parts: [], file: what === "file", json: what === "assessment" });
    const name = history.now.name || "design";
    if (!answer.ok) void again({ settled: true });
    else if (what === "file") save(`${name}.toml`, "application/toml", answer.file ?? "");
    else save(`${name}.json`, "application/json", `${JSON.stringify(answer.assessment, null, 1)}\n`);
  }

  /** The reader wants a section as a whole; the button that asked for it goes, so the keyboard moves on. @param {string} name */
  async function wholly(name) {
    whole.add(name);
    if (!(await begin())) return;
    await later.again(name);
    const place = one(`report-${name}`);
    place.tabIndex = -1;
    place.focus({ preventScroll: true });
  }

  watchFields((texts, manner) => {
    history.change(texts);
    if (manner.settled) history.settle();
    void again(manner);
  });
  watchButtons({
    undo: () => history.undo() && void again({ settled: true }),
    redo: () => history.redo() && void again({ settled: true }),
    reset: () => {
      history.reset();
      void again({ settled: true });
    },
    open: () => one("bench-file").click(),
    save: () => void saved("file"),
    json: () => void saved("assessment"),
    link: async () => {
      tell();
      one("bench-said").textContent = await copyLink(location.href);
    },
    print: async () => {
      await later.all();
      window.print();
    },
    "print-work": async () => {
      await later.all();
      document.documentElement.dataset.printing = "work";
      window.print();
    },
    keep: () => void offline.keep(),
    adding: () => void wholly("adding"),
    moves: () => void wholly("limits"),
    "layouts-stop": () => layouts.stop(),
    "layouts-go": () => void layouts.renew(),
    pin: () => {
      bench.pin(history.now, differs);
      did(words("pinned"));
      void again({ settled: true });
    },
    swap: () => {
      const other = bench.swap(history.now, differs);
      if (other) history.take(other);
      did(words("swapped"));
      void again({ settled: true });
    },
    unpin: () => {
      bench.unpin();
      did(words("unpinned"));
      void again({ settled: true });
    },
    change: (texts) => {
      history.change(texts);
      history.settle();
      void again({ settled: true });
    },
  });
  carryToMeter(() => ({
    name: history.now.name || page.name,
    layout: history.now,
    told: Object.keys(history.now.set).length > 0 || !history.now.name ? differs : {},
    units: system === "us" ? null : system,
  }));
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping()) return;
    const key = event.key.toLowerCase();
    const back = key === "z" && !event.shiftKey;
    if (!back && key !== "y" && key !== "z") return;
    event.preventDefault();
    if (back ? history.undo() : history.redo()) void again({ settled: true });
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) return;
    if (layouts.picked(field)) {
      void begin().then((can) => (can ? later.again("layouts") : undefined));
    } else if (field.name === "units") {
      units(field.value);
      void again({ settled: true });
    } else if (field.id === "bench-from" && field.value in page.bases) {
      history.take({ name: field.value, base: page.bases[field.value], set: {} });
      void again({ settled: true });
    } else if (field instanceof HTMLInputElement && field.id === "bench-file" && field.files?.[0]) {
      void open(field.files[0]);
      field.value = ""; // so that the same file can be opened again
    }
  });
  addEventListener("afterprint", () => delete document.documentElement.dataset.printing);
  addEventListener("popstate", () => listen(false));
  addEventListener("hashchange", () => setTimeout(tellAgain));
  units(system === "metric" ? "metric" : "us");
  whenWorthwhile(() => (system === "us" ? void begin() : void again({})));
  bench.show(history.now);
  void offline.show();
  listen(true);
}
