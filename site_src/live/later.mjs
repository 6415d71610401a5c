// @ts-check
// The slower sections of a report (curves, faults, the day, parts…): worked out again when the reader comes to look at them,
// so that turning a number stays quick. Until then they are marked as belonging to the design before.

import { placeOf } from "./patch.mjs";

/** Sections in the order of a report; a page that shows less has only some of them. */
const SECTIONS = ["limits", "curves", "faults", "day", "layouts", "adding", "parts", "detail", "order", "labels", "meter"];
/** Sections that are quick enough to be worked out with the verdicts while the reader is looking at them. */
const QUICK = ["curves", "day"];
/** How far below the window a section is already made ready: as far again as the window is high. */
const AHEAD = "100%";

export class Later {
  /** @param {(name: string) => Promise<boolean>} fresh works a section out again and tells whether it now fits the design */
  constructor(fresh) {
    this.fresh = fresh;
    /** @type {Set<string>} */
    this.stale = new Set();
    /** Sections that were worked out for the design that is being shown. @type {Set<string>} */
    this.early = new Set();
    this.busy = false;
    this.watch = new IntersectionObserver((seen) => {
      if (seen.some((one) => one.isIntersecting)) void this.run();
    }, { rootMargin: AHEAD });
  }

  /** The design is another one: every section belongs to the one before. */
  mark() {
    for (const name of SECTIONS) {
      const place = placeOf(name);
      if (!place || this.early.has(name)) continue;
      this.stale.add(name);
      place.setAttribute("aria-busy", "true");
      this.watch.unobserve(place);
      this.watch.observe(place); // tells at once whether it is in view
    }
    this.early.clear();
  }

  /**
   * Work out what the reader is looking at, before the parts of the page that are out of sight.
   * @param {(name: string) => Promise<boolean>} first works a section out and tells whether it fits the design
   */
  async look(first) {
    this.early.clear();
    for (const name of QUICK.filter((one) => inSight(placeOf(one)))) {
      if (!(await first(name))) return;
      this.early.add(name);
      this.stale.delete(name);
      placeOf(name)?.removeAttribute("aria-busy");
    }
  }

  /** Work out the sections in view, one after the other, the uppermost first. */
  async run() {
    if (this.busy) return;
    this.busy = true;
    try {
      for (let name = this.next(); name; name = this.next()) {
        if (!(await this.renew(name))) return;
      }
    } finally {
      this.busy = false;
    }
  }

  /** A section is to be shown in another way. @param {string} name */
  async again(name) {
    this.stale.add(name);
    await this.run();
  }

  /** Bring every section up to date, for paper. */
  async all() {
    for (const name of [...this.stale]) await this.renew(name);
  }

  /** @param {string} name */
  async renew(name) {
    this.stale.delete(name);
    const done = await this.fresh(name);
    if (done) placeOf(name)?.removeAttribute("aria-busy");
    else this.stale.add(name);
    return done;
  }

  next() {
    return SECTIONS.find((name) => this.stale.has(name) && near(placeOf(name)));
  }
}

/** @param {HTMLElement | null} place */
function inSight(place) {
  if (!place) return false;
  const { top, bottom } = place.getBoundingClientRect();
  return bottom > 0 && top < innerHeight;
}

/** @param {HTMLElement | null} place */
function near(place) {
  if (!place) return false;
  const { top, bottom } = place.getBoundingClientRect();
  return bottom > 0 && top < 2 * innerHeight;
}
