/**
 * Autosave that cannot lose an edit: on the device first, then shown, then sent, one request at a time.
 *
 * What the server refuses stays in the draft; what it cannot be reached for is tried again; what somebody
 * else changed meanwhile is put to the person, and both versions end up in the history.
 */

import { same } from "../model/path.js";
import { problemsIn } from "./api.js";

/** @import { Kept, Problem } from "../types.js" */
/** @import { Answer } from "./api.js" */
/** @import { Draft, DraftBox } from "./drafts.js" */

/** @typedef {"saved" | "waiting" | "sending" | "offline" | "problems" | "conflict" | "refused"} SaveState */

const RETRY_MS = [1000, 2000, 4000, 8000, 15_000];
const DOUBTFUL_KEPT = 4;

/** @template T */
export class Saver extends EventTarget {
  /** @type {SaveState} */ state = "saved";
  /** @type {Problem[]} */ problems = [];
  /** @type {Problem[]} what is kept all the same: changed forms that do not fit */ loose = [];
  /** @type {Kept<T> | null} */ theirs = null;
  /** @type {Date | null} */ savedAt = null;
  keepsDrafts = true;
  hash;

  #drafts;
  #load;
  #put;
  #hashOf;
  #delay_ms;
  #document;
  #base;
  /** @type {T[]} sent, but whether they arrived is not known */ #doubtful = [];
  #unsent = false;
  #failures = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;
  /** @type {Promise<void> | null} */ #sending = null;

  /**
   * @param {Kept<T>} kept what the server has
   * @param {object} ways
   * @param {DraftBox<T>} ways.drafts
   * @param {() => Promise<Kept<T> | null>} ways.load read the server's version again
   * @param {(document: T, base: number, keepalive: boolean) => Promise<Answer>} ways.put
   * @param {(document: T) => Promise<string | null>} [ways.hashOf] the hash the server would give a document
   * @param {number} [ways.delay_ms]
   */
  constructor(kept, { drafts, load, put, hashOf = async () => null, delay_ms = 300 }) {
    super();
    this.#document = kept.document;
    this.#base = kept.revision;
    this.hash = kept.hash;
    this.#drafts = drafts;
    this.#load = load;
    this.#put = put;
    this.#hashOf = hashOf;
    this.#delay_ms = delay_ms;
  }

  get revision() {
    return this.#base;
  }

  get clean() {
    return !this.#unsent;
  }

  /** @param {T} document */
  edit(document) {
    this.#document = document;
    this.#unsent = true;
    this.#keep();
    if (this.state !== "conflict") {
      this.#tell("waiting");
      this.#later(this.#delay_ms);
    }
  }

  /**
   * Go on from a draft of a tab that is gone.
   * @param {Draft<T>} draft
   */
  adopt(draft) {
    this.#base = draft.base;
    this.#doubtful = draft.doubtful;
    this.edit(draft.document);
    this.#drafts.discard(draft.tab);
  }

  /**
   * Take the server's version where nothing is waiting here.
   * @param {Kept<T>} kept
   */
  follow(kept) {
    this.#document = kept.document;
    this.#base = kept.revision;
    this.hash = kept.hash;
  }

  /**
   * Send what waits now; resolves when the answer is in.
   * @param {boolean} [keepalive] let the request outlive the page
   * @returns {Promise<void>}
   */
  async flush(keepalive = false) {
    clearTimeout(this.#timer);
    while (this.#sending) await this.#sending;
    if (!this.#unsent || this.state === "conflict") return;
    this.#sending = this.#send(keepalive).finally(() => (this.#sending = null));
    await this.#sending;
  }

  /** After a conflict: mine becomes the newest version; theirs is in the history already. */
  async keepMine() {
    if (!this.theirs) return;
    this.#base = this.theirs.revision;
    this.#settle();
    await this.flush();
  }

  /**
   * After a conflict: mine goes into the history, theirs on top of it.
   * @returns {Promise<T | null>}
   */
  async takeTheirs() {
    const theirs = this.theirs;
    if (!theirs) return null;
    const answer = await this.#put(this.#document, theirs.revision, false);
    this.#base = answer.ok ? answer.body.revision : theirs.revision;
    this.#settle();
    this.edit(theirs.document);
    return theirs.document;
  }

  /** Stop trying; what waits stays on the device. */
  close() {
    clearTimeout(this.#timer);
  }

  #settle() {
    this.theirs = null;
    this.state = "waiting";
  }

  /** @param {boolean} keepalive */
  async #send(keepalive) {
    const document = this.#document;
    const earlier = this.#doubtful;
    this.#doubtful = [document, ...earlier].slice(0, DOUBTFUL_KEPT);
    this.#keep();
    this.#tell("sending");
    const answer = await this.#put(document, this.#base, keepalive);
    if (answer.status === 0 || answer.status >= 500) return this.#unreachable();
    this.#doubtful = earlier;
    if (answer.ok) return this.#accepted(document, answer.body);
    if (answer.status === 409) return this.#changedElsewhere(document);
    return this.#tell(answer.status === 422 ? "problems" : "refused", problemsIn(answer));
  }

  /**
   * @param {T} document
   * @param {{ revision: number, hash: string, loose?: Problem[] }} kept
   */
  #accepted(document, { revision, hash, loose }) {
    this.loose = loose ?? this.loose;
    this.#failures = 0;
    this.#doubtful = [];
    this.#base = revision;
    this.hash = hash;
    this.savedAt = new Date();
    this.#unsent = document !== this.#document;
    if (this.#unsent) this.#keep();
    else this.#drafts.clear();
    this.#tell(this.#unsent ? "waiting" : "saved");
    this.dispatchEvent(new Event("saved"));
  }

  /**
   * The answer to an earlier request may have been lost: then “theirs” is what was sent from here.
   * @param {T} document
   */
  async #changedElsewhere(document) {
    const theirs = await this.#load();
    if (!theirs) return this.#unreachable();
    if (await this.#is(theirs, document)) return this.#accepted(document, theirs);
    for (const sent of this.#doubtful) {
      if (!(await this.#is(theirs, sent))) continue;
      this.#doubtful = [];
      this.#base = theirs.revision;
      return this.#later(0);
    }
    this.theirs = theirs;
    return this.#tell("conflict");
  }

  /**
   * The server tidies what it keeps (blanks at the ends of a line), so its hash is asked where the two differ.
   * @param {Kept<T>} theirs
   * @param {T} document
   */
  async #is(theirs, document) {
    return same(theirs.document, document) || (theirs.hash !== "" && (await this.#hashOf(document)) === theirs.hash);
  }

  #unreachable() {
    this.#tell("offline");
    this.#later(RETRY_MS[Math.min(this.#failures++, RETRY_MS.length - 1)]);
  }

  /** @param {number} wait_ms */
  #later(wait_ms) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), wait_ms);
  }

  #keep() {
    this.keepsDrafts = this.#drafts.write({ base: this.#base, document: this.#document, doubtful: this.#doubtful });
  }

  /**
   * @param {SaveState} state
   * @param {Problem[]} [problems]
   */
  #tell(state, problems = []) {
    this.state = state;
    if (state !== "waiting" && state !== "sending") this.problems = problems; // old ones stay in sight until judged again
    this.dispatchEvent(new Event("state"));
  }
}
