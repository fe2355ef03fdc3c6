/** What this device keeps of its runs: every fact, and whether the server has it. On the device before it is shown. */

/** @import { Fact, Opening, Problem } from "../types.js" */

const NAME = "courtwright-floor";
const VERSION = 1;

/** @typedef {"waiting" | "taken" | "refused"} Fate */
/** @typedef {{ run: string, event_id: string, fact: Fact, fate: Fate, problems?: Problem[] }} Row */
/** @typedef {{ run: string, opening: Opening, last: number }} Head */

/**
 * The database of this browser.
 * @param {IDBFactory} [factory]
 * @returns {Promise<Keep>}
 */
export async function openKeep(factory = globalThis.indexedDB) {
  const asked = factory.open(NAME, VERSION);
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("head", { keyPath: "run" });
    asked.result.createObjectStore("fact", { keyPath: ["run", "event_id"] }).createIndex("run", "run");
  };
  return new Keep(await answer(asked));
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export class Keep {
  /** @param {IDBDatabase} database */
  constructor(database) {
    this.database = database;
  }

  /**
   * Write facts, and how far the run is known with them: all or nothing, on the device when this resolves.
   * @param {Row[]} rows
   * @param {{ head?: Head, strict?: boolean }} [how] strict: the disk must have them, which takes some milliseconds
   */
  write(rows, { head, strict = false } = {}) {
    return new Promise((resolve, reject) => {
      const durability = strict ? "strict" : "relaxed";
      const work = this.database.transaction(["head", "fact"], "readwrite", { durability });
      for (const row of rows) work.objectStore("fact").put(row);
      if (head) work.objectStore("head").put(head);
      work.oncomplete = () => resolve(undefined);
      work.onabort = work.onerror = () => reject(work.error);
    });
  }

  /**
   * @param {string} run
   * @returns {Promise<Head | undefined>}
   */
  head(run) {
    return answer(this.database.transaction("head").objectStore("head").get(run));
  }

  /**
   * @param {string} run
   * @returns {Promise<Row[]>}
   */
  rows(run) {
    return answer(this.database.transaction("fact").objectStore("fact").index("run").getAll(run));
  }
}

/** The same where the browser keeps nothing (some private windows): as long as the page is open. */
export class Memory {
  /** @type {Map<string, Head>} */ #heads = new Map();
  /** @type {Map<string, Row>} */ #rows = new Map();

  /**
   * @param {Row[]} rows
   * @param {{ head?: Head }} [how]
   */
  async write(rows, { head } = {}) {
    for (const row of rows) this.#rows.set(`${row.run} ${row.event_id}`, row);
    if (head) this.#heads.set(head.run, head);
  }

  /** @param {string} run */
  async head(run) {
    return this.#heads.get(run);
  }

  /** @param {string} run */
  async rows(run) {
    return [...this.#rows.values()].filter((row) => row.run === run);
  }
}
