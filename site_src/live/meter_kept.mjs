// @ts-check
// The readings as they are typed stay on the device, so that a phone that drops the page in the middle of the work loses nothing.

/** @typedef {{layout: import("./state.mjs").Layout, texts: Record<string, string>}} Kept */

const KEY = "arraybook.readings";

/**
 * @param {import("./state.mjs").Layout} layout the design to which they belong
 * @param {Record<string, string>} texts what was typed, by path
 */
export function keepReadings(layout, texts) {
  try {
    localStorage.setItem(KEY, JSON.stringify({ layout, texts }));
  } catch {
    // Nothing is kept; what is typed stands on the page, and can be saved as a file.
  }
}

/** @returns {Kept | null} */
export function keptReadings() {
  try {
    const { layout, texts } = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    const whole = typeof layout?.base === "string" && typeof layout.name === "string" && layout.set && texts;
    return whole ? { layout, texts } : null;
  } catch {
    return null;
  }
}
