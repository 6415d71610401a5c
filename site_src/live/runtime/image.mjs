// @ts-check
// What a later start needs, made once on this device and kept in its own storage: an image of the started calculation's memory,
// and the archives as they are once unpacked. It is a shortcut only: whatever is wrong with it, it is deleted, and the
// calculation starts as it did the first time.
//
// A third of the memory is empty, so that only the stretches with something in them are kept. A file holds those of all parts,
// one after the other; then a table with each part's length and number of stretches, and where each stretch begins and ends;
// and last a mark, the length of the table, and a sum.

import { named } from "./names.mjs";
import { HOME } from "./places.mjs";

/** @typedef {Uint8Array<ArrayBuffer>} Bytes */

const MARK = 0x41524259; // "ARBY"
const TAIL = 16;
const WORD = 4;
/** Every sixteenth word is summed: blocks that a torn write left out are found in a few milliseconds. */
const STRIDE = 16;
/** Memory is told to be empty by so many bytes at a time. */
const BLOCK = 1 << 16;

const DATABASE = named("image", HOME.pathname);
const FOLDER = encodeURIComponent(DATABASE);

/** @param {Bytes} bytes */
const wordsOf = (bytes) => new Uint32Array(bytes.buffer, bytes.byteOffset, bytes.byteLength >> 2);

/** @param {number} sum @param {Uint32Array} words @param {number} stride */
function summed(sum, words, stride) {
  for (let at = 0; at < words.length; at += stride) sum = (Math.imul(sum, 31) + words[at]) | 0;
  return sum;
}

/**
 * Where a part has something in it: the beginnings and ends of its stretches.
 * @param {Bytes} part
 */
function stretchesOf(part) {
  const words = wordsOf(part);
  /** @type {number[]} */
  const found = [];
  for (let start = 0; start < part.length; start += BLOCK) {
    const end = Math.min(start + BLOCK, part.length);
    let at = start >> 2;
    while (at < end >> 2 && !words[at]) at += 1;
    if (at === end >> 2 && end % BLOCK === 0) continue;
    if (found.at(-1) === start) found.pop();
    else found.push(start);
    found.push(end);
  }
  return found;
}

/**
 * The pieces of a file that holds parts, in their order.
 * @param {Bytes[]} parts
 * @returns {Bytes[]}
 */
function piecesOf(parts) {
  const pieces = [];
  const table = [];
  let sum = 0;
  for (const part of parts) {
    const stretches = stretchesOf(part);
    table.push(part.length, stretches.length / 2, ...stretches);
    for (let at = 0; at < stretches.length; at += 2) {
      const piece = part.subarray(stretches[at], stretches[at + 1]);
      sum = summed(sum, wordsOf(piece), STRIDE);
      pieces.push(piece);
    }
  }
  const words = Uint32Array.from(table);
  const tail = Uint32Array.of(MARK, words.length, summed(sum, words, 1), 0);
  return [...pieces, new Uint8Array(words.buffer), new Uint8Array(tail.buffer)];
}

/**
 * The parts that a file holds, or nothing when it is not whole.
 * @param {number} size
 * @param {(into: Bytes, at: number) => void} read
 */
function partsOf(size, read) {
  const words = (/** @type {number} */ count, /** @type {number} */ at) => {
    const found = new Uint32Array(count);
    read(new Uint8Array(found.buffer), at);
    return found;
  };
  if (size < TAIL) return null;
  const [mark, length, wanted] = words(TAIL / WORD, size - TAIL);
  const end = size - TAIL - length * WORD;
  if (mark !== MARK || end < 0) return null;
  const table = words(length, end);
  const parts = [];
  let sum = 0;
  let from = 0;
  for (let at = 0; at < table.length; ) {
    const part = new Uint8Array(table[at]);
    const next = at + 2 + 2 * table[at + 1];
    for (at += 2; at < next; at += 2) {
      const piece = part.subarray(table[at], table[at + 1]);
      read(piece, from);
      from += piece.length;
      sum = summed(sum, wordsOf(piece), STRIDE);
    }
    parts.push(part);
  }
  return from === end && summed(sum, table, 1) >>> 0 === wanted ? parts : null;
}

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

/** @param {ArrayBuffer} whole @returns {(into: Bytes, at: number) => void} */
const readerOf = (whole) => (into, at) => into.set(new Uint8Array(whole, at, into.length));

/** @param {FileSystemFileHandle} file */
async function contentOf(file) {
  const open = await file.createSyncAccessHandle().catch(() => null);
  if (!open) {
    const whole = await (await file.getFile()).arrayBuffer(); // another page has it open
    return partsOf(whole.byteLength, readerOf(whole));
  }
  try {
    return partsOf(open.getSize(), (into, at) => open.read(into, { at }));
  } finally {
    open.close();
  }
}

/**
 * The parts of this build's image that was kept here, or nothing.
 * @param {string} build
 */
export async function keptImage(build) {
  try {
    const place = await folder();
    if (place) return await contentOf(await place.getFileHandle(build));
    const kept = await inDatabase("readonly", (images) => images.get(build));
    return kept ? partsOf(kept.byteLength, readerOf(kept)) : null;
  } catch {
    return null;
  }
}

/**
 * Keep the parts of this build's image, in place of any other; storage that is full or refused only means no shortcut.
 * @param {string} build
 * @param {Bytes[]} parts
 */
export async function keepImage(build, parts) {
  try {
    await dropImages();
    const pieces = piecesOf(parts);
    const place = await folder();
    if (place) {
      const open = await (await place.getFileHandle(build, { create: true })).createSyncAccessHandle();
      try {
        let at = 0;
        for (const piece of pieces) { // the tail last, so that a torn file has none
          const written = open.write(piece, { at });
          if (written < piece.length) throw new Error("the storage is full");
          at += written;
        }
        open.flush();
      } finally {
        open.close();
      }
    } else {
      const whole = await new Blob(pieces).arrayBuffer();
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
