// @ts-check
// Layouts in the page: tried one by one, so that the first rows are there at once and the reader may stop, and drawn on the
// two axes that the reader picks.

import { placeOf } from "./patch.mjs";

/** @typedef {import("./work.mjs").Answer & {tried?: [number, number] | null}} Answer */

const AXES = ["layouts-across", "layouts-up"];

export class Layouts {
  /**
   * @param {{put: (further: object) => Promise<Answer>, show: (answer: Answer) => void, newer: () => boolean}} work
   *   `newer` tells whether another design is on its way, for which these rows are no longer worth the work
   */
  constructor(work) {
    this.work = work;
    /** Axes that the reader picked; an empty one is chosen by the core. */
    this.axes = ["", ""];
    this.stopped = false;
    this.busy = false;
    /** Only the drawing is to be another one: nothing is taken away while the work goes on. */
    this.atOnce = false;
  }

  /** Try what is left; tells whether what stands on the page fits the design. */
  async renew() {
    if (this.busy) return false;
    this.busy = true;
    this.stopped = false;
    const atOnce = this.atOnce;
    this.atOnce = false;
    try {
      for (let bits = 1; !this.work.newer(); bits += 1) {
        const answer = await this.work.put({ parts: ["layouts"], bits: atOnce ? null : bits, axes: this.axes });
        if (!answer.ok) return false;
        this.take(answer);
        if (!answer.tried) return true;
        bits = answer.tried[0] + (answer.tried[0] >> 2); // the more rows there are, the more come at once
        if (this.stopped) return this.halted();
      }
      return false;
    } finally {
      this.busy = false;
    }
  }

  /** @param {Answer} answer */
  take(answer) {
    const held = document.activeElement?.closest("#layouts-progress") ?? null;
    this.work.show(answer);
    if (!held) return;
    const place = document.querySelector('[data-do="layouts-stop"]') ?? placeOf("layouts"); // the button held may be gone
    if (!(place instanceof HTMLElement)) return;
    if (!(place instanceof HTMLButtonElement)) place.tabIndex = -1;
    place.focus({ preventScroll: true });
  }

  /** The reader has seen enough: the rows stay, and the rest can be asked for. */
  halted() {
    for (const button of document.querySelectorAll("#layouts-progress button")) {
      const go = /** @type {HTMLButtonElement} */ (button);
      go.hidden = go.dataset.do !== "layouts-go";
      if (!go.hidden) go.focus({ preventScroll: true });
    }
    return true;
  }

  stop() {
    this.stopped = true;
  }

  /**
   * Take over an axis that was picked; tells whether the field was one.
   * @param {HTMLElement} field
   */
  picked(field) {
    if (!(field instanceof HTMLSelectElement) || !AXES.includes(field.id)) return false;
    this.axes = AXES.map((id) => /** @type {HTMLSelectElement | null} */ (document.getElementById(id))?.value ?? "");
    this.atOnce = !this.busy;
    return true;
  }
}
