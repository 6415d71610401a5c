// @ts-check
// Keeping and passing on: the design file, the results, the link, paper.

import { words } from "./page.mjs";

/** Longer than any design file: what is beyond is not read, and the core refuses the rest for its length. */
const MOST = 20_000_000;

/**
 * @param {string} name
 * @param {string} kind
 * @param {string} text
 */
export function save(name, kind, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: kind }));
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** @param {File} file */
export function textOf(file) {
  return file.slice(0, MOST).text();
}

/**
 * Copy a link, and say where it is now.
 * @param {string} link
 */
export async function copyLink(link) {
  try {
    await navigator.clipboard.writeText(link);
    return words("link-copied");
  } catch {
    return words("link-shown");
  }
}
