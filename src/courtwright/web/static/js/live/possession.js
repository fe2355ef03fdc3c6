/** One possession: what ends it, what counts in it, and what each counted event brings. The twin of `live/possession.py`. */

/** @import { Call } from "./calls.js" */
/** @import { InForce } from "./force.js" */
/** @import { OnFloor } from "./lineup.js" */
/** @import { Worths } from "../types.js" */

import { AGAIN, NO_POINTS, OFFENCE, POINT, TURNOVER } from "./force.js";

const OPEN = "open";
export const SKIPPED = "skipped";
const STOP = "stop";
const FOUL = "foul";
const FROM_THE_START = "again from the start";
/** One loss of the ball may be called by several of these. */
const LOST = new Set(["turnover", "steal", "charge", "violation"]);
/** @type {Record<string, string>} what a kind counts as in the point rules */
const EVENTS = {
  "offensive rebound": "offensive_rebound",
  "defensive rebound": "defensive_rebound",
  steal: "steal",
  charge: "charge",
  deflection: "deflection",
  "paint touch": "paint_touch",
  "box-out": "box_out",
  "extra pass": "extra_pass",
  "kick-out": "kick_out_caught",
};
const TO_OFFENCE = "point_to_offence";
const TO_DEFENCE = "point_to_defence";

/**
 * What a stop counts as, with so many in a row now.
 * @param {number} streak
 */
export function stopEvents(streak) {
  return ["stop", ...[2, 3].filter((paid) => streak % paid === 0).map((paid) => `stops_${paid}`)];
}

/** A possession as it was called, up to now. */
export class Possession {
  result = OPEN;
  /** @type {string | null} */ endedBy = null;
  endedIn = -1; // the segment in which it ended
  segment = 0;
  segmentOpen = true;
  cost = ""; // of the breach that ended it
  stop = false;
  void = false;
  touched = false;
  inserted = 0;
  /** @type {Call[]} */ calls = [];
  /** @type {{ event: string, kind: string, why: string }[]} */ unsettled = [];
  /** @type {any[]} */ freezes = [];
  /** @type {[string, Worths][]} */ earned = [];
  /** @type {Record<string, any>} what the game said of endings when it ended */ ending = {};
  /** @type {Worths} */ endWorths = { offence: {}, defence: {} };
  /** @type {[string, string][]} figure and player, by hand */ putIn = [];

  /**
   * @param {number} number
   * @param {number} turn
   * @param {number} start
   * @param {OnFloor} floor
   */
  constructor(number, turn, start, floor) {
    this.number = number;
    this.turn = turn;
    this.start = start;
    this.floor = floor;
  }

  /** Whether anything happened in it. */
  get played() {
    return this.touched || this.result !== OPEN;
  }

  /** Whether the next call belongs to the next possession. */
  get over() {
    return this.result !== OPEN && !this.segmentOpen;
  }

  /** A frozen moment is played from there. */
  runAgain() {
    this.segment += 1;
    this.segmentOpen = true;
  }

  /** It is left as it is. */
  skip() {
    this.segmentOpen = false;
    if (this.result !== OPEN) return;
    this.result = SKIPPED;
    this.endedIn = this.segment;
  }

  /**
   * Add a call: count it, or note why it does not count.
   * @param {Call} call
   * @param {InForce} force
   */
  take(call, force) {
    this.touched = true;
    this.calls.push(call);
    const [side, cost] = call.kind === "violation" ? force.breach(call.detail) : ["", ""];
    const ends = this.#ends(call, side, cost, force);
    if (this.endedIn >= 0 && call.segment !== this.endedIn) {
      call.counted = false; // a replay of what has its result already
      this.segmentOpen = this.segmentOpen && !ends;
      return;
    }
    if (this.endedIn >= 0 && ends && !this.#addsToTheEnd(call)) {
      call.counted = false;
      const before = new Set(this.calls.slice(0, -1).flatMap((other) => other.calledBy));
      const why = call.calledBy.some((device) => !before.has(device)) ? "another result" : "after the end";
      this.unsettled.push({ event: call.event, kind: call.kind, why });
      return;
    }
    this.#count(call, side, cost, force);
    if (ends && (this.endedIn < 0 || call.kind === "make")) this.#end(call, cost, force);
  }

  /**
   * @param {Call} call
   * @param {string} side
   * @param {string} cost
   * @param {InForce} force
   */
  #ends(call, side, cost, force) {
    if (call.kind === "violation") return side === OFFENCE ? cost !== NO_POINTS : cost === AGAIN;
    if (call.kind === "offensive rebound") return (force.game.ending?.offensive_rebound ?? "play on") !== "play on";
    return ["make", "defensive rebound", "foul"].includes(call.kind) || LOST.has(call.kind);
  }

  /** @param {Call} call whether it is part of the same end: a charge that is the turnover, a foul with the basket */
  #addsToTheEnd(call) {
    const before = this.calls.slice(0, -1).filter((other) => other.segment === call.segment && other.counted);
    if (before.some((other) => other.kind === call.kind)) return false;
    if (LOST.has(call.kind)) return LOST.has(this.endedBy ?? "");
    return [call.kind, this.endedBy].sort().join() === "foul,make";
  }

  /**
   * @param {Call} call
   * @param {string} side
   * @param {string} cost
   * @param {InForce} force
   */
  #count({ kind, detail }, side, cost, force) {
    const event = EVENTS[kind];
    const names = event ? [event] : [];
    if (kind === "make") {
      names.push(`make_${detail.zone}`);
      if (detail.assist) names.push("make_assisted");
      if (detail.kick_out) names.push("make_kick_out");
    } else if (kind === "free throw" && detail.made) names.push("free_throw_make");
    else if (kind === "violation" && cost === POINT) names.push(side === OFFENCE ? TO_DEFENCE : TO_OFFENCE);
    else if (kind === "violation" && cost === NO_POINTS && side === OFFENCE) this.void = true;
    for (const name of names) this.earned.push([name, force.worths]);
  }

  /**
   * @param {Call} call
   * @param {string} cost
   * @param {InForce} force
   */
  #end(call, cost, force) {
    const { kind, segment } = call;
    const who = call.detail.who ?? "";
    const offensiveFoul = kind === "foul" && who !== "" && !who.startsWith("X");
    this.endedBy = kind;
    this.endedIn = segment;
    this.segmentOpen = false;
    /** @type {Record<string, string>} */
    const results = {
      make: `make ${call.detail.zone}`,
      "defensive rebound": STOP,
      "offensive rebound": "offensive rebound",
      foul: offensiveFoul ? TURNOVER : FOUL,
      violation: "violation",
    };
    this.result = results[kind] ?? TURNOVER;
    this.stop = kind === "defensive rebound" || offensiveFoul || (LOST.has(kind) && cost !== AGAIN);
    this.cost = cost;
    this.ending = force.game.ending ?? {};
    this.endWorths = force.worths;
  }

  /** Whether the same players go again from the start. */
  get again() {
    if (this.endedBy === "make" && !this.void) return this.ending.make === FROM_THE_START;
    if (this.result === FOUL) return (this.ending.foul ?? FROM_THE_START) === FROM_THE_START;
    return this.cost === AGAIN;
  }

  /**
   * Whether the offence has won it: by the points it brought, where they are level by a basket or a foul drawn.
   * @param {number} won
   * @param {number} lost
   */
  attackWon(won, lost) {
    if (won !== lost) return won > lost;
    return this.result === FOUL || (this.endedBy === "make" && !this.void);
  }

  /** @returns {[string, Worths][]} the counted events; baskets that a breach made worthless are `make_void` */
  counted() {
    if (!this.void) return this.earned;
    return this.earned.map(([name, worths]) => [name.startsWith("make_") ? "make_void" : name, worths]);
  }

  /** Whether the defence has a stop. */
  get stopped() {
    return this.stop || (this.void && this.endedBy === "make");
  }

  /**
   * Points of the offence and of the defence.
   * @param {number} streak the stops in a row before it
   * @returns {[number, number]}
   */
  points(streak) {
    let won = 0;
    let lost = 0;
    /** @type {[string, Worths][]} */
    const stops = this.stopped ? stopEvents(streak + 1).map((name) => [name, this.endWorths]) : [];
    for (const [name, worths] of [...this.counted(), ...stops]) {
      won += (worths.offence[name] ?? 0) + Number(name === TO_OFFENCE);
      lost += (worths.defence[name] ?? 0) + Number(name === TO_DEFENCE);
    }
    return [won, lost];
  }
}
