// @ts-check
// Whose turn it is: one question is being worked out, one waits, and a newer one takes the place of the one that waits.

import { Failure } from "./failure.mjs";

/** @typedef {import("./launch.mjs").Host} Host */
/** @typedef {{ text: string, resolve: (answer: any) => void, reject: (failure: Failure) => void }} Question */

const SUPERSEDED = Object.freeze({ superseded: true });

export class Turns {
  /** @param {(anew: boolean) => Host} launch starts a worker; `anew` when nothing that was kept may be trusted */
  constructor(launch) {
    this.launch = launch;
    this.life = 0;
    /** Something went wrong since the last good answer, and a second try is under way. */
    this.troubled = false;
    /** @type {Host | null} */
    this.host = null;
    /** @type {Promise<Host> | null} */
    this.starting = null;
    /** @type {Question | null} */
    this.working = null;
    /** @type {Question | null} */
    this.waiting = null;
  }

  /** The worker, once it is ready. A start that fails in a way that may pass is tried once more. */
  start() {
    this.starting ??= this.started();
    return this.starting;
  }

  /**
   * @param {string} text
   * @returns {Promise<any>}
   */
  ask(text) {
    return new Promise((resolve, reject) => {
      this.waiting?.resolve(SUPERSEDED);
      this.waiting = { text, resolve, reject };
      void this.next();
    });
  }

  stop() {
    const open = [this.working, this.waiting];
    this.working = this.waiting = null;
    this.drop();
    for (const question of open) question?.reject(new Failure("stopped"));
  }

  async started() {
    for (;;) {
      this.life += 1;
      const host = (this.host = this.launch(this.troubled));
      try {
        await host.ready;
        return host;
      } catch (error) {
        const again = this.host === host && this.mayTryAgain(/** @type {Failure} */ (error));
        if (!again) this.drop();
        if (!again) throw error;
        host.end();
      }
    }
  }

  /** Work out the question that waits, unless one is being worked out. */
  async next() {
    if (this.working || !this.waiting) return;
    this.take();
    try {
      const host = await this.start();
      if (this.working && this.waiting) this.take(); // a newer one came during the start
      const question = /** @type {Question | null} */ (this.working);
      if (!question) return; // stopped
      const answer = JSON.parse(await host.answer(question.text));
      this.troubled = false;
      this.working = null;
      question.resolve(answer);
    } catch (error) {
      this.failed(/** @type {Failure} */ (error));
    }
    void this.next();
  }

  /** The waiting question is now being worked out. */
  take() {
    this.working?.resolve(SUPERSEDED);
    this.working = this.waiting;
    this.waiting = null;
  }

  /**
   * What to do with the question in hand: try it once more, or say why it has no answer.
   * @param {Failure} failure
   */
  failed(failure) {
    const question = this.working;
    this.working = null;
    if (failure.code === "stopped" || !question) return;
    if (this.host) {
      this.drop();
      if (this.mayTryAgain(failure)) {
        if (this.waiting) question.resolve(SUPERSEDED);
        else this.waiting = question;
        return;
      }
    }
    question.reject(failure);
  }

  /** @param {Failure} failure */
  mayTryAgain(failure) {
    this.troubled = failure.passing && !this.troubled;
    return this.troubled;
  }

  drop() {
    this.host?.end();
    this.host = this.starting = null;
  }
}
