// @ts-check
// The worker that hosts the calculation: it starts it, answers one request at a time, and keeps what makes the next start fast.

import { boot, gathered } from "./boot.mjs";
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

/** @type {(request: string) => string} */
let door;
let quiet = 0;
/** @type {(() => Promise<void>) | null} */
let keeping = null;

/** @param {Files} files */
async function start(files) {
  const parts = gathered(files);
  if (ANEW) await dropImages();
  const image = ANEW ? null : await keptImage(FACTS.build);
  if (image && (await woken(files, parts, image))) return;
  tell({ kind: "stage", stage: "starting" });
  const python = await boot(parts, null);
  tell({ kind: "stage", stage: "loading" });
  const bridge = python.pyimport("calc.bridge");
  bridge.start();
  ready(bridge, files, python);
}

/**
 * Wake the image, if that can be done; what was gathered for it serves the ordinary start as well.
 * @param {Files} files
 * @param {ReturnType<typeof gathered>} parts
 * @param {Uint8Array<ArrayBuffer>} image
 */
async function woken(files, parts, image) {
  tell({ kind: "stage", stage: "waking" });
  try {
    const python = await boot(parts, image);
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
 * @param {import("./boot.mjs").Python | null} imaged what an image is to be made of
 */
function ready(bridge, files, imaged) {
  door = bridge.answer;
  keeping = async () => {
    if (imaged) bridge.ahead(); // so that the image holds it, and the reader does not wait for it later
    const image = imaged && imageOf(imaged);
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
 * @returns {Uint8Array<ArrayBuffer> | null}
 */
function imageOf(python) {
  try {
    return /** @type {any} */ (python).makeMemorySnapshot();
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

const files = new Files(await openStore(), count, ANEW);
start(files).catch((error) => giveUp(files.short ? new Failure("truncated", files.short) : error));
