/** One document being edited: its history here, its draft and its way to the server. */

import { History } from "./model/history.js";
import { same } from "./model/path.js";

/** @import { Saver } from "./net/saver.js" */
/** @import { Draft, DraftBox } from "./net/drafts.js" */
/** @import { Kept } from "./types.js" */

/**
 * Tells `change` after every new value, `state` when the way to the server changes.
 * @template T
 */
export class Editor extends EventTarget {
  #history;
  /** @type {Draft<T>[]} */ otherDrafts = [];
  /** @type {BroadcastChannel} */ #others;

  /**
   * @param {Kept<T>} kept
   * @param {Saver<T>} saver
   * @param {DraftBox<T>} drafts
   * @param {{ name: string, load: () => Promise<Kept<T> | null>, signal: AbortSignal }} ways
   */
  constructor(kept, saver, drafts, { name, load, signal }) {
    super();
    this.#history = new History(kept.document);
    this.saver = saver;
    this.drafts = drafts;
    this.load = load;
    this.#others = new BroadcastChannel(`courtwright:saved:${name}`);
    this.#others.onmessage = () => this.refresh();
    saver.addEventListener("state", () => this.dispatchEvent(new Event("state")));
    saver.addEventListener("saved", () => this.#others.postMessage("saved"));
    addEventListener("beforeunload", (event) => this.#warn(event), { signal });
    addEventListener("online", () => saver.flush(), { signal });
    document.addEventListener("visibilitychange", () => this.#seen(), { signal });
    signal.addEventListener("abort", () => this.#others.close());
  }

  /** @returns {T} */
  get doc() {
    return this.#history.present;
  }

  get canUndo() {
    return this.#history.canUndo;
  }

  get canRedo() {
    return this.#history.canRedo;
  }

  /**
   * @param {T} next
   * @param {string} [key] changes with the same key, one after the other, are one step to undo
   */
  edit(next, key = "") {
    if (same(next, this.doc)) return;
    this.saver.edit(next); // on the device before it is shown
    this.#history.push(next, key);
    this.#changed();
  }

  seal() {
    this.#history.seal();
  }

  undo() {
    this.#step(() => this.#history.undo());
  }

  redo() {
    this.#step(() => this.#history.redo());
  }

  /** @param {() => T} move */
  #step(move) {
    const before = this.doc;
    const after = move();
    if (before === after) return;
    this.saver.edit(after);
    this.#changed();
  }

  /** Take over what earlier tabs could not send: the newest goes on here, older ones are offered. */
  async restore() {
    const [newest, ...older] = await this.drafts.orphans();
    if (!newest) return;
    if (same(newest.document, this.doc)) this.drafts.discard(newest.tab);
    else this.adopt(newest);
    this.otherDrafts = older;
    this.#changed();
  }

  /** @param {Draft<T>} draft */
  adopt(draft) {
    this.saver.adopt(draft);
    this.#history.push(draft.document);
    this.otherDrafts = this.otherDrafts.filter((other) => other !== draft);
    this.#changed();
  }

  /** @param {Draft<T>} draft */
  dismiss(draft) {
    this.drafts.discard(draft.tab);
    this.otherDrafts = this.otherDrafts.filter((other) => other !== draft);
    this.#changed();
  }

  /** Show what was saved elsewhere, unless something waits here. */
  async refresh() {
    if (!this.saver.clean) return;
    const kept = await this.load();
    if (!kept || !this.saver.clean || kept.revision <= this.saver.revision) return;
    this.saver.follow(kept);
    this.#history.push(kept.document);
    this.#changed();
  }

  async takeTheirs() {
    const theirs = await this.saver.takeTheirs();
    if (theirs === null) return;
    this.#history.push(theirs);
    this.#changed();
  }

  #seen() {
    if (document.visibilityState === "hidden") this.saver.flush(true);
    else if (this.saver.clean) this.refresh();
    else this.saver.flush();
  }

  /** @param {BeforeUnloadEvent} event */
  #warn(event) {
    const onItsWay = this.saver.keepsDrafts && ["waiting", "sending"].includes(this.saver.state);
    if (!this.saver.clean && !onItsWay) event.preventDefault();
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }
}
