// @ts-check
// The design as it stands: the file it began from and what was changed, with the way back and forth. Texts only.

/**
 * @typedef {Readonly<Record<string, string>>} Texts
 * @typedef {Readonly<{name: string, base: string, set: Texts}>} Layout
 *   `name` is that of a worked design, or empty for a file of the reader's own.
 */

/**
 * @param {Layout} one
 * @param {Layout} other
 */
export function same(one, other) {
  const paths = Object.keys(one.set);
  return (
    one.base === other.base &&
    paths.length === Object.keys(other.set).length &&
    paths.every((path) => one.set[path] === other.set[path])
  );
}

/** What was done, one step for each change that was finished; what is still being typed belongs to the next step. */
export class History {
  /** @param {Layout} start */
  constructor(start) {
    this.start = start;
    this.now = start;
    /** @type {Layout} */
    this.settled = start;
    /** @type {Layout[]} */
    this.past = [];
    /** @type {Layout[]} */
    this.future = [];
  }

  /**
   * Put texts in place.
   * @param {Texts} texts
   */
  change(texts) {
    this.now = Object.freeze({ ...this.now, set: Object.freeze({ ...this.now.set, ...texts }) });
  }

  /**
   * Take over another layout as a whole.
   * @param {Layout} layout
   */
  take(layout) {
    this.now = Object.freeze(layout);
    this.settle();
  }

  /** Finish the step. */
  settle() {
    if (same(this.now, this.settled)) return;
    this.past.push(this.settled);
    this.future = [];
    this.settled = this.now;
  }

  undo() {
    this.settle();
    const before = this.past.pop();
    if (!before) return false;
    this.future.push(this.now);
    this.settled = this.now = before;
    return true;
  }

  redo() {
    this.settle();
    const after = this.future.pop();
    if (!after) return false;
    this.past.push(this.now);
    this.settled = this.now = after;
    return true;
  }

  /** Back to where the layout began: the same file, nothing changed. */
  reset() {
    this.take({ ...this.now, set: {} });
  }
}
