/** Decisions of a replayed possession in time. */

/** @import { Decision } from "../types.js" */

const JUST_S = 0.004; // a decision is reached when the hand is on it, rounding aside

/**
 * @param {Decision[]} decisions
 * @param {number} t_s
 * @returns {number} the last that has been made; −1 before the first
 */
export function decisionAt(decisions, t_s) {
  return decisions.filter((decision) => decision.t_s <= t_s + JUST_S).length - 1;
}
