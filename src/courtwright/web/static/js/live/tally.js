/** What a run adds up to: score, players' counts, tags. The twin of `live/tally.py`. */

/** @import { Call } from "./calls.js" */
/** @import { OnFloor } from "./lineup.js" */
/** @import { Possession } from "./possession.js" */

import { DEFENCE, OFFENCE } from "./force.js";
import { stopEvents } from "./possession.js";

/** @typedef {Record<string, number>} Counts */

/**
 * @param {Counts} counts
 * @param {string} name
 * @param {number} [by]
 */
function add(counts, name, by = 1) {
  counts[name] = (counts[name] ?? 0) + by;
}

/**
 * A call in two or three words, the key of a player's counts.
 * @param {Call} call
 */
export function said({ kind, detail }) {
  if (kind === "make" || kind === "miss") return "zone" in detail ? `${kind} ${detail.zone}` : kind;
  if (kind === "free throw") return `free throw ${detail.made ? "made" : "missed"}`;
  return kind;
}

/** Sums over possessions. */
export class Tally {
  /** @type {Map<string, [number, number]>} of offence and defence, by possession */ points = new Map();
  /** @type {Counts} */ playerPoints = {};
  /** @type {Record<string, { offence: number, defence: number }>} */ turns = {};
  /** @type {Record<string, Counts>} */ players = {};
  /** @type {Counts} of calls, by their words */ counts = {};
  /** @type {Counts} as the point rules count them */ events = {};
  /** @type {Record<string, any>} */ tags = {};
  /** @type {Map<number, number>} stops in a row by team; where teams are mixed, over all possessions */ #streaks = new Map();

  /** @param {number} teams */
  constructor(teams) {
    this.teams = teams;
    /** @type {number[]} */
    this.score = Array.from({ length: teams || 2 }, () => 0);
  }

  /**
   * Note what a call that counts says of a player.
   * @param {Call} call
   * @param {OnFloor} floor
   */
  credit(call, floor) {
    if (!call.counted) return;
    const name = floor.figures[call.detail.who ?? ""] ?? "";
    if (call.kind === "tag") {
      const { players } = this.#tag(call.detail.tag);
      const kept = (players[name] ??= { did: 0, opportunities: 0 });
      kept.did += call.detail.did ? 1 : 0;
      kept.opportunities += 1;
      return;
    }
    const what = said(call);
    add(this.counts, what);
    this.#player(name, what);
    const passer = call.detail.assist;
    if (typeof passer === "string") this.#player(floor.figures[passer] ?? "", "assist");
  }

  /**
   * @param {string} name
   * @param {string} what
   */
  #player(name, what) {
    if (name) add((this.players[name] ??= {}), what);
  }

  /** @param {string} tag */
  #tag(tag) {
    return (this.tags[tag] ??= { watched_possessions: 0, players: {} });
  }

  /**
   * Add a possession.
   * @param {Possession} one
   * @param {Iterable<string>} watched
   */
  settle(one, watched) {
    const defends = one.floor.defenceTeam;
    const streak = this.#streaks.get(defends) ?? 0;
    const points = one.points(streak);
    this.points.set(`${one.number} ${one.inserted}`, points);
    for (const [name] of one.counted()) add(this.events, name);
    if (one.stopped) {
      this.#streaks.set(defends, streak + 1);
      for (const name of stopEvents(streak + 1)) add(this.events, name);
    } else if (!one.again) this.#streaks.set(defends, 0);
    this.#pay(this.score, one, points);
    for (const [index, side] of /** @type {["offence", "defence"]} */ ([OFFENCE, DEFENCE]).entries()) {
      for (const name of one.floor.side(side)) {
        add(this.playerPoints, name, points[index]);
        (this.turns[name] ??= { offence: 0, defence: 0 })[side] += 1;
      }
    }
    for (const tag of watched) this.#tag(tag).watched_possessions += 1;
  }

  /**
   * @param {number[]} score
   * @param {Possession} one
   * @param {[number, number]} points
   */
  #pay(score, { floor }, points) {
    const places = this.teams ? [floor.offenceTeam, floor.defenceTeam] : [0, 1];
    for (const [index, place] of places.entries()) {
      const before = score[place]; // a turn without teams pays none where teams keep score
      if (before !== undefined) score[place] = before + /** @type {number} */ (points[index]);
    }
  }

  /**
   * The score with what a possession has brought so far.
   * @param {Possession} one
   */
  scoreWith(one) {
    const score = [...this.score];
    this.#pay(score, one, one.points(this.#streaks.get(one.floor.defenceTeam) ?? 0));
    return score;
  }

  /** The most points of a team, or of a player where teams are mixed. */
  get best() {
    const points = this.teams ? this.score : Object.values(this.playerPoints);
    return points.length ? Math.max(...points) : 0;
  }

  toJSON() {
    const { score, playerPoints, turns, players, counts, events, tags } = this;
    return { score, player_points: playerPoints, turns, players, counts, events, tags };
  }
}
