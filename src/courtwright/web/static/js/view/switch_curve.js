/** The switch as a curve: what early help costs against the share of open threes the man left makes. */

import { LEVEL, percent, turn, turnWords } from "../model/switch.js";
import { h, s } from "./dom.js";

/** @import { Crossing, Estimate, SwitchPoint } from "../types.js" */

/** @typedef {{ man: string, crossing?: Crossing | null, even: Estimate | null }} About who is left, where it crosses, and where a three is worth starting over */

const CURVE = { width: 360, height: 136, left: 34, right: 16, top: 18, bottom: 22 };
const ROOM_PX = 112; // what its words take

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
 * @param {About} about
 */
export function switchCurve(points, about) {
  const { width, height, left, right } = CURVE;
  const { x, y, high } = scales(points);
  const at = (/** @type {SwitchPoint} */ point, /** @type {"mean" | "low" | "high"} */ end) =>
    `${x(point.open_threes_made).toFixed(1)},${y(point.early_cost[end] ?? 0).toFixed(1)}`;
  const band = [...points.map((point) => at(point, "high")), ...[...points].reverse().map((point) => at(point, "low"))];
  const top = Math.floor(high * 10) / 10;
  const text = (/** @type {number} */ tx, /** @type {number} */ ty, /** @type {string} */ words, anchor = "start") =>
    s("text", { x: tx, y: ty, "text-anchor": anchor }, words);
  const even = evenMark(points, about.even, x);
  const plot = s(
    "svg",
    { class: "switch-curve", viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": described(about) },
    s("polygon", { class: "band", points: band.join(" ") }),
    s("line", { class: "zero", x1: left, x2: width - right, y1: y(0), y2: y(0) }),
    s("polyline", { class: "curve", points: points.map((point) => at(point, "mean")).join(" ") }),
    text(left - 5, y(0) + 3.5, "0", "end"),
    top > 0 && text(left - 5, y(top) + 3.5, `+${top.toFixed(1)}`, "end"),
    text(left, 10, "early help costs, points a chance"),
    ...points.map(({ open_threes_made: share }) => text(x(share), height - 6, percent(share), "middle")),
    ...even,
    ...mark(points, about.crossing, x, y),
  );
  const dotted = even.length > 0 && h("span", { class: "key" }, "dotted: where his three is worth as much as starting over");
  return h("figure", { class: "switch" }, plot, h("figcaption", {}, `open threes ${about.man} makes`, dotted));
}

/**
 * The crossing, with its range.
 * @param {SwitchPoint[]} points
 * @param {Crossing | null | undefined} crossing
 * @param {(share: number) => number} x
 * @param {(cost: number) => number} y
 */
function mark(points, crossing, x, y) {
  const found = turn(points, crossing);
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
 * Where a three brings what starting over brings, which is about where the curve crosses.
 * @param {SwitchPoint[]} points
 * @param {Estimate | null} even
 * @param {(share: number) => number} x
 */
function evenMark(points, even, x) {
  const share = even?.mean ?? 0;
  if (share < points[0].open_threes_made || share > points[points.length - 1].open_threes_made) return [];
  const line = { class: "even", x1: x(share), x2: x(share), y1: CURVE.top, y2: CURVE.height - CURVE.bottom };
  return [s("line", line)];
}

/** @param {About} about */
function described({ man, crossing, even }) {
  const worth = even?.mean ? ` A three is worth starting over at ${percent(even.mean)}.` : "";
  return `What leaving ${man} on dribble 1 costs, against the open threes he makes. ${turnWords(crossing)}${worth}`;
}
