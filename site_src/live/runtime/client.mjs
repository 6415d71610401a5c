// @ts-check
// What a page uses: start the calculation, ask it, stop it. The newest question wins; a crash or a standstill starts it once more.

import { Failure } from "./failure.mjs";
import { launch, missing } from "./launch.mjs";
import { Turns } from "./turns.mjs";

export { offlineState, keepForOffline, dropOffline } from "./offline.mjs";
export { Failure, missing };

/** @typedef {{ superseded: true }} Superseded */

const ANSWERED = "arraybook:answered";

/** Listeners of one page. @type {Set<(progress: Progress) => void>} */
const listeners = new Set();
const turns = new Turns((anew) => launch(anew, (progress) => listeners.forEach((listener) => listener(progress))));

/**
 * Start the calculation, or wait for it if it is starting already. Rejects with a Failure, whose message is one line for the reader.
 * @param {{ onProgress?: (progress: Progress) => void }} [options]
 */
export async function start({ onProgress } = {}) {
  const reason = missing();
  if (reason) throw new Failure(reason);
  if (onProgress) listeners.add(onProgress);
  try {
    await turns.start();
  } finally {
    if (onProgress) listeners.delete(onProgress);
  }
}

/**
 * Ask the core. A question that waits while a newer one comes is answered `{ superseded: true }` and never worked out.
 * @param {object} request as calc/bridge reads it
 * @returns {Promise<any | Superseded>}
 */
export async function ask(request) {
  const reason = missing();
  if (reason) throw new Failure(reason);
  const answer = await turns.ask(JSON.stringify(request));
  if (!answer.superseded) performance.mark(ANSWERED); // scripts/bench reads when the first one came
  return answer;
}

/** End the calculation and free its memory; a later question starts it again. */
export const stop = () => turns.stop();

/**
 * In which life of the worker the page is. A page that took over an answer of an earlier life may not build on it: what the
 * worker remembers of its answers is lost with it, or comes from another page with the image.
 */
export const life = () => turns.life;
