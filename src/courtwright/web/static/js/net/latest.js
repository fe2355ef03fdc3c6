/** Questions asked while a finger moves: one request in flight, the latest wins, those between are never sent. */

import { request } from "./api.js";

/** @import { Answer } from "./api.js" */

export class Latest {
  /** @type {unknown} */ #next = null;
  #busy = false;

  /**
   * @param {string} url
   * @param {(answer: Answer, question: any) => void} take
   */
  constructor(url, take) {
    this.url = url;
    this.take = take;
  }

  /** @param {unknown} question */
  ask(question) {
    this.#next = question;
    if (!this.#busy) this.#send();
  }

  async #send() {
    this.#busy = true;
    while (this.#next !== null) {
      const question = this.#next;
      this.#next = null;
      const answer = await request("POST", this.url, { json: question });
      this.take(answer, question);
    }
    this.#busy = false;
  }
}
