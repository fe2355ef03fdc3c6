/**
 * Undo and redo over any immutable value, unlimited.
 *
 * Small changes of one kind (typing in a field, nudging a figure) share a key and become one step.
 * @template T
 */
export class History {
  /** @type {T[]} */ #past = [];
  /** @type {T[]} */ #future = [];
  /** @type {T} */ #present;
  #key = "";

  /** @param {T} present */
  constructor(present) {
    this.#present = present;
  }

  get present() {
    return this.#present;
  }

  get canUndo() {
    return this.#past.length > 0;
  }

  get canRedo() {
    return this.#future.length > 0;
  }

  /**
   * Take a new value; with the key of the last step it joins that step.
   * @param {T} next
   * @param {string} [key]
   */
  push(next, key = "") {
    if (next === this.#present) return;
    if (!key || key !== this.#key) this.#past.push(this.#present);
    this.#present = next;
    this.#future = [];
    this.#key = key;
  }

  /** End the step, so that the next change starts its own. */
  seal() {
    this.#key = "";
  }

  /** @returns {T} the value one step back, or the present one */
  undo() {
    const last = this.#past.pop();
    if (last === undefined) return this.#present;
    this.#future.push(this.#present);
    return this.#settle(last);
  }

  /** @returns {T} the value one step forward, or the present one */
  redo() {
    const next = this.#future.pop();
    if (next === undefined) return this.#present;
    this.#past.push(this.#present);
    return this.#settle(next);
  }

  /** @param {T} value */
  #settle(value) {
    this.#key = "";
    this.#present = value;
    return value;
  }
}
