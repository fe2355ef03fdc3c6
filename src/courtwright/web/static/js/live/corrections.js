/** Facts put in order, with what was undone taken out and what was edited put right: the twin of `live/corrections.py`. */

/** @import { Fact } from "../types.js" */

const CORRECTIONS = new Set(["undo", "edit"]);

/**
 * @param {string} text hybrid time, “milliseconds.counter”
 * @returns {[number, number]}
 */
export function parts(text) {
  const [wall = 0, counter = 0] = text.split(".").map(Number);
  return [wall, counter];
}

/**
 * When a fact was told: the order of corrections and of the clock. Names are compared by code point, as the server does.
 * @param {Fact} one
 * @param {Fact} other
 */
export function told(one, other) {
  const [wall, counter] = parts(one.time);
  const [otherWall, otherCounter] = parts(other.time);
  return (
    wall - otherWall ||
    counter - otherCounter ||
    compare(one.device, other.device) ||
    one.sequence - other.sequence ||
    compare(one.event_id, other.event_id)
  );
}

/**
 * @param {string} one
 * @param {string} other
 */
function compare(one, other) {
  return one < other ? -1 : Number(one > other);
}

/**
 * The facts that hold, in their total order, whatever order they came in; corrections are used up.
 * @param {Iterable<Fact>} facts
 * @returns {Fact[]}
 */
export function corrected(facts) {
  /** @type {Map<string, Fact>} */
  const held = new Map();
  const inOrder = [...facts].sort(told);
  for (const fact of inOrder) if (!held.has(fact.event_id)) held.set(fact.event_id, fact);
  for (const event of undone(held)) held.delete(event);
  for (const edit of inOrder) {
    if (edit.kind !== "edit" || held.get(edit.event_id) !== edit) continue;
    const target = held.get(edit.detail.event);
    if (target && !CORRECTIONS.has(target.kind) && told(target, edit) < 0) held.set(target.event_id, edited(target, edit));
  }
  return [...held.values()]
    .filter((fact) => !CORRECTIONS.has(fact.kind))
    .sort((one, other) => one.possession - other.possession || told(one, other));
}

/**
 * Events that do not hold: each is named by a later undo that itself holds.
 * @param {Map<string, Fact>} known
 * @returns {Set<string>}
 */
export function undone(known) {
  /** @type {Set<string>} */
  const gone = new Set();
  const undos = [...known.values()].filter((fact) => fact.kind === "undo").sort((one, other) => told(other, one));
  for (const fact of undos) {
    const target = known.get(fact.detail.event);
    if (!gone.has(fact.event_id) && target && told(target, fact) < 0) gone.add(target.event_id);
  }
  return gone;
}

/**
 * @param {Fact} fact
 * @param {Fact} edit
 * @returns {Fact}
 */
function edited(fact, edit) {
  const changed = { ...fact.detail, ...edit.detail.detail };
  const detail = Object.fromEntries(Object.entries(changed).filter(([, value]) => value !== null));
  return { ...fact, possession: edit.detail.possession || fact.possession, detail };
}
