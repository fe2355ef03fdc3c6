/** Where the values of a sweep stand on its chart. */

/** @import { SweepPoint } from "../types.js" */

/**
 * Where the values stand: numbers true to scale, words after them one step apart.
 * @param {Pick<SweepPoint, "value">[]} points
 * @returns {number[]} shares of the width
 */
export function placesOf(points) {
  const numbers = points.map((point) => point.value).filter((value) => typeof value === "number");
  const [least, most] = [Math.min(...numbers), Math.max(...numbers)];
  const step = numbers.length > 1 ? (most - least) / (numbers.length - 1) : 1;
  let next = numbers.length ? most : -1;
  const at = points.map(({ value }) => (typeof value === "number" ? value : (next += step)));
  const [first, last] = [Math.min(...at), Math.max(...at)];
  return at.map((place) => (last > first ? (place - first) / (last - first) : 0.5));
}
