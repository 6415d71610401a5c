// @ts-check
// Where a design begins, and the layout that is pinned beside it. On a page with one worked design there is nothing to pin.

/**
 * @typedef {import("./state.mjs").Layout} Layout
 * @typedef {import("./state.mjs").Texts} Texts
 * @typedef {{from: string | null, set: Texts}} Told how an address tells a layout: the page's own beginning needs no name
 * @typedef {Layout & {told: Texts}} Pinned `told` is what differs from the worked design, also for a file of the reader's own
 */

export class Bench {
  /** @param {import("./page.mjs").Data} page */
  constructor(page) {
    this.page = page;
    const pin = page.pinned;
    this.first = pin && this.pinnedOf({ from: pin.name, set: pin.set });
    /** @type {Pinned | null} */
    this.pinned = this.first;
  }

  /**
   * @param {Layout} layout
   * @param {Texts} told
   */
  pin(layout, told) {
    this.pinned = { ...layout, told };
  }

  unpin() {
    this.pinned = null;
  }

  /**
   * The pinned layout, in exchange for the one on the bench.
   * @param {Layout} layout
   * @param {Texts} told
   * @returns {Layout | null}
   */
  swap(layout, told) {
    const other = this.pinned;
    if (!other) return null;
    this.pin(layout, told);
    return { name: other.name, base: other.base, set: other.set };
  }

  /**
   * The layout that an address tells.
   * @param {Told} told
   * @returns {Layout}
   */
  layoutOf({ from, set }) {
    const name = from !== null && Object.hasOwn(this.page.bases, from) ? from : this.page.name;
    return { name, base: this.page.bases[name] ?? this.page.file, set };
  }

  /**
   * @param {Told} told
   * @returns {Pinned}
   */
  pinnedOf(told) {
    return { ...this.layoutOf(told), told: told.set };
  }

  /**
   * Take over what an address says of the pinned layout; where it says nothing, the page's own is pinned.
   * @param {Told | null | undefined} told null when the address says that nothing is pinned
   */
  take(told) {
    this.pinned = told === undefined ? this.first : told && this.pinnedOf(told);
  }

  /**
   * What an address has to tell of a layout and of the pinned one; undefined where the page's own is pinned.
   * @param {Layout} layout
   * @param {Texts} told
   */
  address(layout, told) {
    const from = (/** @type {Layout} */ one) => (one.name && one.name !== this.page.name ? one.name : null);
    const pinned = this.pinned && { from: from(this.pinned), set: this.pinned.told };
    return { from: from(layout), set: told, pinned: this.pinned === this.first ? undefined : pinned };
  }

  /** @param {Layout} layout */
  show(layout) {
    const from = /** @type {HTMLSelectElement | null} */ (document.getElementById("bench-from"));
    if (from) from.value = layout.name;
    for (const what of ["swap", "unpin"]) {
      const button = /** @type {HTMLButtonElement | null} */ (document.querySelector(`[data-do="${what}"]`));
      if (!button) continue;
      const held = button === document.activeElement && !this.pinned; // it goes, and the keyboard stays beside it
      if (held) /** @type {HTMLElement | null} */ (document.querySelector('[data-do="pin"]'))?.focus();
      button.hidden = !this.pinned;
    }
  }
}
