// @ts-check
// The self-check: every published figure and every worked design is worked out again on this device, part by part, and put
// beside what the build printed. The core compares published figures; here only equal texts are told from unequal ones.

import { ask, start } from "./runtime/client.mjs";

/**
 * @typedef {{cases: Record<string, string>, designs: Record<string, string>, words: Record<string, string>}} Data
 * @typedef {{ours: string, result: string, good: boolean}} Row
 */

const one = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const data = /** @type {Data} */ (JSON.parse(one("proof-data").textContent ?? "{}"));
const button = one("proof-start");
const stop = one("proof-stop");
const bar = /** @type {HTMLProgressElement} */ (one("proof-done"));
let stopped = false;

/**
 * @param {string} key
 * @param {Record<string, number>} [values]
 */
const words = (key, values = {}) => data.words[key].replace(/\{(\w+)\}/g, (_, name) => String(values[name]));

/** @param {string} text */
function say(text) {
  one("proof-said").textContent = text;
}

/**
 * Put one outcome into a row: what came out here, and the result; a row that differs is marked by word and weight.
 * @param {Element | null} row @param {string} ours @param {string} result @param {boolean} good
 */
function put(row, ours, result, good) {
  if (!row) throw new Error("a figure has no row");
  const [mine, said] = [...row.children].slice(-2);
  const same = good && (!row.hasAttribute("data-proof") || mine.textContent === ours);
  (mine.firstElementChild ?? mine).textContent = ours;
  said.textContent = same ? result : good ? words("other") : result;
  row.classList.toggle("is-checked", same);
  row.classList.toggle("is-wrong", !same);
  if (!same) for (let box = row.closest("details"); box; box = null) box.open = true;
  return same;
}

/** @param {string} stem @param {string} text @returns {Promise<boolean[]>} which of the figures are as they should be */
async function figures(stem, text) {
  const { rows } = /** @type {{rows: Row[]}} */ (await ask({ prove: { cases: text } }));
  return rows.map((row, number) =>
    put(document.querySelector(`[data-proof="${stem}.${number}"]`), row.ours, row.result, row.good),
  );
}

/** @param {string} name @param {string} text @returns {Promise<boolean[]>} */
async function design(name, text) {
  const row = /** @type {Element} */ (document.querySelector(`[data-digest="${name}"]`));
  const { digest } = /** @type {{digest: string}} */ (await ask({ prove: { design: text } }));
  const same = digest === row.children[1].textContent;
  return [put(row, digest, words(same ? "same" : "other"), same)];
}

async function all() {
  const parts = [
    ...Object.entries(data.cases).map(([stem, text]) => () => figures(stem, text)),
    ...Object.entries(data.designs).map(([name, text]) => () => design(name, text)),
  ];
  const designs = Object.keys(data.designs).length;
  /** @type {boolean[]} */
  const results = [];
  let done = 0;
  bar.max = parts.length;
  for (const part of parts) {
    if (stopped) break;
    results.push(...(await part()));
    done += 1;
    bar.value = done;
    say(words("working", { done, all: parts.length }));
  }
  const bad = results.filter((good) => !good).length;
  const values = { done, bad, designs, figures: results.length - designs };
  if (stopped) say(words(bad ? "stopped-bad" : "stopped", { ...values, all: parts.length }));
  else say(words(bad ? "bad" : "good", { ...values, all: results.length }));
}

button.addEventListener("click", async () => {
  button.hidden = true;
  stop.hidden = bar.hidden = stopped = false;
  stop.focus();
  bar.removeAttribute("value");
  say(words("starting"));
  try {
    await start();
    await all();
  } catch (error) {
    say(/** @type {Error} */ (error).message);
  }
  stop.hidden = bar.hidden = true;
  button.hidden = false;
  button.textContent = words("again");
  button.focus();
});
stop.addEventListener("click", () => (stopped = true));
one("proof").hidden = false;
