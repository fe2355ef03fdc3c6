/** Behind a quick answer a longer trial is played: it sharpens what moved, and tells luck from what is not known. */

import { JobRun } from "../net/job.js";

/** @import { TrialResult } from "../types.js" */

const QUIET_MS = 900; // nobody is changing anything any more
const RUNS = 512; // 16 of each set of figures

export class Behind {
  #job;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;

  /**
   * @param {string} url
   * @param {AbortSignal} signal
   */
  constructor(url, signal) {
    this.url = url;
    this.#job = new JobRun(signal);
    signal.addEventListener("abort", () => clearTimeout(this.#timer));
  }

  /**
   * @param {Record<string, unknown>} asked as the quick answer was asked for
   * @param {(result: TrialResult) => void} take
   */
  follow(asked, take) {
    this.stop();
    this.#timer = setTimeout(() => this.#ask(asked, take), QUIET_MS);
  }

  stop() {
    clearTimeout(this.#timer);
    this.#job.overtake();
  }

  /**
   * @param {Record<string, unknown>} asked
   * @param {(result: TrialResult) => void} take
   */
  async #ask(asked, take) {
    const outcome = await this.#job.start(this.url, { ...asked, runs: RUNS, keep: false, behind: true });
    if (outcome.state === "done") take(outcome.result);
  }
}
