/** The switch: from which share of open threes on leaving a shooter early begins to cost. The server reads it off. */

/** @import { Crossing, SwitchPoint } from "../types.js" */

export const LEVEL = 0.03; // points; rows nearer than this are about level, and so is a cost

/** @param {number} share */
export const percent = (share) => `${Math.round(share * 100)}\u00a0%`;

/**
 * Where the crossing is drawn; an end that lies off the curve is drawn at the curve's end.
 * @param {SwitchPoint[]} points
 * @param {Crossing | null | undefined} crossing
 * @returns {{ at: number, from: number, to: number } | null} shares made, or nothing where the middle lies off the curve
 */
export function turn(points, crossing) {
  if (!crossing || crossing.middle === null) return null;
  const [first, last] = [points[0], points[points.length - 1]];
  return {
    at: crossing.middle,
    from: crossing.low ?? first.open_threes_made,
    to: crossing.high ?? last.open_threes_made,
  };
}

/**
 * The same in words, with the range: `It costs from about 31 % on; eight of ten sets say 27 to 36 %.`
 * @param {Crossing | null | undefined} crossing
 */
export function turnWords(crossing) {
  if (!crossing) return "";
  const { low, middle, high, sets_dear_at_once, sets_free_always } = crossing;
  if (middle === null)
    return sets_dear_at_once > sets_free_always ? "It costs at any share." : "It does not cost at any share up to 45\u00a0%.";
  const from = low === null ? "under 20\u00a0%" : percent(low);
  const to = high === null ? "over 45\u00a0%" : percent(high);
  return `It costs from about ${percent(middle)} on; eight of ten sets say ${from} to ${to}.`;
}
