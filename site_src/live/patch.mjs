// @ts-check
// Puts parts of the page that the core has printed in place of those that stand there. What the reader has opened, typed,
// selected or focused stays as it is. Texts, attributes and plain insides, which is most of what a turn of a slider changes,
// are brought up to date here; where there is something to type in or to focus and its shape changed, a library does the work.

import { Idiomorph } from "idiomorph";

/** What a reader types in. */
const FIELDS = "input, select, textarea";
/** What may have the keyboard or be open: it is kept, and moved if need be, never made anew. */
const HELD = `${FIELDS}, button, a[href], summary, [tabindex]`;
/** Attributes that stay when the core knows nothing of them: boxes that the reader opened, and what was made ready for the keyboard. */
const OWN = new Set(["open", "tabindex"]);

/** The text in the field that has the keyboard stays. (Of any other element with the keyboard the library would leave all as it was.) */
const options = () => ({
  morphStyle: /** @type {"outerHTML"} */ ("outerHTML"),
  ignoreActiveValue: document.activeElement?.matches("input:not([type='range']), select") ?? false,
  callbacks: {
    /**
     * @param {string} name
     * @param {Element} _element
     * @param {"update" | "remove"} kind
     */
    beforeAttributeUpdated: (name, _element, kind) => !(kind === "remove" && OWN.has(name)),
  },
});

/** @param {string} name */
export function placeOf(name) {
  return document.getElementById(`report-${name.replaceAll("_", "-")}`);
}

/**
 * @param {{fragments: Record<string, string>, pieces: Record<string, string>}} answer whole parts by name, single elements by id
 */
export function patch({ fragments, pieces }) {
  const news = [
    ...Object.entries(fragments).map(([name, html]) => ({ there: placeOf(name), html })),
    ...Object.entries(pieces).map(([id, html]) => ({ there: document.getElementById(id), html })),
  ].filter(({ there }) => there);
  const read = document.createElement("template");
  read.innerHTML = news.map(({ html }) => `<template>${html}</template>`).join(""); // all at once: each reading costs
  for (const [index, { there }] of news.entries()) {
    const fresh = /** @type {HTMLTemplateElement} */ (read.content.children[index]).content.firstElementChild;
    if (there && fresh) renew(there, fresh);
  }
}

/**
 * Make an element the same as a fresh one, which is taken apart.
 * @param {Element} there
 * @param {Element} fresh
 */
function renew(there, fresh) {
  const anew = there.nodeName !== fresh.nodeName || there.id !== fresh.id;
  if (anew || fresh.matches(FIELDS) || fresh.querySelector(FIELDS)) Idiomorph.morph(there, fresh, options());
  else settle(there, fresh);
}

/**
 * The same for two elements of one kind, without fields.
 * @param {Element} there
 * @param {Element} fresh
 */
function settle(there, fresh) {
  if (there.firstElementChild && there.isEqualNode(fresh)) return;
  if (alike(there, fresh)) {
    attributes(there, fresh);
    for (let node = there.firstChild, next = fresh.firstChild; node && next; ) {
      const [after, then] = [node.nextSibling, next.nextSibling]; // either may be taken apart
      if (node.nodeType === Node.ELEMENT_NODE) settle(/** @type {Element} */ (node), /** @type {Element} */ (next));
      else if (node.nodeValue !== next.nodeValue) node.nodeValue = next.nodeValue;
      [node, next] = [after, then];
    }
  } else if (there.querySelector(HELD) ?? fresh.querySelector(HELD)) {
    Idiomorph.morph(there, fresh, options());
  } else {
    attributes(there, fresh);
    there.replaceChildren(...fresh.childNodes);
  }
}

/**
 * Whether two elements have the same kinds of nodes in the same order.
 * @param {Element} there
 * @param {Element} fresh
 */
function alike(there, fresh) {
  let [one, other] = [there.firstChild, fresh.firstChild];
  for (; one && other; [one, other] = [one.nextSibling, other.nextSibling]) {
    if (one.nodeName !== other.nodeName) return false;
    if (one.nodeType === Node.ELEMENT_NODE && /** @type {Element} */ (one).id !== /** @type {Element} */ (other).id) return false;
  }
  return one === other; // both at their end
}

/**
 * @param {Element} there
 * @param {Element} fresh
 */
function attributes(there, fresh) {
  const names = fresh.getAttributeNames();
  for (const name of names) {
    const value = /** @type {string} */ (fresh.getAttribute(name));
    if (there.getAttribute(name) !== value) there.setAttribute(name, value);
  }
  if (there.attributes.length === names.length) return;
  for (const name of there.getAttributeNames()) if (!fresh.hasAttribute(name) && !OWN.has(name)) there.removeAttribute(name);
}
