// @ts-check
// What is said aloud or in one line: the new verdict, how far the calculation is, and what does not work.

import { megabytes, one, words } from "./page.mjs";

/** Only a verdict that has stood for a moment is worth saying, in milliseconds. */
const PAUSE = 800;
let timer = 0;

/** @param {string} text */
export function speak(text) {
  clearTimeout(timer);
  timer = window.setTimeout(() => {
    one("bench-spoken").textContent = text;
  }, PAUSE);
}

/** @typedef {{stage: string, done?: number, total?: number}} Progress */

/** @param {Progress} progress */
export function showProgress({ stage, done = 0, total = 0 }) {
  const bar = /** @type {HTMLProgressElement} */ (one("bench-bytes"));
  one("bench-progress").hidden = stage === "ready";
  one("bench-trouble").hidden = true;
  const fetching = stage !== "ready" && total > 0 && done < total;
  one("bench-stage").textContent = fetching
    ? words("loading", { done: megabytes(done), total: megabytes(total) })
    : words("starting");
  if (total > 0) {
    bar.max = total;
    bar.value = done;
  } else bar.removeAttribute("value");
}

/** @param {string} text */
export function showTrouble(text) {
  one("bench-progress").hidden = true;
  const line = one("bench-trouble");
  line.textContent = text;
  line.hidden = false;
  speak(text);
}

export function noTrouble() {
  one("bench-progress").hidden = true;
  one("bench-trouble").hidden = true;
}
