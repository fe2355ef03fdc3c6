/** What happened in a possession, as one or several devices called it. The twin of `live/calls.py`. */

/** @import { Detail, Fact } from "../types.js" */

export const PLAY = new Set([
  "make",
  "miss",
  "offensive rebound",
  "defensive rebound",
  "turnover",
  "steal",
  "foul",
  "free throw",
  "charge",
  "violation",
  "deflection",
  "block",
  "paint touch",
  "box-out",
  "extra pass",
  "kick-out",
  "tag",
]);

/** @type {Record<string, string[]>} details that must agree for two calls of a kind to be the same thing */
const SAME = { violation: ["rule"], tag: ["tag", "who"] };

/** One thing that happened, by everyone who called it. */
export class Call {
  /** @type {{ event: string, detail: string, said: any }[]} */ disputes = [];
  counted = true;

  /**
   * @param {Fact} fact the first that told it
   * @param {number} segment 0, or which replay of a frozen moment it belongs to
   */
  constructor(fact, segment) {
    this.kind = fact.kind;
    /** @type {Detail} */
    this.detail = { ...fact.detail };
    this.event = fact.event_id;
    this.segment = segment;
    this.calledBy = [fact.device];
    this.events = [fact.event_id];
  }

  /** @param {Fact} fact another device calls it too: fill in what is missing, keep what differs for the coach to see */
  join(fact) {
    this.calledBy.push(fact.device);
    this.events.push(fact.event_id);
    for (const [key, value] of Object.entries(fact.detail)) {
      if (!(key in this.detail)) this.detail[key] = value;
      else if (!alike(this.detail[key], value)) this.disputes.push({ event: fact.event_id, detail: key, said: value });
    }
  }

  toJSON() {
    const { kind, detail, event, events, calledBy, segment, counted, disputes } = this;
    return { kind, detail, event, events, called_by: calledBy, segment, counted, disputes };
  }
}

/**
 * @param {any} one
 * @param {any} other
 */
function alike(one, other) {
  return JSON.stringify(one) === JSON.stringify(other);
}

/**
 * The facts of one possession in order, those from the floor as calls.
 * @param {Fact[]} facts
 * @returns {(Call | Fact)[]}
 */
export function called(facts) {
  /** @type {(Call | Fact)[]} */ const items = [];
  /** @type {Map<string, Call>} */ const found = new Map();
  /** @type {Map<string, number>} */ const ranks = new Map();
  let segment = 0;
  for (const whole of facts) {
    if (whole.kind === "run it again") segment += 1;
    if (!PLAY.has(whole.kind)) {
      items.push(whole);
      continue;
    }
    for (const fact of partsOf(whole)) {
      const same = [segment, fact.kind, ...(SAME[fact.kind] ?? []).map((key) => fact.detail[key] ?? null)];
      const mine = JSON.stringify([fact.device, ...same]);
      const rank = ranks.get(mine) ?? 0;
      ranks.set(mine, rank + 1);
      const key = JSON.stringify([rank, ...same]);
      const call = found.get(key);
      if (call) call.join(fact);
      else {
        const first = new Call(fact, segment);
        found.set(key, first);
        items.push(first);
      }
    }
  }
  return items;
}

/**
 * One tap may tell two things: a miss with its rebound, a turnover with its steal.
 * @param {Fact} fact
 * @returns {Fact[]}
 */
function partsOf(fact) {
  const { by, ...rest } = fact.detail;
  const { rebound, ...detail } = rest;
  const other = by === undefined ? {} : { who: by };
  if (fact.kind === "miss" && rebound !== undefined) {
    const kind = rebound === "offence" ? "offensive rebound" : "defensive rebound";
    return [
      { ...fact, detail },
      { ...fact, kind, detail: other },
    ];
  }
  if (fact.kind === "turnover" && by !== undefined) {
    return [
      { ...fact, detail: rest },
      { ...fact, kind: "steal", detail: other },
    ];
  }
  return [fact];
}
