/**
 * Edits that have not reached the server yet, kept in this browser, one record a tab.
 *
 * A record outlives its tab. Whoever opens the same document next asks the other tabs whose record it is;
 * one that nobody claims is taken over.
 */

/**
 * @template T
 * @typedef {{ tab: string, at: string, base: number, document: T, doubtful: T[] }} Draft
 */

const CLAIM_MS = 150;

/** A name for this page; works without a secure context. */
export function newTab() {
  return [...crypto.getRandomValues(new Uint32Array(2))].map((part) => part.toString(36)).join("");
}

/** @template T */
export class DraftBox {
  #storage;
  #prefix;
  #tab;
  #channel;
  /** @type {((tab: string) => void) | null} */ #onClaim = null;

  /**
   * @param {Storage} storage
   * @param {string} name such as `game/3`
   * @param {string} [tab]
   */
  constructor(storage, name, tab = newTab()) {
    this.#storage = storage;
    this.#prefix = `courtwright:draft:${name}:`;
    this.#tab = tab;
    this.#channel = new BroadcastChannel(`courtwright:drafts:${name}`);
    this.#channel.onmessage = (event) => this.#hear(event.data);
  }

  /** @param {{ ask?: true, claim?: string }} message */
  #hear(message) {
    if (message.ask) this.#channel.postMessage({ claim: this.#tab });
    if (message.claim) this.#onClaim?.(message.claim);
  }

  /**
   * Write the draft; it is on the device when this returns.
   * @param {{ base: number, document: T, doubtful: T[] }} draft
   * @returns {boolean} false where the browser refuses to keep anything
   */
  write(draft) {
    try {
      this.#storage.setItem(
        this.#prefix + this.#tab,
        JSON.stringify({ ...draft, tab: this.#tab, at: new Date().toISOString() }),
      );
      return true;
    } catch {
      return false;
    }
  }

  clear() {
    this.discard(this.#tab);
  }

  /** @param {string} tab */
  discard(tab) {
    try {
      this.#storage.removeItem(this.#prefix + tab);
    } catch {
      // a browser that keeps nothing has nothing to take away
    }
  }

  /**
   * Drafts whose tab is gone, newest first.
   * @returns {Promise<Draft<T>[]>}
   */
  async orphans() {
    const all = this.#all().filter((draft) => draft.tab !== this.#tab);
    if (!all.length) return [];
    const claimed = await this.#claims();
    return all.filter((draft) => !claimed.has(draft.tab)).sort((one, other) => other.at.localeCompare(one.at));
  }

  /** @returns {Promise<Set<string>>} */
  #claims() {
    /** @type {Set<string>} */
    const claimed = new Set();
    this.#onClaim = (tab) => claimed.add(tab);
    this.#channel.postMessage({ ask: true });
    return new Promise((done) => setTimeout(() => done(claimed), CLAIM_MS));
  }

  /** @returns {Draft<T>[]} */
  #all() {
    try {
      return Object.keys(this.#storage)
        .filter((key) => key.startsWith(this.#prefix))
        .map((key) => JSON.parse(this.#storage.getItem(key) ?? "null"))
        .filter((draft) => draft?.document);
    } catch {
      return [];
    }
  }

  close() {
    this.#channel.close();
  }
}
