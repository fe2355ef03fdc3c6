/** Numbers of a trial as a coach reads them, and scales to draw them on. */

/** @import { Estimate } from "../types.js" */

/** @typedef {{ mean: number, low: number, high: number }} Known */

/** @param {string} unit */
export function isShare(unit) {
  return unit.startsWith("share");
}

/**
 * @param {number | null} value
 * @param {string} [unit]
 */
export function valueText(value, unit = "") {
  if (value === null) return "–";
  if (isShare(unit)) return `${Math.round(value * 100)}\u00a0%`;
  const digits = Math.abs(value) >= 9.95 ? 0 : Math.abs(value) >= 0.95 || value === 0 ? 1 : 2;
  return value.toFixed(digits).replace("-", "−");
}

/** @param {Estimate} estimate */
export function rangeText({ low, high, unit }) {
  if (low === null || high === null) return "too few to say";
  const [from, to] = [valueText(low, unit), valueText(high, unit)];
  if (from === to) return from;
  return isShare(unit) ? `${Math.round(low * 100)}–${to}` : `${from}–${to}`;
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
