// @ts-check
// The design in the address: `#run.home run.length=60 ft&array.modules_in_series=3`, readable, only what differs.

/** @typedef {import("./state.mjs").Texts} Texts */

const FROM = "from";
const UNITS = "units";
const PIN = "pin:";
const PINNED = "pinned";
/** More than a form has fields; what a longer address has beyond is not read. */
const MOST = 800;

/**
 * @typedef {{from: string | null, set: Texts}} Told
 * @typedef {Told & {units: string | null, pinned: Told | null | undefined}} Address
 *   `pinned` is null when nothing is pinned, and undefined when the address does not say.
 */

/**
 * What an address says; null when it says nothing of a design (it is empty, or leads to a place on the page).
 * @param {string} hash
 * @returns {Address | null}
 */
export function readAddress(hash) {
  const text = hash.replace(/^#/, "");
  if (!text.includes("=")) return null;
  /** @type {Map<string, string>} */
  const set = new Map();
  /** @type {Map<string, string>} */
  const pin = new Map();
  for (const piece of text.split("&").slice(0, MOST)) {
    const at = piece.indexOf("=");
    if (at < 1) continue;
    const path = plain(piece.slice(0, at));
    const value = plain(piece.slice(at + 1));
    if (path.startsWith(PIN)) pin.set(path.slice(PIN.length), value);
    else set.set(path, value);
  }
  const pinned = take(set, PINNED);
  const other = pinned === "yes" ? { from: take(pin, FROM), set: Object.fromEntries(pin) } : null;
  return {
    from: take(set, FROM),
    units: take(set, UNITS),
    pinned: pinned === null ? undefined : other,
    set: Object.fromEntries(set),
  };
}

/**
 * The part of an address after `#`; empty when there is nothing to tell.
 * @param {Address} address
 */
export function writeAddress({ from, units, set, pinned }) {
  /** @type {[string, string][]} */
  const pairs = [];
  if (from !== null) pairs.push([FROM, from]);
  pairs.push(...Object.entries(set));
  if (pinned !== undefined) pairs.push([PINNED, pinned ? "yes" : "no"]);
  if (pinned && pinned.from !== null) pairs.push([PIN + FROM, pinned.from]);
  for (const [path, value] of Object.entries(pinned?.set ?? {})) pairs.push([PIN + path, value]);
  if (pairs.length > 0 && units !== null) pairs.push([UNITS, units]);
  return pairs.map(([path, value]) => `${coded(path)}=${coded(value)}`).join("&");
}

/**
 * @param {Map<string, string>} pairs
 * @param {string} key
 */
function take(pairs, key) {
  const value = pairs.get(key) ?? null;
  pairs.delete(key);
  return value;
}

/** @param {string} text */
function coded(text) {
  return encodeURIComponent(text).replace(/%2F/g, "/").replace(/%2C/g, ",").replace(/%3A/g, ":");
}

/** @param {string} text */
function plain(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text; // a damaged address: the core says what is wrong with the value
  }
}
