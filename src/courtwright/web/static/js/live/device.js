/** This device: its name, its hybrid logical time, and how far its clock is from the server's. Works on plain http. */

/** @import { Fact } from "../types.js" */

import { parts } from "./corrections.js";

const NAME_KEY = "courtwright:device";
const CLOCK_KEY = "courtwright:server-ahead";

/**
 * Some signs nobody else has drawn.
 * @param {number} [words]
 */
export function drawn(words = 2) {
  const numbers = crypto.getRandomValues(new Uint32Array(words));
  return [...numbers].map((number) => number.toString(36).padStart(7, "0")).join("");
}

/** @typedef {{ getItem(key: string): string | null, setItem(key: string, value: string): void }} Kept */

/**
 * The name of this device, made once. Where the browser keeps nothing, it lasts as long as the page.
 * @param {Kept} storage
 */
export function deviceName(storage) {
  try {
    const kept = storage.getItem(NAME_KEY);
    if (kept) return kept;
    const made = drawn();
    storage.setItem(NAME_KEY, made);
    return made;
  } catch {
    return drawn();
  }
}

/** Hybrid logical time: the wall clock, but never backwards and never before anything seen. */
export class HybridClock {
  #wall = 0;
  #counter = -1;

  /** @param {() => number} [now] */
  constructor(now = Date.now) {
    this.now = now;
  }

  /** @param {string} time of any fact this device has come to know */
  see(time) {
    const [wall, counter] = parts(time);
    if (wall > this.#wall || (wall === this.#wall && counter > this.#counter)) [this.#wall, this.#counter] = [wall, counter];
  }

  /** @returns {string} the time of what happens now */
  next() {
    const now = Math.round(this.now());
    [this.#wall, this.#counter] = now > this.#wall ? [now, 0] : [this.#wall, this.#counter + 1];
    return `${this.#wall}.${this.#counter}`;
  }
}

/** The server's clock as this device guesses it: from the answer that came back soonest, less half its way. */
export class ServerClock {
  #ahead = 0;
  #way = Infinity;

  /**
   * @param {Kept} storage
   * @param {() => number} [now]
   */
  constructor(storage, now = Date.now) {
    this.storage = storage;
    this.now = now;
    try {
      this.#ahead = Number(storage.getItem(CLOCK_KEY)) || 0;
    } catch {
      this.#ahead = 0;
    }
  }

  /**
   * An answer came with the server's time in it.
   * @param {number} server_ms
   * @param {number} way_ms there and back
   */
  hear(server_ms, way_ms) {
    const ahead = server_ms + way_ms / 2 - this.now();
    // a clock that was set meanwhile shows as a guess that no way could explain
    if (way_ms > this.#way && Math.abs(ahead - this.#ahead) < way_ms + this.#way) return;
    this.#way = way_ms;
    this.#ahead = ahead;
    try {
      this.storage.setItem(CLOCK_KEY, String(Math.round(ahead)));
    } catch {
      // the guess lasts as long as the page
    }
  }

  /** The server's time now. */
  get ms() {
    return Math.max(0, Math.round(this.now() + this.#ahead));
  }
}

/**
 * What every fact of a device carries beside what it tells.
 * @param {{ device: string, sequence: number, time: string, run: string, game_id: string, game_hash: string }} from
 * @param {{ kind: string, possession: number, turn: number, detail: Record<string, any> }} told
 * @returns {Fact}
 */
export function factOf({ device, sequence, time, run, game_id, game_hash }, { kind, possession, turn, detail }) {
  const event_id = `${device}-${drawn()}`;
  return { event_id, device, sequence, time, run_id: run, possession, turn, game_id, game_hash, kind, detail };
}
