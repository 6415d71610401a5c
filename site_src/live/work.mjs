// @ts-check
// Asks the core about the design as it stands: the verdicts first, then the rest of the page part by part, so that a newer
// change never waits long. Only the newest answer reaches the form, so nothing typed is ever overwritten.

import { patch } from "./patch.mjs";
import { ask, life } from "./runtime/client.mjs";

/**
 * @typedef {{base: string, set: Readonly<Record<string, string>>}} Asked
 * @typedef {{path: string, said: string, wanted: string, example: string}} Problem
 * @typedef {{ok: boolean, number: number, spoken: string, fragments: Record<string, string>, pieces: Record<string, string>,
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

export class Work {
  /**
   * @param {() => object} question the request about the design as it stands, without parts
   * @param {{answered: (answer: Answer, manner: Manner) => void, painted: () => void, failed: (error: unknown) => void}} told
   */
  constructor(question, told) {
    this.question = question;
    this.told = told;
    /** @type {Manner | null} */
    this.waiting = null;
    this.busy = false;
    /** @type {number | "start"} */
    this.have = "start";
    this.life = 0;
    this.patience = 0;
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
    for (const [place, parts] of PARTS.entries()) {
      const answer = /** @type {Answer & {superseded?: true}} */ (
        await ask({ ...this.question(), parts, have: this.known() })
      );
      if (answer.superseded) return;
      if (this.waiting && place > 0) return; // a newer change: only its verdicts and its form count
      if (!answer.ok) {
        if (!this.waiting) this.wrong(answer, manner);
        return;
      }
      this.have = answer.number;
      patch(answer);
      if (place === 0) this.told.answered(answer, manner);
      if (this.waiting) return;
    }
    this.told.painted();
  }

  /** The number of the answer that stands on the page; a core that was started anew remembers none. */
  known() {
    if (this.life && life() !== this.life) this.have = 0;
    this.life = life();
    return this.have;
  }

  /**
   * The design cannot be read. In the middle of a word that is no problem yet.
   * @param {Answer} answer
   * @param {Manner} manner
   */
  wrong(answer, manner) {
    const tell = () => {
      this.have = answer.number;
      patch(answer);
      this.told.answered(answer, manner);
    };
    if (manner.typing && !manner.settled) this.patience = window.setTimeout(tell, PATIENCE);
    else tell();
  }
}
