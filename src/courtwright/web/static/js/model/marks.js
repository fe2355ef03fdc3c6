/** The shape of a dimension line, as a draughtsman marks a measured distance. */

/** @import { Point } from "../types.js" */

/** @typedef {[Point, Point]} Stroke */

const HEAD_M = 0.22;
const BEYOND_M = 0.1;
const CLEAR_M = 0.14;

/**
 * A line beside the one it measures, with extension lines, arrow heads and a place for the words.
 * Points are metres on the drawing, y down.
 * @param {Point} from
 * @param {Point} to
 * @param {number} offset_m to the left of the way if negative
 * @param {number} wide_m about how wide the words stand
 * @param {number} high_m and how high
 * @returns {{ line: Stroke, heads: Point[][], extensions: Stroke[], words: Point }}
 */
export function dimension(from, to, offset_m, wide_m, high_m) {
  const length_m = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const along = /** @type {Point} */ ([(to[0] - from[0]) / length_m, (to[1] - from[1]) / length_m]);
  const side = Math.sign(offset_m) || 1;
  const square = /** @type {Point} */ ([-along[1] * side, along[0] * side]);
  const reach_m = Math.abs(offset_m);
  const step = (/** @type {Point} */ point, /** @type {Point} */ way, /** @type {number} */ by_m) =>
    /** @type {Point} */ ([point[0] + way[0] * by_m, point[1] + way[1] * by_m]);
  const ends = /** @type {Stroke} */ ([step(from, square, reach_m), step(to, square, reach_m)]);
  const middle = /** @type {Point} */ ([(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]);
  const clear_m = (Math.abs(square[0]) * wide_m + Math.abs(square[1]) * high_m) / 2 + CLEAR_M;
  return {
    line: ends,
    heads: ends.map((end, index) => {
      const base = step(end, along, index === 0 ? HEAD_M : -HEAD_M);
      return [end, step(base, square, HEAD_M / 4), step(base, square, -HEAD_M / 4)];
    }),
    extensions: [from, to].map((end) => [step(end, square, reach_m * 0.62), step(end, square, reach_m + BEYOND_M)]),
    words: step(middle, square, reach_m + clear_m),
  };
}
