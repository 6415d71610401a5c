// @ts-check
// From a report or the bench to the meter page: the link tells the design as it stands, and what no address can tell is kept
// on the device.

import { writeAddress } from "./address.mjs";

/** @typedef {import("./state.mjs").Layout} Layout */

const KEY = "arraybook.carried";
/** Everything with which a reader may take a link along. */
const SIGNS = ["click", "auxclick", "contextmenu"];

/**
 * @param {() => {name: string, layout: Layout, told: import("./state.mjs").Texts, units: string | null}} standing
 *   the design that stands on the page: whose worked design it began with, and what differs from that
 */
export function carryToMeter(standing) {
  for (const sign of SIGNS) document.addEventListener(sign, (event) => {
    const link = event.target instanceof Element ? event.target.closest("a[data-meter]") : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    const { name, layout, told, units } = standing();
    link.hash = writeAddress({ from: name, set: told, units, pinned: undefined });
    try {
      localStorage.setItem(KEY, JSON.stringify({ address: link.hash, own: !layout.name, base: layout.base, set: layout.set }));
    } catch {
      // Nothing is kept; the address still tells every worked design.
    }
  }, { capture: true });
}

/**
 * The design that was taken along with an address, if it is the last one that was.
 * @param {string} address
 * @returns {{own: boolean, layout: Layout} | null} `own`: it is a file of the reader's
 */
export function carried(address) {
  try {
    const { address: known, own, base, set } = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return known === address && typeof base === "string" && set ? { own, layout: { name: "", base, set } } : null;
  } catch {
    return null;
  }
}
