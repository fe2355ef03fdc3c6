/**
 * Sends what waits on this device, oldest first, one request at a time.
 *
 * No answer or a failing server: it stays, and is tried again. What the server refuses goes to a list that the coach
 * sees. Sending twice does no harm: the server takes a fact once.
 */

/** @import { Fact, Problem } from "../types.js" */
/** @import { Answer } from "../net/api.js" */

import { problemsIn } from "../net/api.js";

const MOST_AT_ONCE = 60;
const WAITS_MS = [500, 1000, 2000, 4000, 8000, 15_000];
const BUSY = 429;
const MAY_NOT = [401, 403];

/**
 * @typedef {object} Door what the outbox asks of the run
 * @property {() => Fact[]} waiting oldest first
 * @property {(facts: Fact[]) => Promise<Answer>} send
 * @property {(taken: string[], refused: Map<string, Problem[]>) => Promise<void>} settle
 * @property {() => void} changed
 */

export class Outbox {
  /** Whether the last try got through; nothing is known before the first. @type {boolean | null} */ reached = null;
  /** @type {Problem[]} why this device may not send */ barred = [];
  #sending = false;
  #tries = 0;
  #most = MOST_AT_ONCE;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;

  /** @param {Door} door */
  constructor(door) {
    this.door = door;
  }

  /** Try now: something waits, or the server may be back. */
  async push() {
    if (this.#sending) return;
    this.#sending = true;
    clearTimeout(this.#timer);
    try {
      while (this.door.waiting().length > 0 && (await this.#once()));
    } finally {
      this.#sending = false;
    }
    if (this.door.waiting().length > 0) this.#timer = setTimeout(() => this.push(), this.#wait());
  }

  #wait() {
    return WAITS_MS[Math.min(this.#tries, WAITS_MS.length) - 1] ?? WAITS_MS[0];
  }

  /** @returns {Promise<boolean>} whether to go on at once */
  async #once() {
    const facts = this.door.waiting().slice(0, this.#most);
    const answer = await this.door.send(facts);
    const { status } = answer;
    this.barred = MAY_NOT.includes(status) ? problemsIn(answer) : [];
    if (status === 0 || status >= 500 || status === BUSY || this.barred.length > 0) return this.#failed();
    this.reached = true;
    this.#tries = 0;
    if (answer.ok) {
      this.#most = MOST_AT_ONCE;
      /** @type {{ event: string, problems: Problem[] }[]} */
      const refused = answer.body.refused;
      await this.door.settle(answer.body.taken, new Map(refused.map((item) => [item.event, item.problems])));
    } else if (facts.length > 1) this.#most = 1; // one of them spoils the rest: one by one
    else await this.door.settle([], new Map(facts.map((fact) => [fact.event_id, problemsIn(answer)])));
    return true;
  }

  #failed() {
    this.reached = false;
    this.#tries += 1;
    this.door.changed();
    return false;
  }
}
