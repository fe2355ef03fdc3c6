/** The switch: from which share of open threes on leaving a shooter early begins to cost. */

/** @import { SwitchPoint } from "../types.js" */

export const LEVEL = 0.03; // points; rows nearer than this are about level, and so is a cost

/**
 * Where one of the lines begins to cost, between the last point that does not and the first that does for good.
 * @param {SwitchPoint[]} points
 * @param {"mean" | "low" | "high"} end
 * @returns {number | null} a share made, or nothing where the line never turns
 */
export function turns(points, end) {
  const cost = (/** @type {SwitchPoint} */ point) => point.early_cost[end] ?? 0;
  let last = points.length - 1;
  while (last >= 0 && cost(points[last]) > LEVEL) last -= 1;
  if (last < 0 || last === points.length - 1) return null;
  const [one, other] = [points[last], points[last + 1]];
  const part = (LEVEL - cost(one)) / (cost(other) - cost(one));
  return one.open_threes_made + part * (other.open_threes_made - one.open_threes_made);
}

/**
 * @param {SwitchPoint[]} points
 * @returns {{ at: number, from: number, to: number } | null} with the range of the crossing
 */
export function crossing(points) {
  const at = turns(points, "mean");
  if (at === null) return null;
  const ends = [points[0].open_threes_made, points[points.length - 1].open_threes_made];
  return { at, from: Math.min(at, turns(points, "high") ?? ends[0]), to: Math.max(at, turns(points, "low") ?? ends[1]) };
}
