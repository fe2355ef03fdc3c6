/** The switch as a curve: what early help costs against the share of open threes the man left makes. */

import { crossing, LEVEL } from "../model/switch.js";
import { h, s } from "./dom.js";

/** @import { SwitchPoint } from "../types.js" */

const CURVE = { width: 360, height: 136, left: 34, right: 16, top: 18, bottom: 22 };
const ROOM_PX = 112; // what its words take

/** @param {number} share */
const percent = (share) => `${Math.round(share * 100)}\u00a0%`;

/**
 * Where the points of the curve lie on the drawing.
 * @param {SwitchPoint[]} points
 */
function scales(points) {
  const { width, height, left, right, top, bottom } = CURVE;
  const costs = points.flatMap((point) => [point.early_cost.low ?? 0, point.early_cost.high ?? 0, 0]);
  const low = Math.min(...costs, -0.06);
  const high = Math.max(...costs, 0.1);
  const first = points[0].open_threes_made;
  const last = points[points.length - 1].open_threes_made;
  return {
    high,
    x: (/** @type {number} */ share) => left + ((share - first) / (last - first)) * (width - left - right),
    y: (/** @type {number} */ cost) => top + ((high - cost) / (high - low)) * (height - top - bottom),
  };
}

/**
 * @param {SwitchPoint[]} points
 * @param {string} man who is left
 */
export function switchCurve(points, man) {
  const { width, height, left, right } = CURVE;
  const { x, y, high } = scales(points);
  const at = (/** @type {SwitchPoint} */ point, /** @type {"mean" | "low" | "high"} */ end) =>
    `${x(point.open_threes_made).toFixed(1)},${y(point.early_cost[end] ?? 0).toFixed(1)}`;
  const band = [...points.map((point) => at(point, "high")), ...[...points].reverse().map((point) => at(point, "low"))];
  const top = Math.floor(high * 10) / 10;
  const text = (/** @type {number} */ tx, /** @type {number} */ ty, /** @type {string} */ words, anchor = "start") =>
    s("text", { x: tx, y: ty, "text-anchor": anchor }, words);
  const plot = s(
    "svg",
    { class: "switch-curve", viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": described(points, man) },
    s("polygon", { class: "band", points: band.join(" ") }),
    s("line", { class: "zero", x1: left, x2: width - right, y1: y(0), y2: y(0) }),
    s("polyline", { class: "curve", points: points.map((point) => at(point, "mean")).join(" ") }),
    text(left - 5, y(0) + 3.5, "0", "end"),
    top > 0 && text(left - 5, y(top) + 3.5, `+${top.toFixed(1)}`, "end"),
    text(left, 10, "early help costs, points a chance"),
    ...points.map(({ open_threes_made: share }) => text(x(share), height - 6, percent(share), "middle")),
    ...mark(points, x, y),
  );
  return h("figure", { class: "switch" }, plot, h("figcaption", {}, `open threes ${man} makes`));
}

/**
 * The crossing, with its range.
 * @param {SwitchPoint[]} points
 * @param {(share: number) => number} x
 * @param {(cost: number) => number} y
 */
function mark(points, x, y) {
  const found = crossing(points);
  if (!found) return [];
  const words = `costs from about ${percent(found.at)}`;
  const left = x(found.at) > CURVE.left + ROOM_PX; // the curve rises to the right; its words stand on the left where they fit
  const beside = left ? { x: x(found.at) - 7, "text-anchor": "end" } : { x: CURVE.left, "text-anchor": "start" };
  return [
    s("line", { class: "turn-range", x1: x(found.from), x2: x(found.to), y1: y(LEVEL), y2: y(LEVEL) }),
    s("circle", { class: "turn", cx: x(found.at), cy: y(LEVEL), r: 4 }),
    s("text", { class: "turn-words", ...beside, y: y(LEVEL) - 8 }, words),
  ];
}

/**
 * @param {SwitchPoint[]} points
 * @param {string} man
 */
function described(points, man) {
  const found = crossing(points);
  const where = found ? `It costs from about ${percent(found.at)} on.` : "It does not turn between 20 and 45 %.";
  return `What leaving ${man} on dribble 1 costs, against the open threes he makes. ${where}`;
}
