// @ts-check
// The worker that hosts the calculation: it starts it, answers one request at a time, and keeps what makes the next start fast.

import { boot, gathered, unpacked } from "./boot.mjs";
import { Failure, failureOf } from "./failure.mjs";
import { dropImages, keepImage, keptImage } from "./image.mjs";
import { Files, openStore } from "./store.mjs";

/** After something went wrong, nothing that was kept is trusted. */
const ANEW = self.name === "anew";
/** So long without a question, the reader looks at what is there, and keeping disturbs nobody. */
const QUIET_MS = 1200;

/** @param {Record<string, unknown>} message */
const tell = (message) => postMessage(message);

/** @param {string} name @param {number} bytes */
const count = (name, bytes) => tell({ kind: "bytes", name, bytes });

/** @typedef {import("./boot.mjs").Image} Image */

/** @type {(request: string) => string} */
let door;
let quiet = 0;
/** @type {(() => Promise<void>) | null} */
let keeping = null;

/**
 * @param {Files} files
 * @param {ReturnType<typeof keptImage>} kept
 */
async function start(files, kept) {
  const parts = gathered(files);
  const image = await kept;
  if (image && (await woken(files, parts, image))) return;
  tell({ kind: "stage", stage: "starting" });
  const archives = await unpacked(parts);
  const python = await boot(parts, archives, null);
  tell({ kind: "stage", stage: "loading" });
  const bridge = python.pyimport("calc.bridge");
  bridge.start();
  ready(bridge, files, () => imageOf(python, archives));
}

/**
 * Wake the image, if that can be done; what was gathered meanwhile serves the ordinary start as well.
 * @param {Files} files
 * @param {ReturnType<typeof gathered>} parts
 * @param {Image} image
 */
async function woken(files, parts, [memory, ...archives]) {
  tell({ kind: "stage", stage: "waking" });
  try {
    const python = await boot(parts, archives, memory);
    ready(python.pyimport("calc.bridge"), files, null);
    return true;
  } catch (error) {
    console.debug("the kept image is not used:", error);
    await dropImages();
    return false;
  }
}

/**
 * @param {any} bridge
 * @param {Files} files
 * @param {(() => Image | null) | null} imaged makes an image, if one is to be made
 */
function ready(bridge, files, imaged) {
  door = bridge.answer;
  keeping = async () => {
    if (imaged) bridge.ahead(); // so that the image holds it, and the reader does not wait for it later
    const image = imaged?.();
    await files.keep();
    if (image) await keepImage(FACTS.build, image);
    tell({ kind: "kept" });
  };
  tell({ kind: "ready" });
}

/**
 * The image of the memory as it is now, after the first answers: all that they needed is loaded in it. It holds what the
 * reader asked, on the reader's own device, as the browser's history does. Where it cannot be made, starts stay ordinary.
 * @param {import("./boot.mjs").Python} python
 * @param {Image} archives
 * @returns {Image | null}
 */
function imageOf(python, archives) {
  try {
    return [/** @type {any} */ (python).makeMemorySnapshot(), ...archives];
  } catch {
    return null;
  }
}

/** @param {unknown} error */
function giveUp(error) {
  const failure = failureOf(error);
  tell({ kind: "failed", code: failure.code, detail: failure.detail });
}

addEventListener("message", ({ data }) => {
  try {
    tell({ kind: "answer", id: data.id, text: door(data.request) });
  } catch (error) {
    giveUp(error);
    return;
  }
  clearTimeout(quiet);
  quiet = setTimeout(() => {
    void keeping?.();
    keeping = null;
  }, QUIET_MS);
});

// Both at once: in some engines either takes a fifth of a second.
const kept = ANEW ? dropImages().then(() => null) : keptImage(FACTS.build);
const files = new Files(await openStore(), count, ANEW);
start(files, kept).catch((error) => giveUp(files.short ? new Failure("truncated", files.short) : error));
