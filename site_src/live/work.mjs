// @ts-check
// Asks the core about the design as it stands: the verdicts first, then the rest of the page part by part, so that a newer
// change never waits long. Only the newest answer reaches the form, so nothing typed is ever overwritten.

import { patch } from "./patch.mjs";
import { ask, life } from "./runtime/client.mjs";

/**
 * @typedef {{path: string, said: string, wanted: string, example: string}} Problem
 * @typedef {{ok: boolean, number: number, spoken: string, more?: boolean, fragments: Record<string, string>, pieces: Record<string, string>,
 *   differs: Record<string, string>,
 *   problems?: Problem[], verdict?: string, title?: string, story?: string, file?: string, assessment?: object}} Answer
 * @typedef {{typing: boolean, settled: boolean, path: string}} Manner
 *   Typing: somebody is in the middle of a word. Settled: the change is finished. The path is that of the changed field.
 */

/** The parts of a page in the order in which they are asked for; each line is one question. */
const PARTS = [
  ["verdict", "findings", "state"],
  ["form", "problems", "compare"],
  ["ladder", "wiring", "given", "assumptions", "not_checked", "edition", "cautions"],
  ["derivations"],
  ["fixes"],
];
/** How long somebody who types may pause before what cannot be read is called a problem, in milliseconds. */
const PATIENCE = 1200;
/** How long the rest of the page waits at most for the verdicts to be painted, in milliseconds. */
const LONGEST_FRAME = 50;
/** How long the browser has to draw what the page has painted before the calculation takes a processor again, in milliseconds. */
const DRAWING = 4;

export class Work {
  /**
   * @param {string} built the design file that the page was built with
   * @param {() => {base: string}} question the request about the design as it stands, without parts
   * @param {{answered: (answer: Answer, manner: Manner) => void, seen: () => Promise<void>, painted: () => void,
   *   failed: (error: unknown) => void}} told
   * @param {string[][]} [parts] those of a page that shows less than a report
   */
  constructor(built, question, told, parts = PARTS) {
    this.parts = parts;
    this.built = built;
    this.question = question;
    this.told = told;
    /** @type {Manner | null} */
    this.waiting = null;
    this.busy = false;
    /** @type {number | "start"} */
    this.have = "start";
    this.life = 0;
    this.patience = 0;
    /** @type {Promise<unknown>} */
    this.line = Promise.resolve();
  }

  /**
   * Something changed.
   * @param {Partial<Manner>} manner
   */
  wanted(manner) {
    const next = { typing: false, settled: false, path: "", ...manner };
    this.waiting = { ...next, settled: next.settled || (this.waiting?.settled ?? false) };
    clearTimeout(this.patience);
    if (!this.busy) void this.run();
  }

  async run() {
    this.busy = true;
    try {
      while (this.waiting) {
        const manner = this.waiting;
        this.waiting = null;
        await this.turn(manner);
      }
    } catch (error) {
      this.told.failed(error);
    } finally {
      this.busy = false;
    }
  }

  /** @param {Manner} manner */
  async turn(manner) {
    let painted = Promise.resolve();
    for (const [place, parts] of this.parts.entries()) {
      await painted; // a device has few processors: nothing is worked out while the verdicts are painted
      let answer = await this.put({ parts, briefly: true });
      while (answer.more && !this.waiting) {
        this.show(answer);
        answer = await this.put({ parts, briefly: true }); // a long search goes on bit by bit, and ends for a newer change
      }
      if (this.waiting && place > 0) return; // a newer change: only its verdicts and its form count
      if (!answer.ok) {
        if (!this.waiting) this.wrong(answer, manner);
        return;
      }
      this.show(answer);
      if (place === 0) {
        painted = frame().then(() => this.told.answered(answer, manner)); // what is said and told can wait for what is seen
        await this.told.seen();
      }
      if (this.waiting) return;
    }
    this.told.painted();
  }

  /**
   * Put one question about the design as it stands, after those that were put before; each has its answer.
   * @param {object} further what is asked, or is other than in the design as it stands
   * @returns {Promise<Answer>}
   */
  put(further) {
    const asked = this.line.then(() => {
      const question = { ...this.question(), ...further };
      return ask({ ...question, have: this.known(question.base) });
    });
    this.line = asked.catch(() => {});
    return asked;
  }

  /**
   * The number of the answer that stands on the page. A core that was started anew remembers none, and the page is as it was
   * built only for the design it was built with.
   * @param {string} base
   */
  known(base) {
    const anew = this.life > 0 && life() !== this.life;
    if (anew || (this.have === "start" && base !== this.built)) this.have = 0;
    this.life = life();
    return this.have;
  }

  /** @param {Answer} answer */
  show(answer) {
    this.have = answer.number;
    patch(answer);
  }

  /**
   * The design cannot be read. In the middle of a word that is no problem yet.
   * @param {Answer} answer
   * @param {Manner} manner
   */
  wrong(answer, manner) {
    const tell = () => {
      this.show(answer);
      this.told.answered(answer, manner);
    };
    if (manner.typing && !manner.settled) this.patience = window.setTimeout(tell, PATIENCE);
    else tell();
  }
}

/** Resolves once the page is painted and drawn, so that the rest never holds up the verdicts; a page that nobody sees is not painted. */
function frame() {
  return /** @type {Promise<void>} */ (
    new Promise((resolve) => {
      if (document.hidden) return resolve();
      setTimeout(resolve, LONGEST_FRAME);
      requestAnimationFrame(() => setTimeout(resolve, DRAWING));
    })
  );
}
