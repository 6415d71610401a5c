// @ts-check
// The worker that hosts the calculation: it starts it, answers one request at a time, and keeps what makes the next start fast.

import { boot } from "./boot.mjs";
import { failureOf } from "./failure.mjs";
import { dropImages, keepImage, keptImage } from "./image.mjs";
import { Files, openStore } from "./store.mjs";

/** After something went wrong, nothing that was kept is trusted. */
const ANEW = self.name === "anew";
const QUIET = 1000;
/** Worked out before the image is made, so that all a design needs is loaded in it; it is nobody's own design. */
const FIRST = `[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"

[array]
modules_in_series = 1
strings_in_parallel = 4
`;

/** @param {Record<string, unknown>} message */
const tell = (message) => postMessage(message);

/** @param {string} name @param {number} bytes */
const count = (name, bytes) => tell({ kind: "bytes", name, bytes });

/** @type {(request: string) => string} */
let door;

/** @type {(value?: unknown) => void} */
let answered = () => {};
const firstAnswer = new Promise((resolve) => (answered = resolve));
/** Keeping waits for the first answer, or for a moment without a request. */
const afterwards = () => Promise.race([firstAnswer, new Promise((resolve) => setTimeout(resolve, QUIET))]);

async function start() {
  const store = await openStore();
  if (ANEW) await dropImages();
  const image = ANEW ? null : await keptImage(FACTS.build);
  if (image && (await woken(store, image))) return;
  const files = new Files(store, count, ANEW);
  tell({ kind: "stage", stage: "starting" });
  const python = await boot(files, null);
  tell({ kind: "stage", stage: "loading" });
  const bridge = python.pyimport("calc.bridge");
  bridge.start();
  bridge.answer(JSON.stringify({ base: FIRST }));
  const made = imageOf(python);
  door = bridge.answer;
  tell({ kind: "ready", image: false });
  await afterwards();
  await files.keep();
  if (made) await keepImage(FACTS.build, made);
  tell({ kind: "kept", image: Boolean(made) });
}

/**
 * Wake the image, if that can be done.
 * @param {Cache | null} store
 * @param {Uint8Array<ArrayBuffer>} image
 */
async function woken(store, image) {
  tell({ kind: "stage", stage: "waking" });
  const files = new Files(store, count, false);
  try {
    const python = await boot(files, image);
    door = python.pyimport("calc.bridge").answer;
  } catch (error) {
    console.debug("the kept image is not used:", error);
    await dropImages();
    return false;
  }
  tell({ kind: "ready", image: true });
  await afterwards();
  await files.keep();
  tell({ kind: "kept", image: true });
  return true;
}

/**
 * The image of the memory as it is now; where it cannot be made, starts stay ordinary.
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
  }
  answered();
});

void start().catch(giveUp);
