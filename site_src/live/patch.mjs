// @ts-check
// Puts parts of the page that the core has printed in place of those that stand there. What the reader has opened, typed,
// selected or focused stays as it is.

import { Idiomorph } from "idiomorph";

/**
 * What a patch must not touch: the text in the field that has the keyboard, boxes that the reader opened, and what was made
 * ready for the keyboard. (Of any other element with the keyboard the library would leave the whole content as it was.)
 */
const options = () => ({
  morphStyle: /** @type {"outerHTML"} */ ("outerHTML"),
  ignoreActiveValue: document.activeElement?.matches("input:not([type='range']), select") ?? false,
  callbacks: {
    /**
     * @param {string} name
     * @param {Element} _element
     * @param {"update" | "remove"} kind
     */
    beforeAttributeUpdated: (name, _element, kind) => !(kind === "remove" && (name === "open" || name === "tabindex")),
  },
});

/** @param {string} name */
export function placeOf(name) {
  return document.getElementById(`report-${name.replaceAll("_", "-")}`);
}

/** Parts in which there is nothing to focus, to open or to type: put in place as a whole. */
const DRAWN = new Set(["ladder", "wiring"]);

/**
 * @param {{fragments: Record<string, string>, pieces: Record<string, string>}} answer whole parts by name, single elements by id
 */
export function patch({ fragments, pieces }) {
  for (const [name, html] of Object.entries(fragments)) {
    const place = placeOf(name);
    if (place && DRAWN.has(name)) place.outerHTML = html;
    else if (place) Idiomorph.morph(place, html, options());
  }
  for (const [id, html] of Object.entries(pieces)) {
    const place = document.getElementById(id);
    if (place) Idiomorph.morph(place, html, options());
  }
}
