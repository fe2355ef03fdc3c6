/** A sweep on its chart: where its values stand, and what is written under them. */

/** @import { Sweep, SweepPoint } from "../types.js" */

/**
 * A setting as the name of an axis: no gap in front where its value would stand, no unit that was said already.
 * @param {Pick<Sweep["setting"], "text" | "unit">} setting
 */
export function settingText({ text, unit }) {
  const name = text.replace(/^… /, "");
  return unit && !name.split(/\W+/).includes(unit) ? `${name}, ${unit}` : name;
}

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
