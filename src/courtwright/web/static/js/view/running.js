/** How far work on the server is. */

import { counted } from "../model/words.js";
import { h, setText } from "./dom.js";

export class Running {
  #progress = h("progress", { max: 1, value: 0, "aria-label": "runs done" });
  #words = h("span");
  element = h("div", { class: "running", hidden: true }, this.#progress, this.#words);

  /**
   * @param {number} done
   * @param {number} of
   * @param {string} [ready] what is being made ready first
   */
  advance(done, of, ready = "") {
    this.#progress.max = of || 1;
    if (done) this.#progress.value = done;
    else this.#progress.removeAttribute("value"); // the first after a start takes a moment before it plays
    setText(this.#words, done ? `${done} of ${counted(of, "run")}` : ready ? `getting ready for this computer: ${ready} …` : "getting ready …");
  }
}
