/** Numbers of a trial as a coach reads them, and scales to draw them on. */

/** @import { Estimate } from "../types.js" */

/** @typedef {{ mean: number, low: number, high: number }} Known */

/** @param {string} unit */
export function isShare(unit) {
  return unit.startsWith("share");
}

/**
 * How many decimals a number and its range are written with: alike, and no more than they can carry.
 * @param {Estimate} estimate
 */
function decimals({ mean, high, unit }) {
  if (unit === "points per possession") return 2;
  const size = Math.max(Math.abs(mean ?? 0), Math.abs(high ?? 0));
  if (size >= 9.95) return 0;
  return size >= 0.95 || size === 0 ? 1 : 2;
}

/**
 * @param {Estimate} estimate
 * @param {number} value one of its numbers
 */
function written(estimate, value) {
  if (isShare(estimate.unit)) return `${Math.round(value * 100)}`;
  return value.toFixed(decimals(estimate)).replace("-", "−");
}

/** @param {string} unit */
const sign = (unit) => (isShare(unit) ? "\u00a0%" : "");

/** @param {Estimate} estimate */
export function meanText(estimate) {
  return estimate.mean === null ? "–" : written(estimate, estimate.mean) + sign(estimate.unit);
}

/** @param {Estimate} estimate */
export function rangeText(estimate) {
  if (estimate.low === null || estimate.high === null) return "too few to say";
  const [from, to] = [written(estimate, estimate.low), written(estimate, estimate.high)];
  return (from === to ? from : `${from}–${to}`) + sign(estimate.unit);
}

/** What the number counts, beside its name: `of possessions`, `seconds`. @param {string} unit */
export function unitText(unit) {
  return unit.replace(/^share /, "");
}

/**
 * @param {Estimate} estimate
 * @returns {Known | null}
 */
export function known({ mean, low, high }) {
  return mean === null || low === null || high === null ? null : { mean, low, high };
}

/**
 * A round scale that holds all values: from, to, and the step of its marks.
 * @param {number[]} values
 * @param {number} [marks]
 * @returns {{ from: number, to: number, ticks: number[], at: (value: number) => number }} `at` gives per cent of the width
 */
export function scaleOver(values, marks = 4) {
  const least = Math.min(...values);
  const most = Math.max(...values);
  const step = roundStep((most - least || 1) / marks);
  const from = Math.floor(least / step) * step;
  const to = Math.max(Math.ceil(most / step) * step, from + step);
  const ticks = Array.from({ length: Math.round((to - from) / step) + 1 }, (_, index) => round(from + index * step));
  return { from, to, ticks, at: (value) => round(((value - from) / (to - from)) * 100) };
}

/** @param {number} rough */
function roundStep(rough) {
  const power = 10 ** Math.floor(Math.log10(rough));
  return ([1, 2, 5, 10].find((step) => step * power >= rough) ?? 10) * power;
}

/** @param {number} value */
function round(value) {
  return Math.round(value * 1000) / 1000;
}

/** Points with their sign. @param {number} points */
export function signedPoints(points) {
  const text = Math.abs(points).toFixed(2);
  return Number(text) === 0 ? text : `${points < 0 ? "−" : "+"}${text}`;
}
