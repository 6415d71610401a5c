// @ts-check
// What is said aloud or in one line: the new verdict, how far the calculation is, and what does not work.

import { one, words } from "./page.mjs";

/** Only a verdict that has stood for a moment is worth saying, in milliseconds. */
const PAUSE = 800;
let timer = 0;
/** What the reader has done that no verdict tells. */
let done = "";

/**
 * Say with the next verdict what was done: one announcement, since of two in a row the second cuts the first off.
 * @param {string} text
 */
export function did(text) {
  done = text;
}

/** @param {string} text */
export function speak(text) {
  clearTimeout(timer);
  timer = window.setTimeout(() => {
    one("bench-spoken").textContent = done ? `${done} ${text}` : text;
    done = "";
  }, PAUSE);
}

/**
 * How far the start of the calculation is, in real bytes and stages.
 * @param {{stage: string, line: string, done: number, total: number}} progress
 */
export function showProgress({ stage, line, done, total }) {
  const bar = /** @type {HTMLProgressElement} */ (one("bench-bytes"));
  one("bench-progress").hidden = stage === "ready";
  one("bench-trouble").hidden = true;
  one("bench-stage").textContent = `${line}. ${words("kept")}`;
  if (total > 0 && done < total) {
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
