// @ts-check
// What the page was built with: its design file, the way to the start of the site, and every sentence this code may say.

/**
 * @typedef {{name: string, file: string, home: string, bases: Record<string, string>, words: Record<string, string>,
 *   pinned: {name: string, set: Record<string, string>} | null, parts?: string[][], lesson?: object}} Data
 *   `bases` are the design files that the page can begin from, by name; `pinned` is the layout that it begins with beside its own;
 *   `parts` and `lesson` are what the figure of a lesson shows.
 */

const holder = document.getElementById("bench-data");

/** @type {Data | null} */
export const data = holder ? JSON.parse(holder.textContent ?? "null") : null;

/**
 * An element that the page always has.
 * @param {string} id
 */
export function one(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/**
 * A sentence of the catalogue with values set in.
 * @param {string} key
 * @param {Record<string, string>} [values]
 */
export function words(key, values = {}) {
  const sentence = data?.words[key] ?? key;
  return sentence.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

/**
 * Megabytes as a reader reads them. Formatting only: the core's numbers never pass through here.
 * @param {number} bytes
 */
export function megabytes(bytes) {
  return (bytes / 1e6).toFixed(1);
}
