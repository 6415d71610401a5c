// @ts-check
// The image of the started calculation's memory: made once on this device, kept in its own storage, and woken by later starts.
// It is a shortcut only: whatever is wrong with it, it is deleted, and the calculation starts as it did the first time.

import { named } from "./names.mjs";
import { HOME } from "./places.mjs";

const MARK = 0x41524259; // "ARBY"
const TAIL = 16;
/** Every sixteenth word is summed: blocks that a torn write left out are found in a few milliseconds. */
const STRIDE = 16;

const DATABASE = named("image", HOME.pathname);
const FOLDER = encodeURIComponent(DATABASE);

/** @param {Uint8Array} image */
function sumOf(image) {
  const words = new Uint32Array(image.buffer, image.byteOffset, image.byteLength >> 2);
  let sum = words.length | 0;
  for (let at = 0; at < words.length; at += STRIDE) sum = (Math.imul(sum, 31) + words[at]) | 0;
  return sum >>> 0;
}

/**
 * The image out of what was kept, or nothing when it is not whole.
 * @param {Uint8Array<ArrayBuffer> | null} kept
 */
function checked(kept) {
  if (!kept || kept.length < TAIL || kept.length % 4) return null;
  const image = kept.subarray(0, kept.length - TAIL);
  const tail = new Uint32Array(kept.buffer, kept.byteOffset + image.length, 3);
  return tail[0] === MARK && tail[1] === image.length && tail[2] === sumOf(image) ? image : null;
}

/** @param {Uint8Array} image */
const tailOf = (image) => new Uint8Array(Uint32Array.of(MARK, image.length, sumOf(image), 0).buffer);

/** This site's folder of images, where the browser lets workers write files; else nothing. */
async function folder() {
  try {
    const root = await navigator.storage.getDirectory();
    const place = await root.getDirectoryHandle(FOLDER, { create: true });
    return "createSyncAccessHandle" in FileSystemFileHandle.prototype ? place : null;
  } catch {
    return null;
  }
}

/** @returns {Promise<IDBDatabase>} */
function database() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open(DATABASE, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("images");
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
}

/**
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(images: IDBObjectStore) => IDBRequest<T>} ask
 * @returns {Promise<T>}
 */
async function inDatabase(mode, ask) {
  const base = await database();
  try {
    return await new Promise((resolve, reject) => {
      const turn = base.transaction("images", mode);
      const asked = ask(turn.objectStore("images"));
      turn.oncomplete = () => resolve(asked.result);
      turn.onabort = turn.onerror = () => reject(turn.error);
    });
  } finally {
    base.close();
  }
}

/** @param {FileSystemFileHandle} file */
async function contentOf(file) {
  try {
    const open = await file.createSyncAccessHandle();
    const content = new Uint8Array(open.getSize());
    open.read(content, { at: 0 });
    open.close();
    return content;
  } catch {
    return new Uint8Array(await (await file.getFile()).arrayBuffer()); // another page has it open
  }
}

/**
 * The image of this build that was kept here, or nothing.
 * @param {string} build
 */
export async function keptImage(build) {
  try {
    const place = await folder();
    if (place) return checked(await contentOf(await place.getFileHandle(build)));
    return checked((await inDatabase("readonly", (images) => images.get(build))) ?? null);
  } catch {
    return null;
  }
}

/**
 * Keep the image of this build, in place of any other; storage that is full or refused only means no shortcut.
 * @param {string} build
 * @param {Uint8Array<ArrayBuffer>} image
 */
export async function keepImage(build, image) {
  try {
    await dropImages();
    const place = await folder();
    if (place) {
      const open = await (await place.getFileHandle(build, { create: true })).createSyncAccessHandle();
      try {
        const written = open.write(image, { at: 0 });
        if (written < image.length) throw new Error("the storage is full");
        open.write(tailOf(image), { at: image.length }); // last, so that a torn file has none
        open.flush();
      } finally {
        open.close();
      }
    } else {
      const whole = new Uint8Array(image.length + TAIL);
      whole.set(image);
      whole.set(tailOf(image), image.length);
      await inDatabase("readwrite", (images) => images.put(whole, build));
    }
  } catch {
    await dropImages();
  }
}

/** Delete every image of this site. */
export async function dropImages() {
  try {
    const place = await folder();
    if (place) for await (const name of place.keys()) await place.removeEntry(name);
    else await inDatabase("readwrite", (images) => images.clear());
  } catch {
    // What cannot be deleted is checked again before it is used.
  }
}
