/** What moved from one trial to the next, as a mark a coach reads at a glance and as words for everybody else. */

import { isShare } from "./numbers.js";

/** @import { Difference, Verdict } from "../types.js" */

/** @type {Record<Verdict, string>} */
const SIGNS = { up: "▲", down: "▼", "no difference": "=", "cannot tell": "?" };

/**
 * @param {Verdict} verdict
 * @returns {string}
 */
export function changeSign(verdict) {
  return SIGNS[verdict];
}

/**
 * The change with its sign: `+0.12`, `−7`; shares in points of 100.
 * @param {{ change: number, unit: string }} difference
 */
export function changeText({ change, unit }) {
  const size = Math.abs(isShare(unit) ? change * 100 : change);
  const digits = isShare(unit) || size >= 10 ? 0 : 2;
  const text = size.toFixed(digits);
  return Number(text) === 0 ? text : `${change < 0 ? "−" : "+"}${text}`;
}

/**
 * The whole of it in words: `up: +7 (+4 to +10)`.
 * @param {Difference} difference
 */
export function changeWords(difference) {
  const { verdict, low, high, unit } = difference;
  const ends =
    low === null || high === null
      ? "too few runs"
      : `${changeText({ change: low, unit })} to ${changeText({ change: high, unit })}`;
  return `${verdict}: ${changeText(difference)} (${ends})`;
}

/**
 * @param {Difference[]} differences
 * @returns {Map<string, Difference>}
 */
export function byMeasure(differences) {
  return new Map(differences.map((difference) => [difference.key, difference]));
}
