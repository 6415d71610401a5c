// @ts-check
// One life of the worker: launched, watched while it starts and while it answers, ended.

import { Failure } from "./failure.mjs";
import { keepScripts } from "./offline.mjs";
import { RUNTIME } from "./places.mjs";

/** Without a sign of life for so long, a start has failed; a slow line gives many signs. */
const START_MS = 60_000;
const ANSWER_MS = 20_000;
const MEGABYTE = 1e6;
/** Told to the window once all that can be kept of the calculation is kept. */
const KEPT = "arraybook:kept";

/** @typedef {{ ready: Promise<void>, answer: (request: string) => Promise<string>, end: () => void }} Host */

const SIZES = new Map(Object.values(FACTS.files).map((file) => [file.name, file]));
const TOTAL = [...SIZES.values()].reduce((sum, file) => sum + file.wire, 0);

/** Why the calculation cannot run in this browser at all, as the code of a reason; nothing when it can. */
export function missing() {
  if (typeof WebAssembly !== "object") return "no-webassembly";
  if (typeof Worker !== "function" || typeof DecompressionStream !== "function") return "no-module-workers";
  return null;
}

/** @param {string} stage @param {Progress} so */
function progressOf(stage, so) {
  const mb = (/** @type {number} */ bytes) => (bytes / MEGABYTE).toFixed(1);
  const named = /** @type {Progress["stage"]} */ (stage === "starting" && so.done < so.total ? "fetching" : stage);
  const line = WORDS.stage[named].replace("{done}", mb(so.done)).replace("{total}", mb(so.total));
  return { ...so, stage: named, line };
}

/** @param {boolean} anew @throws {Failure} */
function opened(anew) {
  if (!FACTS.worker) throw new Failure("crashed", "this bundle does not know the worker");
  let asked = false;
  const options = {
    name: anew ? "anew" : "",
    get type() {
      asked = true; // only a browser that knows module workers looks
      return /** @type {const} */ ("module");
    },
  };
  const worker = new Worker(new URL(FACTS.worker.name, RUNTIME), options);
  if (asked) return worker;
  worker.terminate();
  throw new Failure("no-module-workers");
}

/**
 * Launch the worker.
 * @param {boolean} anew nothing that was kept may be trusted
 * @param {(progress: Progress) => void} onProgress
 * @returns {Host}
 */
export function launch(anew, onProgress) {
  /** @type {(value?: any) => void} */ let done = () => {};
  /** @type {(failure: Failure) => void} */ let fail = () => {};
  let clock = 0;
  let asked = 0;
  let so = /** @type {Progress} */ ({ stage: "starting", line: "", done: 0, total: 0 });
  const pending = () => new Promise((resolve, reject) => ((done = resolve), (fail = reject)));
  const within = (/** @type {number} */ ms) => {
    clearTimeout(clock);
    clock = setTimeout(() => fail(new Failure("too-slow")), ms);
  };
  const ready = pending();
  const told = () => dispatchEvent(new Event(KEPT));

  /** @type {Worker} */ let worker;
  try {
    worker = opened(anew);
  } catch (error) {
    fail(error instanceof Failure ? error : new Failure("no-module-workers", String(error)));
    return { ready, answer: () => ready, end: () => {} };
  }
  within(START_MS);
  worker.onmessage = ({ data }) => {
    if (data.kind === "bytes" || data.kind === "stage") {
      within(START_MS);
      so = data.kind === "stage" ? { ...so, stage: data.stage } : arrived(so, data);
      onProgress(progressOf(so.stage, so));
    } else if (data.kind === "failed") {
      clearTimeout(clock);
      fail(new Failure(data.code, data.detail));
    } else if (data.kind === "ready" || (data.kind === "answer" && data.id === asked)) {
      clearTimeout(clock);
      if (data.kind === "ready") onProgress(progressOf("ready", so));
      done(data.text);
    } else if (data.kind === "kept") void keepScripts().then(told, told);
  };
  worker.onerror = (event) => {
    event.preventDefault();
    clearTimeout(clock);
    void notLoaded(event.message).then(fail);
  };
  return {
    ready,
    answer(request) {
      const answer = pending();
      within(ANSWER_MS);
      worker.postMessage({ id: (asked += 1), request });
      return answer;
    },
    end() {
      clearTimeout(clock);
      worker.terminate();
      fail(new Failure("stopped"));
    },
  };
}

/**
 * More of a file has arrived; sizes are told as they were sent.
 * @param {Progress} so
 * @param {{ name: string, bytes: number }} part
 */
function arrived(so, { name, bytes }) {
  const file = SIZES.get(name);
  const share = file ? (bytes / file.bytes) * file.wire : 0;
  return { ...so, done: Math.min(so.done + share, TOTAL), total: TOTAL };
}

/**
 * Why the worker's script did not even begin, or stopped in a way that it could not tell.
 * @param {string} message
 */
async function notLoaded(message) {
  try {
    const { status, ok } = await fetch(new URL(/** @type {RuntimeFile} */ (FACTS.worker).name, RUNTIME));
    return new Failure(ok ? "crashed" : status < 500 ? "missing" : "unreachable", message || String(status));
  } catch {
    return new Failure("unreachable", message);
  }
}
