/** One piece of work on the server: started, watched, stopped. Whoever asks again overtakes what he asked before. */

import { get, problemsIn, request } from "./api.js";

/** @typedef {(done: number, of: number, gettingReady?: string) => void} Advance runs done, of how many, what is made ready first */

/** @import { Problem } from "../types.js" */

/**
 * `overtaken` where something newer was asked meanwhile.
 * @typedef {{ state: "done" | "failed" | "stopped" | "overtaken", result?: any, problems: Problem[] }} Outcome
 */

const QUICK_MS = 40; // what takes a moment is not waited for longer than it takes
const SLOW_MS = 250;
const QUICK_LOOKS = 25;
/** @type {Outcome} */
const OVERTAKEN = { state: "overtaken", problems: [] };

export class JobRun {
  /** @type {string | null} */ #id = null;
  #turn = 0;
  #unwanted = false; // stopped before the server had given it a name

  /** @param {AbortSignal} signal */
  constructor(signal) {
    this.signal = signal;
  }

  get busy() {
    return this.#id !== null;
  }

  /**
   * @param {string} url
   * @param {unknown} json
   * @param {Advance} [advance]
   * @returns {Promise<Outcome>}
   */
  async start(url, json, advance) {
    const turn = this.overtake();
    this.#unwanted = false;
    const answer = await request("POST", url, { json });
    if (!answer.ok)
      return turn === this.#turn ? { state: "failed", problems: problemsIn(answer) } : OVERTAKEN;
    if (turn !== this.#turn) {
      request("DELETE", `/api/jobs/${answer.body.job}`);
      return OVERTAKEN;
    }
    return this.#watch(answer.body.job, turn, advance);
  }

  /**
   * Go on watching work that was started elsewhere.
   * @param {string} id
   * @param {Advance} [advance]
   */
  watch(id, advance) {
    const turn = this.overtake();
    this.#unwanted = false;
    return this.#watch(id, turn, advance);
  }

  /** Stop what runs; whoever waits for it hears so. */
  stop() {
    this.#unwanted = true;
    if (this.#id) request("DELETE", `/api/jobs/${this.#id}`);
  }

  /** Stop what runs, and let nobody hear of it any more. */
  overtake() {
    this.stop();
    this.#id = null;
    return ++this.#turn;
  }

  /**
   * @param {string} id
   * @param {number} turn
   * @param {Advance} [advance]
   * @returns {Promise<Outcome>}
   */
  async #watch(id, turn, advance) {
    this.#id = id;
    if (this.#unwanted) this.stop();
    for (let looks = 0; !this.signal.aborted; looks++) {
      const answer = await get(`/api/jobs/${id}`, this.signal);
      if (turn !== this.#turn) return OVERTAKEN;
      if (answer.ok) advance?.(answer.body.done, answer.body.of, answer.body.getting_ready);
      if (answer.status !== 0 && (!answer.ok || !["waiting", "running"].includes(answer.body.state))) {
        this.#id = null;
        return outcome(answer);
      }
      await new Promise((rest) => setTimeout(rest, looks < QUICK_LOOKS ? QUICK_MS : SLOW_MS));
    }
    return OVERTAKEN;
  }
}

/**
 * @param {import("./api.js").Answer} answer
 * @returns {Outcome}
 */
function outcome(answer) {
  const { state, result } = answer.body ?? {};
  if (state === "done" && result) return { state, result, problems: [] };
  if (state === "stopped") return { state, problems: [] };
  return { state: "failed", problems: answer.body?.problems?.length ? answer.body.problems : problemsIn(answer) };
}
