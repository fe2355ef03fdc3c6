/** Metres and the words for them. Axes as in the documents: under the ring is 0, 0; y runs away from the end line. */

/** @import { CourtLines, Place, Point } from "../types.js" */

export const SNAP_M = 0.35;
export const STEP_M = 0.1;
const LONG_STEP_M = 0.5;
/** @type {Record<string, Point>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FOOT_M = 0.3048;

/**
 * @param {Point} one
 * @param {Point} other
 */
export function distanceM(one, other) {
  return Math.hypot(one[0] - other[0], one[1] - other[1]);
}

/**
 * How far an arrow key moves a figure; with Shift it goes farther, with other keys it is not for us.
 * @param {KeyboardEvent} event
 * @returns {Point | null}
 */
export function keyStep(event) {
  const way = WAYS[event.key];
  if (!way || event.ctrlKey || event.metaKey || event.altKey) return null;
  const step_m = event.shiftKey ? LONG_STEP_M : STEP_M;
  return [way[0] * step_m, way[1] * step_m];
}

/**
 * @param {Record<string, Point>} spots
 * @param {Point} point
 * @returns {{ name: string, gap_m: number }} the first of the nearest spots
 */
export function nearestSpot(spots, point) {
  let best = { name: "", gap_m: Infinity };
  for (const [name, at] of Object.entries(spots)) {
    const gap_m = distanceM(at, point);
    if (gap_m < best.gap_m) best = { name, gap_m };
  }
  return best;
}

/**
 * The spot's name where one is near enough, else the point, to the centimetre.
 * @param {Record<string, Point>} spots
 * @param {Point} point
 * @param {number} [within_m]
 * @returns {Place}
 */
export function snapped(spots, point, within_m = SNAP_M) {
  const { name, gap_m } = nearestSpot(spots, point);
  return gap_m <= within_m ? name : roundedCm(point);
}

/**
 * @param {Point} point
 * @returns {Point}
 */
export function roundedCm([x, y]) {
  return [Math.round(x * 100) / 100 + 0, Math.round(y * 100) / 100 + 0];
}

/**
 * @param {Record<string, Point>} spots
 * @param {Place} at
 * @returns {Point} metres; the middle of nowhere (0, 0) for a word that is no spot
 */
export function placeM(spots, at) {
  return typeof at === "string" ? (spots[at] ?? [0, 0]) : at;
}

/**
 * @param {CourtLines} court
 * @param {Point} point
 * @param {number} [beyond_m] how far outside the lines is still allowed
 * @returns {Point}
 */
export function keptOnFloor(court, [x, y], beyond_m = 0) {
  const clamp = (/** @type {number} */ value, /** @type {number} */ least, /** @type {number} */ most) =>
    Math.min(Math.max(value, least - beyond_m), most + beyond_m);
  return [clamp(x, -court.side_x_m, court.side_x_m), clamp(y, court.end_line_y_m, court.far_y_m)];
}

/**
 * @param {string} spot
 * @returns {string}
 */
export function mirroredSpot(spot) {
  if (spot.startsWith("left ")) return spot.replace("left", "right");
  return spot.startsWith("right ") ? spot.replace("right", "left") : spot;
}

/**
 * @param {Place} at
 * @returns {Place}
 */
export function mirrored(at) {
  return typeof at === "string" ? mirroredSpot(at) : [-at[0] + 0, at[1]];
}

/**
 * A length as a coach says it: `1.4 m`, or `4 ft 7 in`.
 * @param {number} length_m
 * @param {boolean} [feet]
 */
export function lengthText(length_m, feet = false) {
  if (!feet) return `${length_m.toFixed(1)} m`;
  const inches = Math.round((length_m / FOOT_M) * 12);
  return `${Math.floor(inches / 12)} ft ${inches % 12} in`;
}

/**
 * A length that is only roughly known: `about 2.5 m`, to half a metre or a whole foot.
 * @param {number} length_m
 * @param {boolean} [feet]
 */
export function aboutText(length_m, feet = false) {
  if (feet) return `about ${Math.round(length_m / FOOT_M)} ft`;
  const halves_m = Math.round(length_m * 2) / 2;
  return `about ${Number.isInteger(halves_m) ? halves_m : halves_m.toFixed(1)} m`;
}

/**
 * A place in words: `left corner`, `0.6 m from the nail`.
 * @param {Record<string, Point>} spots
 * @param {Place} at
 * @param {boolean} [feet]
 */
export function placeText(spots, at, feet = false) {
  if (typeof at === "string") return at;
  const { name, gap_m } = nearestSpot(spots, at);
  return gap_m < 0.005 ? name : `${lengthText(gap_m, feet)} from the ${name}`;
}

/**
 * A place as it stands in a field that can be typed over: `left corner`, or `1.25, 6.40`.
 * @param {Place} at
 */
export function placeField(at) {
  return typeof at === "string" ? at : at.map((value) => Number(value).toFixed(2)).join(", ");
}

/**
 * Read what a person typed as a place; anything that is neither metres nor a spot is kept as typed, for the server to judge.
 * @param {string} text
 * @returns {Place}
 */
export function parsedPlace(text) {
  const typed = text.trim().replaceAll("−", "-");
  const separator = typed.includes(";") ? ";" : /\s/.test(typed) ? /,?\s+/ : ",";
  const parts = typed.split(separator).map((part) => part.trim());
  if (parts.length === 2 && parts.every((part) => /^-?\d+([.,]\d+)?$/.test(part))) {
    return [Number(parts[0].replace(",", ".")), Number(parts[1].replace(",", "."))];
  }
  return typed.toLowerCase().replaceAll(/[\s_-]+/g, " ");
}
