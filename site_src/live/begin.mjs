// @ts-check
// When the calculation starts: at the first touch of the form, or when the reader stirs and the line costs nothing.

import { start } from "./runtime/client.mjs";
import { noTrouble, showProgress, showTrouble } from "./speak.mjs";

/** @type {Promise<boolean> | null} */
let begun = null;

/** Start the calculation unless it runs; tells whether it does. After a failure the next change tries again. */
export function begin() {
  begun ??= attempt();
  return begun;
}

async function attempt() {
  try {
    await start({ onProgress: showProgress });
    noTrouble();
    return true;
  } catch (error) {
    begun = null;
    showTrouble(/** @type {Error} */ (error).message);
    return false;
  }
}

/**
 * Call `then` once, when the reader turns to the form, or stirs at all where nobody pays for what is fetched.
 * @param {() => void} then
 */
export function whenWorthwhile(then) {
  const bench = /** @type {HTMLElement} */ (document.getElementById("bench"));
  const stop = new AbortController();
  const go = () => {
    stop.abort();
    then();
  };
  for (const sign of ["pointerdown", "focusin", "toggle"]) {
    bench.addEventListener(sign, go, { capture: true, signal: stop.signal });
  }
  if (!free()) return;
  const idly = () => (window.requestIdleCallback ?? setTimeout)(go);
  for (const sign of ["pointermove", "keydown", "scroll", "touchstart"]) {
    addEventListener(sign, idly, { once: true, passive: true, signal: stop.signal });
  }
}

/** Whether the line is known to be fast and free: few browsers say, and where they do not it is not assumed. */
function free() {
  const line = /** @type {{saveData?: boolean, type?: string, effectiveType?: string} | undefined} */ (
    /** @type {any} */ (navigator).connection
  );
  return line !== undefined && !line.saveData && line.type !== "cellular" && line.effectiveType === "4g";
}
